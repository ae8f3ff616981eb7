package learn

import (
	"fmt"
	"math"
	"testing"

	"brakeside/calc/stock"
	"brakeside/calc/unit"
)

// expects is what is expected of a carried bend, with its variance: the sum that
// CarriedBend says, by the rule for the variance of a sum.
func (c Carried) expects(b CarriedBend) (springback, variance float64) {
	at := func(i, j int) float64 { return c.Covariances[max(i, j)][min(i, j)] }
	return b.Usual + c.Means[0] + b.Share*c.Means[b.Metal],
		at(0, 0) + 2*b.Share*at(0, b.Metal) + b.Share*b.Share*at(b.Metal, b.Metal)
}

// What is carried expects of every bend and reader what the model does.
func TestCarryExpectsTheSame(t *testing.T) {
	log, last := logOf(20)
	m := New(Usual)
	for _, r := range log {
		m.Observe(r)
	}
	bends := map[int]Bend{}
	for i, b := range last.bends {
		along, sharp := b, withAngle(b, 120)
		along.Run = stock.Along
		for j, one := range []Bend{b, along, sharp, withAngle(b, 100)} {
			bends[10*i+j+1] = one
		}
	}
	c := m.Carry(bends)
	if len(c.Bends) != len(bends) || c.Pack != last.bends[0].Pack || c.Taught == 0 || len(c.Readers) == 0 || len(c.Pairs) == 0 || c.Held != nil {
		t.Fatalf("carried: %+v", c)
	}
	if c.Bends[1].Metal != c.Bends[4].Metal || c.Bends[1].Metal == c.Bends[2].Metal || c.Bends[1].Metal == c.Bends[3].Metal {
		t.Errorf("bends of one cell, band and grain share their metal, others do not: %+v", c.Bends)
	}
	for step, b := range bends {
		want := m.Next(b)
		if springback, variance := c.expects(c.Bends[step]); !near(want.Springback, unit.Deg(springback), 1e-5) || !near(want.SD, unit.Deg(math.Sqrt(variance)), 1e-5) {
			t.Errorf("step %d: carried %v give or take %v, the model says %v give or take %v", step, springback, math.Sqrt(variance), want.Springback, want.SD)
		}
	}
	for _, p := range c.Pairs {
		want := m.noise(m.settings, Reading{Reader: Reader{p.Person, p.Tool}}) - Reader{p.Person, p.Tool}.unnamed(m.settings)
		if math.Abs(p.Errors[0]-want) > 1e-5 || p.Errors[1] <= p.Errors[0] {
			t.Errorf("%s with %s errs by %v, want %v and more on a short leg", p.Person, p.Tool, p.Errors, want)
		}
	}
}

// A reading that is held back goes along, with those who are asked; of many people only
// those who read most do.
func TestCarryHeldAskedAndRegulars(t *testing.T) {
	m, b := New(Usual), bent(t, "mild-steel", 90)
	b.Pack = "P1"
	for i := range 3 * mostCarried {
		for range 1 + i/mostCarried {
			r := read(b, 2)
			r.Reader = Reader{Person: fmt.Sprintf("P%02d", i), Tool: "bevel"}
			m.Observe(r)
		}
	}
	slip := read(b, 7.5)
	slip.Reader, slip.Leg = Reader{Person: "P17", Tool: "bevel"}, 8
	if m.Observe(slip).Weight != 0 {
		t.Fatal("the slip was not held back")
	}
	m.asked[Reader{Person: "P16", Tool: "bevel"}] = &question{}
	c := m.Carry(map[int]Bend{1: b})
	want := CarriedReading{c.Bends[1], 7.5, true, "P17", "bevel"}
	if c.Held == nil || *c.Held != want {
		t.Errorf("held: %+v, want %+v", c.Held, want)
	}
	people := 0
	for _, r := range c.Readers {
		if r.Kind == "by" {
			people++
			if r.Name < "P12" || !(r.Precision > 0) {
				t.Errorf("%+v goes along, want one of the last six", r)
			}
		}
	}
	if n := 1 + people + 1 + 1; people != mostCarried || len(c.Means) != n || len(c.Covariances) != n || len(c.Covariances[n-1]) != n {
		t.Errorf("%d people, %d means, %d rows; want %d people and places for zero, metal, people and tool", people, len(c.Means), len(c.Covariances), mostCarried)
	}
	for _, p := range c.Pairs {
		if p.Asked != (p.Person == "P16") {
			t.Errorf("%s is asked: %v", p.Person, p.Asked)
		}
	}
	other := b
	other.Brake, other.Pack = "south", "P1"
	if c := m.Carry(map[int]Bend{1: other}); c.Held != nil {
		t.Errorf("held for another bend: %+v", c.Held)
	}
	if c := New(Usual).Carry(nil); c.Means != nil || len(c.Bends) != 0 {
		t.Errorf("of no bends %+v is carried", c)
	}
}
