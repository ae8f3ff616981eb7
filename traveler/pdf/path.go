package pdf

import (
	"math"
	"strconv"

	"brakeside/traveler/draw"
)

// operators is the text of a path in the language of a page (ISO 32000-1, 8.5):
// points from the lower left corner, to the hundredth. The library's calls for
// the same write each number through fmt, which took a good part of the time of a sheet.
type operators struct {
	text   []byte
	height float64 // of the page, in millimetres
}

// hundredths gives where a length in millimetres ends, in hundredths of a point.
func hundredths(mm float64) int64 { return int64(math.Round(mm * pointsPerMM * 100)) }

func (o *operators) number(hundredths int64) {
	if hundredths < 0 {
		o.text = append(o.text, '-')
		hundredths = -hundredths
	}
	o.text = strconv.AppendInt(o.text, hundredths/100, 10)
	o.text = append(o.text, '.', byte('0'+hundredths/10%10), byte('0'+hundredths%10), ' ')
}

func (o *operators) operator(name string) { o.text = append(append(o.text, name...), '\n') }

// along adds the corners of a path: it begins at the first.
func (o *operators) along(p draw.Path) {
	for i, at := range p.Points {
		o.number(hundredths(at.X))
		o.number(hundredths(o.height - at.Y))
		if i == 0 {
			o.operator("m")
		} else {
			o.operator("l")
		}
	}
	if p.Closed {
		o.operator("h")
	}
}

// box adds a rectangle by its edges. Its width is that between the edges as
// written, so that neighbours leave no gap.
func (o *operators) box(left, top, right, bottom float64) {
	x, y := hundredths(left), hundredths(o.height-bottom)
	o.number(x)
	o.number(y)
	o.number(hundredths(right) - x)
	o.number(hundredths(o.height-top) - y)
	o.operator("re")
}

// pointsPerMM is the number of printer's points in a millimetre.
const pointsPerMM = 72 / 25.4
