package learn

import (
	"math"
	"testing"

	"brakeside/calc/bend"
	"brakeside/calc/unit"
)

// readTimes observes the same springback so often.
func readTimes(m *Model, b Bend, springback unit.Deg, times int) {
	for range times {
		m.Observe(read(b, springback))
	}
}

// A change is proposed from three readings of the cell and 0.3 degrees on, and
// goes 2 degrees at most.
func TestPropose(t *testing.T) {
	for _, c := range []struct {
		name       string
		springback unit.Deg
		times      int
		proposed   bool
	}{
		{"two readings far off", 5, 2, false}, {"three readings", 5, 3, true}, {"three readings as printed", 1.5, 3, false},
		{"hardly off", 1.6, 30, false}, {"well off the other way", 0, 30, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			m, b := New(Usual), bent(t, "mild-steel", 90)
			readTimes(m, b, c.springback, c.times)
			p, is := m.Propose(b, b.Unread())
			if is != c.proposed || p.N != c.times || p.Now != 1.5 {
				t.Fatalf("Propose = %+v, %v, want proposed %v", p, is, c.proposed)
			}
			if is && (math.Abs(float64(p.Change())) > 2 || math.Abs(float64(p.Change())) < 0.295 || !near(p.Figure.Springback(90), p.Next, 1e-9)) {
				t.Errorf("Propose = %+v: figure says %v", p, p.Figure.Springback(90))
			}
		})
	}
}

// The edge itself: 0.3 as kept is proposed, 0.29 is not.
func TestProposeEdge(t *testing.T) {
	m, b := New(Usual), bent(t, "mild-steel", 90)
	readTimes(m, b, 2.5, 5)
	any := b
	any.Pack = ""
	wanted := m.Next(any).Springback
	for change, want := range map[unit.Deg]bool{0.3: true, -0.3: true, 0.29: false, -0.29: false, 0: false, 0.2949: false} {
		_, is := m.Propose(b, Figure{At90: wanted - change})
		if is != want {
			t.Errorf("a change of %v proposed: %v, want %v", change, is, want)
		}
	}
	p, _ := m.Propose(b, Figure{At90: wanted - 5})
	if !near(p.Change(), 2, 1e-9) || !near(p.Wanted, wanted, 1e-9) {
		t.Errorf("5 degrees off: %+v, want a change of 2", p)
	}
	p, _ = m.Propose(b, Figure{At90: wanted + 5})
	if !near(p.Change(), -2, 1e-9) {
		t.Errorf("5 degrees too much: %+v, want a change of -2", p)
	}
}

// Readings of other cells never make three.
func TestProposeCountsItsCell(t *testing.T) {
	m, b := New(Usual), bent(t, "mild-steel", 90)
	other := b
	other.Tool.Bar = "narrow"
	readTimes(m, other, 6, 20)
	readTimes(m, b, 6, 2)
	if p, is := m.Propose(b, b.Unread()); is {
		t.Errorf("proposed %+v from two readings of the cell", p)
	}
}

// A figure puts the brake's zero at every angle and the metal's part in
// proportion; what the owner types is reached.
func TestFigure(t *testing.T) {
	f := Figure{Zero: 0.5, At90: 2, SD: 0.3, From: "from 7 readings of this material"}
	if f.Springback(90) != 2.5 || f.Springback(45) != 1.5 {
		t.Errorf("Springback = %v at 90, %v at 45, want 2.5 and 1.5", f.Springback(90), f.Springback(45))
	}
	edited := f.Reaching(2, 45)
	if !near(edited.Springback(45), 2, 1e-9) || edited.Zero != 0.5 {
		t.Errorf("Reaching(2 at 45) = %+v says %v", edited, edited.Springback(45))
	}
	if got, want := f.Expected(90), (bend.Expected{Degrees: 2.5, Low: 2.2, High: 2.8, From: f.From}); got != want {
		t.Errorf("Expected(90) = %+v, want %+v", got, want)
	}
}

// strip makes a strip of mild steel 1.5 that used up what this K says.
func strip(k float64, off unit.MM) Strip {
	b := bend.Bend{Angle: 90, Radius: 1.5, Thickness: 1.5, K: k}
	return Strip{Bend: b, Deduction: b.Deduction() + off}
}

// One strip by hand: K known to 0.05 before and to 0.15 / (1.5 x pi/2) = 0.06366
// from the strip; the mean lies 0.05^2/(0.05^2+0.06366^2) of the way. The
// strip is 0.08/sqrt(0.0025+0.00405) = 0.99 spreads off: it counts almost full.
func TestLearnK(t *testing.T) {
	got := LearnK(0.33, []Strip{strip(0.41, 0)})
	of := 0.0025 / (0.0025 + 0.004053)
	if math.Abs(got.K-(0.33+of*0.08)) > 0.003 || got.N != 1 || got.From != "from 1 reading of measured legs" {
		t.Errorf("LearnK(one strip of 0.41) = %+v, want about %v", got, 0.33+of*0.08)
	}
	many := make([]Strip, 40)
	for i := range many {
		many[i] = strip(0.41, 0)
	}
	if got := LearnK(0.33, many); math.Abs(got.K-0.4069) > 0.0005 || got.SD > 0.012 {
		t.Errorf("LearnK(forty strips) = %+v, want 0.4069: of 40 x 246.8 + 400, all but 400 say 0.41", got)
	}
	if got := LearnK(0.33, nil); got.K != 0.33 || got.N != 0 || got.From != "guess: the shop's rule" {
		t.Errorf("LearnK(none) = %+v, want the rule", got)
	}
	flat := Strip{Bend: bend.Bend{Angle: 10, Radius: 1.5, Thickness: 1.5}}
	if got := LearnK(0.33, []Strip{flat}); got.N != 0 || got.K != 0.33 {
		t.Errorf("LearnK(a bend of 10 degrees) = %+v, want nothing learned", got)
	}
}

