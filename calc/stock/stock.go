// Package stock knows the sheets a shop can buy: what the material is, how
// thick a gauge is in the series that belongs to it, how tightly it may be
// bent and how far it is known to spring back.
//
// Lengths are millimetres, stresses MPa (N/mm2), densities kg/m3. Every row of
// the embedded tables carries the source of each of its figures; "from memory"
// and "common practice, no source" are said where they apply. The package does
// not know brakes or parts: what one bend uses is worked out in calc/bend.
package stock

import (
	_ "embed" // the tables are data, kept beside the code
	"math"
	"strings"

	"brakeside/calc/fault"
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

//go:embed materials.csv
var materialsCSV string

var materials = readMaterials(materialsCSV)

// All lists the built-in materials in file order. The caller owns the list.
func All() []Material { return append([]Material(nil), materials...) }

// Find gives the built-in material of that id. An unknown id is refused as
// fault.Missing on the field "material", naming the nearest ids.
func Find(id string) (Material, error) { return FindIn(materials, id) }

// FindIn is Find in a list of the caller's, for a shop with materials of its
// own.
func FindIn(list []Material, id string) (Material, error) {
	for _, m := range list {
		if m.ID == id {
			return m, nil
		}
	}
	return Material{}, fault.New(fault.Missing, "material",
		"no material is called %q; the nearest are %s", id, strings.Join(nearest(list, id), ", "))
}

// NonMagneticLoss is by how much a sheet that does not stick to the magnet
// counts as thicker: the sheet is an air gap to the magnet, and the bar on it
// is held less. Common practice, no source; chosen so that a brake rated for 16
// gauge mild steel takes 20 gauge stainless.
const NonMagneticLoss = 1.15

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

// StrengthFactor is by how much the material counts as thicker than mild steel
// when it is bent: sqrt(Rm / Rm of mild steel), because the moment a bend takes
// goes with Rm t^2.
func (m Material) StrengthFactor() float64 {
	return math.Sqrt(float64(m.Strength / materials[0].Strength))
}

// RatingFactor is what a magnet-held brake that states no factor of its own
// multiplies the thickness by before its rating: StrengthFactor, and
// NonMagneticLoss for sheet that does not stick.
func (m Material) RatingFactor() float64 {
	if m.Magnetic {
		return m.StrengthFactor()
	}
	return m.StrengthFactor() * NonMagneticLoss
}

// HoldShare is what is left of the magnet's pressure on a bar over this sheet:
// one for sheet that sticks, 1 / NonMagneticLoss^2 for sheet that does not,
// because the moment a bar must hold goes with the square of the thickness.
func (m Material) HoldShare() float64 {
	if m.Magnetic {
		return 1
	}
	return 1 / (NonMagneticLoss * NonMagneticLoss)
}

// RatingFactor is that of the sheet's material.
func (s Sheet) RatingFactor() float64 { return s.Material.RatingFactor() }

// UsualRadius is the inside radius the shop makes when the drawing asks for
// none: so many thicknesses by material, and never tighter than is advised for
// a bend of at most 120 degrees across the grain.
func (s Sheet) UsualRadius() unit.MM {
	least, _ := s.LeastRadius(90, Across)
	return max(s.Material.Usual.Of(s.Thickness), least.Advised)
}
