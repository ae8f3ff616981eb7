package geom

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func box(x, y, z, a, b, c float64) []Point3 {
	return Prism(Polygon{{x, y}, {x + a, y}, {x + a, y + b}, {x, y + b}}, z, z+c)
}

func TestSeparationOfBoxes(t *testing.T) {
	one := box(0, 0, 0, 10, 10, 10)
	tests := []struct {
		name string
		b    []Point3
		want float64
	}{
		{"face to face", box(12, 0, 0, 5, 10, 10), 2},
		{"face to a smaller face", box(12, 4, 4, 5, 1, 1), 2},
		{"edge to edge", box(13, 14, 0, 5, 5, 10), 5},
		{"corner to corner", box(12, 13, 16, 1, 1, 1), 7},
		{"touching faces", box(10, 2, 2, 5, 5, 5), 0},
		{"touching corners", box(10, 10, 10, 5, 5, 5), 0},
		{"overlapping", box(9, 9, 9, 5, 5, 5), 0},
		{"within", box(4, 4, 4, 1, 1, 1), 0},
		{"the same", one, 0},
		{"a thin long plate above", box(-500, -1, 11, 1000, 0.5, 0.8), math.Hypot(0.5, 1)},
		{"a far one", box(5000, 0, 0, 1, 1, 1), 4990},
		{"a point", []Point3{{5, 5, 13}}, 3},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			near(t, "Separation(a, b)", Separation(one, test.b), test.want, 2e-6)
			near(t, "Separation(b, a)", Separation(test.b, one), test.want, 2e-6)
		})
	}
	near(t, "two edges that pass square to each other", Separation([]Point3{{-5, 0, 0}, {5, 0, 0}}, []Point3{{0, -5, 3}, {0, 5, 3}}), 3, 2e-6)
}

// plate is a convex prism in space, with what the slow answer needs.
type plate struct {
	outline     Polygon
	bottom, top float64
	frame       Frame
	corners     []Point3
}

func anyPlate(t *rapid.T) plate {
	p := plate{outline: anyConvex(t, 20), frame: anyFrame(t)}
	p.top = rapid.SampledFrom([]float64{0.5, 1, 10, 60}).Draw(t, "thick")
	p.corners = Placed(Prism(p.outline, p.bottom, p.top), p.frame)
	return p
}

// edges and triangles of the surface, by corner number.
func (p plate) edges() [][2]Point3 {
	n := len(p.outline)
	var out [][2]Point3
	for i := range n {
		k := (i + 1) % n
		out = append(out, [2]Point3{p.corners[i], p.corners[k]}, [2]Point3{p.corners[n+i], p.corners[n+k]}, [2]Point3{p.corners[i], p.corners[n+i]})
	}
	return out
}

func (p plate) triangles() [][3]Point3 {
	n := len(p.outline)
	c := p.corners
	var out [][3]Point3
	for i := range n {
		k := (i + 1) % n
		out = append(out, [3]Point3{c[i], c[k], c[n+k]}, [3]Point3{c[i], c[n+k], c[n+i]})
		if i > 0 && k > 0 {
			out = append(out, [3]Point3{c[0], c[i], c[k]}, [3]Point3{c[n], c[n+i], c[n+k]})
		}
	}
	return out
}

func (p plate) holds(q Point3) bool {
	local := p.frame.Inverse().Place(q)
	return local.Z >= p.bottom && local.Z <= p.top && holds(p.outline, Point2{local.X, local.Y}, 0)
}

// slowSeparation tries every corner against every triangle and every edge
// against every edge; bodies meet when a corner or an edge of one is in the
// other.
func slowSeparation(a, b plate) float64 {
	for _, p := range [][2]plate{{a, b}, {b, a}} {
		for _, c := range p[0].corners {
			if p[1].holds(c) {
				return 0
			}
		}
		for _, e := range p[0].edges() {
			for _, tri := range p[1].triangles() {
				if pierces(e, tri) {
					return 0
				}
			}
		}
	}
	least := math.Inf(1)
	for _, p := range [][2]plate{{a, b}, {b, a}} {
		for _, c := range p[0].corners {
			for _, tri := range p[1].triangles() {
				least = min(least, toTriangle(c, tri))
			}
		}
	}
	for _, e := range a.edges() {
		for _, f := range b.edges() {
			least = min(least, edgeToEdge(e, f))
		}
	}
	return least
}

