package scene

import (
	"brakeside/calc/geom"
	"brakeside/calc/process"
)

// Lay is the part as it lies on the brake before a step, seen from above with the
// operator at the lower edge: the front edge of the bed, the line that the bar is laid
// on, and the edge that this line is measured from.
func Lay(p *process.Plan, step int) Picture {
	s := &p.Steps[step-1]
	at := atBrake(p, s, 0)
	m := looked(above().squeezed(squeeze(at)), at)
	out := Picture{Strokes: m.strokes(), Spots: m.faces()}
	w := windowOf(at, s)
	line := float64(s.LineSetback())
	across := func(kind Kind, left, right, y float64) {
		out.Strokes = append(out.Strokes, Stroke{geom.Point2{X: left, Y: y}, geom.Point2{X: right, Y: y}, kind})
	}
	across(Brake, max(0, w.left), min(w.right, float64(p.Brake.UsableLength)), 0)
	left, right := m.between(p.Blank.FaceIndex(s.Swinging))
	across(Nose, left, right, line)
	if s.Gauge <= 0 || s.GaugeFrom.Face == "" {
		return out
	}
	face := p.Blank.FaceIndex(s.GaugeFrom.Face)
	low, high := m.between(face)
	y := line + float64(s.Gauge)
	if m.swings(face) {
		y = line - float64(s.Gauge)
	}
	across(Gauge, low, high, y)
	x := (max(low, left) + min(high, right)) / 2
	out.Spots = append(out.Spots, Spot{What: GaugeSpot, At: geom.Point2{X: x, Y: y}, Seen: true},
		Spot{What: NoseSpot, At: geom.Point2{X: x, Y: line}, Seen: true})
	return out
}
