package phrase

import (
	"fmt"
	"strings"

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

// Material puts the thickness first: it must stand when the words are cut.
func Material(p traveler.Part) string {
	return fmt.Sprintf("%s %s", Thickness(p), p.Material)
}

// Thickness is that of the sheet.
func Thickness(p traveler.Part) string { return trimmed(p.Thickness) + " mm" }

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

// Sizes tell to where the sizes of the part run, and their tolerance.
func Sizes(p traveler.Part) string {
	words := strings.ToUpper(p.Sizes)
	if p.Sizes == "blank" {
		words = "THE BLANK'S"
	}
	return fmt.Sprintf("%s, ±%s mm", words, p.SizeTolerance.Text(1))
}
