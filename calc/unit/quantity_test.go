package unit

import (
	"math"
	"testing"
)

func TestMassText(t *testing.T) {
	for _, test := range []struct {
		mass     KG
		decimals int
		want     string
	}{{9.65, 1, "9.7"}, {0.605, 2, "0.61"}, {-0.001, 1, "0.0"}, {PerPound * 10, 3, "4.536"}} {
		if got := test.mass.Text(test.decimals); got != test.want {
			t.Errorf("KG(%v).Text(%d) = %q, want %q", float64(test.mass), test.decimals, got, test.want)
		}
	}
}

// A pound-force is a pound under standard gravity, 9.80665 m/s2; on a square
// inch it makes a psi.
func TestPSI(t *testing.T) {
	want := float64(PerPound) * 9.80665 / float64(PerInch*PerInch)
	if got := float64(PerPSI); math.Abs(got/want-1) > 1e-12 {
		t.Errorf("PerPSI = %v, want %v", got, want)
	}
}
