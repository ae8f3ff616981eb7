package stock

import (
	_ "embed" // the table of gauges
	"fmt"
	"math"
	"strconv"
	"strings"

	"brakeside/calc/fault"
	"brakeside/calc/unit"
)

//go:embed gauges.csv
var gaugesCSV string

// gauges holds the thickness in inches of each gauge of the series that are
// tables; Brown & Sharpe is a formula.
var gauges = readGauges(gaugesCSV)

func readGauges(text string) map[GaugeSeries]map[string]float64 {
	table := map[GaugeSeries]map[string]float64{}
	for _, r := range readTable(text) {
		series := seriesNamed(r["series"])
		if table[series] == nil {
			table[series] = map[string]float64{}
		}
		table[series][r["gauge"]] = r.number("inches")
	}
	return table
}

// Thickness reads a gauge number ("16", "16 ga", "000", "3/0") in the series:
// millimetres, not rounded. It is refused as fault.Invalid when it is no gauge
// number and as fault.Missing when the series has no such gauge, both on the
// field "gauge".
func (g GaugeSeries) Thickness(gauge string) (unit.MM, error) {
	number, err := readGauge(gauge)
	if err != nil {
		return 0, err
	}
	inches, found := gauges[g][number]
	if g == BrownSharpe {
		inches, found = brownSharpe(number)
	}
	if !found {
		return 0, fault.New(fault.Missing, "gauge",
			"%s has no gauge %s; give the thickness instead", g, number)
	}
	return unit.MM(inches) * unit.PerInch, nil
}

// Thickness reads a gauge in the series that belongs to the material, see
// GaugeSeries.Thickness.
func (m Material) Thickness(gauge string) (unit.MM, error) { return m.Series.Thickness(gauge) }

// brownSharpe is the formula of ASTM B258: No. 36 is 0.005 in, No. 0000 is
// 0.460 in, and 39 equal ratios lie between: 0.005 x 92^((36-n)/39) in. It is
// not rounded here (the standard prints four figures); 0000 to 40 are read.
func brownSharpe(number string) (float64, bool) {
	n, _ := strconv.Atoi(number)
	if number[0] == '0' {
		n = 1 - len(number)
	}
	if n < -3 || n > 40 {
		return 0, false
	}
	return 0.005 * math.Pow(92, float64(36-n)/39), true
}

// readGauge reads what a person writes for a gauge and spells it as the tables
// do: digits, or only noughts.
func readGauge(text string) (string, error) {
	number := strings.ToLower(strings.TrimSpace(text))
	for _, ending := range []string{"gauge", "gage", "ga.", "ga"} {
		number = strings.TrimSpace(strings.TrimSuffix(number, ending))
	}
	if count, found := strings.CutSuffix(number, "/0"); found && len(count) == 1 && count[0] >= '1' && count[0] <= '7' {
		return strings.Repeat("0", int(count[0]-'0')), nil
	}
	noughts := strings.Trim(number, "0") == ""
	if number == "" || len(number) > 7 || strings.Trim(number, "0123456789") != "" || (number[0] == '0' && !noughts) {
		return "", fault.New(fault.Invalid, "gauge", `%q is not a gauge number; write it like 16 or 000`, text)
	}
	return number, nil
}

// Candidate is what a gauge means in one series.
type Candidate struct {
	Series    GaugeSeries
	Thickness unit.MM
}

// Candidates lists what a gauge means in each of the four series sheet is sold
// by: sheet steel, galvanised, stainless and Brown & Sharpe. A series without
// the gauge is left out; what is no gauge number has none.
func Candidates(gauge string) []Candidate {
	var list []Candidate
	for _, series := range []GaugeSeries{SheetSteel, Galvanised, Stainless, BrownSharpe} {
		if thickness, err := series.Thickness(gauge); err == nil {
			list = append(list, Candidate{series, thickness})
		}
	}
	return list
}

// GaugeAlone refuses a gauge that came without a material, as fault.Invalid on
// the field "gauge", and shows what it could mean.
func GaugeAlone(gauge string) error {
	number, err := readGauge(gauge)
	if err != nil {
		return err
	}
	var meanings []string
	for _, c := range Candidates(number) {
		meanings = append(meanings, fmt.Sprintf("%s mm in %s", c.Thickness.Text(3), c.Series))
	}
	if len(meanings) == 0 {
		return fault.New(fault.Missing, "gauge", "no series has a gauge %s; give the thickness instead", number)
	}
	return fault.New(fault.Invalid, "gauge",
		"%s gauge is not a thickness until the material is known: %s", number, strings.Join(meanings, ", "))
}
