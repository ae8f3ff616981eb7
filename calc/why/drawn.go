package why

import (
	"brakeside/calc/notation"
	"brakeside/calc/unit"
	"math"
	"strconv"
)

// size is one size of the part as it is drawn.
type size struct {
	words string // what it is the size of
	as    string // how it is drawn, where that is not as it is bent
	now   unit.MM
	to    func(unit.MM) notation.Patch // the change that makes it another
}

// step is the distance between the round figures that are tried: half a millimetre,
// or the fiftieth of an inch.
func (h *healer) step() unit.MM {
	if h.Part.Inch {
		return unit.PerInch / 50
	}
	return 0.5
}

// rounded is the round figure so many steps above or below a size.
func (h *healer) rounded(now unit.MM, way float64, steps int) unit.MM {
	at := float64(now / h.step())
	if way > 0 {
		return unit.MM(math.Floor(at+1e-6)+float64(steps)) * h.step()
	}
	return unit.MM(math.Ceil(at-1e-6)-float64(steps)) * h.step()
}

// figure writes a length as the drawing does.
func (h *healer) figure(length unit.MM) string {
	return strconv.FormatFloat(h.Part.Figure(length), 'f', -1, 64)
}

// at is the size that stands at a place of the part's file.
func (h *healer) at(words, pointer string, now unit.MM) size {
	return size{words: words, now: now, to: func(to unit.MM) notation.Patch {
		return notation.Patch{{Op: notation.Replace, Path: pointer, Value: h.Part.Figure(to)}}
	}}
}
