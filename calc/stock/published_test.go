package stock

import (
	"encoding/json"
	"flag"
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"brakeside/calc/unit"
	"brakeside/testdata/checks"
)

var update = flag.Bool("update", false, "write the page of checks anew")

// TestPublished compares the tables with every published value there is and
// keeps this package's section of the page of checks.
func TestPublished(t *testing.T) {
	page := &checks.Page{Name: "stock", Title: "Sheets: gauges, materials, radii, handbook springback"}
	compare := map[string]func(testing.TB, *checks.Page, checks.Row){
		"gauge_usc206": compareStatute, "gauge_msg": compareSteelGauge, "gauge_galv": compareSeries,
		"gauge_stainless": compareSeries, "gauge_awg": compareBrownSharpe, "gauge_weight": compareWeight,
		"materials": compareMaterial, "min_radius_steel": compareSteelRadius, "min_radius_al": compareRadius,
		"min_radius_other": compareRadius, "springback_factor": compareHandbook,
	}
	for _, file := range []string{"gauges", "materials", "radii", "springback"} {
		for _, row := range checks.Read(t, file) {
			switch check := compare[row.Topic]; {
			case row.Topic == "springback": // worked out in calc/bend
			case row.LeftOut != "":
				page.LeaveOut(t, row)
			case check == nil:
				t.Errorf("%s: nothing compares the topic %s", row.ID, row.Topic)
			default:
				check(t, page, row)
			}
		}
	}
	page.Keep(t, checks.ModeOf(update))
}

// inches is our thickness of a gauge.
func inches(t testing.TB, series GaugeSeries, gauge string) float64 {
	t.Helper()
	thickness, err := series.Thickness(gauge)
	if err != nil {
		t.Fatal(err)
	}
	return thickness.Inches()
}

// gaugeOf is the gauge number of a row, written as a word or a number.
func gaugeOf(row checks.Row) string { return fmt.Sprint(row.Inputs["gauge"]) }

func compareStatute(t testing.TB, page *checks.Page, row checks.Row) {
	gauge := gaugeOf(row)
	thickness := inches(t, Statute, gauge)
	page.Compare(t, row, checks.Value{Check: "statute gauge " + gauge + ", in",
		Published: row.Outputs["in"], Ours: thickness, Tolerance: 1e-9})
	page.Compare(t, row, checks.Value{Check: "statute gauge " + gauge + ", oz per sq ft",
		Published: row.Outputs["oz_ft2"], Ours: thickness * 640, Tolerance: 1e-9})
	above, below, _ := strings.Cut(row.Outputs["frac_in"].(string), "/")
	numerator, _ := strconv.ParseFloat(above, 64)
	denominator, _ := strconv.ParseFloat(below, 64)
	if math.Abs(thickness*denominator-numerator) > 1e-9 {
		t.Errorf("%s: gauge %s is %v in, the fraction printed is %s/%s", row.ID, gauge, thickness, above, below)
	}
	if millimetres, found := row.Outputs["mm"]; found {
		page.Compare(t, row, checks.Value{Check: "statute gauge " + gauge + ", mm",
			Published: millimetres, Ours: thickness * 25.4, Tolerance: 1e-9})
	}
}

func compareSteelGauge(t testing.TB, page *checks.Page, row checks.Row) {
	if weight, found := row.Outputs["lb_ft2"]; found {
		ours := inches(t, SheetSteel, gaugeOf(row)) * row.In(t, "lb_ft2_per_in")
		page.Compare(t, row, checks.Value{Check: "sheet steel gauge 10 by weight, lb per sq ft",
			Published: weight, Ours: ours, Tolerance: 0.0005})
		return
	}
	compareSeries(t, page, row)
}

// compareSeries compares a thickness in inches with the series of the topic.
func compareSeries(t testing.TB, page *checks.Page, row checks.Row) {
	series := map[string]GaugeSeries{"gauge_msg": SheetSteel, "gauge_galv": Galvanised, "gauge_stainless": Stainless}[row.Topic]
	gauge := gaugeOf(row)
	page.Compare(t, row, checks.Value{Check: fmt.Sprintf("%v gauge %s, in", series, gauge),
		Published: row.Outputs["in"], Ours: inches(t, series, gauge), Tolerance: checks.Number(t, row.Tol)})
}

