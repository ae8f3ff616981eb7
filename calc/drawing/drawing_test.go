package drawing_test

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"brakeside/calc/drawing"
	"brakeside/calc/fault"
	"brakeside/calc/geom"
	"brakeside/calc/unit"
)

func at(x, y float64) geom.Point2 { return geom.Point2{X: x, Y: y} }

// row makes a row of places of x, y, x, y ...
func row(xy ...float64) []geom.Point2 {
	var out []geom.Point2
	for i := 0; i+1 < len(xy); i += 2 {
		out = append(out, at(xy[i], xy[i+1]))
	}
	return out
}

func open(xy ...float64) drawing.Stroke   { return drawing.Stroke{Points: row(xy...)} }
func closed(xy ...float64) drawing.Stroke { return drawing.Stroke{Points: row(xy...), Closed: true} }

// plate is a closed rectangle from the origin.
func plate(x, y float64) drawing.Stroke { return closed(0, 0, x, 0, x, y, 0, y) }

func circle(x, y, radius float64) drawing.Stroke {
	s := drawing.Stroke{Closed: true, Centre: at(x, y), Radius: radius}
	for i := range 48 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / 48)
		s.Points = append(s.Points, at(x+radius*cos, y+radius*sin))
	}
	return s
}

// near compares two figures.
func near(t interface {
	Helper()
	Errorf(string, ...any)
}, what string, got, want, by float64) {
	t.Helper()
	if !(math.Abs(got-want) <= by) {
		t.Errorf("%s = %.6f, want %.6f", what, got, want)
	}
}

// hasPlace finds a pair of coordinates in a message.
var hasPlace = regexp.MustCompile(`\(-?\d+\.\d\d, -?\d+\.\d\d\)`)

// refused wants a refusal of the drawing that says something.
func refused(t *testing.T, err error, says string) {
	t.Helper()
	var r *fault.Refusal
	if !errors.As(err, &r) || r.Kind != fault.Invalid {
		t.Fatalf("the drawing is answered with %v, want a refusal", err)
	}
	if !strings.Contains(r.Message, says) {
		t.Errorf("refused with %q, want it to say %q", r.Message, says)
	}
}

func TestFlatOfASketch(t *testing.T) {
	for _, test := range []struct {
		name         string
		sketch       drawing.Sketch
		faces, bends int
		holes, cuts  int
		dropped      int
	}{
		{"a plate with one bend", drawing.Sketch{Edges: []drawing.Stroke{plate(100, 60)}, Up: []drawing.Stroke{open(0, 20, 100, 20)}}, 2, 1, 0, 0, 0},
		{"lines that meet end to end", drawing.Sketch{Edges: []drawing.Stroke{open(0, 0, 100, 0), open(100, 60, 100, 0), open(100, 60, 0, 60), open(0, 60, 0, 0)}, Up: []drawing.Stroke{open(0, 20, 100, 20)}}, 2, 1, 0, 0, 0},
		{"ends within a snap", drawing.Sketch{Edges: []drawing.Stroke{open(0, 0, 100, 0), open(100, 0.04, 100, 60), open(99.97, 60.02, 0, 60), open(0, 60.03, 0.03, 0)}, Up: []drawing.Stroke{open(0, 20, 100, 20)}}, 2, 1, 0, 0, 0},
		{"a bend line short of the edge by a snap", drawing.Sketch{Edges: []drawing.Stroke{plate(100, 60)}, Up: []drawing.Stroke{open(0.04, 20, 99.96, 20)}}, 2, 1, 0, 0, 0},
		{"a bend line that runs over the edge", drawing.Sketch{Edges: []drawing.Stroke{plate(100, 60)}, Up: []drawing.Stroke{open(-9, 20, 109, 20)}}, 2, 1, 0, 0, 0},
		{"lines drawn twice", drawing.Sketch{Edges: []drawing.Stroke{open(0, 0, 100, 0), open(100, 0, 100, 60), open(100, 60, 0, 60), open(0, 60, 0, 0), open(100, 0, 0, 0), open(0, 60, 100, 60)}, Up: []drawing.Stroke{open(0, 20, 100, 20), open(100, 20, 0, 20)}}, 2, 1, 0, 0, 3},
		{"the outline drawn twice", drawing.Sketch{Edges: []drawing.Stroke{plate(100, 60), plate(100, 60)}, Up: []drawing.Stroke{open(0, 20, 100, 20)}}, 2, 1, 0, 0, 1},
		{"up and down", drawing.Sketch{Edges: []drawing.Stroke{plate(100, 60)}, Up: []drawing.Stroke{open(0, 20, 100, 20)}, Down: []drawing.Stroke{open(0, 40, 100, 40)}}, 3, 2, 0, 0, 0},
		{"holes and cutouts", drawing.Sketch{Edges: []drawing.Stroke{plate(100, 60), circle(50, 40, 5), closed(10, 5, 30, 5, 30, 10, 10, 10)}, Up: []drawing.Stroke{open(0, 20, 100, 20)}}, 2, 1, 1, 1, 0},
		{"a bend line across a slot", drawing.Sketch{Edges: []drawing.Stroke{plate(100, 60), closed(40, 10, 60, 10, 60, 30, 40, 30)}, Up: []drawing.Stroke{open(0, 20, 100, 20)}}, 2, 2, 0, 0, 0},
		{"a line drawn in two to a slot", drawing.Sketch{Edges: []drawing.Stroke{plate(100, 60), closed(40, 10, 60, 10, 60, 30, 40, 30)}, Up: []drawing.Stroke{open(0, 20, 40, 20), open(60, 20, 100, 20)}}, 2, 2, 0, 0, 0},
		{"the bend line of more than two points", drawing.Sketch{Edges: []drawing.Stroke{plate(100, 60)}, Up: []drawing.Stroke{open(0, 20, 30, 20.02, 100, 20)}}, 2, 1, 0, 0, 0},
		{"an L", drawing.Sketch{Edges: []drawing.Stroke{closed(0, 0, 100, 0, 100, 40, 40, 40, 40, 100, 0, 100)}, Up: []drawing.Stroke{open(60, 0, 60, 40)}, Down: []drawing.Stroke{open(0, 60, 40, 60)}}, 3, 2, 0, 0, 0},
	} {
		t.Run(test.name, func(t *testing.T) {
			read, err := test.sketch.Flat(drawing.Angles{All: 90})
			if err != nil {
				t.Fatal(err)
			}
			if got := [5]int{len(read.Flat.Faces), len(read.Flat.Bends), len(read.Holes), len(read.Cutouts), read.Dropped}; got != [5]int{test.faces, test.bends, test.holes, test.cuts, test.dropped} {
				t.Errorf("faces, bends, holes, cutouts, dropped = %v, want %v", got, [5]int{test.faces, test.bends, test.holes, test.cuts, test.dropped})
			}
			for _, b := range read.Flat.Bends {
				if b.Between[0] == b.Between[1] {
					t.Errorf("bend %s lies between %v", b.ID, b.Between)
				}
			}
		})
	}
}

