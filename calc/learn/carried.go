package learn

import (
	"maps"
	"math"
	"slices"

	"brakeside/calc/stock"
	"brakeside/calc/unit"
)

// Carried is what a phone takes along of a model, to go on by itself with the
// readings of one sheet while there is no network. It tells the stops that the
// model would tell after them.
//
// In a springback stands the zero of the brake's scale and, in proportion to the
// angle, all that is of the metal: material, grain, cell, band and pack, of which
// a sheet shows only the sum. Sums of what is jointly normal are jointly normal,
// so means and covariances of the zero, of each such sum and of who reads with
// what are enough to observe further readings exactly as the model does, see
// Model.Observe: with the drift of the zero, the weight by Student, the readings
// that are held back until another says the same, the most that one may move a
// stop, and the tails of who reads how far off. Only what the digits of the new
// readings tell of how finely they are read is left out. One who is not among the
// Readers counts as one of whom nothing was read. Angles are degrees.
type Carried struct {
	Means       []float64           `json:"mean"` // of the zero, of each metal, of each reader
	Covariances [][]float64         `json:"cov"`  // row i holds those with 0 to i
	Bends       map[int]CarriedBend `json:"bends"`
	Readers     []CarriedReader     `json:"readers"`
	Pairs       []CarriedPair       `json:"pairs"`
	Pack        string              `json:"pack"`   // readings of another pack teach nothing here
	Taught      int                 `json:"taught"` // readings of this pack
	OfJob       bool                `json:"of_job"` // the pack has no name: it is the job's own
	Held        *CarriedReading     `json:"held"`   // back, until another says the same; nil for none
	Errors      [2]float64          `json:"errors"` // as of a CarriedPair, of any other
	Habits      CarriedHabits       `json:"habits"`
}

// CarriedReader is a person or a tool.
type CarriedReader struct {
	Kind      string  `json:"kind"` // "by" or "tool"
	Name      string  `json:"name"`
	Precision float64 `json:"precision"` // of 0, see known.settleReader
}

// CarriedPair is somebody with a tool.
type CarriedPair struct {
	Person string     `json:"by"`
	Tool   string     `json:"tool"`
	Errors [2]float64 `json:"errors"` // variance of a reading error on a fair leg and on a short one
	Asked  bool       `json:"asked"`  // about the opening: bends given as bends teach nothing until there is an answer
}

// CarriedBend is a bend: its springback is Usual + zero + Share metal.
type CarriedBend struct {
	Metal int     `json:"metal"` // place of its metal
	Share float64 `json:"share"`
	Usual float64 `json:"usual"` // springback of practice
}

// CarriedReading is a reading that was made before.
type CarriedReading struct {
	CarriedBend
	Springback float64 `json:"springback"`
	Short      bool    `json:"short"` // on a short leg
	Person     string  `json:"by"`
	Tool       string  `json:"tool"`
}

// CarriedHabits are those of the Settings that count here.
type CarriedHabits struct {
	Drift    float64 `json:"drift"` // variance
	Person   float64 `json:"by"`    // variance
	Tool     float64 `json:"tool"`  // variance
	Apart    float64 `json:"apart"`
	Tails    float64 `json:"tails"`
	Doubt    float64 `json:"doubt"`
	FarOff   float64 `json:"far_off"`
	Most     float64 `json:"most"`      // that one reading moves a stop
	Reach    float64 `json:"reach"`     // share of the largest angle
	LeastLeg float64 `json:"least_leg"` // mm
}

// mostCarried is how many people, and how many tools, a phone takes along.
const mostCarried = 6

