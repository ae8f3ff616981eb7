package learn

import (
	"math"
	"math/rand/v2"
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

// settled is a model of a bend that many packs have told much of, all the same.
func settled(t *testing.T, springback unit.Deg) (*Model, Bend) {
	m, b := New(Usual), bent(t, "mild-steel", 90)
	for number := range 40 {
		b.Pack = string(rune('A' + number))
		readTimes(m, b, springback, 3)
	}
	return m, b
}

// A change is proposed from three readings of the cell and 0.3 degrees on, when
// they say so surely, and goes 2 degrees at most.
func TestPropose(t *testing.T) {
	for _, c := range []struct {
		name       string
		springback unit.Deg
		packs      int // of three readings each, and two of the last
		proposed   bool
	}{
		{"two readings far off", 5, 0, false}, {"five readings far off", 5, 1, true}, {"many as printed", 1.5, 8, false},
		{"hardly off", 1.6, 12, false}, {"five readings a little off", 2.2, 1, false}, {"well off the other way", 0, 8, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			m, b := New(Usual), bent(t, "mild-steel", 90)
			for number := range c.packs {
				b.Pack = string(rune('A' + number))
				readTimes(m, b, c.springback, 3)
			}
			b.Pack = "last"
			readTimes(m, b, c.springback, 2)
			p, is := m.Propose(b, b.Unread())
			if is != c.proposed || p.N != 3*c.packs+2 || p.Now != 1.5 {
				t.Fatalf("Propose = %+v, %v, want proposed %v", p, is, c.proposed)
			}
			if is && (math.Abs(float64(p.Change())) > 2 || math.Abs(float64(p.Change())) < 0.295 || !near(p.Figure.Springback(90), p.Next, 1e-9) || p.Gain <= 0) {
				t.Errorf("Propose = %+v: figure says %v", p, p.Figure.Springback(90))
			}
		})
	}
}

// The edges: where the truth is known well enough 0.3 as kept is proposed, 0.29
// is not; more than 2 is cut to 2.
func TestProposeEdge(t *testing.T) {
	m, b := settled(t, 2.5)
	p, _ := m.Propose(b, b.Unread())
	sd := float64(p.SD)
	if wide := 2 * (0.3 + float64(harmless)/2 - sureOfGain*sd); sd > 0.3 || wide > 0.3 {
		t.Fatalf("the stop is known to %v", sd)
	}
	least := unit.Deg(0.15-float64(harmless)/2+sureOfGain*sd) + 0.0001 // 2 (c + 0.05 - 2 sd) = 0.3
	for change, want := range map[unit.Deg]bool{least: true, -least: true, least - 0.006: false, 0.006 - least: false, 0: false} {
		got, is := m.Propose(b, Figure{At90: p.Wanted - change})
		if is != want || is && !near(abs(got.Change()), 0.3, 0.001) {
			t.Errorf("off by %v: proposed %v, %v, want %v", change, got.Change(), is, want)
		}
	}
	for _, off := range []unit.Deg{5, -5} {
		got, _ := m.Propose(b, Figure{At90: p.Wanted - off})
		if !near(abs(got.Change()), 2, 1e-9) || !near(got.Wanted, p.Wanted, 1e-9) || got.Change()*off < 0 {
			t.Errorf("%v degrees off: %+v, want a change of 2", off, got)
		}
	}
}

// Readings of other cells never make three, and what they say is not proposed
// against what the cell's own say: six readings of exactly 90.0 at the printed
// stop propose nothing.
func TestProposeAsksItsCell(t *testing.T) {
	m, b := New(Usual), bent(t, "mild-steel", 90)
	other := b
	other.Tool.Bar = "narrow"
	for number := range 12 {
		other.Pack = string(rune('A' + number))
		readTimes(m, other, 5, 3)
	}
	readTimes(m, b, 5, 2)
	if p, is := m.Propose(b, b.Unread()); is {
		t.Errorf("proposed %+v from two readings of the cell", p)
	}
	strip := bent(t, "304", 90)
	strip.Pack = "of the strip"
	m.Strip(strip, 2.4, "measured in this shop")
	if got := m.Next(strip); !near(got.Springback, 2.4, 0.25) || got.From != "measured in this shop" || got.Basis != OfStrip {
		t.Errorf("after a strip: %+v", got)
	}
	printed := Figure{At90: 2.4}
	readTimes(m, strip, 2.4, 6)
	if p, is := m.Propose(strip, printed); is {
		t.Errorf("six readings of exactly 90 at the printed stop propose %+v", p)
	}
}

