package learn

import (
	"math"

	"brakeside/calc/unit"
)

// Told is one past reading beside what would have been said of it from the
// readings before it alone.
type Told struct {
	At       int      // place of the reading
	Measured unit.Deg // its springback
	// What the model, the table of practice and the last reading of the same
	// cell would have said. Without a last reading the table speaks.
	Learned, Table, Last unit.Deg
	Printed              unit.Deg // what its sheet said
	SD                   unit.Deg // of the model's, the reading error with it
	Basis                Basis
	Moved                int // see Surprise
}

// Replay goes through readings in their order.
func Replay(s Settings, all []Reading) []Told {
	m := New(s)
	last := map[effect]unit.Deg{} // springback at 90 degrees, by cell
	out := make([]Told, len(all))
	for i, r := range all {
		learned, sd := m.Told(r.Bend, r.Reader)
		basis, _, _ := m.basis(r.Bend)
		table := r.usual(0)
		t := Told{
			At: i, Measured: r.Springback(), Learned: learned, Table: table, Last: table,
			Printed: r.Printed, SD: sd, Basis: basis,
		}
		at := unit.Deg(share(r.Bend.Bend.Angle))
		if seen, found := last[r.cell()]; found {
			t.Last = seen * at
		}
		last[r.cell()] = r.Springback() / at
		t.Moved = m.Observe(r).Moved
		out[i] = t
	}
	return out
}

// Score sums a replay up: mean absolute errors in degrees.
type Score struct {
	N                    int
	Learned, Table, Last unit.Deg
	Printed              unit.Deg // what its sheet said
	Held                 float64  // share of readings within two standard deviations of what the model said
}

// Scored sums up; no readings score nothing.
func Scored(all []Told) Score {
	s := Score{N: len(all)}
	if s.N == 0 {
		return s
	}
	for _, t := range all {
		s.Learned += off(t, t.Learned)
		s.Table += off(t, t.Table)
		s.Last += off(t, t.Last)
		s.Printed += off(t, t.Printed)
		if off(t, t.Learned) <= 2*t.SD {
			s.Held++
		}
	}
	n := unit.Deg(s.N)
	s.Learned, s.Table, s.Last, s.Printed, s.Held = s.Learned/n, s.Table/n, s.Last/n, s.Printed/n, s.Held/float64(s.N)
	return s
}

func off(t Told, said unit.Deg) unit.Deg { return unit.Deg(math.Abs(float64(t.Measured - said))) }
