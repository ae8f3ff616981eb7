package learn

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"

	"brakeside/calc/bend"
	"brakeside/calc/spc"
	"brakeside/calc/stock"
	"brakeside/calc/unit"
)

// plain settings weigh every reading fully and forget nothing: then learning is
// Bayesian regression, which has a solution in one step.
var plain = Settings{
	Zero: 0.8, Material: 1, Grain: 0.3, Cell: 0.7, Band: 0.2, Pack: 0.7, Person: 0.4, Tool: 0.3, Apart: 1e12, Metal: 0.3, Measuring: 0.4, ShortLeg: 0.75, Strip: 0.4,
	Tails: math.MaxFloat64, Doubt: math.MaxFloat64, MostFromOne: math.MaxFloat64, Rival: Rival{1, math.MaxFloat64, math.MaxFloat64, 0},
}

// vernier is studied: its readings err by 0.4, with the metal's 0.3 by 0.5.
var vernier = Reader{"A", "vernier"}

func newModel(s Settings) *Model {
	m := New(s)
	m.Studied(vernier.Tool, spc.GaugeResult{Measuring: 0.4})
	return m
}

func sheet(t testing.TB, id string) stock.Sheet {
	t.Helper()
	m, err := stock.Find(id)
	if err != nil {
		t.Fatal(err)
	}
	return stock.Sheet{Material: m, Thickness: 1.5}
}

// bent is a bend of 1.5 mm sheet.
func bent(t testing.TB, id string, angle unit.Deg) Bend {
	s := sheet(t, id)
	return Bend{Making: bend.Making{Sheet: s, Bend: bend.Bend{Angle: angle, Radius: 1.5, Thickness: 1.5}, Tool: bend.Tool{Bar: "wide"}}, Brake: "north", Pack: "P1"}
}

// read is a reading that sprang back so far.
func read(b Bend, springback unit.Deg) Reading {
	return Reading{Bend: b, Reader: vernier, Stop: b.Bend.Angle + springback, Measured: b.Bend.Angle}
}

var brakes = []string{"north", "south"}

func near(got, want unit.Deg, within float64) bool {
	return math.Abs(float64(got-want)) <= within
}

// Before any reading the advice is practice, with all the doubt there is:
// 0.8^2 + 1^2 + 0.7^2 + 0.2^2 + 0.7^2 = 2.66, at 45 degrees 0.8^2 + (1^2 + 0.7^2
// + 0.2^2 + 0.7^2)/4; along the grain 0.3^2 more.
func TestNextUnread(t *testing.T) {
	for _, c := range []struct {
		angle, springback unit.Deg
		run               stock.Run
		variance          float64
	}{{90, 1.5, stock.Across, 2.66}, {45, 0.75, stock.UnknownRun, 0.64 + 2.02/4}, {90, 1.5, stock.Along, 2.75}} {
		b := bent(t, "mild-steel", c.angle)
		b.Run = c.run
		got := newModel(plain).Next(b)
		if !near(got.Springback, c.springback, 1e-9) || !near(got.Stop, c.angle+c.springback, 1e-9) || !near(got.SD, unit.Deg(math.Sqrt(c.variance)), 1e-9) {
			t.Errorf("Next(mild steel, %v) = %+v, want springback %v with variance %v", c.angle, got, c.springback, c.variance)
		}
		if got.Basis != Guess || got.N != 0 || got.From != "guess: common practice for the material" {
			t.Errorf("Next(unread) rests on %v, %d, %q", got.Basis, got.N, got.From)
		}
	}
}

// One reading by hand: it sprang back 1 degree more than usual. What is not known
// of the bend has variance 2.66, of person and tool 0.4^2 + 0.3^2 = 0.25, and the
// reading errs by 0.5: of the degree the bend takes 2.66 / 3.16.
func TestObserveOnce(t *testing.T) {
	m := newModel(plain)
	b := bent(t, "mild-steel", 90)
	s := m.Observe(read(b, 2.5))
	if !near(s.Expected, 1.5, 1e-9) || !near(s.Off, 1, 1e-9) || !near(s.SD, unit.Deg(math.Sqrt(3.16)), 1e-9) || s.Weight != 1 || s.Moved != 0 {
		t.Errorf("Observe = %+v, want 1 degree off 1.5 with variance 3.16", s)
	}
	got := m.Next(b)
	if !near(got.Springback, unit.Deg(1.5+2.66/3.16), 1e-9) || !near(got.SD, unit.Deg(math.Sqrt(2.66*0.5/3.16)), 1e-9) {
		t.Errorf("Next after one reading = %+v, want springback %v", got, 1.5+2.66/3.16)
	}
	told, sd := m.Told(b, vernier)
	if want := 1.5 + 2.91/3.16; !near(told, unit.Deg(want), 1e-9) || !near(sd, unit.Deg(math.Sqrt(2.91*0.25/3.16+0.25)), 1e-9) {
		t.Errorf("the same reader is told %v give or take %v, want %v", told, sd, want)
	}
}

