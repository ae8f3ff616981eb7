package draw

import (
	"go/ast"
	"go/parser"
	"go/token"
	"math"
	"strings"
	"testing"
)

func TestFinite(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		name string
		mark Mark
		want bool
	}{
		{"line", Line{X1: 1, Y2: 2}, true},
		{"line NaN", Line{X2: nan}, false},
		{"path", Box(Outline, NoFill, 0, 0, 1, 1), true},
		{"path infinite", Path{Points: []Point{{1, 2}, {inf, 0}}}, false},
		{"arc", Arc{Radius: 1, To: 360}, true},
		{"arc NaN angle", Arc{Radius: 1, From: nan}, false},
		{"text", Text{Size: 3}, true},
		{"text infinite width", Text{Size: 3, MaxWidth: inf}, false},
		{"text NaN turn", Text{Size: 3, Turn: nan}, false},
		{"cells", Cells{Side: 1}, true},
		{"cells NaN", Cells{Side: nan}, false},
		{"link", Link{Width: 1}, true},
		{"link infinite", Link{Height: -inf}, false},
		{"bookmark", Bookmark{Y: 1}, true},
		{"bookmark NaN", Bookmark{Y: nan}, false},
		{"nil", nil, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			page := &Page{Width: 10, Height: 10, Marks: []Mark{c.mark}}
			if got := page.Finite(); got != c.want {
				t.Errorf("Finite() = %v, want %v", got, c.want)
			}
		})
	}
	if (&Page{Width: nan, Height: 1}).Finite() {
		t.Error("Finite() = true for a page of width NaN, want false")
	}
}

func TestCheck(t *testing.T) {
	for _, c := range []struct {
		name string
		mark Mark
		want string // part of the error; empty if none
	}{
		{"line", Line{X2: 5, Pen: Thin}, ""},
		{"line far off", Line{X2: 2 * Reach, Pen: Thin}, "out of reach"},
		{"line NaN", Line{X2: math.NaN(), Pen: Thin}, "not a number"},
		{"pen too high", Line{Pen: ChartRule + 1}, "no pen"},
		{"pen below", Line{Pen: -1}, "no pen"},
		{"filled box", Box(Outline, Grey, 0, 0, 1, 1), ""},
		{"open path filled", Path{Points: []Point{{0, 0}, {1, 1}}, Fill: Grey}, "open path"},
		{"path far off", Path{Points: []Point{{0, 0}, {1, -2 * Reach}}}, "out of reach"},
		{"fill too high", Polygon(Thin, Striped+1), "no fill"},
		{"fill below", Polygon(Thin, -1), "no fill"},
		{"arc", Arc{Radius: 1, To: 20, Pen: Thin}, ""},
		{"circle filled", Arc{Radius: 1, To: 360, Fill: Black}, ""},
		{"open arc filled", Arc{Radius: 1, To: 20, Fill: Black}, "open arc"},
		{"arc turned inside out", Arc{Radius: -1, To: 20}, "radius -1"},
		{"text", Text{Size: 3}, ""},
		{"text without size", Text{Words: "a"}, "size of the type"},
		{"text with no such face", Text{Size: 3, Face: Mono + 1}, "no face"},
		{"text with no such anchor", Text{Size: 3, Anchor: -1}, "no anchor"},
		{"text of less than no width", Text{Size: 3, MaxWidth: -1}, "width of -1"},
		{"cells", Cells{Side: 2, Count: 2, Dark: make([]bool, 4)}, ""},
		{"cells not square", Cells{Side: 2, Count: 2, Dark: make([]bool, 5)}, "5 cells do not make 2 x 2"},
		{"no cells", Cells{Side: 2}, "do not make"},
		{"cells without side", Cells{Count: 1, Dark: make([]bool, 1)}, "side 0"},
		{"link", Link{Address: "http://192.168.1.2:8080/t/abc"}, ""},
		{"link in capitals", Link{Address: "HTTPS://EXAMPLE.COM/A"}, ""},
		{"link that is a program", Link{Address: "javascript:alert(1)"}, "not an http"},
		{"link to a file", Link{Address: "file:///etc/hosts"}, "not an http"},
		{"link without host", Link{Address: "/t/abc"}, "not an http"},
		{"link not ASCII", Link{Address: "http://größe.example/"}, "ASCII"},
		{"link with a line end", Link{Address: "http://a.example/\n"}, "invalid"},
		{"link with a blank", Link{Address: "http://a.example/a b"}, "ASCII"},
		{"bookmark", Bookmark{Y: 3}, ""},
		{"nil", nil, "not a number"},
	} {
		t.Run(c.name, func(t *testing.T) {
			err := (&Page{Title: "p", Width: 10, Height: 10, Marks: []Mark{c.mark}}).Check()
			checkError(t, err, c.want)
		})
	}
}