// A slip of 3 mm in one of six strips moves K little.
func TestLearnKMisread(t *testing.T) {
	good := []Strip{strip(0.38, 0), strip(0.38, 0.1), strip(0.38, -0.1), strip(0.38, 0), strip(0.38, 0)}
	a, b := LearnK(0.33, good), LearnK(0.33, append(good, strip(0.38, 3)))
	if math.Abs(a.K-b.K) > 0.03 {
		t.Errorf("K %v without the slip, %v with it", a.K, b.K)
	}
}

// What is learned of K gives the deduction back: simulated strips, and the laws
// of a proposal.
func TestProposeK(t *testing.T) {
	now := bend.Bend{Angle: 90, Radius: 1.5, Thickness: 1.5, K: 0.33}
	perK := 1.5 * math.Pi / 2
	for _, c := range []struct {
		name     string
		k        K
		proposed bool
		change   float64 // of the deduction
	}{
		{"two strips", K{K: 0.45, N: 2}, false, 0},
		{"three strips", K{K: 0.45, N: 3}, true, -0.12 * perK},
		{"hardly off", K{K: 0.33 + 0.09/perK, N: 9}, false, 0},
		{"a tenth", K{K: 0.33 + 0.1/perK, N: 9}, true, -0.1},
		{"shorter", K{K: 0.33 - 0.2/perK, N: 9}, true, 0.2},
		{"too much at once", K{K: 0.33 - 0.9/perK, N: 9}, true, 0.5},
	} {
		p, is := c.k.Propose(now)
		if is != c.proposed || math.Abs(float64(p.DeductionChange)-c.change) > 1e-9 {
			t.Errorf("%s: Propose = %+v, %v, want %v, %v", c.name, p, is, c.proposed, c.change)
		}
		if is {
			next := now
			next.K = p.Next
			if got := float64(next.Deduction() - now.Deduction()); math.Abs(got-c.change) > 1e-9 {
				t.Errorf("%s: K %v changes the deduction by %v, want %v", c.name, p.Next, got, c.change)
			}
		}
	}
}

// A replay by hand: two bends of one cell and one of another. The second of the
// cell is predicted by the first as last value, in proportion to the angle.
func TestReplay(t *testing.T) {
	first, second, other := bent(t, "mild-steel", 90), bent(t, "mild-steel", 45), bent(t, "304", 90)
	log := []Reading{read(first, 2), read(second, 1.2), read(other, 5)}
	told := Replay(Usual, log)
	want := []struct{ table, last unit.Deg }{{1.5, 1.5}, {0.75, 1}, {4, 4}}
	for i, w := range want {
		if !near(told[i].Table, w.table, 1e-9) || !near(told[i].Last, w.last, 1e-9) || told[i].At != i {
			t.Errorf("Replay[%d] = %+v, want table %v and last %v", i, told[i], w.table, w.last)
		}
	}
	if told[0].Learned != told[0].Table || told[0].Basis != Guess || told[1].Basis != OfPack {
		t.Errorf("Replay = %+v: the first reading is told by the table, the second from its pack", told)
	}
	s := Scored(told)
	if s.N != 3 || !near(s.Table, unit.Deg((0.5+0.45+1)/3), 1e-9) || !near(s.Last, unit.Deg((0.5+0.2+1)/3), 1e-9) {
		t.Errorf("Scored = %+v", s)
	}
	if got := Scored(nil); got != (Score{}) {
		t.Errorf("Scored(none) = %+v", got)
	}
}

// Only earlier readings speak: changing a reading changes nothing told of it or
// of those before.
func TestReplayLooksBackOnly(t *testing.T) {
	s := newShop(9, theSpreads)
	var log []Reading
	for number := range 5 {
		j := s.job(number)
		for range 4 {
			_, seen := s.bent(j, 92)
			log = append(log, Reading{Bend: j.bend, Stop: 92, Measured: seen})
		}
	}
	before := Replay(Usual, log)
	const changed = 10
	log[changed].Measured += 3
	after := Replay(Usual, log)
	for i := range changed + 1 {
		if before[i].Learned != after[i].Learned || before[i].Last != after[i].Last || before[i].SD != after[i].SD {
			t.Errorf("reading %d: told %+v, after changing reading %d %+v", i, before[i], changed, after[i])
		}
	}
	if before[changed+1].Learned == after[changed+1].Learned {
		t.Error("the reading after the changed one is told as before")
	}
}