// A drawing in thousandths off is snapped: faces meet exactly on the bend line.
func TestSnappedFacesShareTheLine(t *testing.T) {
	read, err := drawing.Sketch{
		Edges: []drawing.Stroke{open(0, 0, 100, 0), open(100.04, 0.01, 100, 60), open(100, 60.04, 0, 60), open(0, 60, 0.02, 0.03)},
		Up:    []drawing.Stroke{open(0.03, 20, 99.96, 20)},
	}.Flat(drawing.Angles{All: 90})
	if err != nil {
		t.Fatal(err)
	}
	line := read.Flat.Bends[0].Line
	for _, f := range read.Flat.Faces {
		for _, end := range line {
			found := false
			for _, p := range f.Outline {
				found = found || p == end
			}
			if !found {
				t.Errorf("face %s of %v has no corner at the end %v of its bend", f.ID, f.Outline, end)
			}
		}
	}
}

func TestAngles(t *testing.T) {
	sketch := drawing.Sketch{Edges: []drawing.Stroke{plate(100, 60)}, Up: []drawing.Stroke{open(0, 20, 100, 20)}, Down: []drawing.Stroke{open(0, 40, 100, 40)}}
	read, err := sketch.Flat(drawing.Angles{All: 45, Of: map[string]unit.Deg{"b2": -30}})
	if err != nil {
		t.Fatal(err)
	}
	if got := [2]unit.Deg{read.Flat.Bends[0].Angle, read.Flat.Bends[1].Angle}; got != [2]unit.Deg{45, 30} {
		t.Errorf("angles %v, want 45 for the line up and, turned over, 30 for the line down", got)
	}
	_, err = sketch.Flat(drawing.Angles{All: 45, Of: map[string]unit.Deg{"b7": 30}})
	refused(t, err, `there is no bend line "b7"; they are b1 to b2`)
}

