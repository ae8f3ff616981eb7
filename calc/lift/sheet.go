package lift

import (
	"fmt"

	"brakeside/calc/unit"
)

// Advice is what the plan says about handling a piece.
type Advice struct {
	TwoPeople bool
	Limit     unit.KG // for one person; 0 when the piece is out of reach of the equation
	Words     string
}

// light is the mass below which handling is not assessed at all: ISO 11228-1
// begins at 3 kg (from memory).
const light = 3

// bedHeight is how high the hands are at the bed of a leaf brake. Common
// practice, no source.
const bedHeight unit.MM = 900

// Sheet advises on a flat piece of a mass in kg and two sides, carried by its
// long edges from a table at bed height: the hands reach to the middle of the
// short side, H = 20 cm + half of it (the manual's rule for a load held above 25
// cm, from memory), a bare edge is a poor coupling, and a piece comes once in
// five minutes for up to two hours (common practice, no source). A piece of less
// than 3 kg is one person's.
func Sheet(mass unit.KG, sides [2]unit.MM) Advice {
	width := min(sides[0], sides[1])
	task := Task{
		Horizontal: 200 + width/2, Vertical: bedHeight, Travel: 250,
		Rate: 0.2, Duration: Moderate, Coupling: Poor,
	}
	a := Advice{Limit: task.Limit(unit.Metric).Kilograms()}
	switch {
	case mass < light:
		a.Words = fmt.Sprintf("%.1f kg: one person", mass)
	case a.Limit == 0:
		a.TwoPeople = true
		a.Words = fmt.Sprintf("%.1f kg and %s mm wide: too wide for one person to hold close", mass, width.Text(0))
	case mass > a.Limit:
		a.TwoPeople = true
		a.Words = fmt.Sprintf("%.1f kg: two people (NIOSH equation: %.1f kg for one)", mass, a.Limit)
	default:
		a.Words = fmt.Sprintf("%.1f kg: one person (NIOSH equation: up to %.1f kg)", mass, a.Limit)
	}
	return a
}
