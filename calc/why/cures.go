package why

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"brakeside/calc/brake"
	"brakeside/calc/fitting"
	"brakeside/calc/flat"
	"brakeside/calc/geom"
	"brakeside/calc/process"
	"brakeside/calc/unit"
)

// mostCures is how many changes of one kind are listed.
const mostCures = 3

// fine is to how many millimetres the smallest change is looked for.
const fine = 0.5

// cures lists changes that would free a conflict, each tried by planning the
// changed part or brake again: first what can be set, then what could lie on
// the shelf, then what the drawing could say, then making it in two pieces.
func cures(b *flat.Blank, k *brake.Brake) []process.Cure {
	c := &healer{blank: b, brake: k}
	c.lessAngle()
	c.otherBars()
	c.slimmerLeaf()
	c.missingFinger()
	c.wider()
	c.lower()
	c.otherWay()
	c.cutBack()
	c.apart()
	return c.found
}

// healer tries one change after the other.
type healer struct {
	blank *flat.Blank
	brake *brake.Brake
	found []process.Cure
}

// add notes a change that works, unless there are enough of its kind.
func (c *healer) add(kind process.CureKind, format string, values ...any) {
	count := 0
	for _, f := range c.found {
		if f.Kind == kind {
			count++
		}
	}
	if count < mostCures {
		c.found = append(c.found, process.Cure{Change: fmt.Sprintf(format, values...), Kind: kind})
	}
}

// least finds the smallest amount, in steps of fine, that works; the amount
// found has been tried itself. Between steps more is taken to be as good as
// less, so a smaller one may have been missed but never a wrong one given.
func least(from, to float64, works func(float64) bool) (float64, bool) {
	low, high := int(math.Floor(from/fine)), int(math.Ceil(to/fine))
	if !works(float64(high) * fine) {
		return 0, false
	}
	for high-low > 1 {
		middle := (low + high) / 2
		if works(float64(middle) * fine) {
			high = middle
		} else {
			low = middle
		}
	}
	return float64(high) * fine, true
}

// partAngles are the angles a last bend may be left at before it is closed by
// hand (common practice, no source).
var partAngles = []unit.Deg{60, 45, 30}

// lessAngle leaves one bend short, to be closed by hand.
func (c *healer) lessAngle() {
	for i, j := range c.blank.Joints {
		for _, a := range partAngles {
			if a >= j.Bend.Angle {
				continue
			}
			sign := unit.Deg(1)
			if !j.Up() {
				sign = -1
			}
			if b, err := c.blank.Turned(i, sign*a); err == nil && fitting.Possible(b, c.brake) {
				c.add(process.SetupCure, "leave bend %s at %s degrees and close it by hand over a dolly", j.Word, a.Text(0))
				break
			}
		}
	}
}

// with gives the brake with one bar changed.
func (c *healer) with(index int, bar brake.Bar) *brake.Brake {
	k := *c.brake
	k.Bars = slices.Clone(k.Bars)
	k.Bars[index] = bar
	return &k
}

// otherBars looks for the deepest and the highest bar that would still do.
func (c *healer) otherBars() {
	for i, bar := range c.brake.Bars {
		shallower := func(less float64) bool {
			b := bar
			b.Depth = bar.Depth - unit.MM(less)
			b.Section = bar.Section.Clip(geom.Point2{X: float64(b.Depth)}, geom.Point2{Y: 1})
			return b.Section != nil && fitting.Possible(c.blank, c.with(i, b))
		}
		if less, ok := least(0, float64(bar.Depth)*0.7, shallower); ok {
			c.add(process.StockCure, "a bar like %s but at most %s mm deep instead of %s",
				bar.Name, (bar.Depth - unit.MM(less)).Text(1), bar.Depth.Text(1))
		}
		lower := func(less float64) bool {
			b := bar
			b.Height = bar.Height - unit.MM(less)
			b.Section = bar.Section.Clip(geom.Point2{Y: float64(b.Height)}, geom.Point2{X: -1})
			return b.Section != nil && fitting.Possible(c.blank, c.with(i, b))
		}
		if less, ok := least(0, float64(bar.Height)*0.7, lower); ok {
			c.add(process.StockCure, "a bar like %s but at most %s mm high instead of %s",
				bar.Name, (bar.Height - unit.MM(less)).Text(1), bar.Height.Text(1))
		}
	}
}

// slimmerLeaf looks for the thickest leaf edge that would still do.
func (c *healer) slimmerLeaf() {
	now := c.brake.Leaf.SlimFace
	if now == 0 {
		now = c.brake.Leaf.FullFace
	}
	works := func(less float64) bool {
		k := *c.brake
		k.Leaf.SlimFace = now - unit.MM(less)
		k.Leaf.SlimRating = max(k.Leaf.SlimRating, c.brake.EquivalentThickness(c.blank.Sheet))
		return fitting.Possible(c.blank, &k)
	}
	if less, ok := least(0, float64(now)-5, works); ok {
		c.add(process.StockCure, "a leaf edge of at most %s mm instead of %s", (now - unit.MM(less)).Text(1), now.Text(1))
	}
}