// The filter, reading by reading, gives what one solution of all readings at
// once gives: precision = prior + H'H / v, mean = precision^-1 H'y / v.
func TestObserveIsRegression(t *testing.T) {
	random := rand.New(rand.NewPCG(8, 8))
	var log []Reading
	for range 60 {
		b := bent(t, []string{"mild-steel", "304"}[random.IntN(2)], []unit.Deg{90, 45, 120}[random.IntN(3)])
		b.Brake, b.Pack = brakes[random.IntN(2)], []string{"P1", "P2"}[random.IntN(2)]
		b.Tool.Bar = []string{"wide", "narrow"}[random.IntN(2)]
		b.Run = []stock.Run{stock.Across, stock.Along}[random.IntN(2)]
		r := read(b, b.usual(0)+unit.Deg(1.2*random.NormFloat64()))
		r.Person = []string{"A", "B", "C"}[random.IntN(3)]
		log = append(log, r)
	}
	m := newModel(plain)
	for _, r := range log {
		m.Observe(r)
	}
	places, variances := map[effect]int{}, []float64{}
	for _, r := range log {
		for _, u := range r.terms(plain) {
			if _, known := places[u.effect]; !known {
				places[u.effect] = len(variances)
				variances = append(variances, square(u.sd))
			}
		}
	}
	n := len(variances)
	precision, right := mat.NewSymDense(n, nil), mat.NewVecDense(n, nil)
	for i, v := range variances {
		precision.SetSym(i, i, 1/v)
	}
	for _, r := range log {
		h := mat.NewVecDense(n, nil)
		for _, u := range r.terms(plain) {
			h.SetVec(places[u.effect], u.weight)
		}
		precision.SymRankOne(precision, 4, h) // 1 / 0.5^2
		right.AddScaledVec(right, 4*float64(r.Springback()-r.usual(0)), h)
	}
	var mean mat.VecDense
	if err := mean.SolveVec(precision, right); err != nil {
		t.Fatal(err)
	}
	for e, i := range places {
		if got, want := m.state.mean[m.state.places[e]], mean.AtVec(i); math.Abs(got-want) > 1e-9 {
			t.Errorf("%v: mean %v, all at once %v", e, got, want)
		}
	}
	var inverse mat.Dense
	if err := inverse.Inverse(precision); err != nil {
		t.Fatal(err)
	}
	for e, i := range places {
		for f, j := range places {
			if got, want := m.state.at(m.state.places[e], m.state.places[f]), inverse.At(i, j); math.Abs(got-want) > 1e-9 {
				t.Errorf("covariance of %v and %v: %v, all at once %v", e, f, got, want)
			}
		}
	}
}

// Whatever is read, variances stay positive, asking changes nothing, and the
// parts add up to the advice.
func TestModelLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := New(Usual)
		var last Bend
		for range rapid.IntRange(1, 60).Draw(t, "readings") {
			m1, err := stock.Find(rapid.SampledFrom([]string{"mild-steel", "304", "6082-T6"}).Draw(t, "material"))
			if err != nil {
				t.Fatal(err)
			}
			last = Bend{Brake: rapid.SampledFrom(brakes).Draw(t, "brake"), Pack: rapid.StringMatching("[ABC]?").Draw(t, "pack")}
			last.Sheet = stock.Sheet{Material: m1, Thickness: 1.5}
			last.Bend = bend.Bend{Angle: unit.Deg(rapid.Float64Range(10, 130).Draw(t, "angle")), Radius: 1.5, Thickness: 1.5}
			s := m.Observe(read(last, unit.Deg(rapid.Float64Range(-8, 12).Draw(t, "springback"))))
			if !(s.SD > 0 && s.Weight >= 0 && s.Weight <= 1) {
				t.Fatalf("Observe = %+v", s)
			}
		}
		for i := range m.state.mean {
			if v := m.state.at(i, i); !(v > 0) {
				t.Fatalf("variance of %v is %v", m.state.effects[i], v)
			}
		}
		before := m.Next(last)
		var sum unit.Deg
		for _, p := range m.Parts(last) {
			sum += p.Degrees
		}
		if again := m.Next(last); again != before || !near(sum, before.Springback, 1e-9) {
			t.Errorf("Next = %+v, then %+v; parts add up to %v", before, again, sum)
		}
	})
}

