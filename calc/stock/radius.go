package stock

import (
	_ "embed" // the table of radii

	"brakeside/calc/unit"
)

// LeastRadius is how tightly a sheet may be bent: inside radii in millimetres.
type LeastRadius struct {
	Least   unit.MM // below it the sheet is expected to crack
	Advised unit.MM // below it the bend may crack or mark, by published advice
	Source  string

	// Stricter is what another table of the same page asks for where that is more
	// than Advised, which is the one taken; 0 where there is none or it is not.
	// Source: table of inside radii by thickness, public design-book page, whose radii
	// in terms of thickness are taken.
	Stricter unit.MM
}

// Tightness is how an inside radius compares with LeastRadius.
type Tightness int

// The degrees of tightness. The zero value is the cautious one.
const (
	BelowLeast   Tightness = iota // below the least: refuse
	BelowAdvised                  // below the advised: caution
	Wide                          // as advised or wider
)

// forgiven is by how much a radius may be too small.
const forgiven unit.MM = 0.01

// Judge compares an inside radius with the table. A hundredth of a millimetre
// is forgiven, so that a radius converted from inches meets its own figure.
func (l LeastRadius) Judge(radius unit.MM) Tightness {
	switch {
	case radius+forgiven < l.Least:
		return BelowLeast
	case radius+forgiven < l.Advised:
		return BelowAdvised
	}
	return Wide
}

// Disputed reports whether a radius would do by the table that is taken and not by
// the stricter one beside it.
func (l LeastRadius) Disputed(radius unit.MM) bool {
	return l.Judge(radius) == Wide && radius+forgiven < l.Stricter
}

// Run is how the bend line lies to the rolling direction of the sheet.
type Run int

// The runs of a bend line. Along is the one that cracks first.
const (
	UnknownRun Run = iota // judged as Across; the caller cautions where grain matters
	Across                // the bend line crosses the grain
	Along                 // the bend line runs with the grain
)

// LeastRadius looks the sheet up for a bend of so many degrees. Along the
// grain, or past 120 degrees, the figure of the next thicker band applies (the
// rule of DIN 6935). It reports false when the table does not reach.
func (s Sheet) LeastRadius(angle unit.Deg, run Run) (LeastRadius, bool) {
	row := s.Material.RadiusRow
	if row == "" {
		row = s.Material.ID
	}
	for _, b := range radii[row] {
		if s.Thickness <= b.upto+hair {
			least, found := b.radius(s, severity(angle, run))
			if other := stricterRadius(row, s.Thickness); other > least.Advised+forgiven {
				least.Stricter = other
			}
			return least, found
		}
	}
	return LeastRadius{}, false
}

// severity puts a bend in one of the two.
func severity(angle unit.Deg, run Run) Severity {
	if run == Along || angle > 120 {
		return Severe
	}
	return Ordinary
}

// band is the row of the radius table for sheets up to a thickness.
type band struct {
	upto    unit.MM
	least   figure
	advised [2]figure // by Severity
	source  string
}

func (b band) radius(s Sheet, severity Severity) (LeastRadius, bool) {
	least, known := b.least.of(s, severity)
	advised, found := b.advised[severity].of(s, severity)
	return LeastRadius{Least: least, Advised: max(least, advised), Source: b.source}, known && found
}

// figure is a cell of the radius table: a multiple of the thickness ("1.5t")
// or what DIN 6935 says ("din").
type figure struct {
	times Multiple
	din   bool
}

func (f figure) of(s Sheet, severity Severity) (unit.MM, bool) {
	if f.din {
		return SteelRadius(s, severity)
	}
	return f.times.Of(s.Thickness), true
}

// figure reads a cell of the radius table.
func (r row) figure(column string) figure {
	if r[column] == "din" {
		return figure{din: true}
	}
	return figure{times: r.multiple(column)}
}

//go:embed radii.csv
var radiiCSV string

// radii holds the bands of each material, thinnest first.
var radii = readRadii(radiiCSV)

// readRadii reads the table. A band without a figure of its own for severe
// bends has that of the next thicker band; the thickest keeps its own.
func readRadii(text string) map[string][]band {
	table := map[string][]band{}
	for _, r := range readTable(text) {
		b := band{upto: unit.MM(r.number("upto_mm")), least: r.figure("least"), source: r["source"]}
		b.advised = [2]figure{r.figure("advised"), r.figure("advised")}
		bands := table[r["material"]]
		if r["severe"] != "" {
			b.advised[Severe] = r.figure("severe")
		} else if len(bands) > 0 {
			bands[len(bands)-1].advised[Severe] = b.advised[Ordinary]
		}
		table[r["material"]] = append(bands, b)
	}
	return table
}

//go:embed radii_stricter.csv
var stricterCSV string

// stricter is the other table of radii: rows by thickness, thinnest first.
var stricter = readTable(stricterCSV)

// stricterRadius is what the other table asks for: of its rows that of the next
// thicker sheet; 0 past its end and for a material it does not have.
func stricterRadius(material string, thickness unit.MM) unit.MM {
	for _, r := range stricter {
		if thickness <= unit.MM(r.number("upto_in"))*unit.PerInch+hair {
			if r[material] == "" {
				return 0
			}
			return unit.MM(r.number(material)) * unit.PerInch
		}
	}
	return 0
}
