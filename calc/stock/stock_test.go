package stock

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"brakeside/calc/fault"
)

// must finds a material the tests know to be there.
func must(t testing.TB, id string) Material {
	t.Helper()
	m, err := Find(id)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func TestFindKnowsTheMaterialsOfPartFiles(t *testing.T) {
	for id, family := range map[string]string{
		"mild-steel": "mild-steel", "galvanised": "mild-steel",
		"304": "stainless", "316": "stainless", "430": "stainless",
		"1100-H14": "aluminium", "3003-H14": "aluminium", "5052-H32": "aluminium", "5251-H22": "aluminium",
		"6061-T4": "aluminium", "6061-T6": "aluminium", "6082-T6": "aluminium", "2024-T3": "aluminium",
		"copper": "copper", "brass": "copper",
	} {
		if m, err := Find(id); err != nil || m.ID != id || m.Family != family {
			t.Errorf("Find(%q) = %q of family %q, %v, want family %q", id, m.ID, m.Family, err, family)
		}
	}
}

func TestMagneticSheet(t *testing.T) {
	for _, m := range All() {
		want := m.Family == "mild-steel" || m.ID == "430"
		if m.Magnetic != want {
			t.Errorf("%s sticks to a magnet: %v, want %v", m.ID, m.Magnetic, want)
		}
	}
}

func TestFindRefusesAndNamesTheNearest(t *testing.T) {
	for _, test := range []struct{ asked, names string }{
		{"6061", "6061-T4, 6061-T6"},
		{"mildsteel", "mild-steel"},
		{"5052-h32", "5052-H32"},
		{"303", "304"},
		{"stainless", "304, 316, 430"},
		{"galvanized", "galvanised"},
		{"aluminium", "1100-H14"},
		{"", "304"},
	} {
		m, err := Find(test.asked)
		var refusal *fault.Refusal
		if !errors.As(err, &refusal) || refusal.Kind != fault.Missing || refusal.Field != "material" {
			t.Fatalf("Find(%q) = %v, %v, want a refusal as missing on the field material", test.asked, m.ID, err)
		}
		if !strings.Contains(refusal.Message, test.names) {
			t.Errorf("Find(%q) says %q, want it to name %s", test.asked, refusal.Message, test.names)
		}
	}
}

func TestFindInAShopsOwnList(t *testing.T) {
	own := append(All(), Material{ID: "corten", Words: "weathering steel", Family: "mild-steel"})
	if m, err := FindIn(own, "corten"); err != nil || m.Words != "weathering steel" {
		t.Errorf("FindIn(own, corten) = %v, %v", m, err)
	}
	if _, err := FindIn(nil, "304"); fault.KindOf(err) != fault.Missing {
		t.Errorf("FindIn(nothing, 304) = %v, want a refusal as missing", err)
	}
}

// All hands out a list of its own: changing it changes nothing here.
func TestAllIsACopy(t *testing.T) {
	All()[0].Strength = 1
	if m := must(t, "mild-steel"); m.Strength == 1 {
		t.Error("changing the list All gave changed the table")
	}
}

func TestEveryMaterialIsWhole(t *testing.T) {
	seen := map[string]bool{}
	for _, m := range All() {
		if seen[m.ID] || m.ID == "" || m.Words == "" || m.Series == NoSeries {
			t.Errorf("material %q is there twice, or lacks words or a gauge series", m.ID)
		}
		seen[m.ID] = true
		if !(m.Density > 2000 && m.Density < 9500 && m.Modulus > 60000 && m.Modulus < 220000) {
			t.Errorf("%s: density %v kg/m3 or modulus %v MPa is of no sheet metal", m.ID, m.Density, m.Modulus)
		}
		if !(m.Yield > 0 && m.Yield < m.Strength) {
			t.Errorf("%s: yields at %v and breaks at %v MPa", m.ID, m.Yield, m.Strength)
		}
		if s := m.Springback; !(0 <= s.Low && s.Low <= s.Mean && s.Mean <= s.High && s.SD() > 0) {
			t.Errorf("%s: springback %+v is out of order", m.ID, s)
		}
		if strings.Contains(m.Source, "()") || !strings.HasPrefix(m.Source, "density (") {
			t.Errorf("%s: a figure without a source: %s", m.ID, m.Source)
		}
	}
}

// Every row of every embedded table says where it comes from.
func TestEveryRowHasASource(t *testing.T) {
	for name, text := range map[string]string{
		"gauges": gaugesCSV, "radii": radiiCSV, "din6935": din6935CSV, "handbook": handbookCSV,
	} {
		for i, r := range readTable(text) {
			if len(r["source"]) < 8 {
				t.Errorf("%s.csv row %d has no source: %v", name, i+1, r)
			}
		}
	}
}

func TestBrokenTablesAreFound(t *testing.T) {
	for name, read := range map[string]func(){
		"no rows":        func() { readTable("a,b\n") },
		"ragged":         func() { readTable("a,b\n1\n") },
		"not a number":   func() { readSteel("upto_mm,to_390,to_490,to_640\nx,1,1,1\n") },
		"not a multiple": func() { readRadii("material,upto_mm,least,advised,severe,source\nx,1,2,1t,,s\n") },
		"no such series": func() { readGauges("series,gauge,inches,source\nwire,1,1,s\n") },
		"handbook blank": func() { readHandbook("row,1\nx,y\n") },
	} {
		t.Run(name, func(t *testing.T) {
			defer func() {
				if recover() == nil {
					t.Error("a broken table was read without a word")
				}
			}()
			read()
		})
	}
}

func TestMass(t *testing.T) {
	// 1 m x 2 m of 1 mm steel: 2e6 mm2 x 1 mm x 7850 kg/m3 = 15.7 kg.
	if got := (Sheet{must(t, "mild-steel"), 1}).Mass(2e6); math.Abs(float64(got)-15.7) > 1e-9 {
		t.Errorf("2 m2 of 1 mm mild steel weigh %v kg, want 15.7", got)
	}
}

// The rating is by strength: 2024-T3 is not 1100-H14, stainless takes less than
// mild steel and soft aluminium more.
func TestRatingFactorFollowsStrength(t *testing.T) {
	factor := func(id string) float64 { return Sheet{must(t, id), 1}.RatingFactor() }
	if factor("mild-steel") != 1 || factor("galvanised") != 1 {
		t.Errorf("mild steel counts as %v of itself, galvanised %v, want 1", factor("mild-steel"), factor("galvanised"))
	}
	order := []string{"1100-H14", "3003-H14", "5251-H22", "mild-steel", "430", "2024-T3", "304", "316"}
	for i := 1; i < len(order); i++ {
		if a, b := order[i-1], order[i]; !(factor(a) < factor(b)) {
			t.Errorf("%s counts %v, %s %v: want the first less", a, factor(a), b, factor(b))
		}
	}
	if m := must(t, "304"); math.Abs(m.RatingFactor()/m.StrengthFactor()-NonMagneticLoss) > 1e-12 {
		t.Errorf("304 loses %v by not sticking, want %v", m.RatingFactor()/m.StrengthFactor(), NonMagneticLoss)
	}
	if must(t, "430").RatingFactor() != must(t, "430").StrengthFactor() {
		t.Error("430 sticks and loses nothing")
	}
}

// Common practice, no source: a brake rated for 16 gauge mild steel across its
// width takes 20 gauge stainless, and no heavier.
func TestSixteenGaugeBrakeTakesTwentyGaugeStainless(t *testing.T) {
	mild, stainless := must(t, "mild-steel"), must(t, "304")
	rated, err := mild.Thickness("16")
	if err != nil {
		t.Fatal(err)
	}
	for gauge := 10; gauge <= 28; gauge++ {
		sheet, err := stainless.Thickness(fmt.Sprint(gauge))
		if err != nil {
			t.Fatal(err)
		}
		if takes := float64(sheet)*stainless.RatingFactor() <= float64(rated); takes != (gauge >= 20) {
			t.Errorf("%d gauge stainless, %s mm, counts as %.2f mm of mild steel; the brake takes %s",
				gauge, sheet.Text(3), float64(sheet)*stainless.RatingFactor(), rated.Text(3))
		}
	}
}

func TestHoldShare(t *testing.T) {
	if got := must(t, "mild-steel").HoldShare(); got != 1 {
		t.Errorf("mild steel leaves %v of the pressure, want all", got)
	}
	if got, want := must(t, "304").HoldShare(), 1/1.3225; math.Abs(got-want) > 1e-12 {
		t.Errorf("304 leaves %v of the pressure, want %v", got, want)
	}
}

func ExampleFind() {
	m, err := Find("5251-H22")
	fmt.Println(m.Words, m.Family, m.Springback.Mean, err)
	_, err = Find("6061")
	fmt.Println(err)
	// Output:
	// aluminium 5251-H22 aluminium 2.5 <nil>
	// material: no material is called "6061"; the nearest are 6061-T4, 6061-T6
}

func ExampleSheet_Mass() {
	m, _ := Find("304")
	fmt.Printf("%.2f kg\n", Sheet{m, 1.5}.Mass(1000*500))
	// Output: 6.00 kg
}
