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
	m := looked(bestSide(s, mirror), s)
	out := Picture{Strokes: m.strokes(), Spots: append(m.faces(), m.bends()...)}
	if spot, _ := m.mirror(mirror); mirror != nil {
		out.Spots = append(out.Spots, spot)
	}
	return out
}

// bestSide chooses the side from which a part is seen; what each shows is told well
// enough by a sheet without thickness.
func bestSide(s *stage, mirror *geom.Point2) (chosen camera) {
	best, marked := math.Inf(-1), false
	for i, c := range sides() {
		m := (&scene{camera: c}).add(s, paper(s.blank))
		m.close()
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
			best, chosen, marked = shown, c, seen
		}
	}
	return chosen
}
