package learn

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"

	"brakeside/calc/bend"
	"brakeside/calc/stock"
	"brakeside/calc/unit"
)

// plain settings weigh every reading fully and forget nothing: then learning is
// Bayesian regression, which has a solution in one step.
var plain = Settings{Zero: 0.8, Material: 1, Cell: 0.7, Pack: 0.7, Reading: 0.5, ShortLeg: 0.8, Drift: 0, Tails: math.MaxFloat64, Alarm: Alarm{0.5, 1e9, 2.5}}

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
	return Reading{Bend: b, Stop: b.Bend.Angle + springback, Measured: b.Bend.Angle}
}

func near(got, want unit.Deg, within float64) bool {
	return math.Abs(float64(got-want)) <= within
}

// Before any reading the advice is practice, with all the doubt there is:
// 0.8^2 + 1^2 + 0.7^2 + 0.7^2 = 2.62, at 45 degrees 0.8^2 + (1^2 + 0.7^2 +
// 0.7^2)/4.
func TestNextUnread(t *testing.T) {
	for _, c := range []struct {
		angle, springback unit.Deg
		variance          float64
	}{{90, 1.5, 2.62}, {45, 0.75, 0.64 + 1.98/4}} {
		got := New(plain).Next(bent(t, "mild-steel", c.angle))
		if !near(got.Springback, c.springback, 1e-9) || !near(got.Stop, c.angle+c.springback, 1e-9) || !near(got.SD, unit.Deg(math.Sqrt(c.variance)), 1e-9) {
			t.Errorf("Next(mild steel, %v) = %+v, want springback %v with variance %v", c.angle, got, c.springback, c.variance)
		}
		if got.Basis != Guess || got.N != 0 || got.From != "guess: common practice for the material" {
			t.Errorf("Next(unread) rests on %v, %d, %q", got.Basis, got.N, got.From)
		}
	}
}

