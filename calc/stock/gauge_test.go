package stock

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"brakeside/calc/fault"
	"brakeside/calc/unit"
)

// The steel series are ounces per square foot turned into thickness; the
// statute's list of ounces is the common stem.
func TestSteelSeriesFollowTheStatutesOunces(t *testing.T) {
	const steel = 16 * 41.82 // ounces per square foot of an inch of steel, Manufacturers' Standard
	for gauge, inches := range gauges[Statute] {
		ounces := inches * 640
		if got, found := gauges[SheetSteel][gauge]; found && math.Abs(got-ounces/steel) > 0.00005 {
			t.Errorf("sheet steel %s is %v in, %v oz make %v", gauge, got, ounces, ounces/steel)
		}
		if got, found := gauges[Galvanised][gauge]; found && math.Abs(got-(ounces+2.5)/steel) > 0.0001 {
			t.Errorf("galvanised %s is %v in, %v oz and the zinc make %v", gauge, got, ounces, (ounces+2.5)/steel)
		}
		if got, found := gauges[Stainless][gauge]; found && got != inches {
			t.Errorf("stainless %s is %v in, the statute says %v", gauge, got, inches)
		}
	}
	for series, want := range map[GaugeSeries]int{Statute: 45, SheetSteel: 36, Galvanised: 25, Stainless: 36} {
		if got := len(gauges[series]); got != want {
			t.Errorf("%v has %d gauges, want %d", series, got, want)
		}
	}
}

// In every series a higher number is a thinner sheet.
func TestHigherGaugeIsThinner(t *testing.T) {
	names := []string{"0000000", "000000", "00000", "0000", "000", "00", "0"}
	for n := 1; n <= 40; n++ {
		names = append(names, fmt.Sprint(n))
	}
	for _, series := range []GaugeSeries{SheetSteel, Galvanised, Stainless, BrownSharpe, Statute} {
		last, count := unit.MM(math.Inf(1)), 0
		for _, name := range names {
			thickness, err := series.Thickness(name)
			if err != nil {
				continue
			}
			count++
			if !(thickness < last && thickness > 0) {
				t.Errorf("%v: %s gauge is %v mm, the one before it %v", series, name, thickness, last)
			}
			last = thickness
		}
		if count < 20 {
			t.Errorf("%v has only %d gauges", series, count)
		}
	}
}

func TestGaugeIsReadInTheSeriesOfTheMaterial(t *testing.T) {
	// Sixteen gauge, in inches, from the four tables.
	for id, inches := range map[string]unit.MM{
		"mild-steel": 0.0598, "galvanised": 0.0635, "304": 0.0625, "430": 0.0625, "5052-H32": 0.0508, "copper": 0.0508,
	} {
		got, err := must(t, id).Thickness("16")
		if err != nil || math.Abs(float64(got-inches*unit.PerInch)) > 0.00005*25.4 {
			t.Errorf("16 gauge %s is %v mm, %v, want %v", id, got, err, inches*unit.PerInch)
		}
	}
}

func TestGaugeSpellings(t *testing.T) {
	for text, want := range map[string]string{
		"16": "16", " 16 ": "16", "16 ga": "16", "16ga.": "16", "16 gauge": "16", "16 GAGE": "16", "000": "000", "3/0": "000", "0": "0",
	} {
		if got, err := readGauge(text); err != nil || got != want {
			t.Errorf("readGauge(%q) = %q, %v, want %q", text, got, err, want)
		}
	}
	for _, text := range []string{"", "ga", "16.5", "-3", "016", "1.5 mm", "8/0", "0/0", "00000000", "sixteen", "1e1"} {
		if got, err := readGauge(text); fault.KindOf(err) != fault.Invalid {
			t.Errorf("readGauge(%q) = %q, %v, want a refusal as invalid", text, got, err)
		}
		if got, err := Statute.Thickness(text); err == nil || got != 0 {
			t.Errorf("%q is %v thick, %v", text, got, err)
		}
	}
}

func TestGaugeOutsideItsSeries(t *testing.T) {
	for _, test := range []struct {
		series GaugeSeries
		gauge  string
	}{{SheetSteel, "2"}, {SheetSteel, "39"}, {Galvanised, "7"}, {BrownSharpe, "41"}, {BrownSharpe, "00000"}, {NoSeries, "16"}, {Statute, "99"}} {
		if got, err := test.series.Thickness(test.gauge); fault.KindOf(err) != fault.Missing || got != 0 {
			t.Errorf("%v gauge %s = %v, %v, want a refusal as missing", test.series, test.gauge, got, err)
		}
	}
}

