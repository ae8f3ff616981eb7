package phrase

import (
	"fmt"

	"brakeside/traveler"
)

// Flatten names the second doing of a hem: over what it is pressed flat.
func Flatten(f traveler.Flattening) string {
	if f.Strip > 0 {
		return "FLATTEN the hem over a strip of " + trimmed(f.Strip) + " mm"
	}
	return "FLATTEN the hem onto itself"
}

// FlattenSteps tells how a hem is pressed flat, in the order in which it is done
// (common practice, no source).
func FlattenSteps(f traveler.Flattening) []string {
	words := []string{
		"Leaf down. Draw the part OUT until the hem is clear of the nose. Bar up.",
		fmt.Sprintf("Push the part BACK, %s mm farther than it was bent: the fold lies under the nose.", f.Back.Text(0)),
	}
	if f.Strip > 0 {
		words = append(words, "Strip into the hem, along all of it.")
	}
	if f.Packing > 0 {
		on := "on the sheet"
		if f.OnBed {
			on = "on the bed"
		}
		words = append(words, fmt.Sprintf("%s mm of strip %s under the BACK of the bar, or it tips.", trimmed(f.Packing), on))
	}
	words = append(words, "Hands on the bar's ends: straight down on the hem; clamp; straight up again.")
	if f.Mallet {
		words = append(words, "Not quite flat: mallet on a flat block.")
	}
	return append(words, FlattenFrom)
}

// FlattenFrom says where the way of flattening comes from.
const FlattenFrom = "Common practice: the brake's manual goes before it."

// Hem names the width of a flat hem, which is checked.
func Hem(f traveler.Flattening) string { return checkWords[traveler.HemCheck] + f.Face }
