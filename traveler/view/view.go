// Package view draws a step of a traveler as an end view: the brake, the bar
// and the metal cut square to the bend, seen from the operator's right, with
// the operator standing at the left.
//
// The paper sheet and the operator's page show the same drawing. It is to
// scale, so it can be measured, and it is fitted to the box it is given.
package view

import (
	"math"

	"brakeside/traveler"
	"brakeside/traveler/draw"
)

// reach is how far from the hinge a view looks, in millimetres. A longer panel
// runs out of the picture, so that the bend itself stays large enough to read.
const reach = 170.0

// below is how much of the bed and the leaf a view shows under the hinge line,
// as a share of the height of the window.
const below = 0.22

// margin is the white edge around the metal, as a share of the window.
const margin = 0.04

// window is the part of the end view that is shown, in millimetres of the brake.
type window struct{ left, right, low, high float64 }

// EndView draws one end view into a box of width x height millimetres. The bar
// is grey, the clamped side of the part hatched, its swinging side drawn heavy,
// the bed and the leaf outlined, strips
// black. A view without metal is an empty page.
func EndView(shapes []traveler.Shape, width, height float64) *draw.Page {
	return draft(shapes, windowOf(shapes).fit(width/height), width)
}

// Pair draws a step before and after the bend, both at the same scale and
// place, each into a box of width x height millimetres.
func Pair(step traveler.Step, width, height float64) (before, after *draw.Page) {
	both := append(append([]traveler.Shape{}, step.Before...), step.After...)
	frame := windowOf(both).fit(width / height)
	before, after = draft(step.Before, frame, width), draft(step.After, frame, width)
	before.Title, after.Title = "Before the bend", "After the bend"
	return before, after
}

// FlatPair draws a hem begun, near enough to see the fold, with the bar held
// above it; and the whole bar on the flat hem, with what is laid under its back.
func FlatPair(f traveler.Flattening, width, height float64) (before, after *draw.Page) {
	before = draft(f.Before, foldOf(f.Before).fit(width/height), width)
	after = draft(f.After, windowOf(f.After).fit(width/height), width)
	before.Title, after.Title = "Before the hem is flattened", "The hem flat under the bar"
	return before, after
}

// foldOf is the window around the edge of a hem and the fold at which it hangs,
// with some of the bar above.
func foldOf(shapes []traveler.Shape) window {
	w := window{}
	for _, s := range shapes {
		if s.Role != traveler.RoleSwinging {
			continue
		}
		for _, p := range s.Points {
			x, y := within(p)
			w.right, w.high = math.Max(w.right, x), math.Max(w.high, y)
		}
	}
	w.right, w.high = 1.4*w.right, 1.8*w.high
	return w
}

// lying is how high metal may stand above the bed and still count as lying on
// it, in millimetres, and behind how much of it is shown behind the bar.
const (
	lying  = 5.0
	behind = 10.0
)

// windowOf gives the least window that holds the metal and the bar, as far as
// the view reaches, and the hinge. Clamped metal that lies on the bed runs out
// of the picture behind the bar, where there is nothing to see.
func windowOf(shapes []traveler.Shape) window {
	w := window{}
	back := barBack(shapes) + behind
	for _, s := range shapes {
		if s.Role == traveler.RoleBed || s.Role == traveler.RoleLeaf {
			continue
		}
		for _, p := range s.Points {
			x, y := within(p)
			if s.Role == traveler.RoleClamped && math.Abs(y) < lying {
				x = math.Min(x, back)
			}
			w.left, w.right = math.Min(w.left, x), math.Max(w.right, x)
			w.low, w.high = math.Min(w.low, y), math.Max(w.high, y)
		}
	}
	return w
}

// barBack is how far back the bar reaches.
func barBack(shapes []traveler.Shape) float64 {
	back := 0.0
	for _, s := range shapes {
		for _, p := range s.Points {
			if s.Role == traveler.RoleBar {
				back = math.Max(back, float64(p.X.MM()))
			}
		}
	}
	return back
}

func within(p traveler.Point) (x, y float64) {
	x, y = float64(p.X.MM()), float64(p.Y.MM())
	return math.Max(-reach, math.Min(reach, x)), math.Max(-reach, math.Min(reach, y))
}

// fit widens the window to the given ratio of width to height, with a margin
// and some bed below.
func (w window) fit(ratio float64) window {
	edge := margin * math.Max(w.right-w.left, w.high-w.low)
	edge = math.Max(edge, 3)
	w = window{w.left - edge, w.right + edge, w.low - edge, w.high + edge}
	w.low = math.Min(w.low, -below*(w.high-w.low))
	width, height := w.right-w.left, w.high-w.low
	if more := (height*ratio - width) / 2; more > 0 {
		w.left, w.right = w.left-more, w.right+more
	} else if more := (width/ratio - height) / 2; more > 0 {
		w.low, w.high = w.low-more, w.high+more
	}
	return w
}

// look is how one role is drawn; the order of looks is the order of painting.
type look struct {
	role string
	pen  draw.Pen
	fill draw.Fill
}

var looks = []look{
	{traveler.RoleBed, draw.Outline, draw.NoFill},
	{traveler.RoleLeaf, draw.Outline, draw.NoFill},
	{traveler.RoleBar, draw.Outline, draw.Grey},
	{traveler.RoleClamped, draw.Outline, draw.Hatched},
	{traveler.RoleSwinging, draw.Heavy, draw.Paper},
	{traveler.RoleStrip, draw.Outline, draw.Black},
}

// draft draws the shapes as seen through the window on a page of that width.
func draft(shapes []traveler.Shape, w window, width float64) *draw.Page {
	scale := width / (w.right - w.left)
	page := &draw.Page{
		Title:       "End view",
		Description: "The brake and the part cut square to the bend, seen from the operator's right.",
		Width:       width,
		Height:      scale * (w.high - w.low),
	}
	for _, l := range looks {
		for _, s := range shapes {
			if s.Role == l.role {
				page.Add(outline(w.place(s.Points, scale), page, l)...)
			}
		}
	}
	return page
}

// place turns points of the brake into points of the page.
func (w window) place(points []traveler.Point, scale float64) []draw.Point {
	placed := make([]draw.Point, len(points))
	for i, p := range points {
		placed[i] = draw.Point{
			X: (float64(p.X.MM()) - w.left) * scale,
			Y: (w.high - float64(p.Y.MM())) * scale,
		}
	}
	return placed
}

// outline gives the marks of one body: its area cut off at the page's edge, and
// its edges, which stop there so that the body is seen to go on.
func outline(points []draw.Point, page *draw.Page, l look) []draw.Mark {
	var marks []draw.Mark
	inside := clip(points, page.Width, page.Height)
	if len(inside) == 0 {
		return nil
	}
	if l.fill != draw.NoFill {
		marks = append(marks, draw.Path{Points: inside, Closed: true, Fill: l.fill})
	}
	for _, run := range edges(points, page.Width, page.Height) {
		marks = append(marks, draw.Path{Points: run.points, Closed: run.closed, Pen: l.pen})
	}
	return marks
}
