package lift

import (
	"flag"
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"brakeside/calc/unit"
	"brakeside/testdata/checks"
)

var update = flag.Bool("update", false, "write the page of checks anew")

const inch = unit.PerInch

// inches turns a row's number of inches into a length.
func inches(v float64) unit.MM { return unit.MM(v) * inch }

// places rounds as the manual's printed examples do: half up, to two decimals
// for a multiplier. What lies within a billionth of a half is a half.
func places(v float64, decimals int) float64 {
	scale := math.Pow(10, float64(decimals))
	return math.Floor(v*scale+0.5+1e-9) / scale
}

// printed is the limit in pounds as the manual works it by hand, each
// multiplier rounded. Its table has 0.44 for H = 23 in where its formula
// rounds to 0.43; the printed examples use the table.
func (l Limit) printed() float64 {
	horizontal := places(l.Horizontal, 2)
	if math.Abs(l.Horizontal-10.0/23) < 1e-9 {
		horizontal = 0.44
	}
	return 51 * horizontal * places(l.Vertical, 2) * places(l.Distance, 2) * places(l.Asymmetric, 2) * l.Frequency * l.Coupling
}

func TestPublished(t *testing.T) {
	page := &checks.Page{Name: "lift", Title: "Lifting: the revised NIOSH equation"}
	compare := map[string]func(testing.TB, *checks.Page, checks.Row){
		"lift-fm": compareFrequency, "lift-cm": compareCoupling, "lift-am": compareAsymmetry,
		"lift-tables-errata": compareErrata, "lift-ex4-origin": compareExample4, "lift-ex4-li": compareExample4Index,
		"lift-ex1": compareExample1, "lift-ex2": compareExample, "lift-ex3": compareExample,
		"lift-freq-adj": compareRate, "lift-metric": compareMetric,
	}
	for _, row := range checks.Read(t, "lifting") {
		switch check := compare[row.ID]; {
		case row.LeftOut != "":
			page.LeaveOut(t, row)
		case check == nil:
			t.Errorf("%s: nothing compares it", row.ID)
		default:
			check(t, page, row)
		}
	}
	page.Keep(t, checks.ModeOf(update))
}

// taskOf reads a task in inches out of a row's numbers.
func taskOf(t testing.TB, in map[string]any) Task {
	number := func(name string) float64 { return checks.Number(t, in[name]) }
	task := Task{Horizontal: inches(number("H")), Vertical: inches(number("V")), Travel: inches(number("D")),
		Asymmetry: unit.Deg(number("A")), Duration: Short}
	switch number("CM") {
	case 1:
		task.Coupling = Good
	case 0.95:
		task.Coupling = Fair
	}
	return task
}

func compareExample(t testing.TB, page *checks.Page, row checks.Row) {
	limit := taskOf(t, row.Inputs).Limit(unit.Inch)
	name := row.Locator
	page.Compare(t, row, checks.Value{Check: name + ", RWL, lb", Published: row.Outputs["RWL"], Ours: limit.printed(), Tolerance: 0.05})
	page.Compare(t, row, checks.Value{Check: name + ", LI", Published: row.Outputs["LI"],
		Ours: row.In(t, "L_lb") / limit.printed(), Tolerance: 0.05})
}

func compareExample1(t testing.TB, page *checks.Page, row checks.Row) {
	for _, end := range []string{"origin", "dest"} {
		limit := taskOf(t, row.Inputs[end].(map[string]any)).Limit(unit.Inch)
		page.Compare(t, row, checks.Value{Check: "Example 1, " + end + ", RWL, lb", Published: row.Outputs["RWL_"+end],
			Ours: limit.printed(), Tolerance: 0.05})
		page.Compare(t, row, checks.Value{Check: "Example 1, " + end + ", LI", Published: row.Outputs["LI_"+end],
			Ours: row.In(t, "L_lb") / limit.printed(), Tolerance: 0.05})
	}
}

// example4 is the package inspection: three lifts a minute for 45 minutes is
// the table's 0.88.
func example4() Task {
	return Task{Horizontal: inches(10), Vertical: inches(22), Travel: inches(37), Rate: 3, Duration: Short, Coupling: Fair}
}

func compareExample4(t testing.TB, page *checks.Page, row checks.Row) {
	l := example4().Limit(unit.Inch)
	multipliers := checks.List(t, row.Outputs["multipliers"])
	for i, ours := range []float64{l.Horizontal, l.Vertical, l.Distance, l.Asymmetric, l.Frequency, l.Coupling} {
		page.Compare(t, row, checks.Value{Check: fmt.Sprintf("Example 4, multiplier %d", i+1), Published: multipliers[i], Ours: ours, Tolerance: 0.005})
	}
	page.Compare(t, row, checks.Value{Check: "Example 4, RWL, lb", Published: row.Outputs["RWL_lb"], Ours: l.printed(), Tolerance: 0.05})
}

func compareExample4Index(t testing.TB, page *checks.Page, row checks.Row) {
	ours := row.In(t, "L_lb") / example4().Limit(unit.Inch).printed()
	page.Compare(t, row, checks.Value{Check: "Example 4, LI at the start", Published: row.Outputs["LI_origin"], Ours: ours, Tolerance: 0.05})
}

