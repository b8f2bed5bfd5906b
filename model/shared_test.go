package model_test

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"pourweek/model"
)

// shared is the path of data that is kept beside the checkout; it skips the
// test where it is absent.
func shared(t testing.TB, name string) string {
	t.Helper()
	path := sharedPath(name)
	if _, err := os.Stat(path); err != nil {
		t.Skipf("the shared data %s is not beside the checkout", name)
	}
	return path
}

func sharedPath(name string) string {
	dir, err := os.Getwd()
	if err != nil {
		return ""
	}
	for dir != filepath.Dir(dir) {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return filepath.Join(dir, "..", "shared", name)
		}
		dir = filepath.Dir(dir)
	}
	return ""
}

func read(t testing.TB, path string) []byte {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func problemBytes(t testing.TB, p *model.Problem) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := model.WriteProblem(&b, p); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func planBytes(t testing.TB, p *model.Plan) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := model.WritePlan(&b, p); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func weekBytes(t testing.TB, w *model.Week) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := model.WriteWeek(&b, w); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}
