package scene

import (
	"math"

	"brakeside/calc/flat"
	"brakeside/calc/fold"
	"brakeside/calc/geom"
)

// Turning a part over to show it must be worth this much: people look for the
// face they laid down.
const worthTurning = 1.25

// Finished is the finished part in isometric view, lying on its largest face: from
// the side that shows most of its edges, turned over only where that shows much
// more. A place of the blank that the mirror check names is in sight if any side
// shows it; nil for none.
func Finished(b *flat.Blank, mirror *geom.Point2) Picture {
	s := settled(b, largest(b), fold.All(len(b.Joints)))
	var chosen *mesh
	best, marked := math.Inf(-1), false
	for i, c := range sides() {
		m := looked(c, s)
		shown := 0.0
		for _, v := range m.visible() {
			if v.what == edgeLine {
				shown += v.at[1].Sub(v.at[0]).Length()
			}
		}
		if i >= 4 {
			shown /= worthTurning
		}
		_, seen := m.mirror(mirror)
		if seen && !marked || seen == marked && shown > best+1e-6 {
			best, chosen, marked = shown, m, seen
		}
	}
	out := Picture{Strokes: chosen.strokes(), Spots: append(chosen.faces(), chosen.bends()...)}
	if spot, _ := chosen.mirror(mirror); mirror != nil {
		out.Spots = append(out.Spots, spot)
	}
	return out
}

// looked looks at a part alone: with the thickness of its sheet where paper shows
// both faces.
func looked(c camera, s *stage) *mesh {
	thin := &scene{camera: c}
	m := thin.add(s, paper(s.blank))
	if thin.scale()*float64(s.blank.Sheet.Thickness) > twoFaces {
		m = (&scene{camera: c}).add(s, real(s.blank))
	}
	m.close()
	return m
}

// strokes lists what is seen, one stroke for what goes straight on.
func (c *scene) strokes() []Stroke {
	scale := c.scale()
	var out []Stroke
	for _, v := range c.visible() {
		apart := scale*v.wide > twoEnds
		if v.what == creaseLine && apart || v.what == tangentLine && !apart {
			continue
		}
		out = extended(out, Stroke{v.at[0], v.at[1], v.kind})
	}
	return out
}

// touching is how near two strokes end that are one, in millimetres of the part.
const touching = 0.01

// extended adds a stroke, or lengthens the last one by it.
func extended(out []Stroke, s Stroke) []Stroke {
	if n := len(out) - 1; n >= 0 && out[n].Kind == s.Kind && out[n].To.Sub(s.From).Length() < touching {
		before, on := out[n].To.Sub(out[n].From), s.To.Sub(s.From)
		if off := math.Abs(before.Unit().Cross(on)); off < touching && before.Dot(on) > 0 {
			out[n].To = s.To
			return out
		}
	}
	return append(out, s)
}