func TestSketchRefusals(t *testing.T) {
	one := []drawing.Stroke{open(0, 20, 100, 20)}
	for _, test := range []struct {
		name   string
		sketch drawing.Sketch
		says   string
	}{
		{"nothing", drawing.Sketch{}, "no closed line"},
		{"no bend line", drawing.Sketch{Edges: []drawing.Stroke{plate(100, 60)}}, "there is no bend line"},
		{"an open outline", drawing.Sketch{Edges: []drawing.Stroke{open(0, 0, 100, 0, 100, 60, 0, 60, 0, 1)}, Up: one}, "the outline is open at (0.00, 0.00): no other line ends within 0.05 mm of it; the nearest open end is (0.00, 1.00), 1.00 mm away"},
		{"a gap just over a snap", drawing.Sketch{Edges: []drawing.Stroke{open(0, 0, 100, 0, 100, 60, 0, 60, 0, 0.06)}, Up: one}, "open at (0.00, 0.00)"},
		{"a stray line", drawing.Sketch{Edges: []drawing.Stroke{plate(100, 60), open(10, 10, 20, 10)}, Up: one}, "open at (10.00, 10.00)"},
		{"three lines at a corner", drawing.Sketch{Edges: []drawing.Stroke{open(0, 0, 100, 0, 100, 60), open(100, 60, 0, 60, 0, 0), open(0, 0, 50, 30, 100, 60)}, Up: one}, "3 lines of the outline meet at (0.00, 0.00)"},
		{"an outline that crosses itself", drawing.Sketch{Edges: []drawing.Stroke{closed(0, 0, 100, 60, 100, 0, 0, 60.5)}, Up: one}, "must not cross or touch itself"},
		{"a ring without area", drawing.Sketch{Edges: []drawing.Stroke{closed(0, 0, 100, 0, 50, 0)}, Up: one}, "goes round nothing"},
		{"two outlines", drawing.Sketch{Edges: []drawing.Stroke{plate(100, 60), closed(200, 0, 210, 0, 210, 10, 200, 10)}, Up: one}, "(200.00, 0.00) lies outside the outline that begins at (0.00, 0.00)"},
		{"an opening in an opening", drawing.Sketch{Edges: []drawing.Stroke{plate(100, 60), closed(10, 30, 90, 30, 90, 50, 10, 50), closed(20, 35, 30, 35, 30, 40, 20, 40)}, Up: one}, "(20.00, 35.00) lies inside an opening"},
		{"an opening over the edge", drawing.Sketch{Edges: []drawing.Stroke{plate(100, 60), closed(90, 30, 110, 30, 110, 40, 90, 40)}, Up: one}, "two closed lines meet at"},
		{"a bend line that ends in the sheet", drawing.Sketch{Edges: []drawing.Stroke{plate(100, 60)}, Up: []drawing.Stroke{open(0, 20, 50, 20)}}, "ends inside the sheet at (50.00, 20.00), 20.00 mm from the nearest edge"},
		{"a bend line short of the edge", drawing.Sketch{Edges: []drawing.Stroke{plate(100, 60)}, Up: []drawing.Stroke{open(0, 20, 99.9, 20)}}, "ends inside the sheet at (99.90, 20.00), 0.10 mm"},
		{"a bend line off the sheet", drawing.Sketch{Edges: []drawing.Stroke{plate(100, 60)}, Up: []drawing.Stroke{open(0, 70, 100, 70)}}, "(0.00, 70.00) to (100.00, 70.00) does not cross the sheet"},
		{"a bend line along an edge", drawing.Sketch{Edges: []drawing.Stroke{plate(100, 60)}, Up: []drawing.Stroke{open(0, 0, 100, 0)}}, "does not cross the sheet"},
		{"bend lines that cross", drawing.Sketch{Edges: []drawing.Stroke{plate(100, 60)}, Up: []drawing.Stroke{open(0, 20, 100, 20)}, Down: []drawing.Stroke{open(50, 0, 50, 60)}}, "meet at (50.00, 20.00)"},
		{"bend lines over each other", drawing.Sketch{Edges: []drawing.Stroke{plate(100, 60)}, Up: []drawing.Stroke{open(0, 20, 100, 20), open(-5, 20, 100, 20)}}, "meet at (50.00, 20.00)"},
		{"a bend line that is not straight", drawing.Sketch{Edges: []drawing.Stroke{plate(100, 60)}, Up: []drawing.Stroke{open(0, 20, 50, 21, 100, 20)}}, "is not straight at (50.00, 21.00)"},
		{"a closed bend line", drawing.Sketch{Edges: []drawing.Stroke{plate(100, 60)}, Up: []drawing.Stroke{circle(50, 30, 10)}}, "a bend line is straight"},
		{"a bend line without length", drawing.Sketch{Edges: []drawing.Stroke{plate(100, 60)}, Up: []drawing.Stroke{open(5, 5, 5, 5)}}, "has no length"},
		{"a bend one can go round", drawing.Sketch{Edges: []drawing.Stroke{plate(100, 60), closed(20, 10, 30, 10, 30, 40, 20, 40), closed(70, 10, 80, 10, 80, 40, 70, 40)}, Up: []drawing.Stroke{open(30, 20, 70, 20)}}, "one can go round it"},
	} {
		t.Run(test.name, func(t *testing.T) {
			_, err := test.sketch.Flat(drawing.Angles{All: 90})
			refused(t, err, test.says)
		})
	}
}

