package clash

import (
	"encoding/binary"
	"math"

	"brakeside/calc/fold"
)

// Answer is what one face does to the brake, in one pattern of the bends
// between it and the clamped face.
type Answer struct {
	Bed  Reach
	Leaf [2]Reach    // full, slim
	Bars []*BarReach // by number of the bar; nil for those not asked about
}

// Answer works out what a face does to the brake when the bends of made have
// been made; the bends of the bench themselves do not matter. The distances of
// what stays clear are left out: Measure finds them, and takes longer.
func (b *Bench) Answer(face int, made fold.Made) *Answer { return b.answer(face, made, b.Bars, nil) }

// Measure is Answer for one bar, with the smallest distance of what stays clear,
// to within Step. Nearest is the smallest found so far at the bed and the bar, to
// begin with infinite; what is sure to be farther away is not measured.
func (b *Bench) Measure(face int, made fold.Made, bar int, nearest *float64) *Answer {
	return b.answer(face, made, []int{bar}, nearest)
}

func (b *Bench) answer(face int, made fold.Made, bars []int, nearest *float64) *Answer {
	a := &Answer{Bed: newReach(), Leaf: [2]Reach{newReach(), newReach()}, Bars: make([]*BarReach, len(b.Brake.Bars))}
	subjects := b.subjects(face, made)
	for i := range subjects {
		subjects[i].nearest = nearest
	}
	for _, s := range subjects {
		b.bed(a, s)
		s.nearer(&a.Bed)
		b.leaf(a, s)
	}
	for _, bar := range bars {
		a.Bars[bar] = b.barReach(b.tool(bar), subjects)
	}
	return a
}

// Class numbers what a face does to the brake: two patterns of bends in which
// it blocks the same stretches of every body have the same class. Most faces
// are out of the way in most patterns, so there are few classes, and a planner
// that has asked about one set of bends knows the answer for all sets of equal
// classes.
func (b *Bench) Class(face int, made fold.Made) uint16 {
	return *b.classes[face].get(made, func() *uint16 { return b.class(face, made) })
}

// Kept is an answer of a class. All of the class block the same stretches, but
// at what angle and how deep may differ.
func (b *Bench) Kept(face int, class uint16) *Answer { return b.kept[face][class] }

func (b *Bench) class(face int, made fold.Made) *uint16 {
	a := b.Answer(face, made)
	key := appendReach(nil, &a.Bed)
	key = appendReach(key, &a.Leaf[0])
	key = appendReach(key, &a.Leaf[1])
	for _, bar := range b.Bars {
		for q := range a.Bars[bar] {
			key = appendReach(key, &a.Bars[bar][q])
		}
	}
	n, known := b.known[face][string(key)]
	if !known {
		n = new(uint16)
		*n = uint16(len(b.kept[face]))
		b.known[face][string(key)] = n
		b.kept[face] = append(b.kept[face], a)
	}
	return n
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
