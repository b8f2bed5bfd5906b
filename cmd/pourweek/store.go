package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strconv"

	"github.com/google/renameio/v2/maybe"
	"github.com/rogpeppe/go-internal/lockedfile"

	"pourweek/model"
)

// A shop's published weeks stand in its folder plans, one file each time that
// somebody publishes: 2027-03-01-001.json, -002 and so on. None is ever written
// over. The newest Monday and, within it, the highest number is the week that
// holds.

const plansFolder = "plans"

var planName = regexp.MustCompile(`^(\d{4}-\d{2}-\d{2})-(\d{3,6})\.json$`)

// published is a week that was given out.
type published struct {
	path   string
	monday string
	number int
	week   *model.Week
}

// newestName finds the file of the week that holds, "" if there is none.
func newestName(dir string) (path, monday string, number int, err error) {
	entries, err := os.ReadDir(filepath.Join(dir, plansFolder))
	if errors.Is(err, fs.ErrNotExist) {
		return "", "", 0, nil
	}
	if err != nil {
		return "", "", 0, inputError(plain(err))
	}
	for _, e := range entries {
		m := planName.FindStringSubmatch(e.Name())
		if m == nil {
			continue
		}
		n, _ := strconv.Atoi(m[2]) // at most six digits
		if m[1] > monday || m[1] == monday && n > number {
			path, monday, number = filepath.Join(dir, plansFolder, e.Name()), m[1], n
		}
	}
	return path, monday, number, nil
}

// newest reads the week that holds; nil if none was published.
func newest(s *streams, dir string) (*published, error) {
	path, monday, number, err := newestName(dir)
	if err != nil || path == "" {
		return nil, err
	}
	w, err := readFile(s, path, model.ReadWeek)
	if err != nil {
		return nil, err
	}
	return &published{path, monday, number, w}, nil
}

// publish writes the week beside the others. after is the number of the week
// of that Monday that it was planned from, 0 for none: if another one holds by
// now, nothing is written and the second of the two people is told.
func publish(dir string, w *model.Week, after int) (string, error) {
	_, monday, number, err := newestName(dir)
	if err != nil {
		return "", err
	}
	if monday != w.Monday {
		number = 0
	}
	if number != after {
		return "", taken(w.Monday, number)
	}
	var b bytes.Buffer
	if err := model.WriteWeek(&b, w); err != nil {
		return "", failf(exitFailed, "%w", err)
	}
	folder := filepath.Join(dir, plansFolder)
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return "", failf(exitKept, "%s: nothing was published: %w", folder, reason(err))
	}
	target := filepath.Join(folder, fmt.Sprintf("%s-%03d.json", w.Monday, after+1))
	switch err := createWhole(target, b.Bytes()); {
	case errors.Is(err, fs.ErrExist):
		return "", taken(w.Monday, after+1)
	case err != nil:
		return "", failf(exitKept, "%s: nothing was published: %w", target, reason(err))
	}
	return target, nil
}

func taken(monday string, number int) error {
	return withHint(failf(exitKept, "the week of %s was published by somebody else meanwhile (%s-%03d.json); nothing was published", monday, monday, number),
		"look at it with 'pourweek show', then plan again from there")
}

// createWhole makes a new file with the data, whole or not at all, and never
// in place of another: the data is written and synced under a temporary name,
// which is then linked to the final one. The error is fs.ErrExist when the name
// is taken. A process that is killed leaves at most the temporary file.
func createWhole(name string, data []byte) error {
	f, err := os.CreateTemp(filepath.Dir(name), ".unfinished-*")
	if err != nil {
		return err
	}
	defer os.Remove(f.Name())
	_, err = f.Write(data)
	if err = errors.Join(err, f.Chmod(0o644), f.Sync()); err != nil {
		return errors.Join(err, f.Close())
	}
	if err := f.Close(); err != nil {
		return err
	}
	return os.Link(f.Name(), name)
}

// appendWhole adds text to the end of a file, after a line end if the last line
// has none: the file is written anew and takes the place of the old one, since a
// process that is killed may leave part of what it appends. A file that is not
// there, or holds nothing, gets head before the text. Whoever else appends
// meanwhile waits; the empty file whose name ends in .lock is for that, and stays.
func appendWhole(name, head, text, end string) error {
	name = followed(name)
	lock := lockedfile.MutexAt(filepath.Join(filepath.Dir(name), "."+filepath.Base(name)+".lock"))
	unlock, err := lock.Lock()
	if err != nil {
		return err
	}
	defer unlock()
	if err := createWhole(name, []byte(head+text)); !errors.Is(err, fs.ErrExist) {
		return err
	}
	data, err := os.ReadFile(name)
	if err != nil {
		return err
	}
	switch {
	case len(data) == 0:
		text = head + text
	case !bytes.HasSuffix(data, []byte("\n")) && !bytes.HasSuffix(data, []byte("\r")):
		text = end + text
	}
	st, err := os.Stat(name)
	if err != nil {
		return err
	}
	mode := st.Mode().Perm()
	if err := maybe.WriteFile(name, append(data, text...), mode); err != nil {
		return err
	}
	return os.Chmod(name, mode) // the umask may have taken some of it
}
