package bend

import (
	"testing"

	"brakeside/calc/stock"
	"brakeside/calc/unit"
)

// The last of the shop's own radii that speaks of material and bar holds, or else the
// usual one of the sheet; a drawn radius stays as drawn up to four thicknesses (common
// practice, no source), over a round bar, and while no bar is chosen. The shop's
// radii are invented.
func TestRadiusOfABend(t *testing.T) {
	sheet := stock.Sheet{Thickness: 1}
	sheet.Material.ID, sheet.Material.Family, sheet.Material.Usual = "304", "stainless", 1.5
	usual := sheet.UsualRadius()
	p := Practice{Radii: []UsualRadius{
		{"", "", 2}, {"304", "", 3}, {"stainless", "narrow", 4}, {"copper", "", 5}, {"", "wide", 6}, {"copper", "wide", 7},
	}}
	for _, test := range []struct {
		name  string
		p     Practice
		drawn unit.MM
		tool  Tool
		want  unit.MM
	}{
		{"none of the shop's own", Practice{}, 0, Tool{Bar: "wide"}, usual},
		{"of another material", Practice{Radii: []UsualRadius{{"copper", "", 5}}}, 0, Tool{}, usual},
		{"of every material", Practice{Radii: []UsualRadius{{"", "", 2}}}, 0, Tool{Bar: "any"}, 2},
		{"of the material", p, 0, Tool{Bar: "any"}, 3},
		{"of its family and the bar", p, 0, Tool{Bar: "narrow"}, 4},
		{"of the bar", p, 0, Tool{Bar: "wide"}, 6},
		{"no bar chosen", p, 0, Tool{}, 3},
		{"drawn", p, 2.5, Tool{Bar: "wide"}, 2.5},
		{"drawn as wide as the nose reaches", p, 4, Tool{Bar: "wide"}, 4},
		{"drawn wider", p, 4.01, Tool{Bar: "wide"}, 6},
		{"drawn wider, no bar chosen", p, 4.01, Tool{}, 4.01},
		{"drawn wider, over a round bar", p, 8, Tool{Bar: "wide", Former: 8}, 8},
	} {
		if got := test.p.RadiusUnder(sheet, test.drawn, test.tool); got != test.want {
			t.Errorf("%s: %v, want %v", test.name, got, test.want)
		}
	}
}
