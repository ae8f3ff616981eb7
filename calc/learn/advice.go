package learn

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"brakeside/calc/bend"
	"brakeside/calc/spc"
	"brakeside/calc/unit"
)

// Basis is what an advice rests on.
type Basis int

// The bases. The zero basis is the weakest.
const (
	Guess      Basis = iota // practice, and what other bends told
	OfStrip                 // a trial strip of this material, thickness, radius and bar
	OfMaterial              // readings of this material, thickness, radius and bar
	OfPack                  // readings of this very pack
)

// Advice is where to stop the leaf.
type Advice struct {
	Stop       unit.Deg // bend angle: target and springback
	Springback unit.Deg
	SD         unit.Deg // standard deviation of the springback: how sure the advice is
	ReadingSD  unit.Deg // of what will be measured: SD, the metal's scatter and the measuring
	Basis      Basis
	N          int    // readings of the basis
	From       string // the basis in words
}

// Next advises on a bend. Nothing is changed by asking.
func (m *Model) Next(b Bend) Advice {
	mean, variance := m.look(b.unpacked(m.settings))
	a := Advice{Springback: b.usual(mean), SD: unit.Deg(math.Sqrt(variance))}
	a.Stop = b.Bend.Angle + a.Springback
	a.ReadingSD = unit.Deg(math.Sqrt(variance + m.noise(m.settings, Reading{Bend: b})))
	a.Basis, a.N, a.From = m.basis(b)
	return a
}

// Told is the springback that a reading of the bend by this reader would show:
// that of Next, less what the reader reads too high.
func (m *Model) Told(b Bend, by Reader) (springback, sd unit.Deg) {
	mean, variance := m.look(append(b.unpacked(m.settings), by.terms(m.settings)...))
	return b.usual(mean), unit.Deg(math.Sqrt(variance + m.noise(m.settings, Reading{Bend: b, Reader: by})))
}

// unpacked is terms with a pack in any case: a sheet is of some pack, and of one
// without a name nothing is known.
func (b Bend) unpacked(s Settings) []term {
	out := b.terms(s)
	if b.Pack == "" {
		out = append(out, term{effect{kind: pack}, share(b.Bend.Angle), s.Pack})
	}
	return out
}

// look gives mean and variance of what is added to the usual springback, without
// beginning any unknown: new ones are worth their first variance.
func (k *known) look(terms []term) (mean, variance float64) {
	var x sum
	for _, t := range terms {
		if p, known := k.places[t.effect]; known {
			x.places, x.weights = append(x.places, p), append(x.weights, t.weight)
			continue
		}
		variance += math.Pow(t.weight*float64(t.sd), 2)
	}
	for i, p := range x.places {
		mean += x.weights[i] * k.mean[p]
		for j, q := range x.places {
			variance += x.weights[i] * x.weights[j] * k.at(p, q)
		}
	}
	return mean, variance
}