func compareFrequency(t testing.TB, page *checks.Page, row checks.Row) {
	for name, duration := range map[string]Duration{"le1h": Short, "le2h": Moderate, "le8h": Long} {
		for height, vertical := range map[string]unit.MM{"_Vlt30": inches(29.9), "_Vge30": inches(30)} {
			published := checks.List(t, row.Outputs[name+height])
			for i, rate := range checks.List(t, row.Inputs["F"]) {
				task := Task{Horizontal: 250, Vertical: vertical, Travel: 250, Rate: checks.Number(t, rate), Duration: duration}
				ours, want := task.Limit(unit.Inch).Frequency, checks.Number(t, published[i])
				if math.Abs(ours-want) > 1e-9 {
					t.Errorf("%s%s at %v a minute: %v, want %v", name, height, rate, ours, want)
				}
			}
		}
	}
	page.Compare(t, row, checks.Value{Check: "table 5 whole (102 cells, this one: 2 hours, low, 10 a minute)",
		Published: checks.List(t, row.Outputs["le2h_Vlt30"])[11], Ours: frequency(10, Moderate, true), Tolerance: 1e-9})
}

func compareCoupling(t testing.TB, page *checks.Page, row checks.Row) {
	for name, vertical := range map[string]unit.MM{"V_lt_30in": inches(29), "V_ge_30in": inches(30)} {
		for i, c := range []Coupling{Good, Fair, Poor} {
			ours := Task{Vertical: vertical, Coupling: c}.Limit(unit.Inch).Coupling
			if want := checks.Number(t, checks.List(t, row.Outputs[name])[i]); ours != want {
				t.Errorf("coupling %d, %s: %v, want %v", c, name, ours, want)
			}
		}
	}
	page.Compare(t, row, checks.Value{Check: "table 7 whole (6 cells, this one: fair and low)",
		Published: checks.List(t, row.Outputs["V_lt_30in"])[1], Ours: coupling(Fair, true), Tolerance: 0})
}

func compareAsymmetry(t testing.TB, page *checks.Page, row checks.Row) {
	published := checks.List(t, row.Outputs["AM"])
	for i, angle := range checks.List(t, row.Inputs["A_deg"]) {
		page.Compare(t, row, checks.Value{Check: fmt.Sprintf("asymmetry %v degrees", angle), Published: published[i],
			Ours: asymmetric(unit.Deg(checks.Number(t, angle))), Tolerance: 0.005})
	}
}

// compareErrata: three cells of the manual's tables are not its formulas; ours
// are the formulas.
func compareErrata(t testing.TB, page *checks.Page, row checks.Row) {
	published := checks.List(t, row.Outputs["formula"])
	for i, ours := range []float64{
		Task{Horizontal: inches(22)}.Limit(unit.Inch).Horizontal,
		Task{Horizontal: inches(23)}.Limit(unit.Inch).Horizontal,
		Task{Travel: 1300}.Limit(unit.Metric).Distance,
	} {
		check := fmt.Sprintf("by the formula, %v", checks.List(t, row.Inputs["rows"])[i])
		page.Compare(t, row, checks.Value{Check: check, Published: published[i], Ours: ours, Tolerance: 0.0001})
	}
}

func compareRate(t testing.TB, page *checks.Page, row checks.Row) {
	page.Compare(t, row, checks.Value{Check: "rate of lifting for a part of each quarter hour", Published: row.Outputs["F"],
		Ours: RateOf(row.In(t, "rate_per_min"), row.In(t, "minutes_of_15")), Tolerance: 0.005})
}

func compareMetric(t testing.TB, page *checks.Page, row checks.Row) {
	l := Task{Horizontal: unit.MM(row.In(t, "H_cm") * 10), Vertical: unit.MM(row.In(t, "V_cm") * 10), Travel: unit.MM(row.In(t, "D_cm") * 10),
		Asymmetry: unit.Deg(row.In(t, "A")), Rate: row.In(t, "F"), Duration: Short, Coupling: Fair}.Limit(unit.Metric)
	for _, m := range []struct {
		name string
		ours float64
	}{{"HM", l.Horizontal}, {"VM", l.Vertical}, {"DM", l.Distance}, {"AM", l.Asymmetric}, {"FM", l.Frequency}, {"CM", l.Coupling}} {
		page.Compare(t, row, checks.Value{Check: "metric example, " + m.name, Published: row.Outputs[m.name], Ours: m.ours, Tolerance: 0.0005})
	}
	if math.Abs(float64(l.Kilograms()-13.875)) > 0.001 {
		t.Errorf("metric example: %v kg, want 13.875 (worked by hand)", l.Kilograms())
	}
}