func TestCandidates(t *testing.T) {
	list := Candidates("18")
	var series []GaugeSeries
	for _, c := range list {
		series = append(series, c.Series)
	}
	if want := []GaugeSeries{SheetSteel, Galvanised, Stainless, BrownSharpe}; fmt.Sprint(series) != fmt.Sprint(want) {
		t.Errorf("Candidates(18) are of %v, want %v", series, want)
	}
	if list := Candidates("2"); len(list) != 1 || list[0].Series != BrownSharpe {
		t.Errorf("Candidates(2) = %v, want Brown & Sharpe only", list)
	}
	if list := Candidates("thick"); len(list) != 0 {
		t.Errorf("Candidates(thick) = %v, want none", list)
	}
}

func TestGaugeAloneShowsAllFour(t *testing.T) {
	err := GaugeAlone("18")
	if fault.KindOf(err) != fault.Invalid {
		t.Fatalf("GaugeAlone(18) = %v, want a refusal as invalid", err)
	}
	for _, meaning := range []string{"1.214 mm in sheet steel", "1.311 mm in galvanised", "1.270 mm in stainless", "1.024 mm in aluminium"} {
		if !strings.Contains(err.Error(), meaning) {
			t.Errorf("GaugeAlone(18) says %q, want it to show %q", err, meaning)
		}
	}
	if err := GaugeAlone("77"); fault.KindOf(err) != fault.Missing {
		t.Errorf("GaugeAlone(77) = %v, want a refusal as missing", err)
	}
	if err := GaugeAlone("?"); fault.KindOf(err) != fault.Invalid {
		t.Errorf("GaugeAlone(?) = %v, want a refusal as invalid", err)
	}
}

func TestSeriesHaveWords(t *testing.T) {
	for g := NoSeries; g <= Statute; g++ {
		if g.String() == "" || seriesNamed(seriesNames[g].id) != g {
			t.Errorf("series %d has no words or is not found by its name", int(g))
		}
	}
	if got := GaugeSeries(-1).String(); got != NoSeries.String() {
		t.Errorf("a series there is not calls itself %q", got)
	}
}

func FuzzGauge(f *testing.F) {
	for _, seed := range []string{"16", "3/0", "000", "16 ga", "0x10", "", "99999999999"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		number, err := readGauge(text)
		if err != nil {
			if fault.KindOf(err) != fault.Invalid {
				t.Fatalf("readGauge(%q) refuses with %v", text, err)
			}
			return
		}
		if again, err := readGauge(number); err != nil || again != number {
			t.Fatalf("readGauge(%q) = %q, which reads %q, %v", text, number, again, err)
		}
		for _, c := range Candidates(number) {
			if !(c.Thickness > 0 && c.Thickness < 15) {
				t.Fatalf("%s gauge %s is %v mm", c.Series, number, c.Thickness)
			}
		}
	})
}

func ExampleMaterial_Thickness() {
	for _, id := range []string{"mild-steel", "galvanised", "304", "5052-H32"} {
		m, _ := Find(id)
		thickness, _ := m.Thickness("16")
		fmt.Printf("16 gauge %s: %s mm\n", id, thickness.Text(2))
	}
	// Output:
	// 16 gauge mild-steel: 1.52 mm
	// 16 gauge galvanised: 1.61 mm
	// 16 gauge 304: 1.59 mm
	// 16 gauge 5052-H32: 1.29 mm
}

func ExampleGaugeAlone() {
	fmt.Println(GaugeAlone("2"))
	// Output: gauge: 2 gauge is not a thickness until the material is known: 6.544 mm in aluminium, copper and brass (Brown & Sharpe)
}

func TestSeriesByTheirSpelling(t *testing.T) {
	ids := SeriesIDs()
	if len(ids) != int(Statute)+1 {
		t.Errorf("SeriesIDs() = %q, want one of each series", ids)
	}
	for i, id := range ids {
		if g, known := SeriesNamed(id); !known || g != GaugeSeries(i) || g.ID() != id {
			t.Errorf("SeriesNamed(%q) = %v, %v, spelt %q", id, g, known, g.ID())
		}
	}
	if g, known := SeriesNamed("birmingham"); known || g != NoSeries {
		t.Errorf("SeriesNamed(birmingham) = %v, %v", g, known)
	}
	if got := GaugeSeries(99).ID(); got != NoSeries.ID() {
		t.Errorf("a series there is not is spelt %q", got)
	}
}
