package view

import (
	"math"
	"testing"

	"brakeside/calc/unit"
	"brakeside/traveler"
	"brakeside/traveler/draw"
)

func mm(x, y float64) traveler.Point {
	return traveler.Point{X: unit.MM(x).Micron(), Y: unit.MM(y).Micron()}
}

func shape(role string, points ...traveler.Point) traveler.Shape {
	return traveler.Shape{Role: role, Points: points}
}

// bracket is a 34 mm leg of 1.5 mm sheet, flat and bent up, under a wide bar.
func bracket() traveler.Step {
	bed := shape(traveler.RoleBed, mm(0, 0), mm(98, 0), mm(98, -150), mm(0, -150))
	bar := shape(traveler.RoleBar, mm(1.8, 1.5), mm(1.8, 2.1), mm(28, 28.5), mm(76, 28.5), mm(76, 1.5))
	web := shape(traveler.RoleClamped, mm(0, 0), mm(52, 0), mm(52, 1.5), mm(0, 1.5))
	leafDown := shape(traveler.RoleLeaf, mm(0, 0), mm(-62, 0), mm(-62, -40), mm(0, -40))
	leafUp := shape(traveler.RoleLeaf, mm(0, 0), mm(0, 62), mm(-40, 62), mm(-40, 0))
	return traveler.Step{
		Before: []traveler.Shape{bed, leafDown, bar, web, shape(traveler.RoleSwinging, mm(0, 0), mm(-34, 0), mm(-34, 1.5), mm(0, 1.5))},
		After:  []traveler.Shape{bed, leafUp, bar, web, shape(traveler.RoleSwinging, mm(0, 0), mm(0, 34), mm(1.5, 34), mm(1.5, 0))},
	}
}

// pathsOf gives the paths of a page with the given pen.
func pathsOf(page *draw.Page, pen draw.Pen) []draw.Path {
	var found []draw.Path
	for _, m := range page.Marks {
		if p, ok := m.(draw.Path); ok && p.Pen == pen {
			found = append(found, p)
		}
	}
	return found
}

// sides gives the lengths of a closed path's edges.
func sides(p draw.Path) []float64 {
	var all []float64
	for i, a := range p.Points {
		b := p.Points[(i+1)%len(p.Points)]
		all = append(all, math.Hypot(b.X-a.X, b.Y-a.Y))
	}
	return all
}

func TestPairSharesOneScale(t *testing.T) {
	before, after := Pair(bracket(), 90, 60)
	for _, page := range []*draw.Page{before, after} {
		if math.Abs(page.Width-90) > 1e-9 || math.Abs(page.Height-60) > 1e-9 {
			t.Errorf("%s is %.2f x %.2f, want 90 x 60", page.Title, page.Width, page.Height)
		}
	}
	flat, bent := pathsOf(before, draw.Heavy), pathsOf(after, draw.Heavy)
	if len(flat) != 1 || len(bent) != 1 {
		t.Fatalf("swinging sides drawn = %d and %d, want 1 and 1", len(flat), len(bent))
	}
	for i, want := range sides(flat[0]) {
		if got := sides(bent[0])[i]; math.Abs(got-want) > 1e-9 {
			t.Errorf("edge %d of the swinging side is %.3f bent, want %.3f as flat", i, got, want)
		}
	}
	if ratio := sides(flat[0])[0] / sides(flat[0])[1]; math.Abs(ratio-34/1.5) > 1e-6 {
		t.Errorf("leg / thickness as drawn = %.4f, want %.4f", ratio, 34/1.5)
	}
}

// The page's y runs down and the brake's runs up; the operator stands at the left.
func TestEndViewIsUpright(t *testing.T) {
	_, after := Pair(bracket(), 90, 60)
	leg, bar := pathsOf(after, draw.Heavy)[0], pathsOf(after, draw.NoPen)[0]
	if bar.Fill != draw.Grey {
		t.Fatalf("first filled body has fill %v, want the grey bar", bar.Fill)
	}
	if top(leg) >= top(bar) {
		t.Errorf("bent leg ends at %.2f, bar at %.2f: the 34 mm leg must stand above the 27 mm bar", top(leg), top(bar))
	}
	if leg.Points[0].X >= bar.Points[3].X {
		t.Errorf("the leg is drawn behind the bar's back edge: x %.2f against %.2f", leg.Points[0].X, bar.Points[3].X)
	}
}

func top(p draw.Path) float64 {
	least := math.Inf(1)
	for _, q := range p.Points {
		least = math.Min(least, q.Y)
	}
	return least
}

