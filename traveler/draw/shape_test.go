package draw

import (
	"math"
	"math/rand"
	"slices"
	"testing"
)

func TestHeads(t *testing.T) {
	for _, c := range []struct {
		name  string
		line  Line
		tips  []Point
		width float64
	}{
		{"none", Line{X2: 10, Pen: Thin}, nil, 0},
		{"at the end", Line{X2: 10, Pen: Thin, Arrows: AtEnd}, []Point{{10, 0}}, 1.2},
		{"at both", Line{X1: 1, Y1: 2, X2: 4, Y2: 6, Pen: Thin, Arrows: AtBoth}, []Point{{4, 6}, {1, 2}}, 1.2},
		{"thick", Line{Y2: 10, Pen: Heavy, Arrows: AtEnd}, []Point{{0, 10}}, 2.34},
		{"no length", Line{X1: 3, X2: 3, Pen: Thin, Arrows: AtBoth}, nil, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			heads := c.line.Heads()
			if len(heads) != len(c.tips) {
				t.Fatalf("Heads() gave %d heads, want %d", len(heads), len(c.tips))
			}
			for i, head := range heads {
				checkHead(t, head, c.tips[i], c.width)
			}
		})
	}
}

// checkHead measures a head: its tip, its length and its width.
func checkHead(t *testing.T, head Path, tip Point, want float64) {
	t.Helper()
	if len(head.Points) != 3 || head.Fill != Black || !head.Closed || head.Pen != NoPen {
		t.Fatalf("the head %+v is no black triangle", head)
	}
	a, b, c := head.Points[0], head.Points[1], head.Points[2]
	if a != tip {
		t.Errorf("the tip is at %v, want %v", a, tip)
	}
	length := math.Hypot(a.X-(b.X+c.X)/2, a.Y-(b.Y+c.Y)/2)
	width := math.Hypot(b.X-c.X, b.Y-c.Y)
	if math.Abs(length-HeadLength) > 1e-9 || math.Abs(width-want) > 1e-9 {
		t.Errorf("the head is %g x %g mm, want %g x %g", length, width, HeadLength, want)
	}
}

func TestShaft(t *testing.T) {
	for _, c := range []struct {
		name string
		line Line
		want Line
		left bool
	}{
		{"no heads", Line{X2: 10, Pen: Thin}, Line{X2: 10, Pen: Thin}, true},
		{"one head", Line{X2: 10, Pen: Heavy, Arrows: AtEnd}, Line{X2: 8, Pen: Heavy}, true},
		{"two heads", Line{Y2: -10, Pen: Thin, Arrows: AtBoth}, Line{Y1: -2, Y2: -8, Pen: Thin}, true},
		{"nothing left", Line{X2: 4, Pen: Thin, Arrows: AtBoth}, Line{}, false},
		{"no length", Line{X1: 1, X2: 1, Arrows: AtEnd}, Line{X1: 1, X2: 1, Arrows: AtEnd}, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got, left := c.line.Shaft(); got != c.want || left != c.left {
				t.Errorf("Shaft() = %+v, %v, want %+v, %v", got, left, c.want, c.left)
			}
		})
	}
}

func TestSweep(t *testing.T) {
	for _, c := range []struct {
		name           string
		from, to, want float64
		whole          bool
	}{
		{"quarter", 0, 90, 90, false},
		{"over the axis", 300, 30, 90, false},
		{"from below the axis", -45, 225, 270, false},
		{"whole", 0, 360, 360, true},
		{"whole from elsewhere", 90, 450, 360, true},
		{"more than whole", 0, 1000, 360, true},
		{"nothing", 20, 20, 0, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := Arc{Radius: 1, From: c.from, To: c.to}
			if got := a.Sweep(); got != c.want || a.Whole() != c.whole {
				t.Errorf("Sweep() = %g, Whole() = %v, want %g, %v", got, a.Whole(), c.want, c.whole)
			}
		})
	}
}

func TestAt(t *testing.T) {
	a := Arc{X: 10, Y: 20, Radius: 5}
	for angle, want := range map[float64]Point{0: {15, 20}, 90: {10, 15}, 180: {5, 20}, 270: {10, 25}} {
		if got := a.At(angle); math.Hypot(got.X-want.X, got.Y-want.Y) > 1e-9 {
			t.Errorf("At(%g) = %v, want %v: up is towards smaller y", angle, got, want)
		}
	}
}

