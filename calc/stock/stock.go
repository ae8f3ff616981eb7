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

//go:embed materials.csv
var materialsCSV string

var materials = readMaterials(materialsCSV)

// readMaterials reads the table of materials; its first row is mild steel,
// which all ratings are compared with.
func readMaterials(text string) []Material {
	var list []Material
	for _, r := range readTable(text) {
		list = append(list, Material{
			ID: r["id"], Words: r["words"], Family: r["family"], Magnetic: r["magnetic"] == "yes",
			Series:  seriesNamed(r["series"]),
			Density: r.number("density"), Modulus: unit.MPa(r.number("modulus")),
			Yield: unit.MPa(r.number("yield")), Strength: unit.MPa(r.number("strength")),
			Springback: Springback{
				Mean: unit.Deg(r.number("springback_mean")),
				Low:  unit.Deg(r.number("springback_low")),
				High: unit.Deg(r.number("springback_high")),
			},
			Usual: r.multiple("usual_radius"), Source: sources(r), HandbookRow: r["handbook_row"],
		})
	}
	return list
}

// sources joins the source of each figure of a material.
func sources(r row) string {
	var parts []string
	for _, figure := range []string{"density", "modulus", "strength", "springback", "usual_radius"} {
		name := strings.ReplaceAll(figure, "_", " ")
		parts = append(parts, name+" ("+r[figure+"_source"]+")")
	}
	return strings.Join(parts, "; ")
}

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
