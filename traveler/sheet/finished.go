package sheet

import (
	"cmp"
	"math"
	"slices"
	"strconv"

	"brakeside/traveler"
	"brakeside/traveler/draw"
)

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

// finishedPicture is the finished part as seen, at its own size, the farthest panel
// first.
type finishedPicture struct {
	panels []sheer
	bends  []seenBend
	mark   *draw.Point // the feature of the mirror check
	around box
}

// seenBend is the middle of a bend line as seen, with its step.
type seenBend struct {
	at   draw.Point
	step int
}

// finished folds the blank up and looks at it; it is empty where the blank
// cannot be folded from its lines, or has none.
func finished(b traveler.Blank) finishedPicture {
	var f finishedPicture
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
	f.around = around(all)
	for _, h := range b.Holes {
		ring := rings(h)
		if i := holder(panels, centre(ring)); i >= 0 {
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

// marked is the picture with the feature of the mirror check.
func (f finishedPicture) marked(b traveler.Blank, mark *traveler.Point) finishedPicture {
	if mark == nil || f.empty() {
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
		return slices.ContainsFunc(p.ring, func(q draw.Point) bool { return distance(q, at) < 0.01 })
	})
}

func look(corners []point3) []draw.Point {
	ring := make([]draw.Point, len(corners))
	for i, p := range corners {
		ring[i] = seen(p)
	}
	return ring
}

// centre is the middle of the corners of a ring.
func centre(ring []draw.Point) draw.Point {
	var c draw.Point
	for _, p := range ring {
		c.X += p.X / float64(len(ring))
		c.Y += p.Y / float64(len(ring))
	}
	return c
}

// empty reports whether there is nothing to show.
func (f finishedPicture) empty() bool {
	return len(f.panels) == 0 || f.around.w <= 0 || f.around.h <= 0
}

// scale is how much of its own size the picture has in a box, under its title.
func (f finishedPicture) scale(b box) float64 {
	if f.empty() || b.w < leastFinished || b.h < leastFinished {
		return 0
	}
	inner := finishedRoom(b)
	scale := math.Min(inner.w/f.around.w, inner.h/f.around.h)
	if scale*math.Max(f.around.w, f.around.h) < leastFinished {
		return 0
	}
	return scale
}

// leastFinished is the least side of a box for the picture, and the least
// length of the part in it, from which it tells more than it clutters.
const leastFinished = 20.0

// finishedRoom is the part of a box that the picture itself may fill.
func finishedRoom(b box) box {
	_, b = b.inset(1.5).cutTop(lineStep * smallest)
	return b.inset(0.5)
}

// finished draws the folded part into a box.
func (f finishedPicture) draw(c canvas, b box) {
	scale := f.scale(b)
	if scale == 0 {
		return
	}
	title, _ := b.inset(1.5).cutTop(lineStep * smallest)
	c.write(title, small, wordsFinished)
	inner := finishedRoom(b)
	inner = inner.middle(f.around.w*scale, f.around.h*scale)
	on := func(p draw.Point) draw.Point {
		return draw.Point{X: inner.x + (p.X-f.around.x)*scale, Y: inner.y + (p.Y-f.around.y)*scale}
	}
	for _, p := range f.panels {
		c.add(draw.Polygon(draw.Thin, draw.Paper, mapped(p.ring, on)...))
		for _, h := range p.holes {
			c.add(draw.Polygon(draw.Thin, draw.NoFill, mapped(h, on)...))
		}
	}
	f.drawBends(c, title, on)
	if f.mark != nil {
		c.mirrorMark(on(*f.mark))
	}
}

// finishedBends numbers the bends that are far enough apart to be told, and off
// the title.
func (f finishedPicture) drawBends(c canvas, title box, on func(draw.Point) draw.Point) {
	var taken []draw.Point
	if f.mark != nil {
		taken = append(taken, on(*f.mark))
	}
	for _, bend := range f.bends {
		at := on(bend.at)
		near := at.Y-discRadius < title.bottom() || slices.ContainsFunc(taken, func(p draw.Point) bool { return distance(p, at) < 2.2*discRadius })
		if !near {
			taken = append(taken, at)
			c.disc(at, discRadius, strconv.Itoa(bend.step))
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
