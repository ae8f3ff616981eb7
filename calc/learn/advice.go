package learn

import (
	"fmt"
	"math"

	"brakeside/calc/unit"
)

// Basis is what an advice rests on.
type Basis int

// The bases. The zero basis is the weakest.
const (
	Guess      Basis = iota // practice, and what other bends told
	OfMaterial              // readings of this material, thickness, radius and bar
	OfPack                  // readings of this very pack
)

// Advice is where to stop the leaf.
type Advice struct {
	Stop       unit.Deg // bend angle: target and springback
	Springback unit.Deg
	SD         unit.Deg // standard deviation of the springback: how sure the advice is
	ReadingSD  unit.Deg // of what will be measured: SD and the scatter of readings
	Basis      Basis
	N          int    // readings of the basis
	From       string // the basis in words
}

// Next advises on a bend. Nothing is changed by asking.
func (m *Model) Next(b Bend) Advice {
	mean, variance := m.look(b)
	a := Advice{Springback: b.usual(mean), SD: unit.Deg(math.Sqrt(variance))}
	a.Stop = b.Bend.Angle + a.Springback
	a.ReadingSD = unit.Deg(math.Sqrt(variance + m.settings.noise(0)))
	a.Basis, a.N, a.From = m.basis(b)
	return a
}

// look gives mean and variance of what is added to the usual springback, without
// beginning any unknown: new ones are worth their first variance.
func (m *Model) look(b Bend) (mean, variance float64) {
	s := m.settings
	first := []unit.Deg{s.Zero, max(s.Material, b.usual90().SD()), s.Cell, s.Pack}
	weights := append(b.weights(), share(b.Bend.Angle)) // of an unnamed pack
	var x sum
	for i, e := range append(b.effects(), effect{pack, ""})[:4] {
		if p, known := m.state.places[e]; known {
			x.places, x.weights = append(x.places, p), append(x.weights, weights[i])
			continue
		}
		variance += math.Pow(weights[i]*float64(first[i]), 2)
	}
	if len(x.places) == 0 {
		return 0, variance
	}
	mean, known, _ := m.state.expect(x)
	return mean, variance + known
}

// basis tells how many readings stand behind the bend, and of what.
func (m *Model) basis(b Bend) (Basis, int, string) {
	all := b.effects()
	if len(all) > 3 {
		if n := m.counts[all[3]]; n > 0 {
			return OfPack, n, fmt.Sprintf("from %s of this pack", readings(n))
		}
	}
	if n := m.counts[all[2]]; n > 0 {
		return OfMaterial, n, fmt.Sprintf("from %s of this material", readings(n))
	}
	other := m.counts[all[0]]
	if n := m.counts[all[1]]; n > 0 {
		return Guess, 0, fmt.Sprintf("guess, with %s of this material in other sizes", readings(n))
	}
	if other > 0 {
		return Guess, 0, fmt.Sprintf("guess, with %s on this brake", readings(other))
	}
	return Guess, 0, "guess: " + b.usual90().From
}

func readings(n int) string {
	if n == 1 {
		return "1 reading"
	}
	return fmt.Sprintf("%d readings", n)
}

// Part is one term of an advice, in degrees at the bend's own angle.
type Part struct {
	Words   string
	Degrees unit.Deg
	SD      unit.Deg
}

// Parts takes the springback of a bend apart; the Degrees add up to that of
// Next. The SDs do not: the terms are known together better than each alone.
func (m *Model) Parts(b Bend) []Part {
	at := share(b.Bend.Angle)
	out := []Part{{Words: "usual for the material", Degrees: b.usual(0)}}
	words := []string{"zero of this brake's scale", "this material here", "this thickness, radius and bar", "this pack"}
	weights := b.weights()
	for i, e := range b.effects() {
		p, known := m.state.places[e]
		if !known {
			continue
		}
		sd := math.Sqrt(m.state.cov.At(p, p))
		out = append(out, Part{words[i], unit.Deg(weights[i] * m.state.mean[p]), unit.Deg(weights[i] * sd)})
	}
	out[0].SD = unit.Deg(at) * b.usual90().SD()
	return out
}

// Readings is how many readings there are of the bend's cell: its material,
// thickness, radius and bar.
func (m *Model) Readings(b Bend) int { return m.counts[effect{cell, b.cell()}] }
