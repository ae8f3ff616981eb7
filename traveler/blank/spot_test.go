package blank

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"brakeside/calc/unit"
	"brakeside/traveler"
	"brakeside/traveler/canvas"
	"brakeside/traveler/internal/fixture"
	"brakeside/traveler/page"
	"brakeside/traveler/sign"
)

func TestHonest(t *testing.T) {
	room := canvas.Box{X: 0, Y: 0, W: 100, H: 60}
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

// setOf is a sheet without its codes, which the drawing does not need.
func setOf(t *testing.T, made *traveler.Traveler) *page.Set {
	t.Helper()
	s, err := page.New(made)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// viewed lays a blank out in a box of a size.
func viewed(t *testing.T, made *traveler.Traveler, w, h float64) *drawing {
	t.Helper()
	return layOut(newSketch(setOf(t, made)), canvas.Box{X: 0, Y: 0, W: w, H: h})
}

// strip is a flat blank of 400 x 200 with level bend lines at some heights.
func strip(heights ...float64) *traveler.Traveler {
	made := fixture.Head("ST-1", "Strip", "A")
	made.Part.Grain = ""
	made.Blank = traveler.Blank{
		Width: fixture.MM(400), Height: fixture.MM(200), Outline: []traveler.Point{
			fixture.At(0, 0), fixture.At(400, 0), fixture.At(400, 200), fixture.At(0, 200),
		},
	}
	for i, y := range heights {
		line := [2]traveler.Point{fixture.At(0, y), fixture.At(400, y)}
		made.Blank.Lines = append(made.Blank.Lines, traveler.BendLine{
			Bend: strconv.Itoa(i + 1), Step: i + 1, Up: true, Angle: fixture.Deg(90),
			Line: line, Nose: line, Tangents: [2][2]traveler.Point{line, line},
		})
	}
	return made
}

// Labels stand in the middle of their lines while there is room, move along
// them when neighbours crowd, and lose their words before they overlap.
func TestLabelsOnBendLines(t *testing.T) {
	cases := []struct {
		name    string
		heights []float64
		worded  int
	}{
		{"one line", []float64{100}, 1},
		{"two far apart", []float64{50, 150}, 2},
		{"near the edge", []float64{2}, 0},
		{"two a hair apart", []float64{100, 101}, 0},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			v := viewed(t, strip(c.heights...), 130, 90)
			worded := 0
			for i, l := range v.labels {
				if l.words != "" {
					worded++
				}
				for _, other := range v.labels[:i] {
					if l.Meets(other.Box) {
						t.Errorf("labels of steps %d and %d overlap", l.step, other.step)
					}
				}
				line := v.y(fixture.MM(c.heights[l.step-1]))
				if math.Abs(l.Y+sign.DiscRadius-line) > 1e-9 {
					t.Errorf("the label of step %d lies %.2f mm off its line", l.step, l.Y+sign.DiscRadius-line)
				}
			}
			if len(v.labels) != len(c.heights) || worded != c.worded {
				t.Errorf("%d of %d labels, %d with words, want %d with words", len(v.labels), len(c.heights), worded, c.worded)
			}
		})
	}
}

// Lines too many to number leave the rest to the list and the rulers.
func TestTooManyLinesForLabels(t *testing.T) {
	var heights []float64
	for i := range 60 {
		heights = append(heights, 100+0.1*float64(i))
	}
	v := viewed(t, strip(heights...), 130, 90)
	if n := len(v.labels); n == 0 || n >= 60 {
		t.Errorf("%d of 60 crowded lines have a label, want some and not all", n)
	}
}

// A mark lies wholly on the metal and off everything written there.
func TestMarksLieOnTheMetal(t *testing.T) {
	made := fixture.Tray()
	v := viewed(t, made, 130, 100)
	for name, b := range map[string]canvas.Box{"face": v.faceAt, "grain": v.grainAt} {
		if b.W == 0 {
			t.Errorf("the %s has no room on a tray", name)
			continue
		}
		if !v.onMetal(b) {
			t.Errorf("the mark of the %s leaves the metal", name)
		}
		for _, l := range v.labels {
			if b.Meets(l.Box) {
				t.Errorf("the mark of the %s overlaps the label of step %d", name, l.step)
			}
		}
	}
	if w, h := grainSize("y"); v.grainAt.W != w || v.grainAt.H != h || h < w {
		t.Errorf("the grain along y is marked by a box of %.1f x %.1f, want it upright", v.grainAt.W, v.grainAt.H)
	}
}

func TestNoRoomForMarks(t *testing.T) {
	made := strip(100)
	made.Blank.Height, made.Blank.Outline = fixture.MM(12), []traveler.Point{
		fixture.At(0, 0), fixture.At(400, 0), fixture.At(400, 12), fixture.At(0, 12),
	}
	made.Blank.Lines = nil
	if v := viewed(t, made, 130, 90); v.faceAt.W != 0 {
		t.Errorf("a strip of 3 mm on paper has room for its face at %v", v.faceAt)
	}
}