func compareBrownSharpe(t testing.TB, page *checks.Page, row checks.Row) {
	if ratio, found := row.Outputs["ratio"]; found {
		ours := inches(t, BrownSharpe, "10") / inches(t, BrownSharpe, "11")
		page.Compare(t, row, checks.Value{Check: "Brown & Sharpe, ratio of one step", Published: ratio,
			Ours: ours, Tolerance: checks.Number(t, row.Tol)})
		return
	}
	gauge := gaugeOf(row)
	ours := inches(t, BrownSharpe, gauge)
	tolerance := 0.00005
	if relative, is := row.Tol.(map[string]any); is {
		tolerance = checks.Number(t, relative["rel"]) * ours
	}
	page.Compare(t, row, checks.Value{Check: "Brown & Sharpe gauge " + gauge + ", in",
		Published: row.Outputs["in"], Ours: ours, Tolerance: tolerance})
}

// compareWeight checks that gauge weight is the density of the sheet: 40.8 lb
// per square foot of an inch is 7843 kg/m3, the table has 7850, so a quarter of
// a percent is let pass.
func compareWeight(t testing.TB, page *checks.Page, row checks.Row) {
	const squareFoot, pound = 304.8 * 304.8, 0.45359237
	mild := must(t, "mild-steel")
	thickness, err := mild.Thickness(gaugeOf(row))
	if err != nil {
		t.Fatal(err)
	}
	published := checks.Number(t, row.Outputs["lb_ft2"])
	page.Compare(t, row, checks.Value{Check: "mass of " + gaugeOf(row) + " gauge steel, lb per sq ft",
		Published: row.Outputs["lb_ft2"], Ours: float64(Sheet{mild, thickness}.Mass(squareFoot)) / pound, Tolerance: 0.0025 * published})
	limits := checks.List(t, row.Outputs["order_limits_in"])
	if low, high := checks.Number(t, limits[0]), checks.Number(t, limits[1]); thickness.Inches() < low || thickness.Inches() > high {
		t.Errorf("%s: %s gauge is %v in, outside the limits it is sold in, %v to %v", row.ID, gaugeOf(row), thickness.Inches(), low, high)
	}
}

// published are the figures a row may have, and ours in the same unit, with
// how much rounding to that unit may hide.
var published = []struct {
	name      string
	ours      func(Material) float64
	tolerance float64
}{
	{"UTS_MPa", func(m Material) float64 { return float64(m.Strength) }, 0.5},
	{"YS_MPa", func(m Material) float64 { return float64(m.Yield) }, 0.5},
	{"UTS_ksi", func(m Material) float64 { return float64(m.Strength) / ksi }, 0.2},
	{"YS_ksi", func(m Material) float64 { return float64(m.Yield) / ksi }, 0.2},
	{"E_GPa", func(m Material) float64 { return float64(m.Modulus) / 1000 }, 0.05},
	{"E_Mpsi", func(m Material) float64 { return float64(m.Modulus) / ksi / 1000 }, 0.05},
	{"E_psi", func(m Material) float64 { return float64(m.Modulus) / ksi * 1000 }, 50000},
	{"density_g_cm3", func(m Material) float64 { return m.Density / 1000 }, 0.005},
	{"density_lb_in3", func(m Material) float64 { return m.Density / poundPerCubicInch }, 0.0005},
}

const (
	ksi               = 6.894757293168361 // MPa
	poundPerCubicInch = 27679.904710191   // kg/m3
)

