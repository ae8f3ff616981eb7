package sheet

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"brakeside/traveler"
	marks "brakeside/traveler/draw"
)

// setOf is a sheet without its codes, which the drawing does not need.
func setOf(t *testing.T, made *traveler.Traveler) *sheet {
	t.Helper()
	s, err := newSheet(made)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// viewed lays a blank out in a box of a size.
func viewed(t *testing.T, made *traveler.Traveler, w, h float64) *blankView {
	t.Helper()
	return setOf(t, made).view(box{0, 0, w, h})
}

// strip is a flat blank of 400 x 200 with level bend lines at some heights.
func strip(heights ...float64) *traveler.Traveler {
	made := head("ST-1", "Strip", "A")
	made.Part.Grain = ""
	made.Blank = traveler.Blank{
		Width: mm(400), Height: mm(200), Outline: []traveler.Point{at(0, 0), at(400, 0), at(400, 200), at(0, 200)},
	}
	for i, y := range heights {
		line := [2]traveler.Point{at(0, y), at(400, y)}
		made.Blank.Lines = append(made.Blank.Lines, traveler.BendLine{
			Bend: strconv.Itoa(i + 1), Step: i + 1, Up: true, Angle: deg(90), Line: line, Nose: line, Tangents: [2][2]traveler.Point{line, line},
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
					if l.meets(other.box) {
						t.Errorf("labels of steps %d and %d overlap", l.step, other.step)
					}
				}
				line := v.y(mm(c.heights[l.step-1]))
				if math.Abs(l.y+discRadius-line) > 1e-9 {
					t.Errorf("the label of step %d lies %.2f mm off its line", l.step, l.y+discRadius-line)
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
	made := tray()
	v := viewed(t, made, 130, 100)
	for name, b := range map[string]box{"face": v.faceAt, "grain": v.grainAt} {
		if b.w == 0 {
			t.Errorf("the %s has no room on a tray", name)
			continue
		}
		if !v.onMetal(b) {
			t.Errorf("the mark of the %s leaves the metal", name)
		}
		for _, l := range v.labels {
			if b.meets(l.box) {
				t.Errorf("the mark of the %s overlaps the label of step %d", name, l.step)
			}
		}
	}
	if w, h := grainSize("y"); v.grainAt.w != w || v.grainAt.h != h || h < w {
		t.Errorf("the grain along y is marked by a box of %.1f x %.1f, want it upright", v.grainAt.w, v.grainAt.h)
	}
}

func TestNoRoomForMarks(t *testing.T) {
	made := strip(100)
	made.Blank.Height, made.Blank.Outline = mm(12), []traveler.Point{at(0, 0), at(400, 0), at(400, 12), at(0, 12)}
	made.Blank.Lines = nil
	if v := viewed(t, made, 130, 90); v.faceAt.w != 0 {
		t.Errorf("a strip of 3 mm on paper has room for its face at %v", v.faceAt)
	}
}

// A hole's diameter stands beside it, on the metal.
func TestHoleLabels(t *testing.T) {
	made := strip()
	made.Blank.Holes = [][]traveler.Point{ring(200, 40, 6), ring(395, 100, 3)}
	v := viewed(t, made, 130, 90)
	if len(v.holes) != 2 {
		t.Fatalf("%d holes have their diameter, want 2", len(v.holes))
	}
	for i, want := range []string{"Ø12", "Ø6"} {
		if v.holes[i].words != want || !v.onMetal(v.holes[i].box) {
			t.Errorf("hole %d says %q at %v, want %q on the metal", i, v.holes[i].words, v.holes[i].box, want)
		}
	}
	if near := v.x(mm(395)); v.holes[1].right() > near {
		t.Error("the diameter of the hole at the right edge must stand to its left")
	}
}

// The arrow of a rotation runs the way the part is turned: its head lies ahead
// of the end of the arc.
func TestRotationArrows(t *testing.T) {
	cases := []struct {
		name     string
		sweep    float64
		from, to float64 // of the arc
		tip      marks.Point
	}{
		{"three quarters anticlockwise end at the bottom, heading right", 270, 0, 270, marks.Point{X: 1.4, Y: 2}},
		{"three quarters clockwise end at the bottom, heading left", -270, -90, 180, marks.Point{X: -1.4, Y: 2}},
		{"half anticlockwise ends at the left, heading down", 180, 0, 180, marks.Point{X: -2, Y: 1.4}},
	}
	for _, k := range cases {
		c := canvas{&marks.Page{}}
		c.swirl(marks.Point{}, 2, k.sweep)
		arc, head := each[marks.Arc](c.page)[0], each[marks.Path](c.page)[0]
		if arc.From != k.from || arc.To != k.to {
			t.Errorf("%s: the arc runs from %g to %g, want %g to %g", k.name, arc.From, arc.To, k.from, k.to)
		}
		if distance(head.Points[0], k.tip) > 1e-9 {
			t.Errorf("%s: the head points to %v, want %v", k.name, head.Points[0], k.tip)
		}
	}
}

// Where the finished part goes costs the drawing neither scale nor sizes.
func TestBesideKeepsTheDrawing(t *testing.T) {
	for name, made := range all() {
		s := setOf(t, made)
		whole := finished(made.Blank)
		for _, height := range []float64{60, 80, 100, 125} {
			b, key := box{10, 60, 131, height}, box{144, 60, keyWidth, height}
			plain := s.view(b)
			v, room := s.beside(b, key, whole)
			if v.times != plain.times || v.leftOut() > plain.leftOut() {
				t.Errorf("%s, %g high: the picture costs the drawing scale or sizes", name, height)
			}
			if whole.scale(room) > 0 && room.meets(v.lies) {
				t.Errorf("%s, %g high: the picture covers the drawing", name, height)
			}
		}
	}
}

// Every sign of the general cautions has its shape: a triangle warns, a ring
// forbids, a black disc commands (ISO 7010).
func TestSafetySigns(t *testing.T) {
	outline := func(sign string) string {
		c := canvas{&marks.Page{}}
		c.safetySign(box{0, 0, 12, 12}, sign)
		var shapes []string
		for _, p := range each[marks.Path](c.page) {
			if p.Pen == marks.Heavy && len(p.Points) == 3 {
				shapes = append(shapes, "triangle")
			}
		}
		for _, a := range each[marks.Arc](c.page) {
			switch {
			case a.Whole() && a.Pen == marks.Heavy:
				shapes = append(shapes, "ring")
			case a.Whole() && a.Fill == marks.Black:
				shapes = append(shapes, "disc")
			}
		}
		return strings.Join(shapes, " ")
	}
	for sign, want := range map[string]string{signCrush: "triangle", signMagnet: "triangle", signImplant: "ring", signGloves: "disc", "": ""} {
		if got := outline(sign); got != want {
			t.Errorf("sign %q is a %q, want a %q", sign, got, want)
		}
	}
}
