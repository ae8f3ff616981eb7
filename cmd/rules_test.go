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
	"unicode/utf8"
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
	longestLine     = 140 // letters, a tab counting as one
	mostFilesInCalc = 12  // directly in calc: what decides nothing itself has a room below
)

// calcRooms are the packages of calc from the top down, each with those it uses:
// all of them stand below it.
var calcRooms = []struct{ room, uses string }{
	{"calc", "why wording fitting figures process order fold flat brake part fault"},
	{"calc/why", "fitting process order flat brake geom unit"},
	{"calc/wording", "fitting process order tolerance fold flat bend brake part stock geom unit"},
	{"calc/fitting", "process order clash clamp fold flat bend brake part unit"},
	{"calc/figures", "process fold flat bend part stock notation unit fault"},
	{"calc/process", "lift tolerance fold flat bend brake part geom unit"},
	{"calc/learn", "bend spc unit"},
	{"calc/clash", "fold flat brake geom unit"},
	{"calc/clamp", "brake unit"},
	{"calc/order", "fault"},
	{"calc/fold", "flat geom unit"},
	{"calc/flat", "bend part stock geom unit"},
	{"calc/bend", "stock unit fault"},
	{"calc/drawing", "part geom unit fault"},
	{"calc/brake", "stock notation geom unit"},
	{"calc/part", "stock notation unit fault"},
	{"calc/stock", "unit fault"},
	{"calc/tolerance", "unit fault"},
	{"calc/lift", "unit"},
	{"calc/spc", "fault"},
	{"calc/notation", "fault"},
	{"calc/unit", "fault"},
	{"calc/geom", ""},
	{"calc/fault", ""},
}

// longLinesYet are the folders whose lines are still to be shortened.
var longLinesYet = []string{"server/", "traveler/"}

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

// TestCalcHasLayers: the rooms of calc use only what stands below them, and what
// they are said to use they do use.
func TestCalcHasLayers(t *testing.T) {
	used := map[string]map[string]bool{}
	for _, s := range sources(t) {
		if !strings.HasPrefix(s.path, "calc/") || s.test() {
			continue
		}
		if used[s.folder()] == nil {
			used[s.folder()] = map[string]bool{}
		}
		for _, i := range imports(s) {
			if rest, own := strings.CutPrefix(i, module+"/calc/"); own {
				used[s.folder()][rest] = true
			}
		}
	}
	above := map[string]bool{}
	for _, r := range calcRooms {
		above[strings.TrimPrefix(r.room, "calc/")] = true
		said := strings.Fields(r.uses)
		slices.Sort(said)
		if really := keys(used[r.room]); !slices.Equal(really, said) {
			t.Errorf("%s uses %v, it is said to use %v", r.room, really, said)
		}
		for _, below := range said {
			if above[below] {
				t.Errorf("%s uses calc/%s, which stands above it", r.room, below)
			}
		}
		delete(used, r.room)
	}
	for room := range used {
		t.Errorf("%s has no place among the rooms of calc", room)
	}
}

// TestCalcItselfIsSmall counts the production files directly in calc.
func TestCalcItselfIsSmall(t *testing.T) {
	var files []string
	for _, s := range sources(t) {
		if s.folder() == "calc" && !s.test() {
			files = append(files, s.path)
		}
	}
	if len(files) > mostFilesInCalc {
		t.Errorf("%d files lie directly in calc, at most %d: %v", len(files), mostFilesInCalc, files)
	}
}

// travelerRooms lists the packages of traveler from the top to the bottom, each
// with those below it that it may import.
var travelerRooms = []struct {
	room string
	may  []string
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
	above := map[string]bool{}
	may := map[string][]string{}
	for _, r := range travelerRooms {
		for _, below := range r.may {
			if above[below] || below == r.room {
				t.Errorf("the list lets %s import %s, which stands above it", r.room, below)
			}
		}
		above[r.room], may[r.room] = true, r.may
	}
	found := map[string]bool{}
	for _, s := range sources(t) {
		if !strings.HasPrefix(s.path, "traveler/") || s.helper() {
			continue
		}
		room, err := filepath.Rel("traveler", s.folder())
		if err != nil || !above[room] {
			t.Errorf("%s: the package %s is not in the list", s.path, room)
		}
		found[room] = true
		for _, i := range imports(s) {
			target, own := strings.CutPrefix(i+"/", module+"/traveler/")
			target = cmp.Or(strings.TrimSuffix(target, "/"), ".")
			if own && !slices.Contains(may[room], target) {
				t.Errorf("%s imports %s: %s may import %v only", s.path, i, room, may[room])
			}
		}
	}
	for room := range above {
		if !found[room] {
			t.Errorf("the package %s is in the list and not in the tree", room)
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
		if s.test() || slices.ContainsFunc(longLinesYet, func(folder string) bool { return strings.HasPrefix(s.path, folder) }) {
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

// roomMayImport says, for each room of the server, which other rooms its code may
// use besides calc, traveler and templates. Rooms of pages know nothing of each
// other; only the server itself puts them together.
var roomMayImport = map[string][]string{
	"change": {}, "chart": {}, "entry": {}, "panics": {}, "password": {}, "say": {}, "sketch": {},
	"store":    {"panics"},
	"lessons":  {"store"},
	"report":   {"chart", "lessons", "store"},
	"planning": {"lessons", "panics", "store"},
	"web":      {"say", "store"},
	"shelf":    {"change", "say", "store", "web"},
	"operator": {"lessons", "say", "store", "web"},
	"office":   {"chart", "lessons", "password", "planning", "report", "say", "shelf", "store", "web"},
	"parts":    {"change", "entry", "lessons", "planning", "say", "shelf", "sketch", "store", "web"},
	"brakes":   {"change", "say", "shelf", "sketch", "store", "web"},
	"review":   {"chart", "lessons", "report", "say", "shelf", "store", "web"},
}

// mostInServer is how many files lie directly in the folder of the server.
const mostInServer = 15

func TestRoomsOfTheServer(t *testing.T) {
	direct, used := 0, map[string]bool{}
	for _, s := range sources(t) {
		if s.folder() == "server" {
			direct++
		}
		room, inRoom := strings.CutPrefix(s.folder(), "server/")
		if !inRoom || s.helper() {
			continue
		}
		allowed, known := roomMayImport[room]
		if !known {
			t.Errorf("%s: the room %s is not in the table", s.path, room)
		}
		for _, i := range imports(s) {
			target, own := strings.CutPrefix(i, module+"/server")
			if !own {
				continue
			}
			target = strings.TrimPrefix(target, "/")
			used[room+" "+target] = true
			if !slices.Contains(allowed, target) {
				t.Errorf("%s imports %s: the room may use %v only", s.path, i, allowed)
			}
		}
	}
	for room, allowed := range roomMayImport {
		for _, target := range allowed {
			if !used[room+" "+target] {
				t.Errorf("%s may import %s and does not: the table is to say what is", room, target)
			}
		}
	}
	if direct == 0 || direct > mostInServer {
		t.Errorf("%d files lie directly in server; at most %d", direct, mostInServer)
	}
}
