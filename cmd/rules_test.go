// Package cmd holds the habits of this project as tests.
package cmd

import (
	"bytes"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"sort"
	"strings"
	"sync"
	"testing"
	"unicode/utf8"
)

const module = "brakeside"

const (
	longestFunction = 60
	longestFile     = 500
	longestLine     = 140 // letters, a tab counting as one
)

// source is one Go file of the project.
type source struct {
	path string // from the top of the project, with slashes
	file *ast.File
	set  *token.FileSet
}

func (s source) folder() string { return filepath.ToSlash(filepath.Dir(s.path)) }
func (s source) test() bool     { return strings.HasSuffix(s.path, "_test.go") }

// helper reports whether the file only serves tests.
func (s source) helper() bool {
	return s.test() || strings.HasPrefix(s.path, "testdata/") || strings.Contains(s.path, "/internal/")
}

func sources(t *testing.T) []source {
	t.Helper()
	all, err := parsed()
	if err != nil {
		t.Fatal(err)
	}
	if len(all) < 50 {
		t.Fatalf("found %d Go files, which cannot be the whole project", len(all))
	}
	return all
}

// parsed reads every file once for all tests, which only look at them.
var parsed = sync.OnceValues(func() (all []source, err error) {
	err = filepath.WalkDir("..", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") {
			return err
		}
		set := token.NewFileSet()
		f, err := parser.ParseFile(set, path, nil, parser.ParseComments)
		if err != nil {
			return err
		}
		all = append(all, source{filepath.ToSlash(strings.TrimPrefix(path, "../")), f, set})
		return nil
	})
	return all, err
})

func imports(s source) []string {
	var out []string
	for _, i := range s.file.Imports {
		out = append(out, strings.Trim(i.Path.Value, `"`))
	}
	return out
}

// outside gives the module of a package that is neither ours nor Go's own.
func outside(path string) string {
	first, _, _ := strings.Cut(path, "/")
	if !strings.Contains(first, ".") {
		return ""
	}
	parts := strings.Split(path, "/")
	return strings.Join(parts[:min(len(parts), 3)], "/")
}

// TestEachLibraryHasOneImporter keeps every outside library behind one package,
// so that replacing it touches one folder. The Go project's own extended
// libraries are split into packages of their own and counted by package.
func TestEachLibraryHasOneImporter(t *testing.T) {
	users := map[string]map[string]bool{}
	for _, s := range sources(t) {
		if s.helper() {
			continue
		}
		for _, i := range imports(s) {
			library := outside(i)
			if library == "" {
				continue
			}
			if strings.HasPrefix(library, "golang.org/x/") {
				library = i
			}
			if users[library] == nil {
				users[library] = map[string]bool{}
			}
			users[library][s.folder()] = true
		}
	}
	if len(users) == 0 {
		t.Fatal("no outside library found")
	}
	for library, by := range users {
		if strings.HasPrefix(library, "gonum.org/") {
			continue // statistics: spc and learn
		}
		if len(by) > 1 {
			t.Errorf("%s is imported by %v; one package only", library, keys(by))
		}
	}
}

func keys(set map[string]bool) []string {
	var out []string
	for k := range set {
		out = append(out, k)
	}
	sort.Strings(out)
	return out
}

func TestFunctionsAndFilesStayShort(t *testing.T) {
	for _, s := range sources(t) {
		if lines := s.set.File(s.file.Pos()).LineCount(); lines > longestFile {
			t.Errorf("%s has %d lines; at most %d", s.path, lines, longestFile)
		}
		for _, d := range s.file.Decls {
			f, ok := d.(*ast.FuncDecl)
			if !ok || f.Body == nil || s.test() {
				continue
			}
			if lines := s.set.Position(f.End()).Line - s.set.Position(f.Pos()).Line + 1; lines > longestFunction {
				t.Errorf("%s: %s has %d lines; at most %d", s.path, f.Name.Name, lines, longestFunction)
			}
		}
	}
}

