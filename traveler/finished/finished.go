// Package finished draws a part as it is when every bend is made, folded up from its
// frozen blank and seen from above the datum corner.
package finished

import (
	"cmp"
	"math"
	"slices"
	"strconv"

	"brakeside/traveler"
	"brakeside/traveler/canvas"
	"brakeside/traveler/draw"
	"brakeside/traveler/sign"
)

// wordsFinished stand over the picture.
const wordsFinished = "finished part, not to scale"

// seen is where an isometric view puts a place in space: x runs to the right
// and up, y to the left and up, z up; the datum corner is nearest.
func seen(p point3) draw.Point {
	const cos30, sin30 = 0.8660254037844386, 0.5
	return draw.Point{X: (p.x - p.y) * cos30, Y: -(p.x+p.y)*sin30 - p.z}
}

// far is how far from the viewer a place lies.
func far(p point3) float64 { return p.x + p.y - p.z }

// sheer is one panel as seen.
type sheer struct {
	ring  []draw.Point
	holes [][]draw.Point
	far   float64
}

// Picture is the finished part as seen, at its own size, the farthest panel
// first.
type Picture struct {
	panels []sheer
	bends  []seenBend
	mark   *draw.Point // the feature of the mirror check
	around canvas.Box
}

// seenBend is the middle of a bend line as seen, with its step.
type seenBend struct {
	at   draw.Point
	step int
}

// Of folds the blank up and looks at it; the picture is empty where the blank
// cannot be folded from its lines, or has none.
func Of(b traveler.Blank) Picture {
	var f Picture
	panels := folded(b)
	if len(panels) < 2 {
		return f
	}
	var all []draw.Point
	for _, p := range panels {
		s := sheer{ring: look(p.space(p.ring))}
		for _, corner := range p.space(p.ring) {
			s.far += far(corner) / float64(len(p.ring))
		}
		f.panels = append(f.panels, s)
		all = append(all, s.ring...)
	}
	f.around = canvas.Around(all)
	for _, h := range b.Holes {
		ring := InMM(h)
		if i := holder(panels, canvas.Centre(ring)); i >= 0 {
			f.panels[i].holes = append(f.panels[i].holes, look(panels[i].space(ring)))
		}
	}
	for _, l := range b.Lines {
		j := jointOf(l)
		if i := holder(panels, j.beside(1)); i >= 0 {
			f.bends = append(f.bends, seenBend{seen(panels[i].motion.of(point3{j.on.X, j.on.Y, 0})), l.Step})
		}
	}
	slices.SortStableFunc(f.panels, func(a, b sheer) int { return cmp.Compare(b.far, a.far) })
	return f
}

// Marked is the picture with the feature of the mirror check.
func (f Picture) Marked(b traveler.Blank, mark *traveler.Point) Picture {
	if mark == nil || f.Empty() {
		return f
	}
	panels := folded(b)
	if i := nearestPanel(panels, onBlank(*mark)); i >= 0 {
		at := look(panels[i].space([]draw.Point{onBlank(*mark)}))[0]
		f.mark = &at
	}
	return f
}

// nearestPanel is the panel that holds a spot, or has it as a corner.
func nearestPanel(panels []panel, at draw.Point) int {
	if i := holder(panels, at); i >= 0 {
		return i
	}
	return slices.IndexFunc(panels, func(p panel) bool {
		return slices.ContainsFunc(p.ring, func(q draw.Point) bool { return canvas.Distance(q, at) < 0.01 })
	})
}

func look(corners []point3) []draw.Point {
	ring := make([]draw.Point, len(corners))
	for i, p := range corners {
		ring[i] = seen(p)
	}
	return ring
}

// Empty reports whether there is nothing to show.
func (f Picture) Empty() bool {
	return len(f.panels) == 0 || f.around.W <= 0 || f.around.H <= 0
}

// Scale is how much of its own size the picture has in a box, under its title; 0
// where the box is too small for it.
func (f Picture) Scale(b canvas.Box) float64 {
	if f.Empty() || b.W < leastFinished || b.H < leastFinished {
		return 0
	}
	inner := finishedRoom(b)
	scale := math.Min(inner.W/f.around.W, inner.H/f.around.H)
	if scale*math.Max(f.around.W, f.around.H) < leastFinished {
		return 0
	}
	return scale
}

// leastFinished is the least side of a box for the picture, and the least
// length of the part in it, from which it tells more than it clutters.
const leastFinished = 20.0

// finishedRoom is the part of a box that the picture itself may fill.
func finishedRoom(b canvas.Box) canvas.Box {
	_, b = b.Inset(1.5).CutTop(canvas.Small.Height(wordsFinished, b.W-3))
	return b.Inset(0.5)
}

// Draw puts the folded part and its title into a box; nothing where Scale is 0.
func (f Picture) Draw(c canvas.Canvas, b canvas.Box) {
	scale := f.Scale(b)
	if scale == 0 {
		return
	}
	title, _ := b.Inset(1.5).CutTop(canvas.Small.Height(wordsFinished, b.W-3))
	c.Flow(title, canvas.Small, wordsFinished)
	inner := finishedRoom(b)
	inner = inner.Middle(f.around.W*scale, f.around.H*scale)
	on := func(p draw.Point) draw.Point {
		return draw.Point{X: inner.X + (p.X-f.around.X)*scale, Y: inner.Y + (p.Y-f.around.Y)*scale}
	}
	for _, p := range f.panels {
		c.Add(draw.Polygon(draw.Thin, draw.Paper, mapped(p.ring, on)...))
		for _, h := range p.holes {
			c.Add(draw.Polygon(draw.Thin, draw.NoFill, mapped(h, on)...))
		}
	}
	f.drawBends(c, title, on)
	if f.mark != nil {
		sign.Mirror(c, on(*f.mark))
	}
}

// drawBends numbers the bends that are far enough apart to be told, and off
// the title.
func (f Picture) drawBends(c canvas.Canvas, title canvas.Box, on func(draw.Point) draw.Point) {
	var taken []draw.Point
	if f.mark != nil {
		taken = append(taken, on(*f.mark))
	}
	for _, bend := range f.bends {
		at := on(bend.at)
		near := func(p draw.Point) bool { return canvas.Distance(p, at) < 2.2*sign.DiscRadius }
		if at.Y-sign.DiscRadius >= title.Bottom() && !slices.ContainsFunc(taken, near) {
			taken = append(taken, at)
			sign.Disc(c, at, sign.DiscRadius, strconv.Itoa(bend.step))
		}
	}
}

func mapped(ring []draw.Point, on func(draw.Point) draw.Point) []draw.Point {
	moved := make([]draw.Point, len(ring))
	for i, p := range ring {
		moved[i] = on(p)
	}
	return moved
}
