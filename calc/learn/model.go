package learn

import (
	"maps"
	"math"
	"slices"

	"brakeside/calc/spc"
	"brakeside/calc/unit"
)

// Model is what is known after some readings. Several may look at once, but not
// while one observes or clones.
type Model struct {
	settings Settings
	known
	history
}

// known is all that readings change.
type known struct {
	state
	n       int                   // readings
	counts  map[effect]int        // readings that taught, by brake, material, cell and pack
	tallies map[effect]tally      // of a cell
	digits  map[Reader]spc.Digits // of what each reads
	doubted map[effect]Reading    // held back, by pack or brake
	rivals  []*rival
	asked   map[Reader]*question
	small   bool // of one job, see For: it holds no rival accounts and goes back behind nothing

	// Few readings change these. Clones share them: see put.
	studied    map[string]float64  // variance of measuring with a tool, from its gauge study
	precisions map[effect]float64  // of 0, of who reads and with what
	moves      map[string]unit.Deg // of the scales of brakes, not settled yet
	strips     map[effect]string   // of a cell, where its trial strip comes from
	trusted    map[Reader]bool     // who said once that it was the bend angle
}

// put gives a map with one more entry and leaves the map itself to those who share it.
func put[K comparable, V any](m map[K]V, key K, value V) map[K]V {
	out := make(map[K]V, len(m)+1)
	maps.Copy(out, m)
	out[key] = value
	return out
}

// without gives a map with an entry less and leaves the map itself to those who share
// it.
func without[K comparable, V any](m map[K]V, key K) map[K]V {
	out := maps.Clone(m)
	delete(out, key)
	return out
}

// New knows nothing but practice.
func New(s Settings) *Model {
	return &Model{settings: s, known: known{
		state: state{places: map[effect]int{}}, counts: map[effect]int{}, tallies: map[effect]tally{}, digits: map[Reader]spc.Digits{},
		studied: map[string]float64{}, strips: map[effect]string{}, moves: map[string]unit.Deg{}, precisions: map[effect]float64{},
		doubted: map[effect]Reading{}, asked: map[Reader]*question{}, trusted: map[Reader]bool{},
	}}
}

// clone copies what each reading changes.
func (k *known) clone() known {
	out := *k
	out.state = k.state.clone()
	out.counts, out.tallies, out.digits = maps.Clone(k.counts), maps.Clone(k.tallies), maps.Clone(k.digits)
	out.doubted, out.asked = maps.Clone(k.doubted), k.questions()
	out.rivals = make([]*rival, len(k.rivals))
	for i, r := range k.rivals {
		again := *r
		again.off = slices.Clone(r.off)
		out.rivals[i] = &again
	}
	return out
}

// Clone copies the model, for whoever asks while another goes on observing.
func (m *Model) Clone() *Model {
	return &Model{settings: m.settings, known: m.known.clone(), history: m.history.clone()}
}

// Surprise is how a reading compares with what was expected of it.
type Surprise struct {
	Expected unit.Deg // springback
	Off      unit.Deg // the reading's springback less Expected
	SD       unit.Deg // standard deviation of Off, the reading error with it
	Weight   float64  // what the reading counted: 1 fully, less the more it looks like a misread, 0 when it taught nothing
	Moved    int      // +1 when the scale of this brake has moved so that bends spring back more, -1 when less, mostly 0
	By       unit.Deg // by how much, when it has moved
	Ago      int      // how many readings of the model before this one it seems to have moved
	Opening  bool     // the reader seems to log the opening: to be asked, see Model.Asked
}

// Standard is Off in standard deviations.
func (s Surprise) Standard() float64 { return float64(s.Off / s.SD) }

// Observe takes a reading in.
func (m *Model) Observe(r Reading) Surprise {
	m.remember(r)
	s := m.observe(m.settings, r)
	if s.Opening {
		m.takeBack(r.Reader)
	}
	return s
}

// reckoned is a reading against the state: what Observe works with.
type reckoned struct {
	x              sum
	expected, off  float64
	with           []float64
	variance, seen float64 // of the expectation, and of what is seen
}

