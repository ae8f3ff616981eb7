package phrase

import (
	"fmt"
	"strconv"
	"strings"

	"brakeside/calc/unit"
	"brakeside/traveler"
)

// Title names the part, its revision and the job, if it has a number.
func Title(t *traveler.Traveler) string {
	return fmt.Sprintf("%s revision %s, %s%s", t.Part.Number, Revision(t.Part), t.Part.Title, ofJob(t, ", "))
}

// JobAndPack names the job, and the pack its sheet is cut from where that is known.
func JobAndPack(t *traveler.Traveler) string {
	if t.Pack == "" {
		return t.Job
	}
	return t.Job + " · lot " + t.Pack
}

// Job names the job, if it has a number, and how many pieces it is.
func Job(t *traveler.Traveler) string {
	words := strconv.Itoa(t.Quantity) + " pieces"
	if t.Quantity == 1 {
		words = "1 piece"
	}
	if t.Job != "" {
		words = t.Job + " · " + words
	}
	return words
}

// Issued says who made the sheet and when, in the time zone it was frozen
// in; what is not known of a sheet made without a service is left out.
func Issued(t *traveler.Traveler) string {
	words := "issued " + moment(t.IssuedAt)
	if t.Shop != "" {
		words = t.Shop + " · " + words
	}
	if t.IssuedBy != "" {
		words += " by " + t.IssuedBy
	}
	return words
}

// Prepare lists the boxes to tick before the first bend, the cautions with where they
// stand if that is behind it.
func Prepare(b traveler.Brake, cautions string) []string {
	hold := "bar clamps evenly along its length"
	if b.Magnet {
		hold = "magnet on: bar does not shift"
	}
	zero := fmt.Sprintf("stop zero: leaf flat reads %s (%s)", Angle(zeroReading(b)), ScaleReads(b.Reads))
	words := []string{"blank deburred; bed, bar clean", "cautions read" + cautions}
	if b.SlimFace > 0 && b.SlimFace < b.FullFace {
		words = append(words, Leaf(traveler.FullLeaf))
	}
	return append(words, hold, zero)
}

// Pencil tells to mark the nose lines while the blank is flat, each on the face
// that is up when its bend is made.
func Pencil(t *traveler.Traveler) string {
	on := map[string][]string{}
	for _, s := range t.Steps {
		on[s.FaceUp] = append(on[s.FaceUp], strconv.Itoa(s.Number))
	}
	switch {
	case on["B"] == nil:
		return "Pencil all nose lines on the flat blank now, on face A."
	case on["A"] == nil:
		return "Pencil all nose lines on the flat blank now, on face B, each by its figure from the same edge of the metal."
	}
	return fmt.Sprintf("Pencil the nose lines on the flat blank now. Face A: %s. "+
		"Turn it over. Face B: %s, from the same edges of the metal.",
		listedSteps(on["A"]), listedSteps(on["B"]))
}

// listedSteps names the lines of some steps.
func listedSteps(numbers []string) string {
	if len(numbers) == 1 {
		return "line " + numbers[0]
	}
	return "lines " + strings.Join(numbers, ", ")
}

// zeroReading is what the stop's scale shows while the leaf lies flat.
func zeroReading(b traveler.Brake) unit.CentiDeg {
	if b.Reads == "opening" {
		return 18000 + b.Zero
	}
	return b.Zero
}

// Run says in which order the pieces are made.
func Run(t *traveler.Traveler) string {
	if t.Quantity == 1 {
		return "One piece: measure every angle and size as you go."
	}
	if len(t.Steps) < 2 {
		return "First piece whole and measured; then the others."
	}
	if t.Run == traveler.ByPiece {
		return "First piece whole and measured; then each piece from the first step to the last."
	}
	return "First piece whole and measured; then step 1 on all, then step 2 on all."
}

// OnBrake names the brake the order was planned for.
func OnBrake(b traveler.Brake) string { return "on " + b.Name }

// Plan says how long a piece takes and how sure the order is.
func Plan(t *traveler.Traveler) string {
	words := fmt.Sprintf("planned %s minutes a piece", unit.MM(float64(t.Minutes)/100).Text(1))
	if !t.Proven {
		words += ", order not proven the cheapest"
	}
	return words
}

// Foot names the sheet, so that a loose page finds its way back.
func Foot(t *traveler.Traveler) string {
	return fmt.Sprintf("%s · revision %s%s · issued %s", t.Part.Number, Revision(t.Part), ofJob(t, " · "), moment(t.IssuedAt))
}

// ofJob names the job behind a sign, if it has a number.
func ofJob(t *traveler.Traveler, sign string) string {
	if t.Job == "" {
		return ""
	}
	return sign + "job " + t.Job
}

// Page tells one page of several.
func Page(number, of int) string { return fmt.Sprintf("page %d of %d", number, of) }
