package cmd

import (
	"cmp"
	"slices"
	"strings"
	"testing"
)

// mayImport says, for each top folder, which project folders its code may use.
var mayImport = map[string][]string{
	"calc":      {"calc"},
	"traveler":  {"calc", "traveler"},
	"templates": {"templates"},
	"server":    {"calc", "traveler", "server", "templates"},
	"cmd":       {"calc", "traveler", "server", "templates", "cmd"},
	"testdata":  {"calc", "testdata"},
}

// room is a package and, by the last words of their paths, those of the same top
// folder that it uses. The top folder itself is a dot.
type room struct{ name, uses string }

// roomsOf are the packages of a top folder from the top down: each uses only what
// stands below it.
var roomsOf = map[string][]room{
	"calc": {
		{".", "why wording fitting figures process order fold flat bend brake part fault"},
		{"why", "fitting process order flat brake part notation geom unit"},
		{"wording", "fitting measure process order tolerance flat bend brake part stock geom unit"},
		{"fitting", "measure process order clash clamp fold flat bend brake part geom unit"},
		{"measure", "process clash fold flat part geom unit"},
		{"scene", "process fold flat geom unit"},
		{"figures", "process fold flat bend part stock notation unit fault"},
		{"process", "lift tolerance fold flat bend brake part notation geom unit"},
		{"learn", "bend spc stock unit"},
		{"clash", "fold flat bend brake geom unit"},
		{"clamp", "brake unit"},
		{"order", "fault"},
		{"fold", "flat geom unit"},
		{"flat", "bend part stock geom unit"},
		{"bend", "stock unit fault"},
		{"drawing", "part geom unit fault"},
		{"brake", "stock notation plain geom unit"},
		{"part", "stock notation plain unit fault"},
		{"stock", "unit fault"},
		{"tolerance", "unit fault"},
		{"lift", "unit"},
		{"spc", "fault"},
		{"notation", "fault"},
		{"unit", "fault"},
		{"geom", ""},
		{"plain", ""},
		{"fault", ""},
	},
	"traveler": {
		{"blankfile", "layout pdf svg dxf draw ."},
		{"sheet", "blank caution page phrase sign canvas view pdf draw ."},
		{"papers", "caution page phrase sign canvas draw ."},
		{"blank", "page phrase sign canvas view draw ."},
		{"caution", "page sign canvas draw ."},
		{"page", "phrase canvas qr draw ."},
		{"view", "phrase canvas letter draw ."},
		{"layout", "canvas phrase letter draw ."},
		{"phrase", "."},
		{"sign", "canvas draw"},
		{"canvas", "letter draw"},
		{"qr", "draw"},
		{"pdf", "letter draw"},
		{"svg", "letter draw"},
		{"dxf", "draw"},
		{"letter", "draw"},
		{"draw", ""},
		{"progress", "standing ."},
		{"standing", ""},
		{".", ""},
	},
	"server": {
		{".", "brakes lessons office operator panics parts password planning review shelf store web"},
		{"review", "chart lessons report say shelf store web"},
		{"brakes", "change say shelf sketch store web"},
		{"parts", "change entry lessons planning say shelf sketch store table web"},
		{"office", "admit chart lessons password planning report say shelf store table web"},
		{"operator", "admit lessons planning say shelf store web"},
		{"shelf", "change say store web"},
		{"web", "admit say store table"},
		{"planning", "admit lessons panics store"},
		{"report", "chart lessons store table"},
		{"lessons", "panics store"},
		{"store", "panics"},
		{"table", ""},
		{"admit", ""},
		{"sketch", ""},
		{"say", ""},
		{"password", ""},
		{"panics", ""},
		{"entry", ""},
		{"chart", ""},
		{"change", ""},
	},
}

// mostFiles is how many files may lie directly in a top folder, tests not counted
// in calc.
const (
	mostInServer = 15
	mostInCalc   = 12
)

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

// TestRoomsPointDown: the packages of a top folder use only what stands below
// them, and what they are said to use they do use.
func TestRoomsPointDown(t *testing.T) {
	for top, rooms := range roomsOf {
		used := usedIn(t, top)
		above := map[string]bool{}
		for _, r := range rooms {
			above[r.name] = true
			said := strings.Fields(r.uses)
			for _, below := range said {
				if above[below] {
					t.Errorf("%s/%s is said to use %s, which stands above it", top, r.name, below)
				}
			}
			slices.Sort(said)
			if really := keys(used[r.name]); !slices.Equal(really, said) {
				t.Errorf("%s/%s uses %v, it is said to use %v", top, r.name, really, said)
			}
			delete(used, r.name)
		}
		for name := range used {
			t.Errorf("%s/%s has no place in the list", top, name)
		}
	}
}

// usedIn gives, for each package of a top folder, those of the same folder it
// uses.
func usedIn(t *testing.T, top string) map[string]map[string]bool {
	t.Helper()
	named := func(path string) string {
		return cmp.Or(strings.TrimPrefix(strings.TrimPrefix(path, top), "/"), ".")
	}
	used := map[string]map[string]bool{}
	for _, s := range sources(t) {
		if !strings.HasPrefix(s.path, top+"/") || s.helper() {
			continue
		}
		from := named(s.folder())
		if used[from] == nil {
			used[from] = map[string]bool{}
		}
		for _, i := range imports(s) {
			if rest, own := strings.CutPrefix(i, module+"/"); own && (rest == top || strings.HasPrefix(rest, top+"/")) {
				used[from][named(rest)] = true
			}
		}
	}
	return used
}

// TestTopRoomsAreSmall: what lies directly in calc and in server puts the rooms
// below it together, and no more.
func TestTopRoomsAreSmall(t *testing.T) {
	inCalc, inServer := 0, 0
	for _, s := range sources(t) {
		switch {
		case s.folder() == "server":
			inServer++
		case s.folder() == "calc" && !s.test():
			inCalc++
		}
	}
	if inCalc == 0 || inCalc > mostInCalc {
		t.Errorf("%d files lie directly in calc; at most %d", inCalc, mostInCalc)
	}
	if inServer == 0 || inServer > mostInServer {
		t.Errorf("%d files lie directly in server; at most %d", inServer, mostInServer)
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
