// Package benchset reads the published scheduling and packing sets of the
// shared bench folder, for tests. Forms, sources and the meaning of each row
// are in that folder's README.
package benchset

import (
	"archive/tar"
	"compress/gzip"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"
)

// Row is what is known about an instance.
type Row struct {
	Name         string
	Lower, Upper int    // best known bounds; 0 where empty
	Status       string // optimal, open, infeasible
	Source       string
}

// Dir finds a set, such as "psplib/j30": the folder shared/bench beside the
// module, looked for from the working directory upwards. ok is false when the
// folder is not there.
func Dir(set string) (dir string, ok bool) {
	at, err := os.Getwd()
	for err == nil {
		if _, e := os.Stat(filepath.Join(at, "go.mod")); e == nil {
			dir = filepath.Join(filepath.Dir(at), "shared", "bench", filepath.FromSlash(set))
			_, e := os.Stat(dir)
			return dir, e == nil
		}
		if up := filepath.Dir(at); up != at {
			at = up
			continue
		}
		break
	}
	return "", false
}

// Best reads the best.csv of a set, in file order.
func Best(dir string) ([]Row, error) {
	f, err := os.Open(filepath.Join(dir, "best.csv"))
	if err != nil {
		return nil, err
	}
	defer f.Close()
	lines, err := csv.NewReader(f).ReadAll()
	if err != nil {
		return nil, err
	}
	var rows []Row
	for _, l := range lines[1:] {
		r := Row{Name: l[0], Status: l[3], Source: l[4]}
		for i, p := range []*int{&r.Lower, &r.Upper} {
			if v := l[i+1]; v != "" {
				if *p, err = strconv.Atoi(v); err != nil {
					return nil, fmt.Errorf("best.csv: %s: %w", r.Name, err)
				}
			}
		}
		rows = append(rows, r)
	}
	return rows, nil
}

// Files returns the contents of a set's instance files by base name: what lies
// in dir itself and what is packed in its tar.gz.
func Files(dir string) (map[string]string, error) {
	files := map[string]string{}
	list, err := os.ReadDir(dir)
	if err != nil {
		return nil, err
	}
	for _, e := range list {
		path := filepath.Join(dir, e.Name())
		switch {
		case e.IsDir() || e.Name() == "best.csv":
		case strings.HasSuffix(e.Name(), ".tar.gz"):
			if err := unpack(path, files); err != nil {
				return nil, err
			}
		default:
			b, err := os.ReadFile(path)
			if err != nil {
				return nil, err
			}
			files[e.Name()] = string(b)
		}
	}
	return files, nil
}

func unpack(path string, files map[string]string) error {
	f, err := os.Open(path)
	if err != nil {
		return err
	}
	defer f.Close()
	z, err := gzip.NewReader(f)
	if err != nil {
		return err
	}
	r := tar.NewReader(z)
	for {
		h, err := r.Next()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
		if h.Typeflag != tar.TypeReg {
			continue
		}
		b, err := io.ReadAll(r)
		if err != nil {
			return err
		}
		files[filepath.Base(h.Name)] = string(b)
	}
}

// numbers reads white-space separated integers; it keeps the first error.
type numbers struct {
	words []string
	err   error
}

func newNumbers(s string) *numbers { return &numbers{words: strings.Fields(s)} }

func (n *numbers) word() string {
	if len(n.words) == 0 {
		if n.err == nil {
			n.err = io.ErrUnexpectedEOF
		}
		return ""
	}
	w := n.words[0]
	n.words = n.words[1:]
	return w
}

func (n *numbers) next() int {
	w := strings.Trim(n.word(), "[]")
	v, err := strconv.Atoi(w)
	if err != nil && n.err == nil {
		n.err = fmt.Errorf("%q is not a number", w)
	}
	return v
}
