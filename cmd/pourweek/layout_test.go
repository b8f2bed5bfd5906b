package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// source is one Go file of the module that is not a test.
type source struct {
	path string // from the module's root, such as model/week/clock.go
	file *ast.File
}

// sources parses the module's Go files.
func sources(t *testing.T) []source {
	t.Helper()
	root, err := filepath.Abs("../..")
	if err != nil {
		t.Fatal(err)
	}
	var l []source
	err = filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && strings.HasPrefix(d.Name(), ".") {
			return fs.SkipDir
		}
		if d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return nil
		}
		f, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(root, path)
		l = append(l, source{filepath.ToSlash(rel), f})
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// imports are the paths that a file imports.
func (s source) imports(t *testing.T) []string {
	t.Helper()
	var l []string
	for _, i := range s.file.Imports {
		path, err := strconv.Unquote(i.Path.Value)
		if err != nil {
			t.Fatal(err)
		}
		l = append(l, path)
	}
	return l
}

func layer(path string) string {
	first, _, _ := strings.Cut(path, "/")
	return first
}

// layers are the parts of the module; each may import itself and those before.
var layers = []string{"model", "solve", "report", "cmd"}

func rank(layer string) int {
	for i, l := range layers {
		if l == layer {
			return i
		}
	}
	return -1
}

// Imports run one way: model, solve, report, cmd.
func TestImportsRunOneWay(t *testing.T) {
	seen := map[string]bool{}
	for _, s := range sources(t) {
		from := rank(layer(s.path))
		if from < 0 {
			t.Errorf("%s: code stands in %s alone", s.path, strings.Join(layers, ", "))
			continue
		}
		for _, path := range s.imports(t) {
			rest, own := strings.CutPrefix(path, "pourweek/")
			if !own {
				continue
			}
			seen[layer(s.path)+" "+layer(rest)] = true
			if to := rank(layer(rest)); to > from || to < 0 {
				t.Errorf("%s imports %s: imports run from %s to what stands before it in %v", s.path, path, layer(s.path), layers)
			}
		}
	}
	for _, must := range []string{"solve model", "report model", "cmd report", "cmd solve"} {
		if !seen[must] {
			t.Errorf("%s: no such import was seen, so the test looks at nothing", must)
		}
	}
}

// Only one file knows the SAT solver; only its own layer knows the command and
// the table library.
func TestLibrariesStayInTheirPlace(t *testing.T) {
	homes := map[string]func(path string) bool{
		"github.com/irifrance/gini":         func(p string) bool { return p == "solve/sat/gini.go" },
		"github.com/spf13/cobra":            func(p string) bool { return strings.HasPrefix(p, "cmd/") },
		"github.com/olekukonko/tablewriter": func(p string) bool { return strings.HasPrefix(p, "report/") },
		"gonum.org/v1/gonum":                func(p string) bool { return strings.HasPrefix(p, "solve/") || strings.HasPrefix(p, "model/") },
		"github.com/xuri/excelize":          func(p string) bool { return strings.HasPrefix(p, "model/orders/") },
		"github.com/rogpeppe/go-internal":   func(p string) bool { return p == "cmd/pourweek/store.go" }, // its lock; the rest is for tests
		"pgregory.net/rapid":                func(string) bool { return false },
		"github.com/google/go-cmp":          func(string) bool { return false },
	}
	known := map[string]bool{}
	for _, s := range sources(t) {
		for _, path := range s.imports(t) {
			for lib, home := range homes {
				if path != lib && !strings.HasPrefix(path, lib+"/") {
					continue
				}
				known[lib] = true
				if !home(s.path) {
					t.Errorf("%s imports %s, which is not for it", s.path, path)
				}
			}
		}
	}
	if !known["github.com/spf13/cobra"] || !known["github.com/olekukonko/tablewriter"] {
		t.Error("cobra and tablewriter were not seen, so the test looks at nothing")
	}
}

