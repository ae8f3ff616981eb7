package stock

import (
	_ "embed" // the table of DIN 6935

	"brakeside/calc/unit"
)

// hair lets a thickness that came out of a division meet its own band.
const hair unit.MM = 1e-6

// Severity is how hard a bend is on the sheet.
type Severity int

// The severities.
const (
	Ordinary Severity = iota // across the grain and at most 120 degrees
	Severe                   // along the grain or past 120 degrees: cracks sooner
)

//go:embed din6935.csv
var din6935CSV string

// steelBands are the rows of DIN 6935, thinnest first.
var steelBands = readSteel(din6935CSV)

// steelStrengths are the tensile strengths DIN 6935 tells apart, MPa, each with
// its column.
var steelStrengths = []struct {
	upto   unit.MPa
	column string
}{{390, "to_390"}, {490, "to_490"}, {640, "to_640"}}

// steelBand is the smallest inside radius of sheets up to a thickness, by
// strength.
type steelBand struct {
	upto  unit.MM
	radii []unit.MM
}

func readSteel(text string) []steelBand {
	var bands []steelBand
	for _, r := range readTable(text) {
		b := steelBand{upto: unit.MM(r.number("upto_mm"))}
		for _, s := range steelStrengths {
			b.radii = append(b.radii, unit.MM(r.number(s.column)))
		}
		bands = append(bands, b)
	}
	return bands
}

// SteelRadius is the smallest inside radius of DIN 6935 (1975-10) for flat
// steel of the sheet's strength, bent to at most 120 degrees across the
// rolling direction; for a severe bend it is that of the next thicker band, as
// the standard says. It reports false above 640 MPa or past the table's end.
func SteelRadius(s Sheet, severity Severity) (unit.MM, bool) {
	at := int(severity)
	for _, b := range steelBands {
		if s.Thickness > b.upto+hair {
			at++
		}
	}
	for column, strength := range steelStrengths {
		if s.Material.Strength <= strength.upto && at < len(steelBands) {
			return steelBands[at].radii[column], true
		}
	}
	return 0, false
}