// compared says which material of ours a row is about and which of its figures
// are that material's; the others are of another temper or a minimum.
var compared = map[string]struct{ id, figures string }{
	"c556": {"brass", "YS_ksi UTS_ksi"}, "c558": {"brass-hard", "YS_ksi UTS_ksi"}, "c559": {"brass-extra-hard", "YS_ksi UTS_ksi"},
	"c560": {"brass-spring", "YS_ksi UTS_ksi"}, "c566": {"1100-O", "all"}, "c569": {"1100-H16", "all"}, "c594": {"copper-half-hard", "all"},
	"c561": {"brass", "E_psi density_g_cm3 density_lb_in3"},
	"c562": {"5052-H32", "all"}, "c563": {"3003-H14", "all"}, "c564": {"316", "all"}, "c565": {"304", "all"},
	"c568": {"1100-H14", "all"}, "c574": {"1100-H14", "E_Mpsi"}, "c575": {"2024-T3", "E_Mpsi"},
	"c580": {"6061-T4", "E_Mpsi"}, "c581": {"6061-T6", "E_Mpsi"}, "c582": {"1100-H14", "all"},
	"c587": {"6061-T6", "all"}, "c588": {"galvanised", "YS_MPa"}, "c590": {"mild-steel", "YS_ksi"},
	"c592": {"mild-steel", "E_GPa density_g_cm3"}, "c593": {"copper", "all"}, "c595": {"6061-T6", "all"}, "c596": {"6061-T4", "all"},
}

func compareMaterial(t testing.TB, page *checks.Page, row checks.Row) {
	which, found := compared[row.ID]
	if !found {
		t.Errorf("%s: of which material is it?", row.ID)
		return
	}
	before := which.figures
	for _, figure := range published {
		value, is := row.Outputs[figure.name]
		if !is || before != "all" && !strings.Contains(before, figure.name) {
			continue
		}
		compareFigure(t, page, row, checks.Value{Check: which.id + " " + figure.name, Published: value,
			Ours: figure.ours(must(t, which.id)), Tolerance: figure.tolerance})
	}
}

// compareFigure compares with the middle of a published span, to a tenth of it.
func compareFigure(t testing.TB, page *checks.Page, row checks.Row, v checks.Value) {
	if span, is := v.Published.([]any); is {
		low, high := checks.Number(t, span[0]), checks.Number(t, span[1])
		v.Check += fmt.Sprintf(" (middle of %v to %v)", low, high)
		v.Published, v.Tolerance = (low+high)/2, (high-low)/2
	}
	page.Compare(t, row, v)
}

// compareSteelRadius reads the DIN columns by strength and those of S235, S275
// and S355 across the grain (the same strengths). Along the grain the rule of
// the next thicker band must never be tighter than the figure for S235.
func compareSteelRadius(t testing.TB, page *checks.Page, row checks.Row) {
	band, _ := row.Inputs["thickness_mm"].(string)
	if text, is := row.Inputs["thickness_mm_over_upto"].(string); is {
		band = text
	}
	_, last, _ := strings.Cut(strings.TrimPrefix(band, ">"), "-")
	upto, err := strconv.ParseFloat(last, 64)
	if err != nil {
		t.Fatalf("%s: %q is not a band of thickness", row.ID, band)
	}
	for _, c := range []struct {
		names    string
		strength float64
	}{{"Rm_to_390 S235_t", 390}, {"Rm_390_490 S275_t", 490}, {"Rm_490_640 S355_t", 640}} {
		for _, name := range strings.Fields(c.names) {
			value, is := row.Outputs[name]
			if !is {
				continue
			}
			ours, _ := SteelRadius(Sheet{Material{Strength: unit.MPa(c.strength)}, unit.MM(upto)}, Ordinary)
			page.Compare(t, row, checks.Value{Check: fmt.Sprintf("least radius, steel %s, to %v mm", name, upto),
				Published: value, Ours: float64(ours), Tolerance: 1e-9})
		}
	}
	along, is := row.Outputs["S235_l"]
	ours, found := SteelRadius(Sheet{Material{Strength: 390}, unit.MM(upto)}, Severe)
	if is && found && float64(ours) < checks.Number(t, along) {
		t.Errorf("%s: along the grain to %v mm ours is %v, published %v", row.ID, upto, ours, along)
	}
}

// points are the thicknesses of the aluminium tables, as sheet is sold.
var points = []unit.MM{0.4, 0.8, 1.6, 3.2, 4.8, 6.4, 9.6, 12.7}

