package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"pourweek/model/logbook"
	"pourweek/model/shop"
)

// The reference of the files stands in the README between these two lines.
const (
	referenceBegins = "<!-- reference: made from the code; POURWEEK_UPDATE=1 go test ./cmd/pourweek -run README -->\n"
	referenceEnds   = "<!-- end of the reference -->\n"
)

func reference(t *testing.T) string {
	t.Helper()
	var b bytes.Buffer
	if err := shop.Reference(&b); err != nil {
		t.Fatal(err)
	}
	b.WriteString("\n### `log.csv`\n\nWhat went otherwise than planned, one line an event, oldest first. `pourweek log` appends to it; so can you.\nThe columns are `when` (2027-03-02 11:00), `what`, `which` and `detail`.\n\n| what | which | detail | meaning |\n|---|---|---|---|\n")
	for _, r := range logbook.Reference() {
		fmt.Fprintf(&b, "| `%s` | %s | %s | %s |\n", r[0], r[1], r[2], r[3])
	}
	return b.String()
}

// The README's file reference is what the code says, and each command and its
// flags that are shown exist.
func TestREADME(t *testing.T) {
	name := filepath.Join("..", "..", "README.md")
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	text := string(data)
	before, rest, ok1 := strings.Cut(text, referenceBegins)
	got, after, ok2 := strings.Cut(rest, referenceEnds)
	if !ok1 || !ok2 {
		t.Fatal("README.md lacks the lines that enclose the reference")
	}
	want := reference(t)
	if os.Getenv("POURWEEK_UPDATE") != "" {
		if err := os.WriteFile(name, []byte(before+referenceBegins+want+referenceEnds+after), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if got != want {
		t.Error("the file reference in README.md is not what the code says; POURWEEK_UPDATE=1 go test ./cmd/pourweek -run README writes it anew")
	}
	shown := 0
	for _, line := range strings.Split(before+after, "\n") {
		words := strings.Fields(line)
		if len(words) > 3 && words[0] == "go" && words[1] == "run" {
			words = words[2:]
		}
		if len(words) < 2 || words[0] != "pourweek" && words[0] != "./cmd/pourweek" || strings.Contains(line, "|") {
			continue
		}
		shown++
		checkCommand(t, line, words[1:])
	}
	if shown < 8 {
		t.Errorf("only %d commands are shown", shown)
	}
}

// checkCommand finds the command and the flags of a line of the README.
func checkCommand(t *testing.T, line string, words []string) {
	t.Helper()
	root := newRootCommand(&streams{})
	cmd, _, err := root.Find(words)
	if err != nil || cmd == root {
		t.Errorf("README.md shows %q, and there is no such command", line)
		return
	}
	for _, w := range words {
		name, _, _ := strings.Cut(strings.TrimPrefix(w, "--"), "=")
		if strings.HasPrefix(w, "--") && cmd.Flags().Lookup(name) == nil {
			t.Errorf("README.md shows %q, and %s has no flag --%s", line, cmd.Name(), name)
		}
	}
}

// Every command and every exit code stands in the README.
func TestREADMENamesEveryCommand(t *testing.T) {
	data, err := os.ReadFile(filepath.Join("..", "..", "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	for _, cmd := range newRootCommand(&streams{}).Commands() {
		if slices.Contains([]string{"help", "completion"}, cmd.Name()) {
			continue
		}
		if !strings.Contains(string(data), "| `"+cmd.Name()) {
			t.Errorf("README.md's table of commands lacks %s", cmd.Name())
		}
		if cmd.Example == "" {
			t.Errorf("%s -h shows no example", cmd.Name())
		}
	}
	for l := range strings.Lines(exitCodes) {
		if code, says, ok := strings.Cut(strings.TrimSpace(l), "  "); ok && !strings.Contains(string(data), "| "+code+" | "+says+" |") {
			t.Errorf("README.md's table of exit codes lacks %q", strings.TrimSpace(l))
		}
	}
}
