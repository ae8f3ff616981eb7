package stock

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"brakeside/calc/unit"
)

// What is offered in place of a sheet is thinner than it, no thinner than half of it,
// the thickest first, and each gauge has the thickness of its own series.
func TestThinner(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := rapid.SampledFrom(All()).Draw(t, "material")
		than, gauge := unit.MM(rapid.Float64Range(0.3, 4).Draw(t, "thickness")), rapid.Bool().Draw(t, "gauge")
		last := than
		for _, w := range m.Thinner(than, gauge) {
			if w.Thickness >= than || w.Thickness < than/2 || w.Thickness < leastSheet || w.Thickness > last {
				t.Errorf("%s of %v: %v is offered after %v", m.ID, than, w, last)
			}
			if (w.Gauge != "") != gauge {
				t.Errorf("%s: gauge %q where gauges are wanted: %v", m.ID, w.Gauge, gauge)
			}
			if gauge {
				if got, err := m.Thickness(w.Gauge); err != nil || math.Abs(float64(got-w.Thickness)) > 1e-9 {
					t.Errorf("%s: gauge %s is offered as %v, its series has %v, %v", m.ID, w.Gauge, w.Thickness, got, err)
				}
			}
			last = w.Thickness
		}
	})
}

// A sheet that is sold is not offered in place of itself, and the next below it comes
// first: of 1.2 mm that is 1.0, of 16 gauge steel 17 gauge (0.0598 and 0.0538 in,
// manufacturers' standard gauge), of 16 gauge aluminium 17 (0.0508 and 0.0453, ASTM
// B258), each within half of its thickness.
func TestThinnerBeginsWithTheNext(t *testing.T) {
	for _, test := range []struct {
		material string
		than     unit.MM
		gauge    bool
		want     Ware
	}{
		{"mild-steel", 1.2, false, Ware{"", 1}},
		{"mild-steel", 1.1, false, Ware{"", 1}},
		{"mild-steel", 0.0598 * unit.PerInch, true, Ware{"17", 0.0538 * unit.PerInch}},
		{"5052-H32", 0.0508 * unit.PerInch, true, Ware{"17", 0.0453 * unit.PerInch}},
	} {
		m, err := Find(test.material)
		if err != nil {
			t.Fatal(err)
		}
		got := m.Thinner(test.than, test.gauge)
		if len(got) == 0 || got[0].Gauge != test.want.Gauge || math.Abs(float64(got[0].Thickness-test.want.Thickness)) > 0.002 {
			t.Errorf("%s below %v: %v, want %v first", test.material, test.than, got, test.want)
		}
	}
	if m, err := Find("mild-steel"); err != nil || len(m.Thinner(leastSheet, false)) != 0 {
		t.Errorf("below the thinnest sheet there is %v, %v", m.Thinner(leastSheet, false), err)
	}
}
