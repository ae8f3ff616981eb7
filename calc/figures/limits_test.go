package figures_test

import (
	"fmt"
	"strings"
	"testing"

	"brakeside/calc/figures"
)

// What no sheet metal has is refused, with a case on each side of each limit. The
// limits are this program's own, wide of every row of its table of materials.
func TestLimitsOfAMaterial(t *testing.T) {
	with := func(field, value string) string {
		fields := map[string]string{
			"density": "7900", "modulus": "200000", "strength": "600", "yield": "300", "usual_radius": "1", "springback": `{"mean":3,"low":2,"high":4}`,
		}
		fields[field] = value
		text := `{"materials":[{"id":"own","words":"own metal","family":"stainless","source":"mill sheet"`
		for f, v := range fields {
			text += fmt.Sprintf(",%q:%s", f, v)
		}
		return text + "}]}"
	}
	for _, test := range []struct {
		field   string
		good    []string
		strange []string
	}{
		{"density", []string{"500", "25000"}, []string{"499", "25001"}},
		{"modulus", []string{"1000", "500000"}, []string{"999", "500001"}},
		{"strength", []string{"300", "5000"}, []string{"5001"}},
		{"yield", []string{"5", "600"}, []string{"4.9", "601"}},
		{"usual_radius", []string{"0", "100"}, []string{"100.1"}},
		{"springback", []string{`{"mean":0,"low":-1,"high":0}`, `{"mean":60,"low":60,"high":60}`}, []string{
			`{"mean":3,"low":-1.1,"high":4}`, `{"mean":1.9,"low":2,"high":4}`, `{"mean":3,"low":2,"high":2.9}`, `{"mean":3,"low":2,"high":60.1}`}},
	} {
		for _, v := range test.good {
			if _, err := figures.ReadShop([]byte(with(test.field, v))); err != nil {
				t.Errorf("%s %s: %v", test.field, v, err)
			}
		}
		for _, v := range test.strange {
			if _, err := figures.ReadShop([]byte(with(test.field, v))); err == nil || !strings.Contains(err.Error(), "is not possible for sheet metal") {
				t.Errorf("%s %s: %v, want a refusal", test.field, v, err)
			}
		}
	}
	weak := strings.Replace(with("yield", "5"), `"strength":600`, `"strength":%s`, 1)
	for v, refused := range map[string]bool{"9.9": true, "10": false} {
		if _, err := figures.ReadShop([]byte(strings.Replace(weak, "%s", v, 1))); (err != nil) != refused {
			t.Errorf("strength %s: %v", v, err)
		}
	}
}
