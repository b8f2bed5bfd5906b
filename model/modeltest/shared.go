package modeltest

import (
	"os"
	"path/filepath"
	"testing"
)

// Shared is the path of data that is kept beside the checkout, such as
// weeks/tiny-01.json; it skips the test where it is absent.
func Shared(t testing.TB, name string) string {
	t.Helper()
	dir, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			break
		}
		if filepath.Dir(dir) == dir {
			t.Fatal("no go.mod above the test")
		}
		dir = filepath.Dir(dir)
	}
	path := filepath.Join(dir, "..", "shared", name)
	if _, err := os.Stat(path); err != nil {
		t.Skipf("the shared data %s is not beside the checkout", name)
	}
	return path
}