// The model is inert: it draws no random numbers, prints nothing and looks at no
// clock. (modeltest and oracle are for tests.)
func TestModelIsInert(t *testing.T) {
	looked := 0
	for _, s := range sources(t) {
		if layer(s.path) != "model" || strings.HasPrefix(s.path, "model/modeltest/") || strings.HasPrefix(s.path, "model/oracle/") {
			continue
		}
		looked++
		for _, path := range s.imports(t) {
			switch path {
			case "math/rand", "math/rand/v2", "log", "log/slog":
				t.Errorf("%s imports %s", s.path, path)
			}
		}
		ast.Inspect(s.file, func(n ast.Node) bool {
			sel, ok := n.(*ast.SelectorExpr)
			if !ok {
				return true
			}
			if x, ok := sel.X.(*ast.Ident); ok {
				switch x.Name + "." + sel.Sel.Name {
				case "time.Now", "time.Since", "os.Stdout", "os.Stderr", "fmt.Print", "fmt.Println", "fmt.Printf":
					t.Errorf("%s uses %s.%s", s.path, x.Name, sel.Sel.Name)
				}
			}
			return true
		})
	}
	if looked < 20 {
		t.Errorf("only %d files of the model were looked at", looked)
	}
}

// No type of a library appears in an exported signature outside the file that
// is its home: outside gini.go nothing exported speaks of gini, and so on.
func TestNoLibraryTypesInExportedSignatures(t *testing.T) {
	libs := []string{"github.com/irifrance/gini", "gonum.org/v1/gonum", "github.com/spf13/cobra"}
	exported := 0
	for _, s := range sources(t) {
		names := map[string]bool{} // by which the libraries are called in the file
		for _, i := range s.file.Imports {
			path, _ := strconv.Unquote(i.Path.Value)
			for _, lib := range libs {
				if path == lib || strings.HasPrefix(path, lib+"/") {
					name := path[strings.LastIndex(path, "/")+1:]
					if i.Name != nil {
						name = i.Name.Name
					}
					names[name] = true
				}
			}
		}
		for _, d := range s.file.Decls {
			for _, node := range signatures(d) {
				exported++
				ast.Inspect(node, func(n ast.Node) bool {
					if sel, ok := n.(*ast.SelectorExpr); ok {
						if x, ok := sel.X.(*ast.Ident); ok && names[x.Name] {
							t.Errorf("%s: an exported signature speaks of %s.%s", s.path, x.Name, sel.Sel.Name)
						}
					}
					return true
				})
			}
		}
	}
	if exported < 100 {
		t.Errorf("only %d exported signatures were looked at", exported)
	}
}

// signatures are the parts of a declaration that others see: parameters and
// results of exported functions, exported fields of exported types, types of
// exported variables.
func signatures(d ast.Decl) []ast.Node {
	var l []ast.Node
	switch d := d.(type) {
	case *ast.FuncDecl:
		if d.Name.IsExported() {
			l = append(l, d.Type)
		}
	case *ast.GenDecl:
		for _, spec := range d.Specs {
			switch spec := spec.(type) {
			case *ast.TypeSpec:
				if !spec.Name.IsExported() {
					continue
				}
				st, ok := spec.Type.(*ast.StructType)
				if !ok {
					l = append(l, spec.Type)
					continue
				}
				for _, f := range st.Fields.List {
					if len(f.Names) == 0 || f.Names[0].IsExported() {
						l = append(l, f.Type)
					}
				}
			case *ast.ValueSpec:
				if spec.Type != nil && spec.Names[0].IsExported() {
					l = append(l, spec.Type)
				}
			}
		}
	}
	return l
}

// Nothing but the folders of the layout stands at the top.
func TestTopLevelIsTheLayout(t *testing.T) {
	entries, err := filepath.Glob("../../*")
	if err != nil {
		t.Fatal(err)
	}
	allowed := map[string]bool{"cmd": true, "model": true, "solve": true, "report": true, "testdata": true,
		"go.mod": true, "go.sum": true, "README.md": true, "DEVELOPERS.md": true, "LICENSE": true,
		"pourweek": true, "weekbench": true} // what go build leaves, which git ignores
	if len(entries) < 5 {
		t.Fatalf("only %d entries at the top", len(entries))
	}
	for _, e := range entries {
		if name := filepath.Base(e); !allowed[name] && !strings.HasPrefix(name, ".") && !strings.HasSuffix(name, ".test") && !strings.HasSuffix(name, ".prof") {
			t.Errorf("%s stands at the top, which is not in the layout", name)
		}
	}
}