// What a brake's zero adds is learned from one material and used for another,
// and not on another brake. Bends at several angles tell it from the metal.
func TestZeroIsShared(t *testing.T) {
	m := New(Usual)
	for round := range 10 {
		for _, angle := range []unit.Deg{30, 90, 120} {
			b := bent(t, "mild-steel", angle)
			b.Pack = fmt.Sprint(round)
			m.Observe(read(b, 1+b.usual(0))) // one degree more at every angle
		}
	}
	other := bent(t, "304", 90)
	if got := m.Next(other); !near(got.Springback, other.usual(0)+1, 0.35) || got.Basis != Guess {
		t.Errorf("Next(304 on the same brake) = %+v, want about a degree more than %v", got, other.usual(0))
	}
	other.Brake = "south"
	if got := m.Next(other); !near(got.Springback, other.usual(0), 0.05) {
		t.Errorf("Next(304 on another brake) = %+v, want the usual %v", got, other.usual(0))
	}
}

// What a material adds is carried to other angles in proportion.
func TestSharesByAngle(t *testing.T) {
	s := plain
	s.Zero, s.Band, s.Person, s.Tool = 1e-6, 0, 0, 0 // the scale is right, and who reads it
	m := newModel(s)
	for range 50 {
		m.Observe(read(bent(t, "mild-steel", 90), 2.5))
	}
	full, half := m.Next(bent(t, "mild-steel", 90)), m.Next(bent(t, "mild-steel", 45))
	if !near(full.Springback, 2.5, 0.02) || !near(half.Springback, full.Springback/2, 1e-6) {
		t.Errorf("springback %v at 90 and %v at 45, want 2.5 and half", full.Springback, half.Springback)
	}
}

func TestBasisWords(t *testing.T) {
	m := New(Usual)
	b := bent(t, "mild-steel", 90)
	newPack, otherBar, otherMaterial := b, b, bent(t, "304", 90)
	newPack.Pack, otherBar.Tool.Bar = "P2", "narrow"
	otherBar.Pack = ""
	m.Observe(read(b, 2))
	if got := m.Next(b); got.From != "from 1 reading of this lot" || got.Basis != OfPack || got.N != 1 {
		t.Errorf("after one reading: %+v", got)
	}
	m.Observe(read(b, 2))
	for _, c := range []struct {
		name  string
		bend  Bend
		basis Basis
		n     int
		from  string
	}{
		{"same pack", b, OfPack, 2, "from 2 readings of this lot"},
		{"new pack", newPack, OfMaterial, 2, "from 2 readings of this material"},
		{"another bar", otherBar, Guess, 0, "guess, with 2 readings of this material in other sizes"},
		{"another material", otherMaterial, Guess, 0, "guess, with 2 readings on this brake"},
	} {
		if got := m.Next(c.bend); got.Basis != c.basis || got.N != c.n || got.From != c.from {
			t.Errorf("%s: %v, %d, %q; want %v, %d, %q", c.name, got.Basis, got.N, got.From, c.basis, c.n, c.from)
		}
	}
}

