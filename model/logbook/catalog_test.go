package logbook

import (
	"flag"
	"os"
	"path/filepath"
	"regexp"
	"testing"

	"golang.org/x/tools/txtar"
)

var update = flag.Bool("update", false, "write what is read into the error catalog")

var place = regexp.MustCompile(`^log\.csv:\d+(:\d+)?: [a-z"0-9]`)

// Each broken log of the catalog gets exactly its message, at its place, with
// what would be right.
func TestCatalogOfLogErrors(t *testing.T) {
	files, err := filepath.Glob("../../testdata/errors/log-*.txtar")
	if err != nil || len(files) < 10 {
		t.Fatalf("%d cases, %v", len(files), err)
	}
	for _, file := range files {
		a, err := txtar.ParseFile(file)
		if err != nil {
			t.Fatal(err)
		}
		_, list := Read("log.csv", a.Files[0].Data, known(t))
		got := ""
		if list.Len() > 0 {
			got = list.Error() + "\n"
		}
		for _, p := range list.Sorted() {
			if !place.MatchString(p.Error()) || p.Hint == "" {
				t.Errorf("%s: no place or no hint: %s", file, p.Error())
			}
		}
		if *update {
			a.Files[1].Data = []byte(got)
			if err := os.WriteFile(file, txtar.Format(a), 0o644); err != nil {
				t.Fatal(err)
			}
			continue
		}
		if want := string(a.Files[1].Data); got == "" || got != want {
			t.Errorf("%s: got\n%s\nwant\n%s", file, got, want)
		}
	}
}
