package learn

import (
	"math"

	"brakeside/calc/unit"
)

// Disagreement is how far those who read angles, or their protractors, differ.
// It names nobody: a gauge study tells, and that is what to propose.
type Disagreement struct {
	Apart unit.Deg // between the two that are farthest apart
	SD    unit.Deg // how well that is known
}

// When readers are said to disagree. Common practice, no source.
const (
	apartBy  = unit.Deg(0.4)
	apartSDs = 2.5
)

// Disagree reports whether some two readers or tools surely differ by as much as
// matters.
func (m *Model) Disagree() (worst Disagreement, is bool) {
	for p, e := range m.effects {
		for q := range p {
			if f := m.effects[q]; e.kind != f.kind || e.kind != person && e.kind != tool {
				continue
			}
			d := Disagreement{abs(unit.Deg(m.mean[p] - m.mean[q])), unit.Deg(math.Sqrt(m.at(p, p) + m.at(q, q) - 2*m.at(p, q)))}
			if d.Apart >= apartBy && d.Apart >= apartSDs*d.SD && d.Apart > worst.Apart {
				worst, is = d, true
			}
		}
	}
	return worst, is
}

// Telling is the one further bend that would tell apart what readings of a bend
// cannot.
type Telling int

// What would tell. The zero Telling is that nothing is mixed up.
const (
	NothingToTell Telling = iota
	AtTwoAngles           // the same strip to 45 and to 90: the scale's zero or the metal
	FromTwoPacks          // the same part from another pack: the pack or the material
)

// Two unknowns are mixed up when their sum is known to mixedSum or better and
// neither alone to mixedAlone. Common practice, no source.
const (
	mixedSum   = 0.4
	mixedAlone = 0.4
)

// Telling says what cannot be told apart of a bend.
func (m *Model) Telling(b Bend) Telling {
	var scale, metal, sheet []term
	for _, t := range b.terms(m.settings) {
		switch t.kind {
		case zero:
			scale = append(scale, t)
		case pack:
			sheet = append(sheet, t)
		default:
			metal = append(metal, t)
		}
	}
	switch all := append(metal[:len(metal):len(metal)], sheet...); {
	case m.counts[b.cell()] == 0:
		return NothingToTell
	case m.mixed(scale, all):
		return AtTwoAngles
	case len(sheet) > 0 && m.mixed(sheet, metal):
		return FromTwoPacks
	}
	return NothingToTell
}

// mixed reports whether two sums are known together and not apart.
func (k *known) mixed(a, b []term) bool {
	_, of := k.look(a)
	_, other := k.look(b)
	_, both := k.look(append(a[:len(a):len(a)], b...))
	return math.Sqrt(both) <= mixedSum && math.Sqrt(of) >= mixedAlone && math.Sqrt(other) >= mixedAlone
}
