package stock

import (
	_ "embed" // the table of gauges
	"fmt"
)

// GaugeSeries is a list of gauge numbers and the thicknesses they stand for.
// The same number means another thickness in each.
type GaugeSeries int

// The gauge series. The zero series is none, so that a forgotten one reads no
// gauge at all.
const (
	NoSeries    GaugeSeries = iota
	SheetSteel              // Manufacturers' Standard Gage for uncoated sheet steel
	Galvanised              // galvanised sheet: the steel and its zinc
	Stainless               // stainless sheet
	BrownSharpe             // Brown & Sharpe (ASTM B258), for non-ferrous sheet
	Statute                 // 15 U.S.C. 206, standard gauge for sheet and plate iron and steel
)

// seriesNames are the series as the tables spell them and as people read them.
var seriesNames = []struct{ id, words string }{
	NoSeries:    {"none", "no gauge series"},
	SheetSteel:  {"sheet-steel", "sheet steel (Manufacturers' Standard)"},
	Galvanised:  {"galvanised", "galvanised sheet"},
	Stainless:   {"stainless", "stainless sheet"},
	BrownSharpe: {"brown-sharpe", "aluminium, copper and brass (Brown & Sharpe)"},
	Statute:     {"statute", "15 U.S.C. 206, iron and steel"},
}

// String names the series for people.
func (g GaugeSeries) String() string {
	if g < 0 || int(g) >= len(seriesNames) {
		g = NoSeries
	}
	return seriesNames[g].words
}

// ID is the spelling of the series in tables and files.
func (g GaugeSeries) ID() string {
	if g < 0 || int(g) >= len(seriesNames) {
		g = NoSeries
	}
	return seriesNames[g].id
}

// SeriesIDs lists the spellings of the series, that of none first.
func SeriesIDs() []string {
	var ids []string
	for _, name := range seriesNames {
		ids = append(ids, name.id)
	}
	return ids
}

// SeriesNamed finds a series by its spelling in tables and files.
func SeriesNamed(id string) (GaugeSeries, bool) {
	for g, name := range seriesNames {
		if name.id == id {
			return GaugeSeries(g), true
		}
	}
	return NoSeries, false
}

// seriesNamed finds a series that an embedded table names.
func seriesNamed(id string) GaugeSeries {
	if g, known := SeriesNamed(id); known {
		return g
	}
	panic(fmt.Sprintf("stock: an embedded table names the gauge series %q, which there is not", id))
}
