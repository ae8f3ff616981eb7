package unit

import (
	"math"
	"regexp"
	"strconv"
	"strings"
)

// Bare prints a frozen length as a shop of the system reads it, without a unit: tenths
// of a millimetre, or thousandths of an inch.
func (s System) Bare(m Micron) string {
	if s == Inch {
		return MM(m.MM().Inches()).Text(3)
	}
	return m.Text(1)
}

// Figure is Bare for what is set and measured at the brake: an inch shop has the tenths
// of a millimetre behind it in brackets.
func (s System) Figure(m Micron) string {
	if s == Inch {
		return s.Bare(m) + " (" + m.Text(1) + ")"
	}
	return m.Text(1)
}

// Sized is Figure with the unit: for lengths in a sentence.
func (s System) Sized(m Micron) string {
	if s == Inch {
		return s.Bare(m) + " in (" + m.Text(1) + " mm)"
	}
	return m.Text(1) + " mm"
}

// Apart prints how far one length is beyond another: the difference of both as Bare
// prints them, so that whoever adds up finds it right.
func (s System) Apart(more, less Micron) string {
	if s == Inch {
		thousandths := func(m Micron) float64 { return math.Round(m.MM().Inches() * 1000) }
		return MM((thousandths(more)-thousandths(less))/1000).Text(3) + " (" + (more - less).Text(1) + ")"
	}
	return (more.Tenths() - less.Tenths()).Text(1)
}

// inMillimetres is a length in a sentence.
var inMillimetres = regexp.MustCompile(`(\d+(?:\.\d+)?) mm\b`)

// Said is a sentence that was worded in millimetres, as a shop of the system reads it: an
// inch shop has each length in thousandths of an inch, with the millimetres behind.
func (s System) Said(words string) string {
	if s != Inch {
		return words
	}
	return inMillimetres.ReplaceAllStringFunc(words, func(length string) string {
		mm, err := strconv.ParseFloat(strings.TrimSuffix(length, " mm"), 64)
		if err != nil {
			return length
		}
		return MM(MM(mm).Inches()).Text(3) + " in (" + length + ")"
	})
}
