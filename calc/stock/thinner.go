package stock

import (
	"cmp"
	"slices"
	"strconv"

	"brakeside/calc/unit"
)

// Ware is a thickness that sheet is sold in.
type Ware struct {
	Gauge     string // empty where sheet is sold by its thickness
	Thickness unit.MM
}

// metric are the thicknesses that sheet is sold in by the millimetre (preferred
// nominal thicknesses of cold-rolled strip mill products, EN 10131, from memory).
var metric = []unit.MM{0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1, 1.2, 1.5, 2, 2.5, 3}

// leastSheet is the thinnest sheet that is thought of in place of a thicker one.
const leastSheet unit.MM = 0.4

// Thinner lists what the material is sold in that is thinner than a sheet, the
// thickest first, and nothing of less than half its thickness: gauges of its own
// series where gauge is true, else millimetres.
func (m Material) Thinner(than unit.MM, gauge bool) []Ware {
	var all []Ware
	switch {
	case !gauge:
		for _, t := range metric {
			all = append(all, Ware{Thickness: t})
		}
	case m.Series == BrownSharpe:
		for n := range 41 {
			name := strconv.Itoa(n)
			if inches, ok := brownSharpe(name); ok {
				all = append(all, Ware{name, unit.MM(inches) * unit.PerInch})
			}
		}
	default:
		for name, inches := range gauges[m.Series] {
			all = append(all, Ware{name, unit.MM(inches) * unit.PerInch})
		}
	}
	const same = 0.005 // of a millimetre: what rounding makes of one thickness
	all = slices.DeleteFunc(all, func(w Ware) bool {
		return w.Thickness > than-same || w.Thickness < max(leastSheet, than/2)
	})
	slices.SortFunc(all, func(a, b Ware) int {
		return cmp.Or(cmp.Compare(b.Thickness, a.Thickness), cmp.Compare(a.Gauge, b.Gauge))
	})
	return all
}