func TestCheckSize(t *testing.T) {
	for _, c := range []struct {
		name          string
		width, height float64
		want          string
	}{
		{"A4", 210, 297, ""},
		{"no width", 0, 297, "0 x 297"},
		{"below nothing", 210, -1, "210 x -1"},
		{"too large", 2 * Reach, 1, "200000 x 1"},
		{"infinite", math.Inf(1), 1, "not a number"},
	} {
		t.Run(c.name, func(t *testing.T) {
			checkError(t, (&Page{Width: c.width, Height: c.height}).Check(), c.want)
		})
	}
}

func checkError(t *testing.T, err error, want string) {
	t.Helper()
	if (err == nil) != (want == "") || err != nil && !strings.Contains(err.Error(), want) {
		t.Errorf("Check() = %v, want an error with %q", err, want)
	}
}

// TestEveryMarkIsChecked reads the kinds of mark from the source, so that a new
// kind cannot be forgotten in the switches of this package.
func TestEveryMarkIsChecked(t *testing.T) {
	kinds := map[string]Mark{"Line": Line{}, "Strokes": Strokes{}, "Path": Path{}, "Arc": Arc{}, "Text": Text{Size: 1},
		"Cells": Cells{Side: 1, Count: 1, Dark: []bool{true}}, "Link": Link{Address: "http://a.example"}, "Bookmark": Bookmark{}}
	found := markKinds(t)
	for _, kind := range found {
		mark, known := kinds[kind]
		if !known {
			t.Errorf("%s is a mark, but no test knows it", kind)
			continue
		}
		if !finiteMark(mark) || checkMark(mark) != nil {
			t.Errorf("a plain %s is refused: finite %v, check %v", kind, finiteMark(mark), checkMark(mark))
		}
	}
	if len(found) != len(kinds) {
		t.Errorf("found the marks %v, want %d", found, len(kinds))
	}
}

// markKinds names the types that have the method mark.
func markKinds(t *testing.T) []string {
	t.Helper()
	file, err := parser.ParseFile(token.NewFileSet(), "draw.go", nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	var kinds []string
	for _, d := range file.Decls {
		if f, ok := d.(*ast.FuncDecl); ok && f.Recv != nil && f.Name.Name == "mark" {
			kinds = append(kinds, f.Recv.List[0].Type.(*ast.Ident).Name)
		}
	}
	return kinds
}

func TestPens(t *testing.T) {
	names := map[string]Pen{}
	for pen := Outline; pen <= ChartRule; pen++ {
		if pen.Weight() < 0.35 {
			t.Errorf("pen %q: Weight() = %g, want at least 0.35 mm", pen.Name(), pen.Weight())
		}
		if other, taken := names[pen.Name()]; taken || pen.Name() == "" {
			t.Errorf("pen %d is called %q like pen %d", pen, pen.Name(), other)
		}
		names[pen.Name()] = pen
		for i, length := range pen.Dashes() {
			if i%2 == 1 && length-pen.Weight() < 1 {
				t.Errorf("pen %q: round caps leave %g mm of a gap, want 1 mm", pen.Name(), length-pen.Weight())
			}
		}
		if len(pen.Dashes())%2 != 0 {
			t.Errorf("pen %q: dashes and gaps do not pair", pen.Name())
		}
	}
	if NoPen.Name() != "" || NoPen.Weight() != 0 || NoPen.Dashes() != nil {
		t.Errorf("NoPen draws: %q %g %v", NoPen.Name(), NoPen.Weight(), NoPen.Dashes())
	}
}

// The weights are promised in the comments of the pens.
func TestPenWeights(t *testing.T) {
	for pen, want := range map[Pen]float64{Outline: 0.5, Heavy: 0.9, Thin: 0.35, Hidden: 0.35, BendUp: 0.35,
		BendDown: 0.35, NoseLine: 0.6, Grid: 0.35, CutMark: 0.35, ChartLine: 0.6, ChartRule: 0.35} {
		if got := pen.Weight(); got != want {
			t.Errorf("pen %q: Weight() = %g, want %g", pen.Name(), got, want)
		}
	}
}

func TestTones(t *testing.T) {
	for _, c := range []struct {
		name  string
		fill  Fill
		black float64 // share of black in percent
		even  bool
	}{
		{"none", NoFill, 0, false},
		{"black", Black, 100, true},
		{"grey", Grey, 40, true},
		{"light", Light, 15, true},
		{"paper", Paper, 0, true},
		{"hatched", Hatched, 0, false},
		{"striped", Striped, 0, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			tone, even := c.fill.Tone()
			if even != c.even {
				t.Fatalf("Tone() is even: %v, want %v", even, c.even)
			}
			if black := 100 - float64(tone)/2.55; even && math.Abs(black-c.black) > 0.2 {
				t.Errorf("Tone() = %d, %.1f %% black, want %g %%", tone, black, c.black)
			}
			if lined := c.fill == Hatched || c.fill == Striped; c.fill.Lined() != lined {
				t.Errorf("Lined() = %v, want %v", c.fill.Lined(), lined)
			}
		})
	}
}
