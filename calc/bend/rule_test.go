package bend

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestKFactorChangesAtTwoThicknesses(t *testing.T) {
	for _, test := range []struct {
		radius, thickness float64
		want              float64
	}{{0, 1, 0.33}, {1.5, 1.5, 0.33}, {2.39, 1.2, 0.33}, {2.4, 1.2, 0.5}, {0.6, 0.3, 0.5}, {20, 1, 0.5}} {
		b := Bend{Angle: 90, Radius: mm(test.radius), Thickness: mm(test.thickness)}
		if k, rule := KFactor(b.Radius, b.Thickness); k != test.want || rule != Textbook.Name {
			t.Errorf("KFactor(%v, %v) = %v by %q, want %v", test.radius, test.thickness, k, rule, test.want)
		}
		if k := Textbook.K(b); math.Abs(k-test.want) > 1e-9 {
			t.Errorf("Textbook.K at r %v, t %v = %v, want %v", test.radius, test.thickness, k, test.want)
		}
	}
}

func TestDINCorrection(t *testing.T) {
	for _, test := range []struct{ ratio, want float64 }{
		{1, 0.65}, {1.2, 0.68959}, {5, 0.99949}, {5.01, 1}, {100, 1}, {0.05, 0}, {0, 0}, {0.5, 0.49949},
	} {
		if got := DINCorrection(mm(test.ratio*2), 2); math.Abs(got-test.want) > 1e-5 {
			t.Errorf("DINCorrection at r/t %v = %v, want %v", test.ratio, got, test.want)
		}
	}
	b := Bend{Angle: 90, Radius: 6, Thickness: 5}
	if k := DIN6935.K(b); math.Abs(k-0.68959/2) > 1e-5 {
		t.Errorf("DIN 6935 makes K %v, want half of k 0.68959", k)
	}
}

// Every rule gives at most the length of the outside face and grows with the
// angle in proportion; its K gives its own allowance back.
func TestLawsOfRules(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := anyBend(t)
		for _, r := range Rules() {
			again := b
			again.K = r.K(b)
			near(t, r.Name+", through its K", again.Allowance(), r.Allowance(b))
			double := b
			double.Angle *= 2
			near(t, r.Name+", at twice the angle", r.Allowance(double), 2*r.Allowance(b))
			if outer := mm(b.Angle.Rad()) * (b.Radius + b.Thickness); r.Allowance(b) > outer {
				t.Errorf("%s: %+v uses %v, more than its outside face %v", r.Name, b, r.Allowance(b), outer)
			}
			if other := b; true {
				other.K = 0.9
				near(t, r.Name+", whatever the bend's own K", r.Allowance(other), r.Allowance(b))
			}
		}
	})
}

func TestRulesAreNamedAndSourced(t *testing.T) {
	seen := map[string]bool{}
	for _, r := range Rules() {
		for _, by := range []string{r.Name, r.ID} {
			if found, ok := FindRule(by); !ok || found.Name != r.Name || r.Source == "" || seen[by] {
				t.Errorf("rule %q is not found as %q, or has no source, or is there twice", r.Name, by)
			}
			seen[by] = true
		}
	}
	if r, ok := FindRule("guess"); ok {
		t.Errorf("FindRule(guess) = %q", r.Name)
	}
}

func ExampleCompare() {
	for _, c := range Compare(Bend{Angle: 90, Radius: 1.5, Thickness: 1.5, K: 0.42}) {
		fmt.Printf("%5.2f %5.2f  K %.3f  %s\n", c.Allowance, c.Deduction, c.K, c.Rule.Name)
	}
	// Output:
	//  3.35  2.65  K 0.420  this bend's K
	//  3.13  2.87  K 0.330  K 0.33 below r = 2t, 0.5 from 2t
	//  3.12  2.88  K 0.325  DIN 6935
	//  3.18  2.82  K 0.350  0.55 T + 1.57 R, soft brass and copper
	//  3.32  2.68  K 0.407  0.64 T + 1.57 R, soft steel, half-hard copper and brass, aluminium
	//  3.42  2.58  K 0.452  0.71 T + 1.57 R, hard copper, bronze, cold-rolled and spring steel
	//  3.41  2.59  K 0.446  0.01743 R + 0.0078 T per degree
}