// strips is a plate cut by parallel bend lines at random places, in a random
// direction, each line running out over the edge.
func strips(t *rapid.T) (drawing.Blank, int) {
	turn := rapid.Float64Range(0, 2*math.Pi).Draw(t, "turn")
	b := drawing.Blank{}
	for _, p := range row(0, 0, 200, 0, 200, 100, 0, 100) {
		b.Outline = append(b.Outline, p.Turned(turn))
	}
	if rapid.Bool().Draw(t, "clockwise") {
		b.Outline = b.Outline.Reversed()
	}
	n, x := rapid.IntRange(1, 6).Draw(t, "bends"), 0.0
	for i := range n {
		x += rapid.Float64Range(1, 25).Draw(t, fmt.Sprint("step ", i))
		lean := rapid.Float64Range(-0.4, 0.4).Draw(t, fmt.Sprint("lean ", i))
		line := drawing.Line{at(x-lean, -1).Turned(turn), at(x+lean, 101).Turned(turn)}
		if rapid.Bool().Draw(t, "other way") {
			line[0], line[1] = line[1], line[0]
		}
		b.Bends = append(b.Bends, line)
	}
	return b, n
}

// Cutting loses nothing: the faces together are the sheet, n bend lines make
// n + 1 faces, and each piece has one face on either side.
func TestCutKeepsTheSheet(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b, n := strips(t)
		cut, err := b.Cut()
		if err != nil {
			t.Fatalf("%v: %v", b, err)
		}
		if len(cut.Faces) != n+1 || len(cut.Pieces) != n {
			t.Fatalf("%d bend lines make %d faces and %d pieces", n, len(cut.Faces), len(cut.Pieces))
		}
		sum := 0.0
		for _, f := range cut.Faces {
			if !f.Outline.Simple() {
				t.Errorf("the face %v crosses itself", f.Outline)
			}
			sum += f.Outline.Area()
		}
		near(t, "the faces together", sum, 200*100, 1e-6)
		for _, p := range cut.Pieces {
			for side, f := range p.Faces {
				middle := p.Line[0].Add(p.Line[1]).Times(0.5)
				off := p.Line[1].Sub(p.Line[0]).Unit().Left().Times(0.2 * float64(1-2*side))
				if !cut.Faces[f].Outline.Holds(middle.Add(off)) {
					t.Errorf("face %d does not lie on side %d of %v", f, side, p.Line)
				}
			}
		}
	})
}

// FuzzFlat: whatever is drawn, it becomes faces with the area of the sheet, or
// it is refused with a place in the drawing.
func FuzzFlat(f *testing.F) {
	f.Add([]byte("\x01\x00\x00\x64\x00\x64\x3c\x00\x3c"), []byte("\x00\x14\x64\x14"))
	f.Add([]byte("\x00\x00\x00\x64\x00\x00\x64\x00\x64\x3c"), []byte("\x00\x14\x64\x14\x32\x00\x32\x3c"))
	f.Add([]byte("\x03"), []byte{})
	f.Fuzz(func(t *testing.T, edges, bends []byte) {
		if len(edges) > 200 || len(bends) > 60 {
			return
		}
		sketch := drawing.Sketch{Edges: strokesOf(edges, 9), Up: strokesOf(append([]byte{0}, bends...), 5)}
		read, err := sketch.Flat(drawing.Angles{All: 90})
		if err != nil {
			var r *fault.Refusal
			if !errors.As(err, &r) || r.Kind != fault.Invalid {
				t.Fatalf("%v is no refusal", err)
			}
			if nowhere := strings.HasPrefix(r.Message, "there is no") || strings.HasPrefix(r.Message, "a bend line has no length"); !nowhere && !hasPlace.MatchString(r.Message) {
				t.Errorf("%q names no place", r.Message)
			}
			return
		}
		for _, b := range read.Flat.Bends {
			if b.Between[0] == b.Between[1] {
				t.Errorf("bend %s lies between %v", b.ID, b.Between)
			}
		}
		for _, face := range read.Flat.Faces {
			if len(face.Outline) < 3 {
				t.Errorf("face %s has the outline %v", face.ID, face.Outline)
			}
		}
	})
}

// strokesOf makes strokes of bytes: the first of each chunk tells whether the
// stroke is closed, the others are places on a grid.
func strokesOf(data []byte, chunk int) []drawing.Stroke {
	var out []drawing.Stroke
	for len(data) > 0 {
		n := min(chunk, len(data))
		s := drawing.Stroke{Closed: data[0]%2 == 1}
		for i := 1; i+1 < n; i += 2 {
			s.Points = append(s.Points, at(float64(int8(data[i])), float64(int8(data[i+1]))))
		}
		out, data = append(out, s), data[n:]
	}
	return out
}