// One reading moves no stop far, whatever it says and however little was known;
// of what is 3 standard deviations off nothing is taken until another of the
// pack says the same. Two that agree are followed, one that stands alone is not.
func TestOneReadingMovesNoStopFar(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		m, b := New(Usual), bent(t, "304", unit.Deg(rapid.Float64Range(20, 130).Draw(rt, "angle")))
		for range rapid.IntRange(0, 6).Draw(rt, "before") {
			m.Observe(read(b, b.usual(0)+unit.Deg(rapid.Float64Range(-2, 2).Draw(rt, "off"))))
		}
		r := read(b, b.usual(0)+unit.Deg(rapid.Float64Range(-12, 12).Draw(rt, "off")))
		at := map[unit.Deg]unit.Deg{}
		for angle := unit.Deg(10); angle <= MostAngle; angle += 5 {
			at[angle] = m.Next(withAngle(b, angle)).Stop
		}
		if m.Observe(r).Moved != 0 {
			return // many readings say so together
		}
		for angle, before := range at {
			if moved := abs(m.Next(withAngle(b, angle)).Stop - before); moved >= 2 {
				rt.Fatalf("one reading moves the stop for %v degrees by %v", angle, moved)
			}
		}
	})
	for _, c := range []struct {
		name     string
		readings []unit.Deg // after nine of 2 degrees
		most     float64    // how far from 2 the advice may be
		least    float64
	}{
		{"one far off", []unit.Deg{8}, 0.01, 0}, {"one far off and a good one", []unit.Deg{8, 2}, 0.02, 0}, {"two that agree", []unit.Deg{6, 6}, 1.5, 0.4},
		{"one each way", []unit.Deg{7, -3}, 0.02, 0}, {"four that agree", []unit.Deg{6, 6, 6, 6}, 4.01, 0.8}, {"as far off as a slip", []unit.Deg{82, 82}, 0.01, 0},
	} {
		m, b := New(Usual), bent(t, "mild-steel", 90)
		for range 9 {
			m.Observe(read(b, 2))
		}
		before := m.Next(b).Springback
		for _, v := range c.readings {
			m.Observe(read(b, v))
		}
		if moved := float64(abs(m.Next(b).Springback - before)); moved > c.most || moved < c.least {
			t.Errorf("%s: the advice moves by %.2f, want %v to %v", c.name, moved, c.least, c.most)
		}
	}
}

func withAngle(b Bend, angle unit.Deg) Bend {
	b.Bend.Angle = angle
	return b
}

// A short leg counts less; a protractor that a study was made of counts as the
// study says.
func TestNoise(t *testing.T) {
	b := bent(t, "mild-steel", 90)
	after := func(leg unit.MM, studied float64) unit.Deg {
		m := New(plain)
		if studied > 0 {
			m.Studied("bevel", spc.GaugeResult{Measuring: studied})
		}
		r := read(b, 4)
		r.Leg, r.Reader = leg, Reader{"A", "bevel"}
		m.Observe(r)
		return m.Next(b).Springback
	}
	if !(after(14.9, 0) < after(15, 0)) || after(15, 0) != after(0, 0) || after(40, 0) != after(0, 0) {
		t.Errorf("springback after a leg of 14.9: %v, of 15: %v, unknown: %v", after(14.9, 0), after(15, 0), after(0, 0))
	}
	if !(after(0, 0.1) > after(0, 0) && after(0, 0) > after(0, 1)) || after(14.9, 0.2) != after(15, 0.2) {
		t.Errorf("springback after a study of 0.1: %v, without one %v, of 1: %v", after(0, 0.1), after(0, 0), after(0, 1))
	}
}

// Readings to a whole degree count less than readings to a tenth, once the digits
// show it.
func TestDigitsCount(t *testing.T) {
	sd := func(step float64) unit.Deg {
		m, b := New(Usual), bent(t, "mild-steel", 90)
		for i := range 12 {
			r := Reading{Bend: b, Reader: Reader{Person: "A"}, Stop: 92, Measured: unit.Deg(89 + float64(i%5)*step)}
			m.Observe(r)
		}
		if got, known := m.Step(Reader{Person: "A"}); !known || got != unit.Deg(step) {
			t.Errorf("the step is %v, %v, want %v", got, known, step)
		}
		_, told := m.Told(b, Reader{Person: "A"})
		return told
	}
	if whole, tenth := sd(1), sd(0.1); !(whole > tenth+0.03) {
		t.Errorf("the next reading is foretold to %.3f when read to 1 degree, %.3f when to 0.1", whole, tenth)
	}
}

