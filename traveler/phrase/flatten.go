package phrase

import (
	"fmt"

	"brakeside/calc/unit"
	"brakeside/traveler"
)

// Flatten names the second doing of a hem: over what it is pressed flat.
func Flatten(in unit.System, f traveler.Flattening) string {
	if f.Strip > 0 {
		return in.Said("FLATTEN the hem over a strip of " + trimmed(f.Strip) + " mm")
	}
	return "FLATTEN the hem onto itself"
}

// FlattenSteps tells how a hem is pressed flat under the bar, in the order in
// which it is done (common practice, no source). A magnet is named only where the
// brake has one.
func FlattenSteps(in unit.System, f traveler.Flattening) []string {
	off, on := "", ""
	if f.Mallet {
		off, on = ", magnet OFF", "; magnet ON"
	}
	words := []string{
		"Leaf down" + off + ". Draw the part OUT until the hem is clear of the nose. Set the bar up on blocks, or two hold it.",
		in.Said(fmt.Sprintf("Push the part BACK, %s mm farther than it was bent: the fold lies under the nose.", f.Back.Text(0))),
	}
	if f.Strip > 0 {
		words = append(words, "Strip into the hem, along all of it.")
	}
	if f.Packing > 0 {
		at := "on the sheet"
		if f.OnBed {
			at = "on the bed"
		}
		words = append(words, in.Said(fmt.Sprintf("%s mm of strip %s under the BACK of the bar, or it tips.", trimmed(f.Packing), at)))
	}
	words = append(words, "Hands on top: bar straight down on the hem. Hands away"+on+". Then straight up again.")
	if f.Mallet {
		words = append(words, "Not quite flat: mallet on a flat block.")
	}
	return append(words, FlattenFrom)
}

// FlattenFrom says where the way of flattening comes from.
const FlattenFrom = "Common practice: the brake's manual goes before it."

// Hem names the width of a flat hem, which is checked.
func Hem(f traveler.Flattening) string { return checkWords[traveler.HemCheck] + f.Face }