// missingFinger looks for one finger that would fill a gap.
func (c *healer) missingFinger() {
	for i, bar := range c.brake.Bars {
		if bar.Kind != brake.Segments {
			continue
		}
		for _, j := range c.blank.Joints {
			for _, short := range []unit.MM{6, 4, 8} {
				b := bar
				b.Widths = append(slices.Clone(bar.Widths), unit.MM(math.Floor(float64(j.Length()-short))))
				if b.Widths[len(b.Widths)-1] > 5 && fitting.Possible(c.blank, c.with(i, b)) {
					c.add(process.StockCure, "a finger %s mm wide for bend %s", b.Widths[len(b.Widths)-1].Text(0), j.Word)
					break
				}
			}
		}
	}
}

// mostWider is by how much a face is made wider at the most, in millimetres.
const mostWider = 100

// wider looks for the smallest face that would do.
func (c *healer) wider() {
	type try struct {
		face      int
		direction geom.Point2
	}
	var tried []try
	for _, j := range c.blank.Joints {
		for side, f := range j.Faces {
			d := j.Across
			if side == 0 {
				d = d.Times(-1)
			}
			same := func(t try) bool { return t.face == f && math.Abs(t.direction.Dot(d)) > 0.999 }
			if slices.ContainsFunc(tried, same) {
				continue
			}
			tried = append(tried, try{f, d})
			c.widen(f, d)
		}
	}
}

func (c *healer) widen(face int, direction geom.Point2) {
	middle, half := c.blank.Middle(face, direction)
	works := func(by float64) bool {
		b, err := c.blank.Stretched(middle, direction, unit.MM(by))
		return err == nil && fitting.Possible(b, c.brake)
	}
	// The size as drawn reaches half the deduction farther at each bend.
	size := 2 * half
	for _, j := range c.blank.Joints {
		if (j.Faces[0] == face || j.Faces[1] == face) && math.Abs(j.Across.Dot(direction)) > 0.999 {
			size += float64(j.Deduction) / 2
		}
	}
	if by, ok := least(0, mostWider, works); ok {
		c.add(process.DrawingCure, "make %s at least %s mm instead of %s", c.blank.Faces[face].Word, unit.MM(size+by).Text(1),
			unit.MM(size).Text(1))
	}
}

// lower makes the outer faces of a conflict less high, all alike, for brakes whose
// beam hangs over what stands. One of them alone would have to be cut down much
// farther.
func (c *healer) lower() {
	if c.brake.Clamping == brake.TopLeaf {
		c.shorten(c.blank.Leaves())
	}
}

// leastHigh is the least that a face is made lower to, in millimetres.
const leastHigh = 10

// shorten looks for the largest common size of some outer faces that would do;
// those that are lower already stay as they are.
func (c *healer) shorten(faces []int) {
	highest := 0.0
	var names []string
	for _, f := range faces {
		size, _, _ := standing(c.blank, f)
		highest = max(highest, size)
		names = append(names, c.blank.Faces[f].Word)
	}
	works := func(less float64) bool {
		b := c.blank
		for _, f := range faces {
			size, middle, out := standing(b, f)
			if by := size - (highest - less); by > 0 {
				var err error
				if b, err = b.Stretched(middle, out, -unit.MM(by)); err != nil {
					return false
				}
			}
		}
		return fitting.Possible(b, c.brake)
	}
	if less, ok := least(0, math.Floor(highest-leastHigh), works); ok {
		c.add(process.DrawingCure, "make %s at most %s mm instead of %s", strings.Join(names, ", "), unit.MM(highest-less).Text(1),
			unit.MM(highest).Text(1))
	}
}

// standing is how high an outer face is as drawn, with its middle and the way it
// runs out from its bend.
func standing(b *flat.Blank, face int) (size float64, middle, out geom.Point2) {
	for _, j := range b.Joints {
		if j.Faces[0] != face && j.Faces[1] != face {
			continue
		}
		if out = j.Across; j.Faces[0] == face {
			out = out.Times(-1)
		}
		middle, half := b.Middle(face, out)
		return 2*half + float64(j.Deduction)/2, middle, out
	}
	return 0, middle, out
}

// otherWay folds one bend to the other side.
func (c *healer) otherWay() {
	for i, j := range c.blank.Joints {
		if b, err := c.blank.Turned(i, -j.Angle); err == nil && fitting.Possible(b, c.brake) {
			c.add(process.DrawingCure, "fold bend %s the other way", j.Word)
		}
	}
}

// cutBack notches the sheet beside a bend back to the bend line.
func (c *healer) cutBack() {
	for i, j := range c.blank.Joints {
		for side, f := range j.Faces {
			if b, ok := c.blank.CutBack(i, side); ok && fitting.Possible(b, c.brake) {
				c.add(process.DrawingCure, "cut %s back to the line of bend %s on both sides of it", c.blank.Faces[f].Word, j.Word)
			}
		}
	}
}

// apart makes one outer face a part of its own.
func (c *healer) apart() {
	for _, leaf := range c.blank.Leaves() {
		b, err := c.blank.Without(leaf)
		if err == nil && (len(b.Joints) == 0 || fitting.Possible(b, c.brake)) {
			c.add(process.SplitCure, "make %s a piece of its own and join it after bending", c.blank.Faces[leaf].Word)
		}
	}
}