func TestNothingLeavesThePage(t *testing.T) {
	long := bracket()
	long.Before = append(long.Before, shape(traveler.RoleSwinging, mm(0, 0), mm(-900, 0), mm(-900, 1.5), mm(0, 1.5)))
	before, after := Pair(long, 80, 50)
	for _, page := range []*draw.Page{before, after} {
		if !page.Finite() {
			t.Errorf("%s has a number that is not finite", page.Title)
		}
		for _, m := range page.Marks {
			for _, p := range m.(draw.Path).Points {
				if p.X < -1e-9 || p.X > page.Width+1e-9 || p.Y < -1e-9 || p.Y > page.Height+1e-9 {
					t.Errorf("%s: mark at %.2f, %.2f is off the %.0f x %.0f page", page.Title, p.X, p.Y, page.Width, page.Height)
				}
			}
		}
	}
}

// A panel longer than the view must be seen to go on: no edge is drawn where
// the page cuts it.
func TestLongPanelRunsOut(t *testing.T) {
	page := EndView([]traveler.Shape{
		shape(traveler.RoleSwinging, mm(0, 0), mm(-900, 0), mm(-900, 1.5), mm(0, 1.5)),
	}, 80, 50)
	drawn := pathsOf(page, draw.Heavy)
	if len(drawn) != 1 || drawn[0].Closed {
		t.Fatalf("a panel cut by the page is drawn as %d runs, closed %v; want one open run", len(drawn), len(drawn) > 0 && drawn[0].Closed)
	}
	if got := len(drawn[0].Points); got != 4 {
		t.Errorf("open run has %d points, want 4: out along the top, round the edge and back", got)
	}
}

// Flat sheet behind the bar must not make the bend small; a wall that stands
// there must be seen.
func TestViewLooksAtWhatMatters(t *testing.T) {
	swinging := shape(traveler.RoleSwinging, mm(0, 0), mm(-20, 0), mm(-20, 1.5), mm(0, 1.5))
	bar := shape(traveler.RoleBar, mm(1.8, 1.5), mm(1.8, 2.1), mm(28, 28.5), mm(76, 28.5), mm(76, 1.5))
	web := shape(traveler.RoleClamped, mm(0, 0), mm(150, 0), mm(150, 1.5), mm(0, 1.5))
	wall := shape(traveler.RoleClamped, mm(148.5, 0), mm(150, 0), mm(150, 40), mm(148.5, 40))
	plain := windowOf([]traveler.Shape{swinging, bar, web})
	walled := windowOf([]traveler.Shape{swinging, bar, web, wall})
	if plain.right != 86 {
		t.Errorf("view of a flat web ends at %g, want 86, a little behind the bar", plain.right)
	}
	if walled.right != 150 {
		t.Errorf("view with a wall behind ends at %g, want 150, the wall", walled.right)
	}
}

func TestViewWithoutMetalIsBlank(t *testing.T) {
	if page := EndView(nil, 80, 50); len(page.Marks) != 0 || !page.Finite() {
		t.Errorf("EndView(nil) has %d marks, want a blank page", len(page.Marks))
	}
}

func TestClip(t *testing.T) {
	square := func(x, y, side float64) []draw.Point {
		return []draw.Point{{X: x, Y: y}, {X: x + side, Y: y}, {X: x + side, Y: y + side}, {X: x, Y: y + side}}
	}
	cases := []struct {
		name   string
		points []draw.Point
		area   float64
		runs   int
		closed bool
	}{
		{"inside", square(2, 2, 5), 25, 1, true},
		{"outside", square(20, 20, 5), 0, 0, false},
		{"over one corner", square(-2, -2, 4), 4, 1, false},
		{"over everything", square(-5, -5, 30), 100, 0, false},
		{"over the right edge", square(8, 2, 4), 8, 1, false},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			if got := area(clip(c.points, 10, 10)); math.Abs(got-c.area) > 1e-9 {
				t.Errorf("area of clip(%v) = %g, want %g", c.points, got, c.area)
			}
			runs := edges(c.points, 10, 10)
			if len(runs) != c.runs || (len(runs) > 0 && runs[0].closed != c.closed) {
				t.Errorf("edges(%v) = %+v, want %d runs, closed %v", c.points, runs, c.runs, c.closed)
			}
		})
	}
}

// area is the shoelace area of a polygon.
func area(points []draw.Point) float64 {
	var twice float64
	for i, p := range points {
		q := points[(i+1)%len(points)]
		twice += p.X*q.Y - q.X*p.Y
	}
	return math.Abs(twice) / 2
}