func pierces(e [2]Point3, t [3]Point3) bool {
	normal := t[1].Sub(t[0]).Cross(t[2].Sub(t[0]))
	from, to := normal.Dot(e[0].Sub(t[0])), normal.Dot(e[1].Sub(t[0]))
	if from*to > 0 || from == to {
		return false
	}
	p := e[0].Add(e[1].Sub(e[0]).Times(from / (from - to)))
	return inTriangle(p, t, normal)
}

func inTriangle(p Point3, t [3]Point3, normal Point3) bool {
	for i := range t {
		if t[(i+1)%3].Sub(t[i]).Cross(p.Sub(t[i])).Dot(normal) < 0 {
			return false
		}
	}
	return true
}

func toTriangle(p Point3, t [3]Point3) float64 {
	normal := t[1].Sub(t[0]).Cross(t[2].Sub(t[0]))
	foot := p.Sub(normal.Times(normal.Dot(p.Sub(t[0])) / normal.Dot(normal)))
	if inTriangle(foot, t, normal) {
		return foot.Sub(p).Length()
	}
	least := math.Inf(1)
	for i := range t {
		least = min(least, edgeToEdge([2]Point3{p, p}, [2]Point3{t[i], t[(i+1)%3]}))
	}
	return least
}

// edgeToEdge minimises over one edge by thirds; for a fixed point on it the
// nearest point of the other is closed form. The distance is convex.
func edgeToEdge(e, f [2]Point3) float64 {
	at := func(s float64) float64 {
		p := e[0].Add(e[1].Sub(e[0]).Times(s))
		d := f[1].Sub(f[0])
		u := min(1, max(0, p.Sub(f[0]).Dot(d)/d.Dot(d)))
		return p.Sub(f[0].Add(d.Times(u))).Length()
	}
	low, high := 0.0, 1.0
	for range 80 {
		if x, y := low+(high-low)/3, high-(high-low)/3; at(x) < at(y) {
			high = y
		} else {
			low = x
		}
	}
	return min(at((low+high)/2), min(at(0), at(1)))
}

func TestSeparationAgainstEveryEdgeAndFace(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := anyPlate(t), anyPlate(t)
		want := slowSeparation(a, b)
		near(t, "Separation against every edge and face", Separation(a.corners, b.corners), want, 1e-4)
		if got := Separation(a.corners, b.corners); got > want+2e-6 {
			t.Errorf("Separation = %v, farther than the %v that it is: doubt must lie on the near side", got, want)
		}
	})
}

// A pair of bodies keeps its distance wherever it is taken together.
func TestSeparationDoesNotDependOnThePlace(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b, f := anyPlate(t), anyPlate(t), anyFrame(t)
		here := Separation(a.corners, b.corners)
		there := Separation(Placed(a.corners, f), Placed(b.corners, f))
		near(t, "Separation after moving both", there, here, 1e-4)
	})
}

// Plates of one sheet lie in planes that are exactly parallel or square, which
// is where a search that walks a simplex is apt to stall.
func TestSeparationOfParallelPlates(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		size := rapid.Float64Range(0.5, 1000)
		a := box(0, 0, 0, size.Draw(t, "a"), size.Draw(t, "b"), 1)
		gap := rapid.Float64Range(0.01, 50).Draw(t, "gap")
		shift := rapid.Float64Range(-0.4, 0.4)
		_, long := Span(a, func(p Point3) float64 { return p.X })
		_, wide := Span(a, func(p Point3) float64 { return p.Y })
		b := Placed(a, Shift(Point3{long * shift.Draw(t, "x"), wide * shift.Draw(t, "y"), 1 + gap}))
		near(t, "Separation of two plates one above the other", Separation(a, b), gap, 1e-4)
		f := anyFrame(t)
		near(t, "the same, turned", Separation(Placed(a, f), Placed(b, f)), gap, 1e-4)
	})
}

func BenchmarkSeparation(b *testing.B) {
	one := box(0, 0, 0, 300, 1, 140)
	other := Placed(one, Rotation(Point3{}, Point3{0, 0, 1}, math.Pi/2+0.01).Then(Shift(Point3{400, 3, 2})))
	for b.Loop() {
		Separation(one, other)
	}
}
