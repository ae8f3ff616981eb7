package canvas

import (
	"math"
	"math/rand"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
)

func TestSpread(t *testing.T) {
	cases := []struct {
		name   string
		labels []Label
		want   []float64
	}{
		{"none", nil, nil},
		{"one in its place", []Label{{50, 4}}, []float64{50}},
		{"one at the end is pushed in", []Label{{0, 4}}, []float64{2}},
		{"far apart stay", []Label{{20, 4}, {40, 4}}, []float64{20, 40}},
		{"two on one place share it", []Label{{50, 4}, {50, 4}}, []float64{48, 52}},
		{"three near each other", []Label{{49, 4}, {50, 4}, {51, 4}}, []float64{46, 50, 54}},
		{"of unlike sizes", []Label{{50, 2}, {50, 6}}, []float64{48, 52}},
		{"pushed from the far end", []Label{{98, 4}, {99, 4}}, []float64{94, 98}},
		{"a chain reaches a free one", []Label{{40, 4}, {41, 4}, {45, 4}}, []float64{38, 42, 46}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			got := Spread(c.labels, 0, 100)
			if diff := cmp.Diff(c.want, got, cmpopts.EquateApprox(0, 1e-9)); diff != "" {
				t.Errorf("spread(%v) (-want +got):\n%s", c.labels, diff)
			}
		})
	}
}

// shifted is the sum of the squares of the shifts.
func shifted(labels []Label, at []float64) float64 {
	sum := 0.0
	for i, l := range labels {
		sum += (l.At - at[i]) * (l.At - at[i])
	}
	return sum
}

// apartIn reports whether the labels lie in order, in bounds, and apart.
func apartIn(labels []Label, at []float64, low, high float64) bool {
	for i := range at {
		from, to := at[i]-labels[i].Size/2, at[i]+labels[i].Size/2
		if from < low-1e-9 || to > high+1e-9 {
			return false
		}
		if i > 0 && at[i]-at[i-1] < (labels[i].Size+labels[i-1].Size)/2-1e-9 {
			return false
		}
	}
	return true
}

// For random labels that have room the answer is allowed, and no small change
// of it that is allowed is better: for a convex sum over a convex set that
// makes it the best there is.
func TestSpreadIsBest(t *testing.T) {
	random := rand.New(rand.NewSource(1))
	for range 2000 {
		labels := make([]Label, 1+random.Intn(9))
		at := 0.0
		for i := range labels {
			at += random.Float64() * 15
			labels[i] = Label{at, 1 + random.Float64()*8}
		}
		got := Spread(labels, 0, 100)
		if !apartIn(labels, got, 0, 100) {
			t.Fatalf("spread(%v) = %v: not in order, in bounds and apart", labels, got)
		}
		best := shifted(labels, got)
		for range 50 {
			from, to := random.Intn(len(got)), random.Intn(len(got))
			moved := append([]float64(nil), got...)
			for i := min(from, to); i <= max(from, to); i++ {
				moved[i] += (random.Float64() - 0.5) * 0.2
			}
			if apartIn(labels, moved, 0, 100) && shifted(labels, moved) < best-1e-9 {
				t.Fatalf("spread(%v) = %v, but %v is better", labels, got, moved)
			}
		}
	}
}

// More labels than the line holds keep their order and run over its end.
func TestSpreadOverfull(t *testing.T) {
	labels := []Label{{1, 40}, {2, 40}, {3, 40}}
	if got := Spread(labels, 0, 100); math.Abs(got[0]-20) > 1e-9 || got[2]-got[0] < 80-1e-9 {
		t.Errorf("spread(%v) = %v, want 20, 60, 100", labels, got)
	}
}