// Carry gives what a phone takes along for some bends of one brake and pack, by
// step.
func (m *Model) Carry(bends map[int]Bend) Carried {
	c := Carried{
		Bends: map[int]CarriedBend{}, Readers: []CarriedReader{}, Pairs: []CarriedPair{},
		Errors: m.carriedErrors(Reader{}), Habits: m.settings.carried(),
	}
	small, sheets := carrier{now: m.known.clone(), metals: map[metal]int{}}, effect{}
	for _, step := range slices.Sorted(maps.Keys(bends)) {
		b := bends[step]
		c.Bends[step], c.Pack, sheets = small.bend(m.settings, b), b.Pack, b.pack()
	}
	c.Taught = m.counts[sheets]
	if held, is := m.doubted[sheets]; is {
		c.Held = small.held(held)
	}
	regulars := m.regulars(mostCarried)
	for _, e := range m.effects {
		if regulars[e] {
			c.Readers = append(c.Readers, m.carriedReader(e))
			small.sums = append(small.sums, sum{[]int{m.places[e]}, []float64{1}})
		}
	}
	for _, who := range m.pairs() {
		if regulars.knowsAll(who) {
			c.Pairs = append(c.Pairs, CarriedPair{who.Person, who.Tool, m.carriedErrors(who), m.suspect(who)})
		}
	}
	c.Means, c.Covariances = small.joint()
	return c
}

// metal is what the springback of a bend has in it beside the zero.
type metal struct {
	band  effect // with its cell
	along bool   // the grain
}

func (b Bend) metal() metal { return metal{b.band(), b.Run == stock.Along} }

// carrier gathers the sums that are carried: of the zero, and of each metal.
type carrier struct {
	now    known // the model, with a place for all that is asked for
	sums   []sum
	metals map[metal]int // place among the sums
}

func (c *carrier) bend(s Settings, b Bend) CarriedBend {
	x := c.now.begin(s, b.terms(s))
	if len(c.sums) == 0 {
		c.sums = append(c.sums, sum{x.places[:1], []float64{1}})
	}
	if _, known := c.metals[b.metal()]; !known {
		c.metals[b.metal()] = len(c.sums)
		c.sums = append(c.sums, sum{x.places[1:], slices.Repeat([]float64{1}, len(x.places)-1)})
	}
	return c.of(b)
}

func (c *carrier) of(b Bend) CarriedBend {
	return CarriedBend{c.metals[b.metal()], share(b.Bend.Angle), float64(b.usual(0))}
}

// held is a reading that is held back; nil when it was of another metal.
func (c *carrier) held(r Reading) *CarriedReading {
	if _, known := c.metals[r.metal()]; !known {
		return nil
	}
	return &CarriedReading{c.of(r.Bend), float64(r.Springback()), r.short(), r.Person, r.Reader.Tool}
}

// joint gives the means and covariances of the sums, to a millionth.
func (c *carrier) joint() (means []float64, covariances [][]float64) {
	for i, x := range c.sums {
		mean, _, with := c.now.expect(x)
		means = append(means, millionth(mean))
		row := make([]float64, i+1)
		for j, y := range c.sums[:i+1] {
			row[j] = millionth(y.of(with))
		}
		covariances = append(covariances, row)
	}
	return means, covariances
}

func millionth(v float64) float64 { return math.Round(v*1e6) / 1e6 }

// carriedErrors are the variances of a reading error on a fair leg and on a short
// one, without what comes of not knowing who reads.
func (m *Model) carriedErrors(by Reader) (out [2]float64) {
	for i, leg := range []unit.MM{0, LeastLeg / 2} {
		out[i] = millionth(m.noise(m.settings, Reading{Reader: by, Leg: leg}) - by.unnamed(m.settings))
	}
	return out
}

// kinds of readers, as a reading names them.
var readerKinds = map[kind]string{person: "by", tool: "tool"}

func (m *Model) carriedReader(e effect) CarriedReader {
	precision, settled := m.precisions[e]
	if !settled {
		precision = 1 / square(map[kind]unit.Deg{person: m.settings.Person, tool: m.settings.Tool}[e.kind])
	}
	return CarriedReader{readerKinds[e.kind], e.name, millionth(precision)}
}

// pairs lists those whose digits were seen, by name.
func (k *known) pairs() []Reader { return slices.SortedFunc(maps.Keys(k.digits), compareReaders) }

func (s Settings) carried() CarriedHabits {
	return CarriedHabits{
		Drift: millionth(square(s.Drift)), Person: millionth(square(s.Person)), Tool: millionth(square(s.Tool)),
		Apart: s.Apart, Tails: s.Tails, Doubt: s.Doubt, FarOff: float64(FarOff),
		Most: float64(s.MostFromOne), Reach: share(MostAngle), LeastLeg: float64(LeastLeg),
	}
}
