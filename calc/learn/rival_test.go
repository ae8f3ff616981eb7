package learn

import (
	"math"
	"math/rand/v2"
	"testing"

	"brakeside/calc/unit"
)

// What a rival says is what a model would say that had begun with the scale
// moved: two filters run side by side, weighing alike, stay apart by what the
// rival keeps.
func TestRivalIsAnotherModel(t *testing.T) {
	settings := plain
	settings.Rival.Step = 1
	moved, m := newModel(settings), newModel(settings)
	log, _ := logOf(12)
	compared := 0
	for i, r := range log {
		r.Reader = vernier
		m.Observe(r)
		moved.Observe(r)
		if i == 0 { // from here on: the scale has moved by 1
			p := m.places[effect{kind: zero, name: "north"}]
			moved.mean[p]++
			for _, v := range m.rivals {
				m.restart(v)
				v.odds = 1e300 // so that it never begins again
			}
		}
		for _, v := range m.rivals {
			if v.step <= 0 || v.from != 2 { // openings, and what was worn off and began again
				continue
			}
			compared++
			for p := range m.mean {
				if got, want := v.off[p], moved.mean[p]-m.mean[p]; math.Abs(got-want) > 1e-9 {
					t.Fatalf("reading %d: %v is off by %v, the other model says %v", i, m.effects[p], got, want)
				}
			}
		}
	}
	if compared < 3 {
		t.Errorf("compared after %d readings only", compared)
	}
}

// After an alarm the model is about where it would be had it been told: a move
// of 1.5 in the middle of a pack, and the stops of other bends follow.
func TestMoveIsUndone(t *testing.T) {
	m, b := New(Usual), bent(t, "mild-steel", 90)
	other := bent(t, "304", 45)
	random := rand.New(rand.NewPCG(1, 6))
	bend := func(b Bend, springback float64) Surprise {
		r := read(b, unit.Deg(springback+0.3*random.NormFloat64()))
		return m.Observe(r)
	}
	for number := range 8 {
		b.Pack, other.Pack = string(rune('A'+number)), string(rune('a'+number))
		for range 6 {
			bend(b, 2)
			bend(other, 2.4)
		}
	}
	flat, before := m.Next(b).Springback, m.Next(other).Springback
	said := 0.0
	for i := range 20 {
		if s := bend(b, 3.5); s.Moved != 0 {
			said = float64(s.By)
			if s.Moved != 1 || i > 12 {
				t.Errorf("reading %d: %+v", i, s)
			}
			break
		}
	}
	if math.Abs(said-1.5) > 0.4 || m.Moved("north") != unit.Deg(said) || m.Moved("south") != 0 {
		t.Fatalf("the scale is said to have moved by %v, want about 1.5; to be settled %v", said, m.Moved("north"))
	}
	if got := m.Next(other).Springback - before; !near(got, 1.5, 0.45) {
		t.Errorf("another bend follows by %v, want about 1.5", got)
	}
	if _, is := m.Propose(b, Figure{At90: 0}); is {
		t.Error("a stop is proposed while the scale is not settled")
	}
	m.PutRight("north")
	if got := m.Next(b).Springback; !near(got, flat, 0.4) || m.Moved("north") != 0 {
		t.Errorf("after it was put right %v, before the move %v", got, flat)
	}
	if got := m.Next(other); !near(got.Springback, before, 0.4) || !(got.SD >= handSet) {
		t.Errorf("after it was put right another bend %+v, before the move %v", got, before)
	}
	m.PutRight("nowhere")
}

// opener logs openings of a bend that always springs back so far, and sets the
// stop that is advised.
func opener(m *Model, b Bend, springback float64, most int) (asked int) {
	random := rand.New(rand.NewPCG(7, 7))
	who := Reader{"C", "other"}
	for i := range most {
		stop := m.Next(b).Stop
		truth := stop - unit.Deg(springback+0.25*random.NormFloat64())
		m.Observe(Reading{Bend: b, Reader: who, Stop: stop, Measured: 180 - truth})
		if m.suspect(who) {
			return i + 1
		}
	}
	return math.MaxInt
}

// A bend of 88 logged as 92 is asked about before the loop has run away, and
// then nothing that was so logged has been learned: the model is what it was.
// Told that they were openings it knows what it would know of the bend angles;
// told that they were not it takes them in as they stand.
func TestOpeningIsAsked(t *testing.T) {
	b := bent(t, "mild-steel", 90)
	known := func() *Model {
		m := New(Usual)
		for i := range 10 {
			r := read(b, unit.Deg(1.5+0.1*float64(i%3)))
			r.Reader = Reader{"A", ""}
			m.Observe(r)
		}
		return m
	}
	fresh := b
	fresh.Pack = "P2"
	m := known()
	before := m.Next(fresh)
	if n := opener(m, fresh, 3.2, 15); n > 8 {
		t.Fatalf("asked after %d readings", n)
	}
	who := Reader{"C", "other"}
	if got := m.Next(fresh); !near(got.Springback, before.Springback, 0.25) || len(m.Asked()) != 1 || m.Asked()[0] != who {
		t.Errorf("in doubt %+v, before %+v; asked are %v", got, before, m.Asked())
	}
	yes, no := m.Clone(), m.Clone()
	yes.Answered(who, true)
	if got := yes.Next(fresh).Springback; !near(got, 3.2, 0.35) || yes.suspect(who) {
		t.Errorf("they were openings: springback %v, want about 3.2", got)
	}
	no.Answered(who, false)
	if got := no.Next(fresh).Springback; !(got < before.Springback) || no.suspect(who) {
		t.Errorf("they were bend angles: springback %v, want less than %v", got, before.Springback)
	}
	if !m.suspect(who) {
		t.Error("a copy's answer is the model's")
	}
	m.Answered(Reader{"nobody", ""}, true)
}

