package dxf

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"brakeside/traveler/draw"
	"brakeside/traveler/internal/golden"
	"brakeside/traveler/internal/sample"
)

func written(t testing.TB, page *draw.Page) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := Write(&out, page); err != nil {
		t.Fatalf("Write(%q): %v", page.Title, err)
	}
	return out.Bytes()
}

// blank is a drawing as the program makes it: outline, a hole, bend lines,
// ticks, and things that belong on paper only.
func blank() *draw.Page {
	page := &draw.Page{Title: "Blank", Width: 120.25, Height: 80}
	page.Add(
		draw.Polygon(draw.Outline, draw.NoFill, draw.Point{X: 10, Y: 10}, draw.Point{X: 110.123456789, Y: 10},
			draw.Point{X: 110.123456789, Y: 70}, draw.Point{X: 10, Y: 70}),
		draw.Arc{X: 30, Y: 25, Radius: 2.5, To: 360, Pen: draw.Outline},
		draw.Arc{X: 60, Y: 40, Radius: 5, From: 300, To: 30, Pen: draw.Outline},
		draw.Line{X1: 10, Y1: 30, X2: 110, Y2: 30, Pen: draw.BendUp},
		draw.Line{X1: 10, Y1: 1.0 / 3, X2: 110, Y2: 50, Pen: draw.BendDown},
		draw.Line{X1: 10, Y1: 30, X2: 13, Y2: 30, Pen: draw.CutMark},
		draw.Path{Points: []draw.Point{{X: 10, Y: 33}, {X: 60, Y: 33}, {X: 110, Y: 34}}, Pen: draw.NoseLine},
		draw.Line{X1: 10, Y1: 75, X2: 110, Y2: 75, Pen: draw.Thin, Arrows: draw.AtBoth},
		draw.Text{X: 60, Y: 74, Size: 3, Words: "100.1"},
		draw.Box(draw.Grid, draw.NoFill, 1, 1, 118, 78),
		draw.Box(draw.NoPen, draw.Grey, 1, 1, 5, 5),
	)
	return page
}

// TestReadBack reads the drawing with the small reader of the tests and
// compares every figure.
func TestReadBack(t *testing.T) {
	entities := read(t, written(t, blank()))
	want := []entity{
		{"POLYLINE", Cut, true, []float64{10, 70, 110.123456789, 70, 110.123456789, 10, 10, 10}},
		{"CIRCLE", Cut, false, []float64{30, 55, 2.5}},
		{"ARC", Cut, false, []float64{60, 40, 5, 300, 30}},
		{"LINE", BendUp, false, []float64{10, 50, 110, 50}},
		{"LINE", BendDown, false, []float64{10, 80 - 1.0/3, 110, 30}},
		{"LINE", Marks, false, []float64{10, 50, 13, 50}},
		{"POLYLINE", Marks, false, []float64{10, 47, 60, 47, 110, 46}},
	}
	if len(entities) != len(want) {
		t.Fatalf("read %d entities, want %d: %v", len(entities), len(want), entities)
	}
	for i, got := range entities {
		if err := got.differs(want[i]); err != nil {
			t.Errorf("entity %d: %v", i, err)
		}
	}
}

// differs compares to within a thousandth of a micrometre.
func (e entity) differs(want entity) error {
	if e.kind != want.kind || e.layer != want.layer || e.closed != want.closed || len(e.figures) != len(want.figures) {
		return fmt.Errorf("%+v, want %+v", e, want)
	}
	for i := range e.figures {
		if math.Abs(e.figures[i]-want.figures[i]) > 1e-6 {
			return fmt.Errorf("figure %d of %s is %.9f, want %.9f", i, e.kind, e.figures[i], want.figures[i])
		}
	}
	return nil
}

func TestGolden(t *testing.T) {
	golden.Compare(t, filepath.Join("testdata", "blank.dxf"), written(t, blank()))
	golden.Only(t, "testdata/*", []string{"testdata/blank.dxf"})
	if !bytes.Equal(written(t, blank()), written(t, blank())) {
		t.Error("two runs gave different bytes")
	}
}

// TestForm holds the text to what the oldest readers take.
func TestForm(t *testing.T) {
	text := string(written(t, blank()))
	for _, want := range []string{"  9\r\n$ACADVER\r\n  1\r\nAC1009\r\n", "  0\r\nENDSEC\r\n  0\r\nEOF\r\n"} {
		if !strings.Contains(text, want) {
			t.Errorf("the drawing lacks %q", want)
		}
	}
	if !strings.HasSuffix(text, "  0\r\nEOF\r\n") {
		t.Error("the drawing does not end in EOF")
	}
	for i, r := range text {
		if r > '~' {
			t.Fatalf("byte %d is %q, want ASCII only", i, r)
		}
	}
	name := regexp.MustCompile(`^[A-Z0-9_$-]{1,31}$`) // names of release 12
	for _, l := range layers {
		if !name.MatchString(l.name) {
			t.Errorf("the layer %q has no name of release 12", l.name)
		}
	}
}