// basis tells how many readings stand behind the bend, and of what.
func (k *known) basis(b Bend) (Basis, int, string) {
	brake, metal := effect{kind: zero, name: b.Brake}, effect{kind: material, name: b.Sheet.Material.ID}
	if n := k.counts[b.pack()]; b.Pack != "" && n > 0 {
		return OfPack, n, fmt.Sprintf("from %s of this lot", readings(n))
	}
	if n := k.counts[b.cell()]; n > 0 {
		return OfMaterial, n, fmt.Sprintf("from %s of this material", readings(n))
	}
	if words, measured := k.strips[b.cell()]; measured {
		return OfStrip, 0, words
	}
	if n := k.counts[metal]; n > 0 {
		return Guess, 0, fmt.Sprintf("guess, with %s of this material in other sizes", readings(n))
	}
	if n := k.counts[brake]; n > 0 {
		return Guess, 0, fmt.Sprintf("guess, with %s on this brake", readings(n))
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

// partWords name the unknowns of an advice.
var partWords = map[kind]string{
	zero: "zero of this brake's scale", material: "this material here", grain: "along the grain", cell: "this thickness, radius and bar",
	band: "bends about this angle", pack: "this lot",
}

// Parts takes the springback of a bend apart; the Degrees add up to that of
// Next. The SDs do not: the terms are known together better than each alone.
func (m *Model) Parts(b Bend) []Part {
	usual := b.usual90()
	out := []Part{{Words: "usual for the material", Degrees: b.usual(0), SD: unit.Deg(share(b.Bend.Angle)) * usual.SD()}}
	for _, t := range b.terms(m.settings) {
		p, known := m.places[t.effect]
		if !known {
			continue
		}
		sd := math.Sqrt(m.at(p, p))
		out = append(out, Part{partWords[t.kind], unit.Deg(t.weight * m.mean[p]), unit.Deg(math.Abs(t.weight) * sd)})
	}
	return out
}

// Readings is how many readings taught of the bend's cell: its material,
// thickness, radius and bar.
func (m *Model) Readings(b Bend) int { return m.counts[b.cell()] }

// KnowsPack reports whether a reading of the pack of a material taught.
func (m *Model) KnowsPack(material, name string) bool {
	b := Bend{Pack: name}
	b.Sheet.Material.ID = material
	return m.counts[b.pack()] > 0
}

// Strip takes in a trial strip of the shop: what a bend sprang back by, measured
// with care, and in words where that comes from. It counts as one reading of its
// cell in any pack.
func (m *Model) Strip(b Bend, springback unit.Deg, from string) {
	b.Pack = ""
	x := m.begin(m.settings, b.terms(m.settings))
	mean, variance, with := m.expect(x)
	m.learn(with, float64(springback-b.usual(mean)), variance+square(m.settings.Strip))
	m.strips = put(m.strips, b.cell(), from)
	m.begins()
}

// Expected gives what the model knows of a bend to the planner, and whether it
// knows more than practice does.
func (m *Model) Expected(b Bend) (bend.Expected, bool) {
	a := m.Next(b)
	brake, metal := effect{kind: zero, name: b.Brake}, effect{kind: material, name: b.Sheet.Material.ID}
	if a.Basis == Guess && m.counts[brake] == 0 && m.counts[metal] == 0 {
		return bend.Expected{}, false
	}
	return bend.Expected{Degrees: a.Springback, Low: a.Springback - a.SD, High: a.Springback + a.SD, From: a.From}, true
}

// mostReaders is how many people, and how many tools, a small model knows.
const mostReaders = 16

// For is a small model that knows all this one does of some bends and of those
// who read most, and nothing of other bends: what is left of a joint normal
// distribution when the rest is not asked about. It answers and observes as this
// one would, and quickly, which a job needs that is under way; but it asks nobody
// about openings and finds no scale that has moved.
func (m *Model) For(bends ...Bend) *Model {
	wanted := m.regulars(mostReaders)
	for _, b := range bends {
		for _, t := range b.terms(m.settings) {
			wanted[t.effect] = true
		}
	}
	var places []int
	for p, e := range m.effects {
		if wanted[e] {
			places = append(places, p)
		}
	}
	for _, b := range bends {
		wanted[b.pack()] = true
	}
	out := m.known
	out.state = m.only(places)
	out.rivals, out.small = nil, true
	out.doubted, out.asked = maps.Clone(m.doubted), m.questions()
	out.counts, out.tallies, out.strips = within(m.counts, wanted), within(m.tallies, wanted), within(m.strips, wanted)
	out.precisions = within(m.precisions, wanted)
	out.digits = map[Reader]spc.Digits{}
	for r, d := range m.digits {
		if wanted.knows(r) {
			out.digits[r] = d
		}
	}
	return &Model{settings: m.settings, known: out}
}

// these are some unknowns.
type these map[effect]bool

// knows reports whether the person or the tool is among them.
func (t these) knows(r Reader) bool {
	return t[effect{kind: person, name: r.Person}] || t[effect{kind: tool, name: r.Tool}]
}

// knowsAll reports whether whoever is named, and whatever tool is, is among them.
func (t these) knowsAll(r Reader) bool {
	return (r.Person == "" || t[effect{kind: person, name: r.Person}]) && (r.Tool == "" || t[effect{kind: tool, name: r.Tool}])
}

// regulars are so many people who read most, and so many tools most used.
func (k *known) regulars(most int) these {
	out := these{}
	for _, of := range []kind{person, tool} {
		var all []effect
		for _, e := range k.effects {
			if e.kind == of {
				all = append(all, e)
			}
		}
		if len(all) > most {
			slices.SortStableFunc(all, func(a, b effect) int { return k.counts[b] - k.counts[a] })
			all = all[:most]
		}
		for _, e := range all {
			out[e] = true
		}
	}
	return out
}

// within is what a map says of what is wanted.
func within[V any](all map[effect]V, wanted these) map[effect]V {
	out := map[effect]V{}
	for e, v := range all {
		if wanted[e] {
			out[e] = v
		}
	}
	return out
}