func TestRing(t *testing.T) {
	a := Arc{X: 1, Y: 2, Radius: 50, To: 360}
	ring := a.Ring()
	for i, p := range ring {
		q := ring[(i+1)%len(ring)]
		if r := math.Hypot(p.X-a.X, p.Y-a.Y); math.Abs(r-50) > 1e-9 {
			t.Errorf("corner %d lies %g from the centre, want 50", i, r)
		}
		if r := math.Hypot((p.X+q.X)/2-a.X, (p.Y+q.Y)/2-a.Y); r < 50*0.999 {
			t.Errorf("edge %d comes as near as %g, want at least 49.95", i, r)
		}
	}
}

func TestRuns(t *testing.T) {
	for _, c := range []struct {
		name  string
		count int
		rows  string // one letter a cell
		want  []Run
	}{
		{"one", 1, "#", []Run{{0, 0, 1}}},
		{"none", 1, ".", nil},
		{"ends and middles", 4, "##.#" + "...." + "####" + ".##.", []Run{{0, 0, 2}, {0, 3, 4}, {2, 0, 4}, {3, 1, 3}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			cells := Cells{Side: 8, Count: c.count}
			for _, r := range c.rows {
				cells.Dark = append(cells.Dark, r == '#')
			}
			if got := cells.Runs(); !slices.Equal(got, c.want) {
				t.Errorf("Runs() = %v, want %v", got, c.want)
			}
			if got, want := cells.Module(), 8/float64(c.count); got != want {
				t.Errorf("Module() = %g, want %g", got, want)
			}
		})
	}
}

func TestHatchNothing(t *testing.T) {
	square := Box(NoPen, NoFill, 0, 0, 20, 20).Points
	for _, c := range []struct {
		name   string
		points []Point
		fill   Fill
	}{
		{"even tone", square, Black},
		{"no fill", square, NoFill},
		{"two corners", square[:2], Hatched},
		{"no corner", nil, Striped},
		{"NaN", []Point{{0, 0}, {math.NaN(), 1}, {5, 5}}, Hatched},
		{"without end", []Point{{0, 0}, {math.Inf(1), 1}, {5, 5}}, Hatched},
		{"out of reach", []Point{{0, 0}, {1e18, 1}, {5, 5}}, Striped},
		{"no area", []Point{{1, 1}, {1, 1}, {1, 1}}, Striped},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := Hatch(c.points, c.fill); len(got) != 0 {
				t.Errorf("Hatch() gave %d lines, want none", len(got))
			}
		})
	}
}

// TestHatchFollowsItsAngle: on paper (y down) Hatched lines rise to the right
// at 45 degrees and Striped lines at 135.
func TestHatchFollowsItsAngle(t *testing.T) {
	square := Box(NoPen, NoFill, 3, 4, 20, 20).Points
	for fill, want := range map[Fill]float64{Hatched: 45, Striped: 135} {
		lines := Hatch(square, fill)
		if len(lines) < 10 {
			t.Fatalf("Hatch(%v) gave %d lines", fill, len(lines))
		}
		for _, l := range lines {
			angle := math.Mod(math.Atan2(l.Y1-l.Y2, l.X2-l.X1)*180/math.Pi+180, 180)
			if math.Abs(angle-want) > 1e-6 || l.Pen != Thin {
				t.Errorf("a line at %g degrees with pen %q, want %g, thin", angle, l.Pen.Name(), want)
			}
		}
	}
}

// TestHatchCoversItsPolygon draws random polygons, also such that cross
// themselves, and holds the lines against two slow truths: every line lies
// inside, and length times spacing is the area.
func TestHatchCoversItsPolygon(t *testing.T) {
	random := rand.New(rand.NewSource(1))
	for range 100 {
		polygon := make([]Point, 3+random.Intn(7))
		for i := range polygon {
			polygon[i] = Point{random.Float64()*400 - 200, random.Float64()*400 - 200}
		}
		for _, fill := range []Fill{Hatched, Striped} {
			length := 0.0
			for _, l := range Hatch(polygon, fill) {
				length += math.Hypot(l.X2-l.X1, l.Y2-l.Y1)
				if !inside(polygon, Point{(l.X1 + l.X2) / 2, (l.Y1 + l.Y2) / 2}) {
					t.Fatalf("the middle of %+v lies outside %v", l, polygon)
				}
			}
			area, slack := sampledArea(polygon), perimeter(polygon)*HatchSpacing/4+300
			if got := length * HatchSpacing; math.Abs(got-area) > slack {
				t.Errorf("the lines cover %.0f mm2 of %v, want %.0f within %.0f", got, polygon, area, slack)
			}
		}
	}
}

