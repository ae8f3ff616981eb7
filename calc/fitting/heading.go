package fitting

import (
	"math"

	"brakeside/calc/unit"
)

// direction is the heading of a vector of the blank, whole degrees 0..359.
func direction(x, y float64) int {
	return wrap(int(math.Round(float64(unit.FromRad(math.Atan2(y, x))))))
}

func wrap(degrees int) int { return ((degrees % 360) + 360) % 360 }
