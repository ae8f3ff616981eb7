package learn

import (
	"fmt"
	"math"

	"brakeside/calc/bend"
	"brakeside/calc/unit"
)

// When a change of a printed stop is proposed. Common practice, no source.
const (
	LeastChange   unit.Deg = 0.3 // a smaller one is noise
	MostChange    unit.Deg = 2   // never more at once
	LeastReadings          = 3
)

// Figure is the springback that a shop prints for one cell, as the owner
// accepted it: what the brake's zero adds, and what the metal springs back at
// 90 degrees.
type Figure struct {
	Zero, At90 unit.Deg
	SD         unit.Deg
	From       string // as printed beside the stop
}

// Springback is what the figure says of a bend angle.
func (f Figure) Springback(angle unit.Deg) unit.Deg { return f.Zero + f.At90*unit.Deg(share(angle)) }

// Expected gives the figure to the planner.
func (f Figure) Expected(angle unit.Deg) bend.Expected {
	s := f.Springback(angle)
	return bend.Expected{Degrees: s, Low: s - f.SD, High: s + f.SD, From: f.From}
}

// Unread is the figure of a cell that nobody has accepted one for: practice.
func (b Bend) Unread() Figure {
	usual := b.usual90()
	return Figure{At90: usual.Degrees, SD: usual.SD(), From: usual.From}
}

// Proposal is a change of the printed stop of a cell.
type Proposal struct {
	Now, Next unit.Deg // springback at the bend's angle
	Figure    Figure   // to print when it is accepted as it is
	SD        unit.Deg
	N         int
	Wanted    unit.Deg // the springback without MostChange
}

// Change is how far the stop moves.
func (p Proposal) Change() unit.Deg { return p.Next - p.Now }

// Propose compares what a cell is printed with and what the readings say of a
// sheet from any pack. It proposes nothing for less than LeastChange or from
// fewer than LeastReadings of the cell, and moves by at most MostChange.
func (m *Model) Propose(b Bend, printed Figure) (Proposal, bool) {
	b.Pack = ""
	a := m.Next(b)
	p := Proposal{Now: printed.Springback(b.Bend.Angle), SD: a.SD, N: m.Readings(b), Wanted: a.Springback}
	change := p.Wanted - p.Now
	if p.N < LeastReadings || hundredths(change) < hundredths(LeastChange) {
		return p, false
	}
	p.Next = p.Now + unit.Deg(clip(float64(change), float64(MostChange)))
	p.Figure = m.figure(b, p)
	return p, true
}

// hundredths is the size of an angle as it is kept, so that 0.3 is not less
// than 0.3.
func hundredths(d unit.Deg) unit.CentiDeg { return unit.Deg(math.Abs(float64(d))).CentiDeg() }

// figure splits a springback into what the brake's zero adds and the rest.
func (m *Model) figure(b Bend, p Proposal) Figure {
	f := Figure{SD: p.SD, From: fmt.Sprintf("from %s of this material", readings(p.N))}
	if z, known := m.state.places[effect{zero, b.Brake}]; known {
		f.Zero = unit.Deg(m.state.mean[z])
	}
	return f.Reaching(p.Next, b.Bend.Angle)
}

// Reaching is the figure changed in its At90 so that it says this springback at
// this angle: what an owner typed.
func (f Figure) Reaching(springback, angle unit.Deg) Figure {
	f.At90 = (springback - f.Zero) / unit.Deg(share(angle))
	return f
}