func (k *known) reckon(s Settings, r Reading, x sum) reckoned {
	mean, variance, with := k.expect(x)
	expected := float64(r.usual(mean))
	return reckoned{x, expected, float64(r.Springback()) - expected, with, variance, variance + k.noise(s, r)}
}

func (k *known) observe(s Settings, r Reading) Surprise {
	k.n++
	k.note(r)
	x := k.begin(s, r.terms(s))
	k.blur(x.places[0], square(s.Drift))
	c := k.reckon(s, r, x)
	confirmed := k.supported(s, r, c)
	if confirmed { // what was held back was right
		before := k.doubted[r.source()]
		k.teach(s, before, k.reckon(s, before, k.begin(s, before.terms(s))), s.agreed())
		c = k.reckon(s, r, x)
	}
	out := Surprise{Expected: unit.Deg(c.expected), Off: unit.Deg(c.off), SD: unit.Deg(math.Sqrt(c.seen))}
	if !k.small {
		k.weighRivals(s, r, c)
	}
	if out.Weight = k.decide(s, r, c, confirmed); k.small {
		return out
	}
	out.Moved, out.By, out.Ago = k.moved(s, r.Brake)
	out.Opening = k.opens(s, r.Reader)
	k.forget()
	return out
}

// source is what a doubted reading is held back with: its pack, else its brake.
func (r Reading) source() effect {
	if r.Pack != "" {
		return r.pack()
	}
	return effect{kind: zero, name: r.Brake}
}

// supported reports whether a reading says the same as one that was held back:
// off on the same side, by half as much at least.
func (k *known) supported(s Settings, r Reading, c reckoned) bool {
	before, doubted := k.doubted[r.source()]
	if !doubted || k.suspect(r.Reader) || math.Abs(c.off) >= float64(FarOff) {
		return false
	}
	earlier := k.reckon(s, before, k.begin(s, before.terms(s)))
	return c.off*earlier.off > 0 && math.Abs(c.off) > math.Abs(earlier.off)/2
}

// decide lets a reading teach, holds it back, or leaves it out.
func (k *known) decide(s Settings, r Reading, c reckoned, confirmed bool) (weight float64) {
	delete(k.doubted, r.source())
	switch {
	case math.Abs(c.off) >= float64(FarOff):
		return 0
	case k.suspect(r.Reader) && !r.Opening:
		k.asked[r.Reader].hold(r)
		return 0
	case confirmed:
		return k.teach(s, r, c, s.agreed())
	case math.Abs(c.off) > s.Doubt*math.Sqrt(c.seen):
		k.doubted[r.source()] = r
		return 0
	}
	return k.teach(s, r, c, trust{s.weight(c.off / math.Sqrt(c.seen)), s.MostFromOne})
}

// trust is how far a reading is followed.
type trust struct {
	weight float64  // what it counts
	most   unit.Deg // that it moves a stop
}

// agreed is the trust in each of two readings that say the same and are taken in
// together.
func (s Settings) agreed() trust { return trust{1, s.MostFromOne / 2} }

// teach takes a reading in and says what it counted.
func (k *known) teach(s Settings, r Reading, c reckoned, t trust) (weight float64) {
	variance := max(c.variance+(c.seen-c.variance)/t.weight, k.leastVariance(r, c)/float64(t.most))
	k.followRivals(r, c, variance)
	k.learn(c.with, c.off, variance)
	brake, metal := effect{kind: zero, name: r.Brake}, effect{kind: material, name: r.Sheet.Material.ID}
	who, with := effect{kind: person, name: r.Person}, effect{kind: tool, name: r.Reader.Tool}
	for _, e := range []effect{brake, metal, r.cell(), r.pack(), who, with} {
		k.counts[e]++
	}
	k.tally(r)
	k.settleReader(s, r.Reader)
	return t.weight
}

