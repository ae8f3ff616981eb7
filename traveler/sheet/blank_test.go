package sheet

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"brakeside/calc/unit"
	"brakeside/traveler"
	"brakeside/traveler/canvas"
	marks "brakeside/traveler/draw"
	"brakeside/traveler/internal/fixture"
	"brakeside/traveler/internal/look"
)

// drawnBlank is the blank as read back from the marks of the first page.
type drawnBlank struct {
	times   float64 // from the printed scale
	outline []marks.Point
}

// readBack finds the outline among the marks by its number of corners and its
// pen, and the scale among the words.
func readBack(t *testing.T, page *marks.Page, blank traveler.Blank) drawnBlank {
	t.Helper()
	var d drawnBlank
	for _, m := range look.Each[marks.Text](page) {
		var a, b float64
		if n, _ := fmt.Sscanf(m.Words, "scale %g:%g", &a, &b); n == 2 {
			d.times = b / a
		}
	}
	for _, p := range look.Each[marks.Path](page) {
		if p.Closed && p.Pen == marks.Outline && p.Fill == marks.NoFill && len(p.Points) == len(blank.Outline) {
			size := canvas.Around(p.Points)
			if math.Abs(size.W*d.times-float64(blank.Width.MM())) < 0.5 {
				d.outline = p.Points
			}
		}
	}
	if d.times == 0 || d.outline == nil {
		t.Fatalf("no scale or no outline was found on the page")
	}
	return d
}

// on turns a place of the page back into the blank's millimetres.
func (d drawnBlank) on(p marks.Point) (x, y float64) {
	b := canvas.Around(d.outline)
	return (p.X - b.X) * d.times, (b.Bottom() - p.Y) * d.times
}

// What is drawn, measured with a rule and multiplied by the printed scale, is
// what is written, within 0.1 mm on paper.
func TestDrawnBlankMatchesItsNumbers(t *testing.T) {
	for name, made := range everySheet(t) {
		page := made.pages[0]
		d := readBack(t, page, made.Blank)
		limit := 0.1 * d.times
		for i, p := range d.outline {
			x, y := d.on(p)
			want := made.Blank.Outline[i]
			if math.Abs(x-float64(want.X.MM())) > limit || math.Abs(y-float64(want.Y.MM())) > limit {
				t.Errorf("%s: corner %d is drawn at %.2f, %.2f, want %v, %v", name, i, x, y, want.X.MM(), want.Y.MM())
			}
		}
		for _, l := range made.Blank.Lines {
			pen := marks.BendDown
			if l.Up {
				pen = marks.BendUp
			}
			if !d.has(page, pen, l.Line, limit) {
				t.Errorf("%s: bend %s is not drawn where it lies", name, l.Bend)
			}
			if !d.has(page, marks.NoseLine, [2]traveler.Point{l.Nose[0], l.Nose[0]}, limit) {
				t.Errorf("%s: the nose line of %s does not begin where it lies", name, l.Bend)
			}
		}
	}
}

// has reports whether a stroke of the pen runs between two places; a place
// given twice is where a stroke begins.
func (d drawnBlank) has(page *marks.Page, pen marks.Pen, between [2]traveler.Point, limit float64) bool {
	near := func(x, y float64, p traveler.Point) bool {
		return math.Abs(x-float64(p.X.MM())) < limit && math.Abs(y-float64(p.Y.MM())) < limit
	}
	for _, m := range look.Each[marks.Line](page) {
		x1, y1 := d.on(marks.Point{X: m.X1, Y: m.Y1})
		x2, y2 := d.on(marks.Point{X: m.X2, Y: m.Y2})
		if m.Pen == pen && near(x1, y1, between[0]) && (between[0] == between[1] || near(x2, y2, between[1])) {
			return true
		}
	}
	return false
}

// Every leader begins at the drawing where its number says.
func TestRunningSizesPointToTheirPlaces(t *testing.T) {
	made := fixture.Tray()
	page := pagesOf(t, made)[0]
	d := readBack(t, page, made.Blank)
	lies := canvas.Around(d.outline)
	texts := map[string]bool{}
	for _, m := range look.Each[marks.Text](page) {
		texts[m.Words] = true
	}
	begins := map[string]bool{}
	for _, p := range look.Each[marks.Path](page) {
		if p.Pen != marks.Thin || p.Closed || len(p.Points) != 4 {
			continue
		}
		x, y := d.on(p.Points[0])
		if p.Points[0].Y > lies.Bottom() || p.Points[0].Y < lies.Y {
			begins["x"+unit.MM(x).Text(1)] = true
		} else {
			begins["y"+unit.MM(y).Text(1)] = true
		}
	}
	for _, want := range []string{
		"x0.0", "x59.0", "x60.6", "x140.0", "x208.0", "x355.5", "x416.1", "x60.5", "x355.7", "y0.0", "y30.0", "y163.0", "y326.1",
		"y60.5", "y265.7",
	} {
		words := want[1:]
		if !begins[want] {
			t.Errorf("no leader begins at %s", want)
		}
		if words != "0.0" && !texts[words] && !texts["1: "+words] && !texts["2: "+words] && !texts["3: "+words] && !texts["4: "+words] {
			t.Errorf("the running size %s is not printed", words)
		}
	}
}

// A blank that is all bend lines has no room for its marks: the key shows them.
func TestHomelessMarksStandInTheKey(t *testing.T) {
	made := fixture.Bracket()
	words := look.Said(pagesOf(t, made)[:1])
	for _, want := range []string{"FACE A UP, marked", "GRAIN"} {
		if strings.Count(words, want) != 1 {
			t.Errorf("%q is printed %d times, want once", want, strings.Count(words, want))
		}
	}
	made.Part.Grain = ""
	if strings.Contains(look.Said(pagesOf(t, made)), "GRAIN") {
		t.Error("a sheet without a grain direction shows one")
	}
}

// The key lists every bend in the order of the steps.
func TestKeyListsBendsByStep(t *testing.T) {
	var got []string
	for _, m := range look.Each[marks.Text](pagesOf(t, fixture.Cover())[0]) {
		if strings.Contains(m.Words, " r 1.5, ") {
			got = append(got, m.Words)
		}
	}
	want := "UP 90° r 1.5, b1|UP 90° r 1.5, b6|UP 90° r 1.5, b2|UP 90° r 1.5, b5|DOWN 45° r 1.5, b3|DOWN 45° r 1.5, b4"
	if strings.Join(got, "|") != want {
		t.Errorf("the key lists %q, want %q", strings.Join(got, "|"), want)
	}
}
