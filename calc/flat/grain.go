package flat

import (
	"math"

	"brakeside/calc/stock"
)

// RunOf tells how a bend line lies to the grain.
func (b *Blank) RunOf(j Joint) stock.Run {
	along := j.Line[1].Sub(j.Line[0])
	x, y := math.Abs(along.X), math.Abs(along.Y)
	switch b.Part.Grain {
	case "x":
		return runAlong(x >= y)
	case "y":
		return runAlong(y >= x)
	}
	return stock.UnknownRun
}

func runAlong(along bool) stock.Run {
	if along {
		return stock.Along
	}
	return stock.Across
}