// A hole's diameter stands beside it, on the metal.
func TestHoleLabels(t *testing.T) {
	made := strip()
	fixture.Drill(&made.Blank, 200, 40, 6)
	fixture.Drill(&made.Blank, 395, 100, 3)
	v := viewed(t, made, 130, 90)
	if len(v.holes) != 2 {
		t.Fatalf("%d holes have their diameter, want 2", len(v.holes))
	}
	for i, want := range []string{"Ø12", "Ø6"} {
		if v.holes[i].words != want || !v.onMetal(v.holes[i].Box) {
			t.Errorf("hole %d says %q at %v, want %q on the metal", i, v.holes[i].words, v.holes[i].Box, want)
		}
	}
	if near := v.x(fixture.MM(395)); v.holes[1].Right() > near {
		t.Error("the diameter of the hole at the right edge must stand to its left")
	}
}

// tile is a picture of a part of 120 by 80 mm.
var tile = &traveler.Picture{Strokes: []traveler.Strokes{{Kind: traveler.StrokeMetal, Lines: [][4]unit.Micron{{0, 0, 120_000, 0}, {120_000, 0, 120_000, 80_000}}}}}

// Where the finished part goes costs the drawing neither scale nor sizes.
func TestBesideKeepsTheDrawing(t *testing.T) {
	for name, made := range fixture.All() {
		s := setOf(t, made)
		whole := whole{tile}
		for _, height := range []float64{60, 80, 100, 125} {
			b, key := canvas.Box{X: 10, Y: 60, W: 131, H: height}, canvas.Box{X: 144, Y: 60, W: keyWidth, H: height}
			plain := layOut(newSketch(s), b)
			v, room := beside(newSketch(s), b, key, whole)
			if v.times != plain.times || v.leftOut() > plain.leftOut() {
				t.Errorf("%s, %g high: the picture costs the drawing scale or sizes", name, height)
			}
			if whole.length(room) > 0 && room.Meets(v.lies) {
				t.Errorf("%s, %g high: the picture covers the drawing", name, height)
			}
		}
	}
}

// leftOut counts the running sizes for which there was no room.
func (v *drawing) leftOut() int {
	sum := 0
	for _, r := range v.rulers {
		sum += len(r.left)
	}
	return sum
}

// What has no room at the drawing stands in the key: no running size is dropped.
func TestNoRunningSizeIsDropped(t *testing.T) {
	made := fixture.Tray()
	for i := range 60 { // as many holes in a row
		fixture.Drill(&made.Blank, 20+1.3*float64(i), 30, 0.5)
	}
	s := setOf(t, made)
	v := layOut(newSketch(s), canvas.Box{X: 10, Y: 70, W: 120, H: 70})
	if v.leftOut() == 0 {
		t.Fatal("all sizes have room, the test asks nothing")
	}
	listed := strings.Fields(strings.Join(v.listed(), " "))
	x, y := axisX(s.Blank), axisY(s.Blank)
	for _, wanted := range [][]tick{x.noseTicks(unit.Metric.Bare, s.Blank), x.otherTicks(unit.Metric, s.Blank), y.noseTicks(unit.Metric.Bare, s.Blank), y.otherTicks(unit.Metric, s.Blank)} {
		for _, want := range wanted {
			drawn := slices.ContainsFunc(v.rulers[:], func(r ruler) bool { return slices.Contains(r.ticks, want) })
			if !drawn && !slices.Contains(listed, want.words) {
				t.Errorf("%s stands neither at the drawing nor in the key", want.words)
			}
		}
	}
	if height := keyHeight(s, v); height <= keyHeight(s, nil) {
		t.Error("the key makes no room for them")
	}
}

// Sizes run from edges of metal: where a corner is cut away, the heavy edges begin
// beside it, and meet where it is whole.
func TestDatumLiesOnMetal(t *testing.T) {
	whole := traveler.Blank{Outline: []traveler.Point{fixture.At(0, 0), fixture.At(50, 0), fixture.At(50, 40), fixture.At(0, 40)}}
	notched := traveler.Blank{Outline: []traveler.Point{
		fixture.At(12, 0), fixture.At(50, 0), fixture.At(50, 40), fixture.At(0, 40), fixture.At(0, 8), fixture.At(12, 8),
	}}
	alongX := func(p traveler.Point) (on, along unit.Micron) { return p.Y, p.X }
	alongY := func(p traveler.Point) (on, along unit.Micron) { return p.X, p.Y }
	for _, c := range []struct {
		name  string
		blank traveler.Blank
		x, y  traveler.Point
	}{{"whole", whole, fixture.At(0, 0), fixture.At(0, 0)}, {"notched", notched, fixture.At(12, 0), fixture.At(0, 8)}} {
		if got := datumEdge(c.blank, alongX)[0]; got != c.x {
			t.Errorf("%s: the lower edge begins at %v, want %v", c.name, got, c.x)
		}
		if got := datumEdge(c.blank, alongY)[0]; got != c.y {
			t.Errorf("%s: the left edge begins at %v, want %v", c.name, got, c.y)
		}
	}
}