// TestTables: every layer that is drawn on is in the table, once, and its line
// type too.
func TestTables(t *testing.T) {
	pairs := readPairs(t, written(t, blank()))
	named := map[string]map[string]int{"LAYER": {}, "LTYPE": {}}
	table := ""
	for i, p := range pairs {
		if p.code == 0 {
			table = p.value
		}
		if p.code == 2 && named[table] != nil && pairs[i-1].code == 0 {
			named[table][p.value]++
		}
		if p.code == 6 && named["LTYPE"][p.value] != 1 {
			t.Errorf("the line type %q is in the table %d times, want once", p.value, named["LTYPE"][p.value])
		}
		if p.code == 8 && named["LAYER"][p.value] != 1 {
			t.Errorf("the layer %q is in the table %d times, want once", p.value, named["LAYER"][p.value])
		}
	}
	for _, layer := range []string{"0", Cut, BendUp, BendDown, Marks} {
		if named["LAYER"][layer] != 1 {
			t.Errorf("the layer %q is in the table %d times, want once", layer, named["LAYER"][layer])
		}
	}
}

func TestPensAndLayers(t *testing.T) {
	want := map[draw.Pen]string{draw.Outline: Cut, draw.BendUp: BendUp, draw.BendDown: BendDown, draw.CutMark: Marks, draw.NoseLine: Marks}
	for pen := draw.NoPen; pen <= draw.ChartRule; pen++ {
		page := &draw.Page{Width: 10, Height: 10}
		page.Add(draw.Line{X2: 5, Y2: 5, Pen: pen}, draw.Arc{X: 1, Y: 1, Radius: 1, To: 360, Pen: pen}, draw.Box(pen, draw.NoFill, 0, 0, 1, 1))
		got := read(t, written(t, page))
		if want[pen] == "" {
			if len(got) != 0 {
				t.Errorf("pen %q draws %v, want nothing", pen.Name(), got)
			}
			continue
		}
		if len(got) != 3 || got[0].layer != want[pen] || got[1].layer != want[pen] || got[2].layer != want[pen] {
			t.Errorf("pen %q draws %v, want three on %s", pen.Name(), got, want[pen])
		}
	}
}

func TestNothingWithoutLength(t *testing.T) {
	at := draw.Point{X: 1, Y: 1}
	page := &draw.Page{Width: 10, Height: 10}
	page.Add(
		draw.Line{X1: 3, Y1: 3, X2: 3, Y2: 3, Pen: draw.Outline},
		draw.Path{Pen: draw.Outline},
		draw.Polygon(draw.Outline, draw.NoFill, at, at, at),
		draw.Arc{X: 1, Y: 1, To: 360, Pen: draw.Outline},
		draw.Arc{X: 1, Y: 1, Radius: 1, From: 9, To: 9, Pen: draw.Outline},
		draw.Polygon(draw.Outline, draw.NoFill, at, at, draw.Point{X: 2, Y: 1}, draw.Point{X: 2, Y: 2}, draw.Point{X: 2, Y: 2}, at),
	)
	got := read(t, written(t, page))
	if want := (entity{"POLYLINE", Cut, true, []float64{1, 9, 2, 9, 2, 8}}); len(got) != 1 || got[0].differs(want) != nil {
		t.Errorf("read %v, want only %v", got, want)
	}
}

func TestArcAngles(t *testing.T) {
	for _, c := range []struct {
		name           string
		from, to       float64
		wantFrom, want float64
	}{
		{"quarter", 0, 90, 0, 90},
		{"over the axis", 300, 390, 300, 30},
		{"below the axis", -90, 0, 270, 0},
		{"turned once more", 730, 820, 10, 100},
	} {
		t.Run(c.name, func(t *testing.T) {
			page := &draw.Page{Width: 10, Height: 10}
			page.Add(draw.Arc{X: 5, Y: 5, Radius: 1, From: c.from, To: c.to, Pen: draw.Outline})
			got := read(t, written(t, page))
			if want := (entity{"ARC", Cut, false, []float64{5, 5, 1, c.wantFrom, c.want}}); len(got) != 1 || got[0].differs(want) != nil {
				t.Errorf("read %v, want %v", got, want)
			}
		})
	}
}

func TestDecimal(t *testing.T) {
	for v, want := range map[float64]string{0: "0.0", 1: "1.0", -0.0000000001: "0.0", 0.1: "0.1", -2.5: "-2.5",
		1.0 / 3: "0.333333333", 99999: "99999.0", 0.000001: "0.000001", 10: "10.0"} {
		if got := decimal(v); got != want {
			t.Errorf("decimal(%g) = %q, want %q", v, got, want)
		}
	}
}

func TestWriteRefuses(t *testing.T) {
	var out bytes.Buffer
	page := &draw.Page{Width: 1, Height: 1, Marks: []draw.Mark{draw.Line{X1: math.Inf(1), Pen: draw.Outline}}}
	if err := Write(&out, page); err == nil || out.Len() != 0 {
		t.Errorf("Write() of a page without end = %v and %d bytes, want an error and none", err, out.Len())
	}
	full := errors.New("no room")
	if err := Write(failing{full}, blank()); !errors.Is(err, full) {
		t.Errorf("Write() to a full disk = %v, want %v", err, full)
	}
}

type failing struct{ err error }

func (f failing) Write([]byte) (int, error) { return 0, f.err }

// TestSamplesAreRead writes the pages of the other writers' tests too.
func TestSamplesAreRead(t *testing.T) {
	for _, c := range sample.Cases() {
		t.Run(c.Name, func(t *testing.T) {
			for _, e := range read(t, written(t, c.Page)) {
				if layerCount(e.layer) != 1 {
					t.Errorf("an entity on the layer %q", e.layer)
				}
			}
		})
	}
}

func layerCount(name string) (count int) {
	for _, l := range layers {
		if l.name == name {
			count++
		}
	}
	return count
}
