package traveler

import "brakeside/calc/unit"

// Point is a place on the blank, from its datum corner, or in an end view.
type Point struct {
	X unit.Micron `json:"x"`
	Y unit.Micron `json:"y"`
}
