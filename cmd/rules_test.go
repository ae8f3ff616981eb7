// Package cmd holds the habits of this project as tests.
package cmd

import (
	"bytes"
	"cmp"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"sort"
	"strings"
	"testing"
)

const module = "brakeside"

// mayImport says, for each top folder, which project folders its code may use.
var mayImport = map[string][]string{
	"calc":      {"calc"},
	"traveler":  {"calc", "traveler"},
	"templates": {},
	"server":    {"calc", "traveler", "server", "templates"},
	"cmd":       {"calc", "traveler", "server", "templates", "cmd"},
	"testdata":  {"calc", "testdata"},
}

// notInCalc are parts of the standard library that pure arithmetic has no use
// for.
var notInCalc = []string{"os", "net", "net/http", "time", "math/rand", "math/rand/v2", "crypto/rand", "database/sql", "log", "log/slog"}

const (
	longestFunction = 60
	longestFile     = 500
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
	var all []source
	err := filepath.WalkDir("..", func(path string, d fs.DirEntry, err error) error {
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
	if err != nil {
		t.Fatal(err)
	}
	if len(all) < 50 {
		t.Fatalf("found %d Go files, which cannot be the whole project", len(all))
	}
	return all
}

func imports(s source) []string {
	var out []string
	for _, i := range s.file.Imports {
		out = append(out, strings.Trim(i.Path.Value, `"`))
	}
	return out
}

func TestArrowsPointOneWay(t *testing.T) {
	for _, s := range sources(t) {
		top, _, _ := strings.Cut(s.path, "/")
		allowed, known := mayImport[top]
		if !known {
			t.Errorf("%s: the folder %s is not in the agreed tree", s.path, top)
		}
		for _, i := range imports(s) {
			rest, own := strings.CutPrefix(i, module+"/")
			if !own {
				continue
			}
			target, _, _ := strings.Cut(rest, "/")
			if !slices.Contains(allowed, target) && !(s.test() && target == "testdata") {
				t.Errorf("%s imports %s: %s may use %v only", s.path, i, top, allowed)
			}
		}
	}
}

func TestCalcIsPure(t *testing.T) {
	for _, s := range sources(t) {
		if !strings.HasPrefix(s.path, "calc/") || s.test() {
			continue
		}
		for _, i := range imports(s) {
			if slices.Contains(notInCalc, i) {
				t.Errorf("%s imports %s: calc knows no clock, disk, network, chance or log", s.path, i)
			}
		}
	}
}

// travelerRooms lists the packages of traveler from the top to the bottom, each
// with those it imports, which all stand below it.
var travelerRooms = []struct {
	room string
	uses []string
}{
	{"sheet", []string{"blank", "caution", "page", "phrase", "sign", "canvas", "view", "pdf", "draw", "."}},
	{"papers", []string{"caution", "page", "phrase", "sign", "canvas", "draw", "."}},
	{"blank", []string{"finished", "page", "phrase", "sign", "canvas", "draw", "."}},
	{"caution", []string{"page", "sign", "canvas", "draw", "."}},
	{"finished", []string{"sign", "canvas", "draw", "."}},
	{"page", []string{"phrase", "canvas", "qr", "draw", "."}},
	{"phrase", []string{"."}},
	{"sign", []string{"canvas", "draw"}},
	{"canvas", []string{"letter", "draw"}},
	{"view", []string{"draw", "."}},
	{"iso", []string{"draw", "."}},
	{"layout", []string{"letter", "draw", "."}},
	{"qr", []string{"draw"}},
	{"pdf", []string{"letter", "draw"}},
	{"svg", []string{"letter", "draw"}},
	{"dxf", []string{"draw"}},
	{"letter", []string{"draw"}},
	{"draw", nil},
	{"progress", []string{"."}},
	{".", nil},
}

// TestArrowsOfTravelerPointDown: what is printed is laid out from whole sheets
// down to strokes, and no package of traveler knows one above it.
func TestArrowsOfTravelerPointDown(t *testing.T) {
	used := map[string]map[string]bool{}
	for _, s := range sources(t) {
		if !strings.HasPrefix(s.path, "traveler/") || s.helper() {
			continue
		}
		room := cmp.Or(strings.TrimPrefix(strings.TrimPrefix(s.folder(), "traveler"), "/"), ".")
		if used[room] == nil {
			used[room] = map[string]bool{}
		}
		for _, i := range imports(s) {
			if target, own := strings.CutPrefix(i, module+"/traveler"); own {
				used[room][cmp.Or(strings.TrimPrefix(target, "/"), ".")] = true
			}
		}
	}
	above := map[string]bool{}
	for _, r := range travelerRooms {
		above[r.room] = true
		for _, below := range r.uses {
			if above[below] {
				t.Errorf("%s is said to use %s, which stands above it", r.room, below)
			}
		}
		said := slices.Sorted(slices.Values(r.uses))
		if really := keys(used[r.room]); !slices.Equal(really, said) {
			t.Errorf("%s uses %v, it is said to use %v", r.room, really, said)
		}
		delete(used, r.room)
	}
	for room := range used {
		t.Errorf("traveler/%s has no place in the list", room)
	}
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
