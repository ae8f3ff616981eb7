package flat

import (
	"math"

	"brakeside/calc/geom"
	"brakeside/calc/part"
	"brakeside/calc/unit"
)

// corner is a corner of the base at which two sides may meet. Their legs are cut
// so that in the finished part the gap stays between them, and no more where
// they come nearest. Level by level, the walls first, the later leg gives way to
// the earlier one. Two legs that both lean inwards are mitred; all others are
// cut square to their bends.
type corner struct {
	*pan
	sides [2]*edge // left or right, then front or back
	ends  [2]int
	low   [2]float64 // how far in the legs of this level are cut at least
	slope [2]float64 // by how much more on each millimetre of their lengths
}

// corners cuts the ends of all legs.
func (p *pan) corners() {
	for _, e := range p.edges {
		e.sections = p.sections(e)
	}
	for i, e := range p.edges[:2] {
		for k, f := range p.edges[2:] {
			c := corner{pan: p, sides: [2]*edge{e, f}, ends: [2]int{k, i}}
			for level := range max(len(e.chain), len(f.chain)) {
				c.level(level)
			}
		}
	}
}

func (c *corner) gap() float64 { return float64(c.tray.Corners.Gap) }

// has reports whether a side has a leg at a level.
func (c *corner) has(side, level int) bool { return level < len(c.sides[side].chain) }

// cut is where a leg is cut at this corner.
func (c *corner) cut(side, level int) *cut { return &c.sides[side].cuts[c.ends[side]][level] }

// facing reports whether both sides have walls and these fold to one side of
// the base.
func (c *corner) facing() bool {
	a, b := c.sides[0].first(), c.sides[1].first()
	return a != nil && b != nil && (a.angle > 0) == (b.angle > 0)
}

// level cuts the legs that are so many bends away from the base.
func (c *corner) level(i int) {
	c.slope = [2]float64{}
	for side, e := range c.sides {
		if c.has(side, i) {
			e.cuts[c.ends[side]] = append(e.cuts[c.ends[side]], cut{})
		}
	}
	if i == 0 {
		c.walls()
	} else {
		c.lips(i)
	}
	c.mitred(i)
}

// walls cuts the legs that hang on the base.
func (c *corner) walls() {
	c.low = [2]float64{math.Inf(-1), math.Inf(-1)}
	if c.sides[0].first() != nil && c.sides[1].first() != nil {
		c.wallPair()
	}
	for side, e := range c.sides {
		if !c.has(side, 0) {
			continue
		}
		if cut := c.cut(side, 0); e.spanned(0) {
			*cut = cut.back(c.spanCut(e, c.ends[side], 0))
		} else {
			e.begins[c.ends[side]] = max(0, cut.zoneNear)
		}
	}
}

func (c *corner) wallPair() {
	a, b := c.sides[0], c.sides[1]
	// Two square walls that both end so far short of the corner of their inner
	// faces leave the gap between their edges.
	c.beside(0, c.gap()/math.Sqrt2)
	spanned := c.spans()
	switch leansA, leansB := a.sections[0].leans(), b.sections[0].leans(); {
	case c.tabbed(b, c.ends[1]):
		c.besideTab()
	case !c.facing() || spanned && c.apart(0):
	case leansA == leansB:
		c.together(0, -max(c.outer(0), c.outer(1)))
	case leansA:
		c.alone(0, 0, 1)
	default:
		c.alone(1, 0, 1)
	}
}

// spans cuts walls that are tabs of part of the length, and reports whether one
// is: if it ends away from the corner, the other need not give way. The base
// begins where the tab would without its span.
func (c *corner) spans() bool {
	spanned := false
	for side, e := range c.sides {
		if e.spanned(0) {
			cut := c.cut(side, 0)
			e.begins[c.ends[side]] = max(0, cut.zoneNear)
			c.low[side] = c.spanCut(e, c.ends[side], 0)
			*cut, spanned = cut.back(c.low[side]), true
		}
	}
	return spanned
}

// besideTab lays the tab, and ends the wall beside it short of the inner face of
// the one that carries it; beside a tab on the outside no farther out than where
// the tab's curve ends.
func (c *corner) besideTab() {
	c.beside(0, c.gap())
	e, end := c.sides[1], c.ends[1]
	carries := c.cut(1, 0)
	carries.flatStart = c.layTab(e, end)
	carries.flatEnd = carries.flatStart
	if t := e.tabs[end]; t != nil && c.tray.Corners.Tabs == part.OutsideTabs {
		c.square(0, 0, max(c.cut(0, 0).flatStart, float64(t.bend.Radius-e.first().Radius)))
	}
}

// outer is the outside radius of the bend at the base: so much farther out than
// at the inner face of its neighbour a wall may end, where one of them slopes.
func (c *corner) outer(side int) float64 {
	return float64(c.sides[side].first().Radius + c.sheet.Thickness)
}

// lips cuts legs that hang on walls or on other lips. None is wider than the one
// it hangs on.
func (c *corner) lips(i int) {
	for side, e := range c.sides {
		if !c.has(side, i) {
			continue
		}
		c.low[side] = c.cut(side, i-1).flatEnd
		if e.spanned(i) {
			c.low[side] = max(c.low[side], c.spanCut(e, c.ends[side], i))
		}
		c.square(side, i, c.low[side])
		if c.facing() {
			c.alone(side, i, i)
		}
	}
	if !c.facing() || !c.has(0, i) || !c.has(1, i) || c.apart(i) {
		return
	}
	switch leansA, leansB := c.sides[0].sections[i].leans(), c.sides[1].sections[i].leans(); {
	case leansA == leansB:
		inner := func(side int) float64 { return c.sides[side].sections[i].inner(float64(c.sheet.Thickness)) }
		c.together(i, min(c.low[0]+inner(1), c.low[1]+inner(0)))
	case leansA:
		c.alone(0, i, i+1)
	default:
		c.alone(1, i, i+1)
	}
}

