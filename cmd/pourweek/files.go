package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/google/renameio/v2/maybe"

	"pourweek/model"
)

// stdinName stands for standard input where a file is asked for.
const stdinName = "-"

// readFile reads a file, or standard input if its name is "-", with read.
func readFile[T any](s *streams, name string, read func(string, io.Reader) (T, error)) (T, error) {
	var zero T
	r, shown := s.in, "stdin"
	if name != stdinName {
		f, err := os.Open(name)
		if err != nil {
			return zero, inputError(plain(err))
		}
		defer f.Close()
		if st, err := f.Stat(); err == nil && st.IsDir() {
			return zero, inputError(fmt.Errorf("%s: this is a folder; a file is needed here", name))
		}
		r, shown = f, name
	}
	v, err := read(shown, r)
	if err != nil {
		return zero, inputError(plain(err))
	}
	return v, nil
}

func readProblem(s *streams, name string) (*model.Problem, error) {
	return readFile(s, name, model.ReadProblem)
}

func readPlan(s *streams, name string) (*model.Plan, error) {
	return readFile(s, name, model.ReadPlan)
}

// plain says an error of the file system as the other messages about files
// do: the file first, then what is wrong.
func plain(err error) error {
	var p *fs.PathError
	if !errors.As(err, &p) {
		return err
	}
	switch {
	case errors.Is(p.Err, fs.ErrNotExist):
		return fmt.Errorf("%s: there is no such file", p.Path)
	case errors.Is(p.Err, fs.ErrPermission):
		return fmt.Errorf("%s: you may not %s this file", p.Path, p.Op)
	}
	return fmt.Errorf("%s: %w", p.Path, p.Err)
}

// writeFile writes a file as a whole or not at all: what stood there before
// stays until the new file is complete. A link is followed. Something that is
// no ordinary file (a device, a pipe) is written to as it is.
func writeFile(name string, fill func(io.Writer) error) error {
	var b bytes.Buffer
	if err := fill(&b); err != nil {
		return failf(exitFailed, "%s: %w", name, err)
	}
	target := followed(name)
	write := maybe.WriteFile
	if st, err := os.Stat(target); err == nil && !st.Mode().IsRegular() {
		if st.IsDir() {
			return failf(exitKept, "%s: this is a folder; nothing was written", name)
		}
		write = writeInto
	}
	if err := write(target, b.Bytes(), 0o644); err != nil {
		return failf(exitKept, "%s: nothing was written: %w", name, reason(err))
	}
	return nil
}

// followed is the file that a link leads to, the name itself if it is none.
func followed(name string) string {
	if to, err := filepath.EvalSymlinks(name); err == nil {
		return to
	}
	return name
}

func writeInto(name string, data []byte, _ os.FileMode) error {
	f, err := os.OpenFile(name, os.O_WRONLY, 0)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	return errors.Join(err, f.Close())
}

// reason is what an error of the file system says, without the name of a
// temporary file.
func reason(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	var l *os.LinkError
	if errors.As(err, &l) {
		return l.Err
	}
	return err
}
