package learn

import (
	"math"
	"testing"

	"brakeside/calc/unit"
)

// A copy goes its own way, and the small model of a job answers as the whole one.
func TestCloneAndFor(t *testing.T) {
	sc := scenarios()[0]
	s := newShop(sc, 5)
	m := s.run(&outcome{})
	j := s.job(sc.jobs)
	b := j.bends[0]
	other := j.bends[0]
	other.Brake, other.Pack = "south", ""
	small, copied := m.For(j.bends...), m.Clone()
	before := m.Next(b)
	if got := small.Next(b); !near(got.Springback, before.Springback, 1e-12) || !near(got.SD, before.SD, 1e-12) || got.From != before.From {
		t.Errorf("the small model says %+v, the whole one %+v", got, before)
	}
	for i := range 8 {
		r := read(b, before.Springback+unit.Deg(float64(i%3)-0.8))
		r.Reader = Reader{Person: []string{"A", "B"}[i%2]}
		whole, part := m.Observe(r), small.Observe(r)
		if !near(whole.Off, part.Off, 1e-9) || !near(whole.SD, part.SD, 1e-9) || whole.Weight != part.Weight && math.Abs(whole.Weight-part.Weight) > 1e-9 {
			t.Fatalf("reading %d surprises the whole model by %+v, the small one by %+v", i, whole, part)
		}
	}
	if a, b := m.Next(b), small.Next(b); !near(a.Springback, b.Springback, 1e-9) || !near(a.SD, b.SD, 1e-9) {
		t.Errorf("after eight readings the whole model says %+v, the small one %+v", a, b)
	}
	if got := copied.Next(b); got != before {
		t.Errorf("the copy went along: %+v, before %+v", got, before)
	}
	if got := small.Next(other); got.Basis != Guess {
		t.Errorf("the small model knows of another brake: %+v", got)
	}
}

// logOf is what a clean shop logs of so many jobs.
func logOf(jobs int) (log []Reading, last job) {
	sc := scenarios()[0]
	s := newShop(sc, 1)
	for number := range jobs {
		last = s.job(number)
		for range last.pieces {
			for _, b := range last.bends {
				stop := b.Bend.Angle + b.usual(0)
				seen, _ := s.measured(last.by, float64(stop)-s.bent(last, b))
				log = append(log, Reading{Bend: b, Reader: last.by.Reader, Stop: stop, Measured: unit.Deg(seen)})
			}
		}
	}
	return log, last
}

// What one reading costs with a year before it, in the model of the shop and in
// that of one job; and what it costs to make the latter.
func BenchmarkObserve(b *testing.B) {
	log, _ := logOf(200)
	b.Run("shop", func(b *testing.B) {
		m := New(Usual)
		for _, r := range log {
			m.Observe(r)
		}
		for i := 0; b.Loop(); i++ {
			m.Observe(log[i%len(log)])
		}
		b.ReportMetric(float64(len(m.mean)), "unknowns")
	})
	b.Run("job", func(b *testing.B) {
		log, last := logOf(200)
		m := New(Usual)
		for _, r := range log {
			m.Observe(r)
		}
		small := m.For(last.bends...)
		for i := 0; b.Loop(); i++ {
			r := log[len(log)-1-i%last.pieces]
			r.Bend = last.bends[i%len(last.bends)]
			small.Observe(r)
		}
		b.ReportMetric(float64(len(small.mean)), "unknowns")
	})
	b.Run("for", func(b *testing.B) {
		log, last := logOf(200)
		m := New(Usual)
		for _, r := range log {
			m.Observe(r)
		}
		for b.Loop() {
			m.For(last.bends...)
		}
	})
}
