package learn

import (
	"math"

	"brakeside/calc/spc"
	"brakeside/calc/unit"
)

// Model is what is known after some readings. Several may look at once, but not
// while one observes.
type Model struct {
	settings Settings
	state    state
	counts   map[effect]int // readings by brake, material, cell and pack
	sums     map[string]spc.Sums
}

// New knows nothing but practice.
func New(s Settings) *Model {
	return &Model{settings: s, state: state{places: map[effect]int{}}, counts: map[effect]int{}, sums: map[string]spc.Sums{}}
}

// Surprise is how a reading compares with what was expected of it.
type Surprise struct {
	Expected unit.Deg // springback
	Off      unit.Deg // the reading's springback less Expected
	SD       unit.Deg // standard deviation of Off, the reading error with it
	Weight   float64  // what the reading counted: 1 fully, less the more it looks like a misread
	Moved    int      // +1 when readings on this brake have come to spring back more than expected, -1 when less, mostly 0
}

// Standard is Off in standard deviations.
func (s Surprise) Standard() float64 { return float64(s.Off / s.SD) }

// Observe takes a reading in. When the readings say that the brake has moved,
// its zero is believed no longer and learned anew, and the sums begin again.
func (m *Model) Observe(r Reading) Surprise {
	x := m.begin(r.Bend)
	m.state.blur(x.places[0], m.settings.Drift)
	mean, variance, with := m.state.expect(x)
	noise := m.settings.noise(r.Leg)
	expected := r.usual(mean)
	s := Surprise{Expected: expected, Off: r.Springback() - expected, SD: unit.Deg(math.Sqrt(variance + noise))}
	s.Weight = m.settings.weight(s.Standard())
	m.state.learn(with, float64(s.Off), variance+noise/s.Weight)
	for _, e := range r.effects() {
		m.counts[e]++
	}
	if s.Moved = m.watch(r.Brake, s.Standard()); s.Moved != 0 {
		m.state.blur(x.places[0], m.settings.Zero)
	}
	m.state.forget()
	return s
}

// usual is the springback expected by practice with something added to it.
func (b Bend) usual(more float64) unit.Deg {
	return b.usual90().Degrees*unit.Deg(share(b.Bend.Angle)) + unit.Deg(more)
}

// begin finds the unknowns of a bend and begins those that are new. What the
// trade knows of a material may be vaguer than the settings say.
func (m *Model) begin(b Bend) sum {
	s := m.settings
	vague := max(s.Material, b.usual90().SD())
	x := sum{weights: b.weights()}
	for i, e := range b.effects() {
		sd := []unit.Deg{s.Zero, vague, s.Cell, s.Pack}[i]
		x.places = append(x.places, m.state.place(e, float64(sd*sd)))
	}
	return x
}

// watch adds a surprise to the sums of a brake.
func (m *Model) watch(brake string, u float64) int {
	a := m.settings.Alarm
	c := spc.Cusum{Slack: a.Slack, Decision: a.Decision}
	sums := c.Next(m.sums[brake], clip(u, a.Most))
	moved := c.Signal(sums)
	if moved != 0 {
		sums = spc.Sums{}
	}
	m.sums[brake] = sums
	return moved
}
