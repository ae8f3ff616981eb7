package sheet

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"brakeside/calc/unit"
	"brakeside/traveler"
	marks "brakeside/traveler/draw"
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
	for _, m := range each[marks.Text](page) {
		var a, b float64
		if n, _ := fmt.Sscanf(m.Words, "scale %g:%g", &a, &b); n == 2 {
			d.times = b / a
		}
	}
	for _, p := range each[marks.Path](page) {
		if p.Closed && p.Pen == marks.Outline && p.Fill == marks.NoFill && len(p.Points) == len(blank.Outline) {
			size := around(p.Points)
			if math.Abs(size.w*d.times-float64(blank.Width.MM())) < 0.5 {
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
	b := around(d.outline)
	return (p.X - b.x) * d.times, (b.bottom() - p.Y) * d.times
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
	for _, m := range each[marks.Line](page) {
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
	made := tray()
	page := pagesOf(t, made)[0]
	d := readBack(t, page, made.Blank)
	lies := around(d.outline)
	texts := map[string]bool{}
	for _, m := range each[marks.Text](page) {
		texts[m.Words] = true
	}
	begins := map[string]bool{}
	for _, p := range each[marks.Path](page) {
		if p.Pen != marks.Thin || p.Closed || len(p.Points) != 4 {
			continue
		}
		x, y := d.on(p.Points[0])
		if p.Points[0].Y > lies.bottom() || p.Points[0].Y < lies.y {
			begins["x"+unit.MM(x).Text(1)] = true
		} else {
			begins["y"+unit.MM(y).Text(1)] = true
		}
	}
	for _, want := range []string{"x0.0", "x59.0", "x60.6", "x140.0", "x208.0", "x355.5", "x416.1", "x60.5", "x355.7", "y0.0", "y30.0", "y163.0", "y326.1", "y60.5", "y265.7"} {
		words := want[1:]
		if !begins[want] {
			t.Errorf("no leader begins at %s", want)
		}
		if words != "0.0" && !texts[words] && !texts["1: "+words] && !texts["2: "+words] && !texts["3: "+words] && !texts["4: "+words] {
			t.Errorf("the running size %s is not printed", words)
		}
	}
}

func TestHonest(t *testing.T) {
	room := box{0, 0, 100, 60}
	cases := []struct {
		name          string
		width, height float64
		want          float64
	}{
		{"small parts are drawn twice their size", 40, 20, 0.5},
		{"as large as the room", 100, 60, 1},
		{"a hair larger", 100.1, 60, 1.5},
		{"the height decides", 100, 181, 4},
		{"the width decides", 1180, 80, 12},
		{"beyond all scales", 600000, 1, 6000},
	}
	for _, c := range cases {
		if got := honest(c.width, c.height, room); got != c.want {
			t.Errorf("%s: honest(%g, %g) = %g, want %g", c.name, c.width, c.height, got, c.want)
		}
	}
}

// tickWords gives what a row of ticks says.
func tickWords(ticks []tick) string {
	var words []string
	for _, t := range ticks {
		words = append(words, t.words)
	}
	return strings.Join(words, " ")
}

func TestTicks(t *testing.T) {
	b := tray().Blank
	cases := []struct {
		name  string
		ticks []tick
		want  string
	}{
		{"nose lines along x", axisX(b).noseTicks(b), "0 1: 60.5 2: 355.7 416.1"},
		{"nose lines along y", axisY(b).noseTicks(b), "0 3: 60.5 4: 265.7 326.1"},
		{"the rest along x", axisX(b).otherTicks(b), "0 59.0 60.6 140.0 208.0 276.0 355.5 357.1 416.1"},
		{"the rest along y", axisY(b).otherTicks(b), "0 30.0 59.0 60.6 163.0 265.5 267.1 326.1"},
		{"a plain strip has no rest", axisX(cover().Blank).otherTicks(cover().Blank), ""},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			if got := tickWords(c.ticks); got != c.want {
				t.Errorf("ticks = %q, want %q", got, c.want)
			}
		})
	}
}

// The corners of a round hole are of no use to anyone; its middle is.
func TestHolesCountByTheirMiddle(t *testing.T) {
	b := bracket().Blank
	for _, hole := range b.Holes {
		for _, p := range hole {
			b.RunningX, b.RunningY = append(b.RunningX, p.X), append(b.RunningY, p.Y)
		}
	}
	if got, want := tickWords(axisX(b).otherTicks(b)), "0 30.0 380.0 410.0"; got != want {
		t.Errorf("ticks along x = %q, want %q", got, want)
	}
}

func TestRoundHole(t *testing.T) {
	square := []traveler.Point{at(0, 0), at(8, 0), at(8, 8), at(0, 8)}
	long := ring(20, 20, 5)
	for i := range long {
		if long[i].X > mm(20) {
			long[i].X += mm(10)
		}
	}
	cases := []struct {
		name string
		hole []traveler.Point
		want float64
	}{{"round", ring(20, 20, 5), 10}, {"square", square, 0}, {"slot", long, 0}, {"none", nil, 0}}
	for _, c := range cases {
		got, ok := roundHole(c.hole)
		if ok != (c.want > 0) || ok && math.Abs(got-c.want) > 0.01 {
			t.Errorf("%s: roundHole() = %.2f, %v, want %.2f", c.name, got, ok, c.want)
		}
	}
}

// Where there is not room for all sizes the least important go first, and the
// key owns up to it.
func TestRulerThins(t *testing.T) {
	ticks := []tick{{at: 0, words: "0"}, {at: 1, words: "10.0", rank: rankBend}, {at: 2, words: "20.0", rank: rankCut}, {at: 3, words: "30.0", rank: rankBend}, {at: 4, words: "40.0"}}
	one := tickPitch * smallest
	cases := []struct {
		name   string
		length float64
		want   string
	}{
		{"room for all", 5.5 * one, "0 10.0 20.0 30.0 40.0"},
		{"one goes", 4.2 * one, "0 10.0 20.0 40.0"},
		{"all bend zones go", 3.2 * one, "0 20.0 40.0"},
		{"cuts go too", 2.2 * one, "0 40.0"},
		{"nothing stays", 0, ""},
	}
	for _, c := range cases {
		r := newRuler(leftward, ticks, c.length)
		if got := tickWords(r.ticks); got != c.want || r.left != 5-len(r.ticks) {
			t.Errorf("%s: ticks = %q with %d left out, want %q", c.name, got, r.left, c.want)
		}
	}
	if len(ticks) != 5 || ticks[1].words != "10.0" {
		t.Error("newRuler changed the ticks it was given")
	}
}

// Words lie level where they fit and stand upright where they do not.
func TestRulerTurns(t *testing.T) {
	var ticks []tick
	for i := range 10 {
		ticks = append(ticks, tick{at: mm(float64(10 * i)), words: mm(float64(10 * i)).Text(1)})
	}
	if r := newRuler(below, ticks, 200); r.upright || r.size != strong {
		t.Errorf("on 200 mm: upright %v at %.1f points, want level at 12", r.upright, r.size/point)
	}
	if r := newRuler(below, ticks, 60); !r.upright || r.size != strong || r.left != 0 {
		t.Errorf("on 60 mm: upright %v at %.1f points, want upright at 12", r.upright, r.size/point)
	}
	if r := newRuler(leftward, ticks, 40); r.upright || r.left != 0 {
		t.Errorf("at the side: upright %v, %d left out, want level and all", r.upright, r.left)
	}
}

func TestCrosses(t *testing.T) {
	b := box{10, 10, 20, 10}
	cases := []struct {
		name string
		p, q marks.Point
		want bool
	}{
		{"through", marks.Point{X: 0, Y: 15}, marks.Point{X: 40, Y: 15}, true},
		{"inside", marks.Point{X: 12, Y: 12}, marks.Point{X: 14, Y: 14}, true},
		{"ends inside", marks.Point{X: 0, Y: 0}, marks.Point{X: 15, Y: 15}, true},
		{"beside", marks.Point{X: 0, Y: 5}, marks.Point{X: 40, Y: 5}, false},
		{"past a corner", marks.Point{X: 0, Y: 25}, marks.Point{X: 12, Y: 40}, false},
		{"along an edge", marks.Point{X: 0, Y: 10}, marks.Point{X: 40, Y: 10}, false},
		{"a point inside", marks.Point{X: 15, Y: 15}, marks.Point{X: 15, Y: 15}, true},
	}
	for _, c := range cases {
		if got := crosses(c.p, c.q, b); got != c.want {
			t.Errorf("%s: crosses() = %v, want %v", c.name, got, c.want)
		}
	}
}

// A blank that is all bend lines has no room for its marks: the key shows them.
func TestHomelessMarksStandInTheKey(t *testing.T) {
	made := bracket()
	words := said(pagesOf(t, made)[:1])
	for _, want := range []string{"FACE A UP, marked", "GRAIN"} {
		if strings.Count(words, want) != 1 {
			t.Errorf("%q is printed %d times, want once", want, strings.Count(words, want))
		}
	}
	made.Part.Grain = ""
	if strings.Contains(said(pagesOf(t, made)), "GRAIN") {
		t.Error("a sheet without a grain direction shows one")
	}
}

// The key lists every bend in the order of the steps.
func TestKeyListsBendsByStep(t *testing.T) {
	var got []string
	for _, m := range each[marks.Text](pagesOf(t, cover())[0]) {
		if strings.Contains(m.Words, " r 1.5, ") {
			got = append(got, m.Words)
		}
	}
	want := "UP 90° r 1.5, b1|UP 90° r 1.5, b6|UP 90° r 1.5, b2|UP 90° r 1.5, b5|DOWN 45° r 1.5, b3|DOWN 45° r 1.5, b4"
	if strings.Join(got, "|") != want {
		t.Errorf("the key lists %q, want %q", strings.Join(got, "|"), want)
	}
}