// One reading by hand: it sprang back 1 degree more than usual; gain 2.62 /
// (2.62 + 0.25), variance 2.62 x 0.25 / 2.87.
func TestObserveOnce(t *testing.T) {
	m := New(plain)
	b := bent(t, "mild-steel", 90)
	s := m.Observe(read(b, 2.5))
	if !near(s.Expected, 1.5, 1e-9) || !near(s.Off, 1, 1e-9) || !near(s.SD, unit.Deg(math.Sqrt(2.87)), 1e-9) || s.Weight != 1 || s.Moved != 0 {
		t.Errorf("Observe = %+v, want 1 degree off 1.5 with variance 2.87", s)
	}
	got := m.Next(b)
	if !near(got.Springback, unit.Deg(1.5+2.62/2.87), 1e-9) || !near(got.SD, unit.Deg(math.Sqrt(2.62*0.25/2.87)), 1e-9) {
		t.Errorf("Next after one reading = %+v, want springback %v", got, 1.5+2.62/2.87)
	}
	if !near(got.ReadingSD*got.ReadingSD, got.SD*got.SD+0.25, 1e-9) {
		t.Errorf("ReadingSD %v does not hold SD %v and the reading error", got.ReadingSD, got.SD)
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
		log = append(log, read(b, unit.Deg(3*random.NormFloat64())))
	}
	m := New(plain)
	for _, r := range log {
		m.Observe(r)
	}
	places, variances := map[effect]int{}, []float64{}
	for _, r := range log {
		sds := []unit.Deg{plain.Zero, max(plain.Material, r.usual90().SD()), plain.Cell, plain.Pack}
		for i, e := range r.effects() {
			if _, known := places[e]; !known {
				places[e] = len(variances)
				variances = append(variances, float64(sds[i]*sds[i]))
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
		for i, e := range r.effects() {
			h.SetVec(places[e], r.weights()[i])
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
			if got, want := m.state.cov.At(m.state.places[e], m.state.places[f]), inverse.At(i, j); math.Abs(got-want) > 1e-9 {
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
			if !(s.SD > 0 && s.Weight > 0 && s.Weight <= 1) {
				t.Fatalf("Observe = %+v", s)
			}
		}
		for i := range m.state.mean {
			if v := m.state.cov.At(i, i); !(v > 0) {
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
	if got := m.Next(other); !near(got.Springback, other.usual(0), 1e-9) {
		t.Errorf("Next(304 on another brake) = %+v, want the usual %v", got, other.usual(0))
	}
}

// What a material adds is carried to other angles in proportion.
func TestSharesByAngle(t *testing.T) {
	s := plain
	s.Zero = 1e-6 // the scale is right
	m := New(s)
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
	if got := m.Next(b); got.From != "from 1 reading of this pack" || got.Basis != OfPack || got.N != 1 {
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
		{"same pack", b, OfPack, 2, "from 2 readings of this pack"},
		{"new pack", newPack, OfMaterial, 2, "from 2 readings of this material"},
		{"another bar", otherBar, Guess, 0, "guess, with 2 readings of this material in other sizes"},
		{"another material", otherMaterial, Guess, 0, "guess, with 2 readings on this brake"},
	} {
		if got := m.Next(c.bend); got.Basis != c.basis || got.N != c.n || got.From != c.from {
			t.Errorf("%s: %v, %d, %q; want %v, %d, %q", c.name, got.Basis, got.N, got.From, c.basis, c.n, c.from)
		}
	}
}

// A misread counts little: an answer of ten readings moves less than a fifth of
// what it would in the plain mean.
func TestMisreadCountsLittle(t *testing.T) {
	m, b := New(Usual), bent(t, "mild-steel", 90)
	for range 9 {
		m.Observe(read(b, 2))
	}
	before := m.Next(b).Springback
	s := m.Observe(read(b, 8))
	after := m.Next(b).Springback
	if s.Weight > 0.1 || float64(after-before) > 6.0/10/5 {
		t.Errorf("a reading 6 degrees off counts %v and moves the advice by %v", s.Weight, after-before)
	}
}

// A short leg and an unnamed pack count less.
func TestShortLeg(t *testing.T) {
	b := bent(t, "mild-steel", 90)
	after := func(leg unit.MM) unit.Deg {
		m := New(plain)
		r := read(b, 4)
		r.Leg = leg
		m.Observe(r)
		return m.Next(b).Springback
	}
	if !(after(14.9) < after(15)) || after(15) != after(0) || after(40) != after(0) {
		t.Errorf("springback after a leg of 14.9: %v, of 15: %v, unknown: %v", after(14.9), after(15), after(0))
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
		z := m.state.places[effect{zero, "north"}]
		b.Pack = ""
		return math.Sqrt(m.state.cov.At(z, z)), float64(m.Next(b).SD)
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
	if got, want := len(m.state.mean), mostPacks+3; got != want {
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
	if _, known := m.state.places[effect{pack, "mild-steel|pack 0"}]; known {
		t.Error("the oldest pack is still there")
	}
}

// Dropping an unknown changes nothing of what is known of the others.
func TestDropIsMarginal(t *testing.T) {
	m, b := New(plain), bent(t, "mild-steel", 90)
	for _, pack := range []string{"P1", "P2", "P1", "P3"} {
		b.Pack = pack
		m.Observe(read(b, 2.2))
	}
	b.Pack = "P3"
	before := m.Next(b)
	m.state.drop(m.state.places[effect{pack, "mild-steel|P1"}])
	if after := m.Next(b); !near(after.Springback, before.Springback, 1e-12) || !near(after.SD, before.SD, 1e-12) {
		t.Errorf("Next before %+v, after dropping another pack %+v", before, after)
	}
}

// Over a tube the springback is that of the tube's radius, and a cell of its own.
func TestFormerIsAnotherCell(t *testing.T) {
	b := bent(t, "mild-steel", 90)
	over := b
	over.Tool.Former = 25
	if b.cell() == over.cell() || !strings.Contains(over.cell(), "25") {
		t.Errorf("cells %q and %q", b.cell(), over.cell())
	}
	if !(over.usual(0) > b.usual(0)) {
		t.Errorf("usual springback over a tube of 25 is %v, over the nose %v", over.usual(0), b.usual(0))
	}
}

// Equal readings in an equal order give equal advice.
func TestSameAgain(t *testing.T) {
	build := func() Advice {
		s := newShop(3, theSpreads)
		m := New(Usual)
		var j job
		for number := range 12 {
			j = s.job(number)
			for range 5 {
				stop := m.Next(j.bend).Stop
				_, seen := s.bent(j, stop)
				m.Observe(Reading{Bend: j.bend, Stop: stop, Measured: seen})
			}
		}
		return m.Next(j.bend)
	}
	if a, b := build(), build(); a != b {
		t.Errorf("%+v and %+v", a, b)
	}
}

func BenchmarkObserve(b *testing.B) {
	s := newShop(1, theSpreads)
	m := New(Usual)
	var log []Reading
	for number := range 60 {
		j := s.job(number)
		for range 10 {
			_, seen := s.bent(j, 92)
			log = append(log, Reading{Bend: j.bend, Stop: 92, Measured: seen})
		}
	}
	b.ResetTimer()
	for i := range b.N {
		m.Observe(log[i%len(log)])
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
	// 92.3 give or take 0.3 from 3 readings of this pack
}
