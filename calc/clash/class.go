package clash

import (
	"encoding/binary"
	"math"

	"brakeside/calc/fold"
)

// Class numbers what a face does to the brake: two patterns of bends in which
// it blocks the same stretches of every body have the same class. Most faces
// are out of the way in most patterns, so there are few classes, and a planner
// that has asked about one set of bends knows the answer for all sets of equal
// classes.
func (b *Bench) Class(face int, made fold.Made) uint16 {
	return *b.classes[face].get(made, func() *uint16 { return b.class(face, made) })
}

func (b *Bench) class(face int, made fold.Made) *uint16 {
	r := b.Face(face, made)
	key := appendReach(nil, &r.Bed)
	key = appendReach(key, &r.Leaf[0])
	key = appendReach(key, &r.Leaf[1])
	for _, bar := range b.Bars {
		reach := b.BarReach(face, bar, made)
		for q := range reach {
			key = appendReach(key, &reach[q])
		}
	}
	n, known := b.known[face][string(key)]
	if !known {
		n = uint16(len(b.known[face]))
		b.known[face][string(key)] = n
	}
	return &n
}

// appendReach writes the blocked stretches, not the distances, which do not
// change what is possible.
func appendReach(key []byte, r *Reach) []byte {
	key = append(key, byte(len(r.Blocked)))
	for _, s := range r.Blocked {
		for _, v := range []float64{s.Low, s.High, s.Top} {
			key = binary.LittleEndian.AppendUint64(key, math.Float64bits(v))
		}
		if s.Stands {
			key = append(key, 1)
		}
	}
	return key
}
