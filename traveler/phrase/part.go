package phrase

import (
	"cmp"
	"fmt"
	"strings"

	"brakeside/calc/unit"
	"brakeside/traveler"
)

// Labels of the boxes that more than one paper has.
const (
	LabelPart     = "PART"
	LabelJob      = "JOB"
	LabelQuantity = "QUANTITY"
	LabelRevision = "REVISION"
	LabelMaterial = "MATERIAL"
)

// Grain tells which of the two sizes of the blank the grain runs along.
func Grain(p traveler.Part) string {
	switch p.Grain {
	case "x":
		return "grain along the first size"
	case "y":
		return "grain along the second size"
	}
	return "grain does not matter"
}

// Material is the thickness with the name of the material.
func Material(in unit.System, p traveler.Part) string {
	return Thickness(in, p) + " " + MaterialName(p)
}

// MaterialName is what the material is called across the shop, in capitals.
func MaterialName(p traveler.Part) string {
	return strings.TrimSpace(strings.ToUpper(p.Material[:gradeAt(p)]))
}

// MaterialGrade is what else is known of it: temper, standards.
func MaterialGrade(p traveler.Part) string {
	grade := strings.TrimSpace(strings.TrimPrefix(p.Material[gradeAt(p):], ","))
	if inner, ok := strings.CutPrefix(grade, "("); ok {
		grade = strings.TrimSuffix(inner, ")")
	}
	return grade
}

// gradeAt is where the name of a material ends and its grade begins.
func gradeAt(p traveler.Part) int {
	if at := strings.IndexAny(p.Material, ",("); at > 0 {
		return at
	}
	return len(p.Material)
}

// Thickness is that of the sheet.
func Thickness(in unit.System, p traveler.Part) string {
	if in == unit.Inch {
		return unit.MM(p.Thickness.MM().Inches()).Text(4) + " in (" + trimmed(p.Thickness) + ")"
	}
	return trimmed(p.Thickness) + " mm"
}

// Magnet tells the operator what a magnet must do with the sheet.
func Magnet(p traveler.Part) string {
	if p.Magnetic {
		return "sticks"
	}
	return "does not stick"
}

// Face says which face the blank is drawn from, and whether it is the one
// that is marked or filmed.
func Face(p traveler.Part) string {
	if p.MarkedFace == "B" {
		return "FACE A UP, marked face B DOWN"
	}
	return "FACE A UP, marked"
}

// Revision is that of the drawing; a dash where it has none, so that nobody takes
// the empty room for something to be filled in.
func Revision(p traveler.Part) string { return cmp.Or(p.Revision, "-") }

// Sizes tell to where the sizes of the part run, and their tolerance.
func Sizes(in unit.System, p traveler.Part) string {
	words := strings.ToUpper(p.Sizes)
	if p.Sizes == "blank" { // drawn as it is cut; what is checked when it is bent is measured outside
		words = "OUTSIDE"
	}
	return fmt.Sprintf("%s, ±%s %s", words, in.Figure(p.SizeTolerance), in)
}