// TestLinesStayShort reads the production code, which is read most.
func TestLinesStayShort(t *testing.T) {
	for _, s := range sources(t) {
		if s.test() {
			continue
		}
		text, err := os.ReadFile("../" + s.path)
		if err != nil {
			t.Fatal(err)
		}
		number := 0
		for line := range bytes.Lines(text) {
			number++
			if letters := utf8.RuneCount(bytes.TrimRight(line, "\n")); letters > longestLine {
				t.Errorf("%s:%d has %d letters; at most %d", s.path, number, letters, longestLine)
			}
		}
	}
}

func TestEverythingExportedIsDocumented(t *testing.T) {
	comments := map[string]bool{}
	for _, s := range sources(t) {
		if s.test() {
			continue
		}
		if s.file.Doc != nil {
			comments[s.folder()] = true
		} else if _, seen := comments[s.folder()]; !seen {
			comments[s.folder()] = false
		}
		for _, d := range s.file.Decls {
			undocumented(t, s, d)
		}
	}
	for folder, has := range comments {
		if !has {
			t.Errorf("package %s has no comment", folder)
		}
	}
}

func undocumented(t *testing.T, s source, d ast.Decl) {
	t.Helper()
	switch d := d.(type) {
	case *ast.FuncDecl:
		if d.Name.IsExported() && d.Doc == nil && exportedReceiver(d) {
			t.Errorf("%s: %s has no comment", s.path, d.Name.Name)
		}
	case *ast.GenDecl:
		for _, spec := range d.Specs {
			switch spec := spec.(type) {
			case *ast.TypeSpec:
				if spec.Name.IsExported() && d.Doc == nil && spec.Doc == nil {
					t.Errorf("%s: %s has no comment", s.path, spec.Name.Name)
				}
			case *ast.ValueSpec:
				if spec.Names[0].IsExported() && d.Doc == nil && spec.Doc == nil && spec.Comment == nil {
					t.Errorf("%s: %s has no comment", s.path, spec.Names[0].Name)
				}
			}
		}
	}
}

func exportedReceiver(f *ast.FuncDecl) bool {
	if f.Recv == nil {
		return true
	}
	kind := f.Recv.List[0].Type
	if star, ok := kind.(*ast.StarExpr); ok {
		kind = star.X
	}
	name, ok := kind.(*ast.Ident)
	return ok && name.IsExported()
}

var bareSetback = regexp.MustCompile(`(?i)(\S+)[\s-]+setback`)

// TestSetbackIsNamedInFull: the nose setback of the bar and the outside setback
// of the layout are two things.
func TestSetbackIsNamedInFull(t *testing.T) {
	for _, s := range sources(t) {
		if s.test() {
			continue
		}
		for _, group := range s.file.Comments {
			for _, m := range bareSetback.FindAllStringSubmatch(group.Text(), -1) {
				if word := strings.ToLower(strings.Trim(m[1], "(,.\"")); word != "nose" && word != "outside" {
					t.Errorf("%s: %q: say nose setback or outside setback", s.path, m[0])
				}
			}
		}
	}
}

// TestDevelopersTableIsTrue: the table of packages in DEVELOPERS.md says of
// each package what its own comment says.
func TestDevelopersTableIsTrue(t *testing.T) {
	guide, err := os.ReadFile("../DEVELOPERS.md")
	if err != nil {
		t.Fatal(err)
	}
	found := 0
	for _, s := range sources(t) {
		if s.file.Doc == nil || s.helper() {
			continue
		}
		found++
		row := "| `" + s.folder() + "` | " + purpose(s.file.Doc.Text()) + " |"
		if !bytes.Contains(guide, []byte(row)) {
			t.Errorf("DEVELOPERS.md lacks the row\n%s", row)
		}
	}
	if found < 15 {
		t.Errorf("only %d packages found", found)
	}
}

// purpose is the first sentence of a package comment without its lead.
func purpose(doc string) string {
	first := strings.Join(strings.Fields(strings.SplitN(doc, "\n\n", 2)[0]), " ")
	if end := strings.Index(first, ". "); end >= 0 {
		first = first[:end]
	}
	words := strings.SplitN(strings.TrimSuffix(first, "."), " ", 3)
	if len(words) < 3 {
		return first
	}
	return strings.TrimSuffix(words[2], ":")
}
