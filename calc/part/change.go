package part

import (
	"math"

	"brakeside/calc/notation"
	"brakeside/calc/unit"
)

// Changed is the part with a change made to its file, which is read anew. It is
// refused where the change does not belong to the file, or what comes of it is no
// part.
func (p Part) Changed(change notation.Patch) (Part, error) {
	file, err := p.places.Changed(change)
	if err != nil {
		return Part{}, err
	}
	return Read(file)
}

// Has reports whether the part's file gives a value at a JSON pointer.
func (p Part) Has(pointer string) bool { return p.places.Has(pointer) }

// Figure writes a length as the part's file does: in its own unit, to a tenth of a
// micrometre, which takes off what counting in binary leaves over.
func (p Part) Figure(length unit.MM) float64 {
	if p.Inch {
		length /= unit.PerInch
	}
	return math.Round(float64(length)*1e4) / 1e4
}

// Unit is the unit of the part's file as it is written behind a figure.
func (p Part) Unit() string {
	if p.Inch {
		return "in"
	}
	return "mm"
}