// What an honest reader logs of bends that come out right is as likely the
// opening, and nobody is asked; nor of bends that come out wrong and are followed.
func TestHonestReadersAreNotAsked(t *testing.T) {
	for _, springback := range []float64{-1, 0.2, 1.5, 4, 7} {
		m, b := New(Usual), bent(t, "mild-steel", 90)
		random := rand.New(rand.NewPCG(2, 2))
		who := Reader{"A", "bevel"}
		for i := range 60 {
			b.Pack = string(rune('A' + i/10))
			stop := m.Next(b).Stop
			if i%10 == 0 {
				stop = 91.5
			}
			m.Observe(Reading{Bend: b, Reader: who, Stop: stop, Measured: stop - unit.Deg(springback+0.4*random.NormFloat64())})
			if m.suspect(who) {
				t.Fatalf("springback %v: asked after %d readings", springback, i+1)
			}
		}
	}
}

// At 90 opening and bend angle are one. Who gives flatter bends as openings, for there
// the service asks, and square ones without a word, is asked; not who gives all as
// openings, nor who gives none, nor who has said what the protractor shows.
func TestOpeningIsAskedOfWhoSaysItNowAndThen(t *testing.T) {
	who := Reader{Person: "C"}
	for _, c := range []struct {
		name         string
		flat, square bool // given as openings
		told         bool // held the protractor against a known corner
		asked        bool
	}{
		{"flat ones as openings", true, false, false, true},
		{"all as openings", true, true, false, false},
		{"none as openings", false, false, false, false},
		{"flat ones as openings, and knows what it shows", true, false, true, false},
	} {
		m, flat, square := New(Usual), bent(t, "mild-steel", 45), bent(t, "mild-steel", 90)
		if c.told {
			m.Corner(who, 0)
		}
		asked := 0
		for i := 1; i <= 15 && asked == 0; i++ {
			for _, r := range []Reading{{Bend: square, Stop: 91.5, Measured: 90, Opening: c.square}, {Bend: flat, Stop: 45.8, Measured: 45, Opening: c.flat}} {
				r.Reader = who
				m.Observe(r)
			}
			if m.suspect(who) {
				asked = i
			}
		}
		if (asked > 0) != c.asked || asked > 5 {
			t.Errorf("%s: asked after %d pieces, want it %v", c.name, asked, c.asked)
		}
	}
}

// Readers who differ are noticed, and nobody is named; readers who do not are
// left alone.
func TestDisagree(t *testing.T) {
	for _, c := range []struct {
		bias float64
		want bool
	}{{0, false}, {0.2, false}, {1, true}, {-1, true}} {
		m, b := New(Usual), bent(t, "mild-steel", 90)
		random := rand.New(rand.NewPCG(3, 3))
		for i := range 90 {
			b.Pack = string(rune('A' + i/9))
			r := read(b, unit.Deg(2+0.4*random.NormFloat64()))
			r.Reader = Reader{Person: []string{"A", "B", "C"}[i%3]}
			if i%3 == 0 {
				r.Measured += unit.Deg(c.bias)
			}
			m.Observe(r)
		}
		d, is := m.Disagree()
		if is != c.want || is && !near(d.Apart, unit.Deg(math.Abs(c.bias)), 0.35) {
			t.Errorf("one reads %v too high: %+v, %v", c.bias, d, is)
		}
	}
}

// Bends at one angle do not tell the scale from the metal, bends of one pack not
// the pack from the material; a bend at another angle, another pack, do.
func TestTelling(t *testing.T) {
	m, b := New(Usual), bent(t, "mild-steel", 90)
	if got := m.Telling(b); got != NothingToTell {
		t.Errorf("nothing read: %v", got)
	}
	for range 12 {
		readTimes(m, b, 2, 1)
	}
	if got := m.Telling(b); got != AtTwoAngles {
		t.Errorf("one pack at 90: %v, want the same strip at two angles", got)
	}
	for range 30 {
		readTimes(m, withAngle(b, 45), 1, 1)
		readTimes(m, withAngle(b, 100), 2.2, 1)
	}
	if got := m.Telling(b); got != FromTwoPacks {
		t.Errorf("one pack at many angles: %v, want another pack", got)
	}
}