// settleReader doubts less that somebody reads right who seems to, and more that
// somebody does who does not. Most people and protractors are right and a few
// are far off: how much too high they read is spread as by Student's
// distribution with Settings.Apart degrees of freedom, which is a normal one of
// unknown precision. With mean m and variance v of what is known, that precision
// is (Apart + 1) / (Apart sd^2 + m^2 + v) on average; the difference to what it
// was taken for counts as one more reading of 0.
func (k *known) settleReader(s Settings, r Reader) {
	for _, t := range r.terms(s) {
		if t.sd == 0 {
			continue
		}
		p := k.places[t.effect]
		before, taken := k.precisions[t.effect]
		if !taken {
			before = 1 / square(t.sd)
		}
		now := (s.Apart + 1) / (s.Apart*square(t.sd) + k.mean[p]*k.mean[p] + k.at(p, p))
		more := now - before
		if math.Abs(more) < before/20 {
			continue
		}
		k.precisions = put(k.precisions, t.effect, now)
		x := sum{[]int{p}, []float64{1}}
		mean, variance, with := k.expect(x)
		variance += 1 / more // of a seen 0; below 0 where one is taken back
		for _, v := range k.rivals {
			v.follow(with, -x.of(v.off)/variance)
		}
		k.learn(with, -mean, variance)
	}
}

// leastVariance is how little may be seen of a reading so that it moves no stop
// of its bend, at any angle up to MostAngle, by more than a degree: a stop moves
// by a straight line over the angle.
func (k *known) leastVariance(r Reading, c reckoned) float64 {
	metal := 0.0
	for i, p := range c.x.places[1:] {
		if kind := k.effects[p].kind; kind != person && kind != tool {
			metal += c.x.weights[i+1] * c.with[p]
		}
	}
	flat := c.with[c.x.places[0]]
	if at := share(r.Bend.Bend.Angle); at > 0 {
		metal *= share(MostAngle) / at
	}
	return max(math.Abs(flat), math.Abs(flat+metal)) * math.Abs(c.off)
}

// usual is the springback expected by practice with something added to it.
func (b Bend) usual(more float64) unit.Deg {
	return b.usual90().Degrees*unit.Deg(share(b.Bend.Angle)) + unit.Deg(more)
}

// begin finds unknowns and begins those that are new.
func (k *known) begin(s Settings, terms []term) sum {
	x := sum{make([]int, len(terms)), make([]float64, len(terms))}
	for i, t := range terms {
		x.places[i], x.weights[i] = k.place(t.effect, square(t.sd)), t.weight
	}
	for _, r := range k.rivals {
		r.reach(len(k.mean))
	}
	return x
}

// noise is the variance of the error of a reading: the metal's scatter, the
// measuring, the rounding, and who read it when that was not said. What a gauge
// study found of a tool stands for measuring and rounding.
func (k *known) noise(s Settings, r Reading) float64 {
	v := square(s.Metal) + r.unnamed(s)
	if studied, is := k.studied[r.Reader.Tool]; is {
		return v + max(studied, 0)
	}
	digits := k.digits[r.Reader]
	return v + s.measuring(r) + digits.Variance()
}

// note takes in the digits of a reading.
func (k *known) note(r Reading) {
	d := k.digits[r.Reader]
	d.Add(float64(r.Measured))
	k.digits[r.Reader] = d
}

// forget drops the packs used longest ago.
func (k *known) forget() {
	for len(k.packs) > mostPacks {
		delete(k.doubted, k.packs[0])
		k.leave(k.places[k.packs[0]])
	}
}

// leave drops an unknown, from the rivals as well.
func (k *known) leave(place int) {
	k.packs = slices.DeleteFunc(k.packs, func(p effect) bool { return p == k.effects[place] })
	k.drop(place)
	for _, r := range k.rivals {
		r.off = slices.Delete(r.off, place, place+1)
	}
}

// Studied tells what a gauge study found of a protractor: from then on its
// readings err by that much.
func (m *Model) Studied(tool string, result spc.GaugeResult) {
	m.studied = put(m.studied, tool, result.Measuring*result.Measuring)
	m.begins()
}

// Step is what somebody reads a tool to, and whether the digits show it yet.
func (m *Model) Step(r Reader) (step unit.Deg, known bool) {
	d := m.digits[r]
	v, known := d.Step()
	return unit.Deg(v), known
}