// square cuts a leg square to its bend, so far in.
func (c *corner) square(side, i int, in float64) { c.sloping(side, i, in, in) }

// sloping cuts a leg from one place where it begins to another at its end. The
// bend at the base makes room for the relief; beyond it the wall is as long as
// its gap lets it be.
func (c *corner) sloping(side, i int, start, end float64) {
	zone := start
	if i == 0 {
		zone = max(0, start)
		if c.tray.Corners.Relief != part.NoRelief {
			zone = max(float64(c.tray.Corners.Size)/2, start)
		}
	}
	*c.cut(side, i) = cut{zone, zone, start, end}
}

// beside cuts two legs so far short of where the other one begins, and no
// farther out than they may reach.
func (c *corner) beside(i int, short float64) {
	for side, e := range c.sides {
		in := short - c.sides[1-side].sections[i].inner(float64(c.sheet.Thickness))
		c.sloping(side, i, max(c.low[side], in), max(c.low[side], in+c.slope[side]*e.flats[i]))
	}
}

// together cuts two legs by the same amount until they are the gap apart, mitred
// if both lean inwards. From is how far short they are cut at least.
func (c *corner) together(i int, from float64) {
	a, b := c.sides[0].sections[i], c.sides[1].sections[i]
	if a.leans() && b.leans() {
		c.slope[0], c.slope[1] = halving(a, b)
		for side, e := range c.sides {
			if e.chain[i].Mitre == 0 {
				c.fit(e.word(i), "mitred at %s degrees", unit.FromRad(math.Atan(c.slope[side])).Text(1))
			}
		}
	}
	c.beside(i, least(from, c.gap()/math.Sqrt2, func(short float64) bool {
		c.beside(i, short)
		return c.apart(i)
	}))
}

// alone cuts one leg back until it is the gap away from the first so many legs
// of the other side.
func (c *corner) alone(side, i, count int) {
	other := c.sides[1-side]
	from, innermost := c.low[side], math.Inf(1)
	for _, s := range other.sections[:min(count, len(other.sections))] {
		innermost = min(innermost, s.inner(float64(c.sheet.Thickness)))
	}
	if i == 0 {
		from = max(from, -innermost-c.outer(1-side))
	}
	in := least(from, c.gap()-innermost, func(in float64) bool {
		c.square(side, i, in)
		return c.wide(c.away(side, i, count))
	})
	c.square(side, i, in)
	if i > 0 && in-from > c.gap()+float64(c.sheet.Thickness) {
		c.cutBack(side, i, in-from)
	}
}

// cutBack notes that a leg is cut back otherwise than beside an upright wall, if
// by more than a person can see.
func (c *corner) cutBack(side, i int, by float64) {
	if by < 0.05 {
		return
	}
	c.fit(c.sides[side].word(i), "cut back %s mm beside %s", mm(by).Text(1), c.sides[1-side].side)
}

// apart reports whether the gap stays between the legs of a level and those of
// the other side that are not later.
func (c *corner) apart(i int) bool { return c.wide(c.nearest(i)) }

// nearest is how near the legs of a level come to those of the other side that
// are not later.
func (c *corner) nearest(i int) float64 {
	nearest := math.Inf(1)
	for side := range c.sides {
		if c.has(side, i) {
			nearest = min(nearest, c.away(side, i, i+1))
		}
	}
	return nearest
}

// wide reports whether a distance is enough.
func (c *corner) wide(distance float64) bool { return distance >= c.gap() && distance > 0 }

// hair is by how much ends are drawn apart before their distance is taken: more
// than the rounding of geom.Separation, so that legs which just touch have one.
const hair = 4e-6

// away is how far a leg stays away from the first so many legs of the other
// side, from its curve at the base and from a tab; 0 where they run through each
// other.
func (c *corner) away(side, i, count int) float64 {
	other := c.sides[1-side]
	mine := c.plate(side, i)
	nearest := math.Inf(1)
	for k := range min(count, len(other.chain)) {
		nearest = min(nearest, geom.Separation(mine, c.plate(1-side, k)))
	}
	if c.besideCurve(side, i) {
		nearest = min(nearest, geom.Separation(mine, c.curve(1-side)))
	}
	if tab := c.sides[1].tabs[c.ends[1]]; i > 0 && tab != nil {
		nearest = min(nearest, geom.Separation(mine, c.tabPlate(tab)))
	}
	return nearest
}

// least finds the least x, not below from, from which on clear holds; guess is
// tried first.
func least(from, guess float64, clear func(x float64) bool) float64 {
	const step, exact = 1e-4, 1e-6
	low, high := from, guess
	switch {
	case clear(from):
		return from
	case guess > from && clear(guess):
		if !clear(guess - step) {
			return guess
		}
	default:
		low = max(from, guess)
		for by := 1.0; by < 1e6; by *= 2 { // beyond any base
			if high = low + by; clear(high) {
				break
			}
			low = high
		}
	}
	for high-low > exact {
		if middle := (low + high) / 2; clear(middle) {
			high = middle
		} else {
			low = middle
		}
	}
	return high
}
