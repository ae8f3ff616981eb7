package clash

import (
	"math"

	"brakeside/calc/fold"
	"brakeside/calc/geom"
	"brakeside/calc/unit"
)

// Support tells how far behind its nose a bar finds flat metal under it, in
// millimetres and up to its depth, when the bends of made have been made: the
// clamped face and whatever still lies in one plane with it. It is asked of one
// stretch along the bend, at several places, and the farthest counts: a bar that
// rests there does not tip. With less than 0 the bar finds none.
//
// The look ends as soon as enough is found; what is farther is not told then.
func (b *Bench) Support(made fold.Made, bar int, stretch Stretch, enough float64) float64 {
	section := &b.tool(bar).whole
	return b.supported(made, section.box.Low.X, float64(b.Brake.Bars[bar].Depth), stretch, enough)
}

// Held tells how wide the flat strip is that is clamped behind the bend's
// tangent, when the bends of made have been made: where it is less than wanted,
// its width in the half of the bend where it is narrower.
func (b *Bench) Held(made fold.Made, wanted unit.MM) unit.MM {
	if b.clampedFlat >= wanted {
		return b.clampedFlat
	}
	half, held := float64(b.Length)/2, math.Inf(1)
	for _, stretch := range []Stretch{{High: half}, {Low: half, High: 2 * half}} {
		held = min(held, b.supported(made, b.tangent, float64(wanted), stretch, float64(wanted)))
	}
	return max(b.clampedFlat, unit.MM(held))
}

// Stretch is a part of the length of the bend.
type Stretch struct{ Low, High float64 }

// supportLooks is at how many places of a stretch flat metal is looked for: a
// tongue that falls between two of them carries no bar.
const supportLooks = 8

func (b *Bench) supported(made fold.Made, nose, depth float64, stretch Stretch, enough float64) float64 {
	made = b.start(made)
	found := math.Inf(-1)
	for _, f := range b.tree.Order {
		if b.swinging[f] || b.tree.Path[f]&made != 0 {
			continue
		}
		for k := range supportLooks {
			x := stretch.Low + (stretch.High-stretch.Low)*(float64(k)+0.5)/supportLooks
			found = max(found, b.flats[f].farthest(x, nose+depth)-nose)
			if found >= enough {
				return found
			}
		}
	}
	return found
}

// sheet is one face lying flat with the sheet in the brake, seen from above.
type sheet struct{ solid, openings []geom.Polygon }

// flatSheets lays the faces of the clamped side flat on the bed.
func (b *Bench) flatSheets() []sheet {
	out := make([]sheet, len(b.Blank.Faces))
	for i, face := range b.Blank.Faces {
		if b.swinging[i] {
			continue
		}
		frame := b.frame(i, 0)
		for _, g := range face.Solid {
			out[i].solid = append(out[i].solid, fromAbove(g, frame))
		}
		for _, o := range face.Openings {
			out[i].openings = append(out[i].openings, fromAbove(o.Outline, frame))
		}
	}
	b.flatZones(out)
	return out
}

// flatZones adds the zones of the bends: as long as a bend is not made its zone is
// flat metal, and it counts with the face beyond it, whose place turns on that bend.
func (b *Bench) flatZones(flats []sheet) {
	for i, j := range b.Blank.Joints {
		beyond := j.Faces[0]
		if b.tree.Path[beyond]&fold.Made(0).With(i) == 0 {
			beyond = j.Faces[1]
		}
		if b.swinging[beyond] {
			continue
		}
		across := j.Across.Times(j.Half())
		zone := geom.Polygon{j.Line[0].Sub(across), j.Line[1].Sub(across), j.Line[1].Add(across), j.Line[0].Add(across)}
		flats[beyond].solid = append(flats[beyond].solid, fromAbove(zone, b.frame(beyond, 0)))
	}
}

func fromAbove(g geom.Polygon, f geom.Frame) geom.Polygon {
	out := make(geom.Polygon, 0, len(g))
	for _, p := range g {
		q := f.Place(geom.Point3{X: p.X, Y: p.Y})
		out = append(out, geom.Point2{X: q.X, Y: q.Y})
	}
	return out
}

// farthest is how far back the sheet has metal at a place along the bend, no
// farther than a limit; minus infinity where it has none.
func (s sheet) farthest(x, limit float64) float64 {
	far := math.Inf(-1)
	for _, g := range s.solid {
		low, high := crossed(g, x)
		high = s.beforeOpenings(x, low, min(high, limit))
		if high > low {
			far = max(far, high)
		}
	}
	return far
}

// beforeOpenings draws a place back past every opening that it lies in.
func (s sheet) beforeOpenings(x, low, high float64) float64 {
	for again := true; again && high > low; {
		again = false
		for _, o := range s.openings {
			if from, to := crossed(o, x); from < high && high <= to {
				high, again = from, true
			}
		}
	}
	return high
}

// crossed tells between which y a line along the depth of the brake crosses a
// polygon; nowhere is from plus to minus infinity.
func crossed(g geom.Polygon, x float64) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	p := g[len(g)-1]
	for _, q := range g {
		if (p.X > x) != (q.X > x) {
			y := p.Y + (q.Y-p.Y)*(x-p.X)/(q.X-p.X)
			low, high = min(low, y), max(high, y)
		}
		p = q
	}
	return low, high
}