// The expected distance by hand: at 0 it is sd sqrt(2/pi), far off it is the
// distance itself, known exactly it is too; between, against 200,000 draws.
func TestDistance(t *testing.T) {
	random := rand.New(rand.NewPCG(4, 4))
	for _, c := range []struct{ off, sd, want, within unit.Deg }{{0, 1, 0.797885, 1e-6}, {5, 0.5, 5, 1e-6}, {-5, 0.5, 5, 1e-6}, {0.3, 0, 0.3, 0}, {-0.4, 0.3, 0, 0}} {
		if c.want == 0 {
			for range 200_000 {
				c.want += abs(c.off+c.sd*unit.Deg(random.NormFloat64())) / 200_000
			}
			c.within = 0.002
		}
		if got := distance(c.off, c.sd); abs(got-c.want) > c.within {
			t.Errorf("distance(%v, %v) = %v, want %v", c.off, c.sd, got, c.want)
		}
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
	log, _ := logOf(5)
	before := Replay(Usual, log)
	const changed = 10
	log[changed].Measured += 1
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

// The replay of a simulated log: the model is better than the last value, that
// better than the table, and its uncertainty is honest.
func TestReplayShop(t *testing.T) {
	var all []Told
	sc := scenarios()[2]
	sc.slips = 0
	for seed := range uint64(12) {
		s := newShop(sc, 300+seed)
		var log []Reading
		for number := range 60 {
			j := s.job(number)
			for range j.pieces {
				for _, b := range j.bends {
					stop := b.Bend.Angle + b.usual(0)
					seen, _ := s.measured(j.by, float64(stop)-s.bent(j, b))
					log = append(log, Reading{Bend: b, Reader: j.by.Reader, Stop: stop, Measured: unit.Deg(seen), Printed: b.usual(0)})
				}
			}
		}
		all = append(all, Replay(Usual, log)[100:]...)
	}
	score := Scored(all)
	t.Logf("%d readings: learned %.3f, last value %.3f, table %.3f degrees; %.1f percent within two standard deviations",
		score.N, score.Learned, score.Last, score.Table, 100*score.Held)
	if !(score.Learned < 0.9*score.Last && score.Last < score.Table && score.Printed == score.Table) || score.Held < 0.92 || score.Held > 0.98 {
		t.Errorf("Scored = %+v, want learned best, then last, then table, and 95 percent held", score)
	}
}

// Who is the only one to read a cell may misread: where the model knows of a second
// person, a change goes the least step that is proposed; where nobody else reads, or
// the second has read this cell too, it goes as far as is sure.
func TestProposeFromOneReader(t *testing.T) {
	for _, c := range []struct {
		name                string
		elsewhere, here, on bool // a second person reads another cell, this cell; bounded
	}{{"nobody else", false, false, false}, {"somebody elsewhere", true, false, true}, {"somebody here too", false, true, false}} {
		m, b := New(Usual), bent(t, "mild-steel", 90)
		other := b
		other.Tool.Bar = "narrow"
		for number := range 12 {
			b.Pack = string(rune('A' + number))
			other.Pack = b.Pack
			readTimes(m, b, 4, 3)
			second := read(b, 4)
			if c.elsewhere {
				second = read(other, 4)
			}
			if second.Reader = (Reader{Person: "second", Tool: "protractor"}); c.elsewhere || c.here {
				m.Observe(second)
			}
		}
		p, is := m.Propose(b, b.Unread())
		if size := abs(p.Change()); !is || near(size, LeastChange, 1e-9) != c.on {
			t.Errorf("%s: %v, a change of %v, want one of the least: %v", c.name, is, size, c.on)
		}
	}
}

// A pack is known by its readings, of its own material only.
func TestKnowsPack(t *testing.T) {
	m, b := New(Usual), bent(t, "mild-steel", 90)
	b.Pack = "A"
	if m.KnowsPack("mild-steel", "A") {
		t.Error("a pack is known before any reading")
	}
	m.Observe(read(b, 2))
	for _, test := range []struct {
		material, pack string
		want           bool
	}{{"mild-steel", "A", true}, {"mild-steel", "B", false}, {"304", "A", false}} {
		if got := m.KnowsPack(test.material, test.pack); got != test.want {
			t.Errorf("KnowsPack(%s, %s) = %v", test.material, test.pack, got)
		}
	}
}