// inside counts the edges to the right of a place: the even-odd rule.
func inside(polygon []Point, p Point) bool {
	odd := false
	for i, a := range polygon {
		b := polygon[(i+1)%len(polygon)]
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(b.X-a.X)*(p.Y-a.Y)/(b.Y-a.Y) {
			odd = !odd
		}
	}
	return odd
}

// sampledArea counts the places of a 4 mm grid that lie inside.
func sampledArea(polygon []Point) float64 {
	area := 0.0
	for x := -200.0; x < 200; x += 4 {
		for y := -200.0; y < 200; y += 4 {
			if inside(polygon, Point{x + 2, y + 2}) {
				area += 16
			}
		}
	}
	return area
}

func perimeter(polygon []Point) float64 {
	sum := 0.0
	for i, a := range polygon {
		b := polygon[(i+1)%len(polygon)]
		sum += math.Hypot(a.X-b.X, a.Y-b.Y)
	}
	return sum
}

// TestHatchOfABox holds the lines of a small box against lines worked out by
// hand: they lie 1.5 times the root of 2 apart along an edge.
func TestHatchOfABox(t *testing.T) {
	step := 1.5 * math.Sqrt2
	for _, c := range []struct {
		name string
		fill Fill
		want []Line
	}{
		{"hatched", Hatched, []Line{{X1: 0, Y1: step, X2: step, Y2: 0}, {X1: 2*step - 3, Y1: 3, X2: 3, Y2: 2*step - 3}}},
		{"striped", Striped,
			[]Line{{X1: step, Y1: 0, X2: 3, Y2: 3 - step}, {X1: 0, Y1: 0, X2: 3, Y2: 3}, {X1: 0, Y1: step, X2: 3 - step, Y2: 3}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := Hatch(Box(NoPen, NoFill, 0, 0, 3, 3).Points, c.fill)
			if len(got) != len(c.want) {
				t.Fatalf("Hatch() gave %d lines %+v, want %d", len(got), got, len(c.want))
			}
			for i, w := range c.want {
				if g := got[i]; math.Hypot(g.X1-w.X1, g.Y1-w.Y1) > 1e-9 || math.Hypot(g.X2-w.X2, g.Y2-w.Y2) > 1e-9 {
					t.Errorf("line %d is %+v, want %+v", i, g, w)
				}
			}
		})
	}
}

// FuzzHatch: no figures make it hang or give a place that is no number.
func FuzzHatch(f *testing.F) {
	f.Add(0.0, 0.0, 10.0, 0.0, 5.0, 9.0, true)
	f.Add(math.NaN(), 1e300, -1e300, 0.0, math.Inf(1), 9.0, false)
	f.Add(-1e4, 1e4, 1e4, 1e4, 0.0, 1e-300, true)
	f.Fuzz(func(t *testing.T, ax, ay, bx, by, cx, cy float64, striped bool) {
		fill := Hatched
		if striped {
			fill = Striped
		}
		page := &Page{Width: 1, Height: 1}
		for _, line := range Hatch([]Point{{ax, ay}, {bx, by}, {cx, cy}}, fill) {
			page.Add(line)
		}
		if !page.Finite() {
			t.Fatal("a line of the hatch is not finite")
		}
	})
}

// TestHatchOnOneRaster: two boxes side by side are hatched as one.
func TestHatchOnOneRaster(t *testing.T) {
	both := Hatch(Box(NoPen, NoFill, 0, 0, 20, 10).Points, Hatched)
	left := Hatch(Box(NoPen, NoFill, 0, 0, 10, 10).Points, Hatched)
	right := Hatch(Box(NoPen, NoFill, 10, 0, 10, 10).Points, Hatched)
	length := func(lines []Line) (sum float64) {
		for _, l := range lines {
			sum += math.Hypot(l.X2-l.X1, l.Y2-l.Y1)
		}
		return sum
	}
	if got, want := length(left)+length(right), length(both); math.Abs(got-want) > 1e-9 {
		t.Errorf("two boxes side by side have %g mm of lines, want %g as the whole has", got, want)
	}
}

func TestBox(t *testing.T) {
	got := Box(Outline, Grey, 1, 2, 3, 4)
	want := []Point{{1, 2}, {4, 2}, {4, 6}, {1, 6}}
	if !slices.Equal(got.Points, want) || !got.Closed || got.Pen != Outline || got.Fill != Grey {
		t.Errorf("Box() = %+v, want corners %v", got, want)
	}
}
