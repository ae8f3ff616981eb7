package scene

import (
	"brakeside/calc/flat"
	"brakeside/calc/fold"
)

// Folding is the flat blank turning into the part, seen from the side from which the
// finished part is shown: the blank, then for every step so many pictures, the last of
// them with its bends made. A step is given by its joints.
func Folding(b *flat.Blank, steps [][]int, pictures int) []Picture {
	c := bestSide(settled(b, largest(b), fold.All(len(b.Joints))), nil)
	at := settled(b, largest(b), 0)
	out := []Picture{drawnThin(c, at)}
	for _, joints := range steps {
		at.moving = 0
		for _, j := range joints {
			at.moving = at.moving.With(j)
		}
		for k := range pictures {
			for _, j := range joints {
				at.shares[j] = float64(k+1) / float64(pictures)
			}
			out = append(out, drawnThin(c, at))
		}
	}
	return out
}

// drawnThin draws a part without its thickness, so that its pictures are as light as
// can be and the lines of one go on in the next.
func drawnThin(c camera, s *stage) Picture {
	m := (&scene{camera: c}).add(s, paper(s.blank))
	m.close()
	return Picture{Strokes: m.strokes()}
}
