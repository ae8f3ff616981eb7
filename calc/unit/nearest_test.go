package unit

import (
	"math"
	"testing"
)

// A half freezes the same, whichever way a processor's last bits fell.
func TestHalvesFreezeTheSame(t *testing.T) {
	for n := range 2000 {
		half := (float64(n) + 0.5) / 1000
		below, above := math.Nextafter(math.Nextafter(half, 0), 0), math.Nextafter(half, 1e9)
		for _, l := range []float64{below, half, above} {
			if got := MM(l).Micron(); got != Micron(n+1) {
				t.Fatalf("%v mm freeze to %d, want %d", l, got, n+1)
			}
			if got := MM(-l).Micron(); got != -Micron(n+1) {
				t.Fatalf("%v mm freeze to %d, want %d", -l, got, -n-1)
			}
			if got := Deg(10 * l).CentiDeg(); got != CentiDeg(n+1) {
				t.Fatalf("%v degrees freeze to %d, want %d", 10*l, got, n+1)
			}
		}
		if got := MM(half - 1e-8).Micron(); got != Micron(n) {
			t.Fatalf("%v mm freeze to %d, want %d: it is under the half", half-1e-8, got, n)
		}
	}
}
