package stock

import (
	_ "embed" // the tables are data, kept beside the code

	"brakeside/calc/unit"
)

// Material is one sort of sheet: alloy and temper, not thickness.
type Material struct {
	ID         string      // as written in part files
	Words      string      // as printed on a sheet
	Family     string      // mild-steel, stainless, aluminium or copper
	Magnetic   bool        // sticks to the magnet of the brake
	Series     GaugeSeries // the series its gauge numbers are read in
	Density    float64     // kg/m3
	Modulus    unit.MPa    // elastic modulus
	Yield      unit.MPa    // 0.2 percent proof stress
	Strength   unit.MPa    // tensile strength Rm
	Springback Springback  // at a 90 degree bend, inside radius about one thickness
	Usual      Multiple    // the inside radius a shop makes when none is asked for
	Source     string      // where each figure comes from, in one line

	HandbookRow string // row of the handbook springback table; empty when it has none
	RadiusRow   string // row of the table of least radii; empty is the material's own id
}

// Springback is what practice expects at a bend angle of 90 degrees with an
// inside radius of about one thickness, in degrees of bend angle.
type Springback struct {
	Mean, Low, High unit.Deg
}

// SD is the standard deviation the spread stands for: half the span from Low
// to High, since what a trade remembers is the usual, not the limit.
func (s Springback) SD() unit.Deg { return (s.High - s.Low) / 2 }

// Sheet is a material in one thickness.
type Sheet struct {
	Material  Material
	Thickness unit.MM
}

// Mass is the mass of so much of the sheet.
func (s Sheet) Mass(area unit.MM2) unit.KG {
	const cubicMetre = 1e9 // mm3
	return unit.KG(float64(area) * float64(s.Thickness) * s.Material.Density / cubicMetre)
}
