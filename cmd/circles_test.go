package cmd

import (
	"bytes"
	"fmt"
	"go/ast"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"io"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// circlesYet are the folders whose files still use each other in circles, each
// with what holds the circle together.
var circlesYet = map[string]string{
	"calc/learn":      "what is known is one state, which readings, rivals and questions move in turn",
	"calc/clash":      "a bench keeps answers by class, and both know each other",
	"calc/flat":       "one developer works on the blank through the files of all three forms of a part",
	"cmd/brakeside":   "main.go lists the commands and holds what all of them use",
	"server/web":      "the site guards, counts, shows and refuses, and each of these asks the site for the others",
	"server/store":    "a store is one database: its parts read and write through it, and it brings them up to date",
	"server/operator": "the sheet, the bend and what is said of a reading lead to each other",
	"server/office":   "the section holds what its pages keep, and the pages of jobs share their words",
}

// TestFilesFormNoCircle: within a package, too, arrows point one way, so that a
// reader can begin with the file at the top and never has to go back. A file
// points to another when it uses anything that the other declares: a function, a
// type, a constant, a variable, a method or a field.
func TestFilesFormNoCircle(t *testing.T) {
	checked := checkPackages(t)
	for _, folder := range slices.Sorted(maps.Keys(checked)) {
		circles := circles(checked[folder])
		_, known := circlesYet[folder]
		for _, files := range circles {
			if !known {
				t.Errorf("%s: the files %s use each other", folder, strings.Join(files, ", "))
			}
		}
		if known && len(circles) == 0 {
			t.Errorf("%s has no circle any more: take it off the list", folder)
		}
	}
}

// arrows are, for each file of a package, the files it uses and one name it uses
// of each.
type arrows map[string]map[string]string

// checkPackages finds the arrows between the files of every package, by folder.
func checkPackages(t *testing.T) map[string]arrows {
	t.Helper()
	compiled := exportData(t)
	set := token.NewFileSet()
	from := importer.ForCompiler(set, "gc", func(path string) (io.ReadCloser, error) {
		file, known := compiled[path]
		if !known {
			return nil, fmt.Errorf("%s is not compiled", path)
		}
		return os.Open(file)
	})
	out := map[string]arrows{}
	for folder, files := range productionFiles(t, set) {
		uses := map[*ast.Ident]types.Object{}
		config := types.Config{Importer: from, FakeImportC: true}
		pkg, err := config.Check(module+"/"+folder, set, files, &types.Info{Uses: uses})
		if err != nil {
			t.Fatalf("%s: %v", folder, err)
		}
		out[folder] = arrowsOf(set, pkg, uses)
	}
	return out
}

// exportData lists where the compiled form of every package lies that the
// project is made of.
func exportData(t *testing.T) map[string]string {
	t.Helper()
	list := exec.Command("go", "list", "-export", "-deps", "-f", "{{.ImportPath}}\t{{.Export}}", "./...")
	list.Dir = ".."
	text, err := list.Output()
	if err != nil {
		t.Fatalf("go list: %v", err)
	}
	out := map[string]string{}
	for line := range bytes.Lines(text) {
		path, file, _ := strings.Cut(strings.TrimSpace(string(line)), "\t")
		out[path] = file
	}
	return out
}

// productionFiles reads the files that are compiled here, by folder.
func productionFiles(t *testing.T, set *token.FileSet) map[string][]*ast.File {
	t.Helper()
	list := exec.Command("go", "list", "-f", `{{$d := .Dir}}{{range .GoFiles}}{{$d}}/{{.}}{{"\n"}}{{end}}`, "./...")
	list.Dir = ".."
	text, err := list.Output()
	if err != nil {
		t.Fatalf("go list: %v", err)
	}
	top, err := filepath.Abs("..")
	if err != nil {
		t.Fatal(err)
	}
	out := map[string][]*ast.File{}
	for line := range bytes.Lines(text) {
		path := strings.TrimSpace(string(line))
		f, err := parser.ParseFile(set, path, nil, parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(err)
		}
		folder, err := filepath.Rel(top, filepath.Dir(path))
		if err != nil {
			t.Fatal(err)
		}
		out[filepath.ToSlash(folder)] = append(out[filepath.ToSlash(folder)], f)
	}
	return out
}

func arrowsOf(set *token.FileSet, pkg *types.Package, uses map[*ast.Ident]types.Object) arrows {
	name := func(at token.Pos) string { return filepath.Base(set.Position(at).Filename) }
	out := arrows{}
	for ident, object := range uses {
		if object.Pkg() != pkg || !object.Pos().IsValid() {
			continue
		}
		a, b := name(ident.Pos()), name(object.Pos())
		if a == b {
			continue
		}
		if out[a] == nil {
			out[a] = map[string]string{}
		}
		out[a][b] = object.Name()
	}
	return out
}

// circles lists the sets of files that can all reach each other.
func circles(a arrows) [][]string {
	reach := map[string]map[string]bool{}
	for file := range a {
		reach[file] = reachable(a, file)
	}
	var out [][]string
	taken := map[string]bool{}
	for _, file := range slices.Sorted(maps.Keys(a)) {
		if taken[file] || !reach[file][file] {
			continue
		}
		var circle []string
		for _, other := range slices.Sorted(maps.Keys(reach[file])) {
			if reach[other][file] {
				circle, taken[other] = append(circle, other), true
			}
		}
		out = append(out, circle)
	}
	return out
}

// reachable are the files that can be reached from a file.
func reachable(a arrows, file string) map[string]bool {
	found := map[string]bool{}
	var walk func(string)
	walk = func(at string) {
		for next := range a[at] {
			if !found[next] {
				found[next] = true
				walk(next)
			}
		}
	}
	walk(file)
	return found
}
