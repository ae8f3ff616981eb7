package flat

import (
	"math"
	"testing"

	"brakeside/calc/geom"
)

// bow gives the corners of a drawn arc about a centre, in n chords, both ends
// included; angles in degrees.
func bow(centre geom.Point2, rx, ry, from, to float64, n int) (out geom.Polygon) {
	for i := range n + 1 {
		sin, cos := math.Sincos((from + (to-from)*float64(i)/float64(n)) * math.Pi / 180)
		out = append(out, centre.Add(geom.Point2{X: math.Round(rx*cos*1e4) / 1e4, Y: math.Round(ry*sin*1e4) / 1e4}))
	}
	return out
}

func ringOf(rows ...geom.Polygon) (out geom.Polygon) {
	for _, row := range rows {
		for _, p := range row {
			if len(out) == 0 || p.Sub(out[len(out)-1]).Length() > 1e-3 && p.Sub(out[0]).Length() > 1e-3 {
				out = append(out, p)
			}
		}
	}
	return out
}

func xy(x, y float64) geom.Point2 { return geom.Point2{X: x, Y: y} }

// What was drawn as chords of an arc is an arc again, with its radius and centre; a
// curve that is none is told as such, and a shape with corners stays one. The areas
// are those of school geometry.
func TestDrawnCurves(t *testing.T) {
	rounded := ringOf(bow(xy(230, 10), 10, 10, -90, 0, 18), bow(xy(230, 150), 10, 10, 0, 90, 18),
		bow(xy(10, 150), 10, 10, 90, 180, 18), bow(xy(10, 10), 10, 10, 180, 270, 18))
	slot := ringOf(bow(xy(20, 0), 2, 2, -90, 90, 14), bow(xy(-20, 0), 2, 2, 90, 270, 14))
	short := ringOf(bow(xy(0.6, 0), 3, 3, -90, 90, 14), bow(xy(-0.6, 0), 3, 3, 90, 270, 14)) // its straight edges are like chords
	notched := ringOf(geom.Polygon{xy(0, 0), xy(100, 0), xy(100, 50)}, bow(xy(50, 50), 8, 8, 0, -180, 24), geom.Polygon{xy(0, 50)})
	circle, ellipse := ringOf(bow(xy(5, 5), 6, 6, 0, 360, 48)), ringOf(bow(xy(0, 0), 12, 5, 0, 360, 72))
	for _, c := range []struct {
		name  string
		ring  geom.Polygon
		radii []float64 // of the curves, in the order of the ring; 0 for what is no arc
		area  float64   // 0 where it is that of the corners
	}{
		{"rounded corners", rounded, []float64{10, 10, 10, 10}, 240*160 - (4-math.Pi)*100},
		{"a slot", slot, []float64{2, 2}, 40*4 + math.Pi*4},
		{"a short slot", short, []float64{3, 3}, 1.2*6 + math.Pi*9},
		{"a round notch", notched, []float64{8}, 100*50 - math.Pi*32},
		{"a circle", circle, []float64{6}, math.Pi * 36},
		{"an ellipse", ellipse, []float64{0}, 0},
		{"a twelve-sided hole", ringOf(bow(xy(0, 0), 6, 6, 0, 360, 12)), nil, 0},
		{"a large plate of 24 sides", ringOf(bow(xy(0, 0), 90, 90, 0, 360, 24)), nil, 0},
		{"a corner of three chords", ringOf(bow(xy(90, 90), 10, 10, 0, 40, 3), geom.Polygon{xy(0, 100), xy(0, 0), xy(100, 0)}), nil, 0},
	} {
		b := &Blank{Outline: []geom.Polygon{c.ring}}
		b.drawnCurves()
		if len(b.Curves) != len(c.radii) {
			t.Errorf("%s: %d curves, want %d: %+v", c.name, len(b.Curves), len(c.radii), b.Curves)
			continue
		}
		for i, got := range b.Curves {
			if math.Abs(got.Radius-c.radii[i]) > 0.01 {
				t.Errorf("%s: radius %.3f, want %v", c.name, got.Radius, c.radii[i])
			}
		}
		if want := c.area; math.Abs(b.Area()-want) > 0.02 && want != 0 {
			t.Errorf("%s: %.3f square millimetres, want %.3f", c.name, b.Area(), want)
		}
	}
}

// Arcs that were cut here are not found twice.
func TestDrawnCurvesBesideKnownOnes(t *testing.T) {
	ring := ringOf(bow(xy(5, 5), 6, 6, 0, 360, 48))
	b := &Blank{Outline: []geom.Polygon{ring}, Curves: []Curve{{Chords: len(ring), Centre: xy(5, 5), Radius: 6}}}
	if b.drawnCurves(); len(b.Curves) != 1 {
		t.Errorf("%d curves, want the one that was known", len(b.Curves))
	}
}
