package unit

import (
	"math"
	"strconv"
	"strings"

	"brakeside/calc/fault"
)

// System is the system of units a bare number is read in.
type System int

// The two systems a part may be drawn in.
const (
	Metric System = iota // millimetres
	Inch                 // inches of exactly 25.4 mm
)

// String names the unit of a length in the system, as it is printed.
func (s System) String() string {
	if s == Inch {
		return "in"
	}
	return "mm"
}

// PerUnit is the length of one unit of the system.
func (s System) PerUnit() MM {
	if s == Inch {
		return PerInch
	}
	return 1
}

// farthest is the longest length ParseMM accepts: a kilometre, far beyond any
// sheet, so that what is read can be frozen in whole micrometres.
const farthest MM = 1e6

// ParseMM reads a length a person wrote: "12.5", "12.5 mm", "1/2\"",
// "1 1/2 in", "1-1/2 in", "0.5in". A number without a unit is read in the given
// system. A comma is refused, because it means a thousand to one reader and a
// decimal point to another. The refusal is fault.Invalid.
func ParseMM(text string, system System) (MM, error) {
	number, system := cutUnit(strings.TrimSpace(text), system)
	value, ok := parseNumber(number)
	length := MM(value) * system.PerUnit()
	if !ok || math.Abs(float64(length)) > float64(farthest) {
		return 0, fault.New(fault.Invalid, "",
			`%q is not a length; write it like 12.5, 12.5 mm, 0.5 in or 1 1/2 in`, text)
	}
	return length, nil
}

// units are the endings a length may carry, longest first.
var units = []struct {
	ending string
	system System
}{
	{"inches", Inch}, {"inch", Inch}, {"in.", Inch}, {"in", Inch}, {"''", Inch},
	{`"`, Inch}, {"″", Inch}, {"”", Inch}, {"mm", Metric},
}

// cutUnit takes the unit off the end of a length and says which it was.
func cutUnit(text string, system System) (string, System) {
	lower := strings.ToLower(text)
	for _, u := range units {
		if number, found := strings.CutSuffix(lower, u.ending); found {
			return strings.TrimSpace(number), u.system
		}
	}
	return lower, system
}

// parseNumber reads a decimal number, a fraction or a mixed number.
func parseNumber(text string) (float64, bool) {
	sign, text := cutSign(text)
	whole, fraction, mixed := strings.Cut(text, " ")
	if !mixed && strings.Contains(text, "/") {
		whole, fraction, mixed = strings.Cut(text, "-")
	}
	if !mixed {
		value, ok := parseSimple(text)
		return sign * value, ok
	}
	units, ok := parseDigits(whole)
	part, fits := parseFraction(strings.TrimSpace(fraction))
	return sign * (units + part), ok && fits && part < 1
}

// cutSign takes a leading sign off.
func cutSign(text string) (float64, string) {
	if rest, found := strings.CutPrefix(text, "-"); found {
		return -1, rest
	}
	return 1, strings.TrimPrefix(text, "+")
}

// parseSimple reads one decimal number or one fraction, without a sign.
func parseSimple(text string) (float64, bool) {
	if strings.Contains(text, "/") {
		return parseFraction(text)
	}
	if strings.Trim(text, "0123456789.") != "" {
		return 0, false // no exponent, no "inf", no hexadecimal: nobody writes a size so
	}
	value, err := strconv.ParseFloat(text, 64)
	return value, err == nil
}

// parseFraction reads "3/16"; the denominator must not be zero.
func parseFraction(text string) (float64, bool) {
	above, below, found := strings.Cut(text, "/")
	numerator, ok := parseDigits(strings.TrimSpace(above))
	denominator, fits := parseDigits(strings.TrimSpace(below))
	if !found || !ok || !fits || denominator == 0 {
		return 0, false
	}
	return numerator / denominator, true
}

// parseDigits reads a whole number of at most nine digits.
func parseDigits(text string) (float64, bool) {
	if text == "" || len(text) > 9 || strings.Trim(text, "0123456789") != "" {
		return 0, false
	}
	value, err := strconv.ParseFloat(text, 64)
	return value, err == nil
}

// Fraction64 writes the length in inches to the nearest 1/64, reduced and with
// the inch mark: 12.7 mm is 1/2", 38.1 mm is 1 1/2". Halves of a 64th go away
// from zero. It is shown beside the decimal, never worked with.
func Fraction64(l MM) string {
	sixtyFourths := int64(math.Round(math.Abs(float64(l)) / float64(PerInch) * 64))
	sign := ""
	if l < 0 && sixtyFourths > 0 {
		sign = "-"
	}
	whole, above, below := sixtyFourths/64, sixtyFourths%64, int64(64)
	for above > 0 && above%2 == 0 {
		above, below = above/2, below/2
	}
	text := strconv.FormatInt(above, 10) + "/" + strconv.FormatInt(below, 10)
	switch {
	case above == 0:
		text = strconv.FormatInt(whole, 10)
	case whole > 0:
		text = strconv.FormatInt(whole, 10) + " " + text
	}
	return sign + text + `"`
}
