package learn

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"brakeside/calc/bend"
	"brakeside/calc/unit"
)

// When a change of a printed stop is proposed. Common practice, no source.
const (
	LeastChange   unit.Deg = 0.3 // a smaller one is noise
	MostChange    unit.Deg = 2   // never more at once
	LeastReadings          = 3
)

// sureOfGain is how many standard deviations a change must be on the safe side:
// that the stop comes nearer to the truth by it, or is not taken farther off by
// more than harmless.
const (
	sureOfGain          = 2.2
	harmless   unit.Deg = 0.1
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

// Reaching is the figure changed in its At90 so that it says this springback at
// this angle: what an owner typed.
func (f Figure) Reaching(springback, angle unit.Deg) Figure {
	f.At90 = (springback - f.Zero) / unit.Deg(share(angle))
	return f
}

// Unread is the figure of a cell that nobody has accepted one for: practice.
func (b Bend) Unread() Figure {
	usual := b.usual90()
	return Figure{At90: usual.Degrees, SD: usual.SD(), From: usual.From}
}

// Figure is what the model would print for a bend of any pack.
func (m *Model) Figure(b Bend) Figure {
	b.Pack = ""
	a := m.Next(b)
	return m.figure(b, a.Springback, a.SD, a.From)
}

// figure splits a springback into what the brake's zero adds and the rest.
func (m *Model) figure(b Bend, springback, sd unit.Deg, from string) Figure {
	f := Figure{SD: sd, From: from}
	if z, known := m.places[effect{kind: zero, name: b.Brake}]; known {
		f.Zero = unit.Deg(m.mean[z])
	}
	return f.Reaching(springback, b.Bend.Angle)
}

// tally adds up the readings of a cell, the newest counting most, as springback
// of the true angle.
type tally struct {
	n                  int
	weight, sum, share float64
	by                 Reader // of the first
	several            bool   // others read some as well
}

// fading is what a reading still counts in a tally when the next one comes.
const fading = 0.95

// tally adds a reading to those of its cell.
func (k *known) tally(r Reading) {
	t := k.tallies[r.cell()]
	back := float64(r.Springback())
	for _, e := range []effect{{kind: person, name: r.Person}, {kind: tool, name: r.Reader.Tool}} {
		if p, known := k.places[e]; known {
			back += k.mean[p]
		}
	}
	if t.n == 0 {
		t.by = r.Reader
	}
	t.n, t.several = t.n+1, t.several || t.by != r.Reader
	t.weight, t.sum, t.share = fading*t.weight+1, fading*t.sum+back, fading*t.share+share(r.Bend.Bend.Angle)
	k.tallies[r.cell()] = t
}

// off is by how much the readings spring back more than a figure says.
func (t tally) off(f Figure) unit.Deg {
	return unit.Deg((t.sum - float64(f.Zero)*t.weight - float64(f.At90)*t.share) / t.weight)
}

// Proposal is a change of the printed stop of a cell.
type Proposal struct {
	Now, Next unit.Deg // springback at the bend's angle
	Figure    Figure   // to print when it is accepted as it is
	SD        unit.Deg // of Wanted, as the readers of this shop on average see it
	N         int      // readings of the cell since its brake's scale last moved
	Wanted    unit.Deg // the springback that the model believes in
	Gain      unit.Deg // by how much the stop is expected to come nearer to the truth
}

// Change is how far the stop moves.
func (p Proposal) Change() unit.Deg { return p.Next - p.Now }

// Propose compares what a cell is printed with and what is known of it, of
// sheets from any pack. It proposes nothing from fewer than LeastReadings of the
// cell, nothing less than LeastChange, no more than the readings of the cell ask
// for, and no more than is sure to help: of a change by c from what is printed
// now, when the truth lies at c give or take SD, only so much is proposed that
// it takes the stop farther off, by more than harmless, in fewer than 1 of 70
// cases. It moves by at most MostChange, and by LeastChange where a single one of
// several people has read it: whoever misreads is known by the others. While the scale of the brake may have
// moved it proposes nothing, nor after it has, until that is settled.
func (m *Model) Propose(b Bend, printed Figure) (Proposal, bool) {
	b.Pack = ""
	mean, _ := m.look(b.terms(m.settings))
	_, variance := m.look(append(b.terms(m.settings), m.readers()...))
	t := m.tallies[b.cell()]
	p := Proposal{Now: printed.Springback(b.Bend.Angle), SD: unit.Deg(math.Sqrt(variance)), N: t.n, Wanted: b.usual(mean)}
	p.Next = p.Now
	if t.n < LeastReadings || m.unsettled(b.Brake) || m.moves[b.Brake] != 0 {
		return p, false
	}
	change := p.Wanted - p.Now
	asked := t.off(printed)
	if asked*change <= 0 {
		return p, false
	}
	size := min(abs(change), abs(asked), 2*(abs(change)+harmless/2-sureOfGain*p.SD), MostChange)
	if !t.several && len(m.digits) > 1 {
		size = min(size, LeastChange)
	}
	if size < 0 || hundredths(size) < hundredths(LeastChange) {
		return p, false
	}
	p.Next += unit.Deg(math.Copysign(float64(size), float64(change)))
	p.Gain = distance(p.Now-p.Wanted, p.SD) - distance(p.Next-p.Wanted, p.SD)
	p.Figure = m.figure(b, p.Next, p.SD, fmt.Sprintf("from %s of this material", readings(p.N)))
	return p, true
}

// readers are all who read and their tools, each by its share of the readings:
// what they read too high on average. No reading can show that, and so it is no
// reason to wait for more of them.
func (k *known) readers() (out []term) {
	total := map[kind]int{}
	for e, n := range k.counts {
		total[e.kind] += n
	}
	for _, e := range k.effects {
		if e.kind == person || e.kind == tool {
			out = append(out, term{e, -float64(k.counts[e]) / float64(max(1, total[e.kind])), 0})
		}
	}
	return out
}

// distance is how far off something normal is on average, whose mean is off by
// so much: sd sqrt(2/pi) exp(-z^2/2) + off (1 - 2 Phi(-z)) with z = off / sd.
func distance(off, sd unit.Deg) unit.Deg {
	if sd <= 0 {
		return abs(off)
	}
	z := float64(off / sd)
	return sd*unit.Deg(math.Sqrt(2/math.Pi)*math.Exp(-z*z/2)) + off*unit.Deg(1-2*distuv.UnitNormal.CDF(-z))
}

// hundredths is an angle as it is kept, so that 0.3 is not less than 0.3.
func hundredths(d unit.Deg) unit.CentiDeg { return d.CentiDeg() }

func abs(d unit.Deg) unit.Deg { return unit.Deg(math.Abs(float64(d))) }