func TestBeyondTheEquationNothingIsAllowed(t *testing.T) {
	best := Task{Horizontal: 250, Vertical: 750, Travel: 250, Coupling: Good, Duration: Short}
	if got := best.Limit(unit.Metric).Kilograms(); math.Abs(float64(got-23)) > 1e-9 {
		t.Errorf("at its best the limit is %v kg, want the constant 23", got)
	}
	change := func(edit func(*Task)) Task {
		task := best
		edit(&task)
		return task
	}
	for name, task := range map[string]Task{
		"too far":     change(func(t *Task) { t.Horizontal = 631 }),
		"too high":    change(func(t *Task) { t.Vertical = 1751 }),
		"below floor": change(func(t *Task) { t.Vertical = -1 }),
		"too long":    change(func(t *Task) { t.Travel = 1751 }),
		"too twisted": change(func(t *Task) { t.Asymmetry = 136 }),
		"wrong twist": change(func(t *Task) { t.Asymmetry = -1 }),
		"too often":   change(func(t *Task) { t.Rate = 15.1 }),
		"no duration": change(func(t *Task) { t.Duration = 7 }),
		"no coupling": change(func(t *Task) { t.Coupling = 7 }),
	} {
		if got := task.Limit(unit.Metric).Kilograms(); got != 0 {
			t.Errorf("%s: %v kg, want nothing", name, got)
		}
	}
	if got := change(func(t *Task) { t.Horizontal = 631 }).Limit(unit.Metric).Index(1); !math.IsInf(got, 1) {
		t.Errorf("the index of a lift that is not allowed is %v, want infinite", got)
	}
}

// Every multiplier lies between 0 and 1, closer is never worse, and the two
// forms of the manual agree within a twentieth.
func TestLawsOfLifting(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		task := Task{
			Horizontal: unit.MM(rapid.Float64Range(254, 620).Draw(t, "H")), Vertical: unit.MM(rapid.Float64Range(0, 1740).Draw(t, "V")),
			Travel: unit.MM(rapid.Float64Range(254, 1740).Draw(t, "D")), Asymmetry: unit.Deg(rapid.Float64Range(0, 135).Draw(t, "A")),
			Rate: rapid.Float64Range(0, 15).Draw(t, "F"), Duration: rapid.SampledFrom([]Duration{Long, Moderate, Short}).Draw(t, "duration"),
			Coupling: rapid.SampledFrom([]Coupling{Poor, Fair, Good}).Draw(t, "coupling"),
		}
		l := task.Limit(unit.Metric)
		for _, m := range []float64{l.Horizontal, l.Vertical, l.Distance, l.Asymmetric, l.Frequency, l.Coupling} {
			if !(m >= 0 && m <= 1) {
				t.Errorf("%+v: a multiplier is %v", task, m)
			}
		}
		closer := task
		closer.Horizontal -= 20
		if closer.Limit(unit.Metric).Kilograms() < l.Kilograms() {
			t.Errorf("%+v: closer to the body less may be lifted", task)
		}
		low := task.Vertical < 750 && task.Vertical < 30*inch
		high := task.Vertical >= 750 && task.Vertical >= 30*inch
		if other := task.Limit(unit.Inch).Kilograms(); (low || high) && math.Abs(float64(other/l.Kilograms()-1)) > 0.05 {
			t.Errorf("%+v: %v kg by centimetres, %v by inches", task, l.Kilograms(), other)
		}
	})
}

func TestSheet(t *testing.T) {
	for _, test := range []struct {
		name  string
		mass  unit.KG
		sides [2]unit.MM
		two   bool
		says  string
	}{
		{"a drip tray", 1.2, [2]unit.MM{300, 400}, false, "1.2 kg: one person"},
		{"a rail bracket blank", 5, [2]unit.MM{900, 120}, false, "one person (NIOSH equation"},
		{"a heavy panel", 14, [2]unit.MM{1180, 600}, true, "two people (NIOSH equation"},
		{"wide but light", 2.9, [2]unit.MM{1180, 1000}, false, "one person"},
		{"wide", 8, [2]unit.MM{1180, 1000}, true, "too wide for one person"},
	} {
		got := Sheet(test.mass, test.sides)
		if got.TwoPeople != test.two || !strings.Contains(got.Words, test.says) {
			t.Errorf("%s: Sheet(%v, %v) = %+v, want two people %v and %q", test.name, test.mass, test.sides, got, test.two, test.says)
		}
		if turned := Sheet(test.mass, [2]unit.MM{test.sides[1], test.sides[0]}); turned != got {
			t.Errorf("%s: turned round it is %+v", test.name, turned)
		}
	}
}

func ExampleTask_Limit() {
	// Example 2 of the manual (numbers from memory): a 35 lb roll, H 20, V 27, D 17 in.
	l := Task{Horizontal: 20 * inch, Vertical: 27 * inch, Travel: 17 * inch, Duration: Short}.Limit(unit.Inch)
	pounds := l.Kilograms() / unit.PerPound
	fmt.Printf("%.1f lb, lifting index %.1f\n", pounds, l.Index(35*unit.PerPound))
	// Output: 20.8 lb, lifting index 1.7
}

func ExampleSheet() {
	fmt.Println(Sheet(9.4, [2]unit.MM{1180, 680}).Words)
	// Output: 9.4 kg: two people (NIOSH equation: 8.7 kg for one)
}