// compareRadius compares a row over thicknesses, or one figure, with the radii
// table, as radius over thickness.
func compareRadius(t testing.TB, page *checks.Page, row checks.Row) {
	if alloy, is := row.Inputs["alloy"].(string); is {
		thickness := unit.MM(row.In(t, "thickness_in")) * unit.PerInch
		least, _ := Sheet{must(t, alloy), thickness}.LeastRadius(90, Across)
		page.Compare(t, row, checks.Value{Check: "least radius, " + alloy + ", in",
			Published: row.Outputs["min_R_in"], Ours: least.Advised.Inches(), Tolerance: 0.001})
		return
	}
	if _, is := row.Inputs["material"]; is {
		compareSoftest(t, page, row)
		return
	}
	if thickness, is := row.Inputs["thickness_in"].(json.Number); is {
		compareStricter(t, page, row, thickness)
		return
	}
	alloy := row.Inputs["alloy_temper"].(string)
	for i, value := range checks.List(t, row.Outputs["min_R_over_t"]) {
		if i >= len(points) {
			break
		}
		s := Sheet{Material{ID: alloy}, points[i]}
		least, _ := s.LeastRadius(90, Across)
		check := fmt.Sprintf("least radius over thickness, %s at %v mm", alloy, points[i])
		if span, is := value.(string); is {
			low, _, _ := strings.Cut(span, "-")
			page.Compare(t, row, checks.Value{Check: check + " (least of " + span + ")",
				Published: json.Number(low), Ours: float64(least.Least / s.Thickness), Tolerance: 1e-9})
			continue
		}
		page.Compare(t, row, checks.Value{Check: check, Published: value,
			Ours: float64(least.Advised / s.Thickness), Tolerance: 1e-9})
	}
}

// compareStricter compares the columns of aluminium in the page's other table; the
// heads of its steel columns run together in the text that was read.
func compareStricter(t testing.TB, page *checks.Page, row checks.Row, thickness json.Number) {
	inches := checks.Number(t, thickness)
	for _, c := range []struct{ column, alloys string }{
		{"6061-T6", "6061-T6"}, {"5052-H32", "5052-H32"}, {"5052-H34/6061-T4/2024-O", "5052-H34 6061-T4"},
		{"3003-O/1100-O/6061-O/5052-O", "1100-O 5052-O"}, {"2024-T3", "2024-T3"},
	} {
		for _, alloy := range strings.Fields(c.alloys) {
			page.Compare(t, row, checks.Value{Check: fmt.Sprintf("stricter least radius, %s at %v in, in", alloy, inches),
				Published: row.Outputs[c.column], Ours: stricterRadius(alloy, unit.MM(inches)*unit.PerInch).Inches(), Tolerance: 1e-9})
		}
	}
}

// compareSoftest compares the least radius of a family of soft alloys.
func compareSoftest(t testing.TB, page *checks.Page, row checks.Row) {
	id := map[string]string{"c552": "304", "c553": "mild-steel"}[row.ID]
	thickness := map[string]unit.MM{"c552": 1, "c553": 4}[row.ID]
	s := Sheet{must(t, id), thickness}
	least, _ := s.LeastRadius(90, Across)
	page.Compare(t, row, checks.Value{Check: fmt.Sprintf("least radius over thickness, %s at %v mm, soft", id, thickness),
		Published: row.Outputs["soft_R_over_t"], Ours: float64(least.Least / s.Thickness), Tolerance: 1e-9})
}

// compareHandbook reads the handbook springback table at its own columns.
func compareHandbook(t testing.TB, page *checks.Page, row checks.Row) {
	name := row.Inputs["material"].(string)
	ratios, factors := checks.List(t, row.Inputs["r2_over_s"]), checks.List(t, row.Outputs["kR"])
	for i, factor := range factors {
		ours, found := Material{HandbookRow: name}.HandbookSpringback(Multiple(checks.Number(t, ratios[i])))
		if factor == nil {
			if found {
				t.Errorf("%s: %s at %v has %v where the table is empty", row.ID, name, ratios[i], ours)
			}
			continue
		}
		page.Compare(t, row, checks.Value{Check: fmt.Sprintf("springback factor, %s at r/t %v", name, ratios[i]),
			Published: factor, Ours: ours, Tolerance: 1e-9})
	}
}
