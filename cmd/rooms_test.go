package cmd

import (
	"cmp"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// mayImport says, for each top folder, which project folders its code may use.
var mayImport = map[string][]string{
	"calc":      {"calc"},
	"traveler":  {"calc", "traveler"},
	"templates": {},
	"server":    {"calc", "traveler", "server", "templates"},
	"cmd":       {"calc", "traveler", "server", "templates", "cmd"},
	"testdata":  {"calc", "testdata"},
}

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
	{"progress", []string{"standing", "."}},
	{"standing", nil},
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

// notInCalc are parts of the standard library that pure arithmetic has no use
// for.
var notInCalc = []string{"os", "net", "net/http", "time", "math/rand", "math/rand/v2", "crypto/rand", "database/sql", "log", "log/slog"}
