package measure

import (
	"math"

	"brakeside/calc/clash"
	"brakeside/calc/flat"
	"brakeside/calc/fold"
	"brakeside/calc/geom"
	"brakeside/calc/unit"
)

// lay is the part as it lies on a bench, measured from the nose line on the
// blank: along it from its left end, and behind it.
type lay struct {
	*clash.Bench
	made        fold.Made
	nose        float64 // y of the nose on the brake
	from        geom.Point2
	along, back geom.Point2
}

func newLay(b *clash.Bench, made fold.Made, noseSetback unit.MM) lay {
	line, behind := b.NoseLine(noseSetback), b.NoseLine(noseSetback+1)
	return lay{
		Bench: b, made: made, nose: float64(noseSetback), from: line[0],
		along: line[1].Sub(line[0]).Unit(), back: behind[0].Sub(line[0]),
	}
}

// out points away from the nose line on the side where a face lies.
func (l *lay) out(face int) geom.Point2 {
	if l.Swings(face) {
		return l.back.Times(-1)
	}
	return l.back
}

// stretch is one of a place beside another, along the nose line.
type stretch struct{ low, high float64 }

func (l *lay) stretch(a, b geom.Point2) stretch {
	low, high := ordered(l.along.Dot(a.Sub(l.from)), l.along.Dot(b.Sub(l.from)))
	return stretch{max(low, 0), min(high, float64(l.Length))}
}

// touches is how far behind another thing something may reach and still touch
// beside it, in millimetres.
const touches = 0.05

// edgeContact is the stretch between the ends of the edges of a face that lie so
// far out.
func (l *lay) edgeContact(face int, out geom.Point2, at float64) stretch {
	s := stretch{math.Inf(1), math.Inf(-1)}
	for from, to := range edgesAt(l.Blank, face, out, at) {
		for _, p := range [2]geom.Point2{from, to} {
			x := l.along.Dot(p.Sub(l.from))
			s = stretch{min(s.low, x), max(s.high, x)}
		}
	}
	return s
}

// stopFace is how high the face of a back stop stands above the bed at least, in
// millimetres, where that is not stated (common practice, no source).
const stopFace unit.MM = 10

// bendContact is the stretch of the outside of a bend that a back stop touches:
// none where it hangs down behind the bed, where its curve is higher than the face
// of the stop, or where it lies askew by what a square would not show.
func (l *lay) bendContact(j flat.Joint, out geom.Point2) stretch {
	face := l.Brake.BackStop.Height
	if face == 0 {
		face = stopFace
	}
	askew := math.Abs(out.Dot(j.Line[1].Sub(j.Line[0])))
	if j.Up() != l.Blank.Joints[l.Joints[0]].Up() || j.Bend.TangentReach() > face || askew > flat.Snap {
		return stretch{}
	}
	low, high := ordered(l.along.Dot(j.Line[0].Sub(l.from)), l.along.Dot(j.Line[1].Sub(l.from)))
	return stretch{low, high}
}