// A zero that was learned is doubted again with time, also where one angle alone
// was bent; and however long the log, the doubt stays bounded.
func TestDrift(t *testing.T) {
	after := func(settings Settings, readings int) (zeroSD, adviceSD float64) {
		m, b := New(settings), bent(t, "mild-steel", 90)
		for i := range readings {
			b.Pack = fmt.Sprint(i / 10)
			m.Observe(read(b, 2))
		}
		z := m.state.places[effect{kind: zero, name: "north"}]
		b.Pack = ""
		return math.Sqrt(m.state.at(z, z)), float64(m.Next(b).SD)
	}
	still := Usual
	still.Drift = 0
	_, sure := after(still, 400)
	zero400, drifting := after(Usual, 400)
	zero4000, long := after(Usual, 4000)
	if !(drifting > sure) || drifting > 1 || math.Abs(long-drifting) > 0.05 || zero4000 > 1.2*zero400 {
		t.Errorf("advice known to %.3f without drift, %.3f with, %.3f after ten times as many; zero known to %.3f and %.3f", sure, drifting, long, zero400, zero4000)
	}
}

// Of many packs the oldest are dropped; what they told of the rest stays.
func TestOldPacksAreDropped(t *testing.T) {
	m, b := New(Usual), bent(t, "mild-steel", 90)
	for i := range mostPacks + 25 {
		b.Pack = fmt.Sprint("pack ", i)
		m.Observe(read(b, 3))
	}
	if got, want := len(m.state.mean), mostPacks+6; got != want {
		t.Fatalf("%d unknowns are kept, want %d", got, want)
	}
	for e, i := range m.state.places {
		if m.state.effects[i] != e {
			t.Fatalf("place %d is %v, listed as %v", i, m.state.effects[i], e)
		}
	}
	b.Pack = ""
	if got := m.Next(b); !near(got.Springback, 3, 0.15) || got.N != mostPacks+25 {
		t.Errorf("Next(any pack) = %+v, want about 3", got)
	}
	if _, known := m.state.places[effect{kind: pack, name: "mild-steel|pack 0"}]; known {
		t.Error("the oldest pack is still there")
	}
}

// Dropping an unknown changes nothing of what is known of the others.
func TestDropIsMarginal(t *testing.T) {
	m, b := newModel(plain), bent(t, "mild-steel", 90)
	for _, pack := range []string{"P1", "P2", "P1", "P3"} {
		b.Pack = pack
		m.Observe(read(b, 2.2))
	}
	b.Pack = "P3"
	before := m.Next(b)
	m.state.drop(m.state.places[effect{kind: pack, name: "mild-steel|P1"}])
	if after := m.Next(b); !near(after.Springback, before.Springback, 1e-12) || !near(after.SD, before.SD, 1e-12) {
		t.Errorf("Next before %+v, after dropping another pack %+v", before, after)
	}
}

// Over a tube the springback is that of the tube's radius, and a cell of its own.
func TestFormerIsAnotherCell(t *testing.T) {
	b := bent(t, "mild-steel", 90)
	over := b
	over.Tool.Former = 25
	if b.cell() == over.cell() || over.cell().radius != 25000 {
		t.Errorf("cells %v and %v", b.cell(), over.cell())
	}
	if !(over.usual(0) > b.usual(0)) {
		t.Errorf("usual springback over a tube of 25 is %v, over the nose %v", over.usual(0), b.usual(0))
	}
}

// Equal readings in an equal order give equal advice.
func TestSameAgain(t *testing.T) {
	build := func() Advice {
		sc := scenarios()[len(scenarios())-1]
		s := newShop(sc, 3)
		m := s.run(&outcome{})
		return m.Next(s.job(sc.jobs).bends[0])
	}
	if a, b := build(), build(); a != b {
		t.Errorf("%+v and %+v", a, b)
	}
}

func ExampleModel() {
	m := New(Usual)
	mild, _ := stock.Find("mild-steel")
	b := Bend{Brake: "LB-1", Pack: "heat 7"}
	b.Sheet = stock.Sheet{Material: mild, Thickness: 1.5}
	b.Bend = bend.Bend{Angle: 90, Radius: 1.5, Thickness: 1.5}
	fmt.Println(m.Next(b).Stop.Text(1), m.Next(b).From)
	for _, measured := range []unit.Deg{89, 89.5, 89} {
		m.Observe(Reading{Bend: b, Stop: 91.5, Measured: measured})
	}
	a := m.Next(b)
	fmt.Println(a.Stop.Text(1), "give or take", a.SD.Text(1), a.From)
	// Output:
	// 91.5 guess: common practice for the material
	// 92.3 give or take 0.3 from 3 readings of this lot
}
