package figures_test

import (
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"brakeside/calc/bend"
	"brakeside/calc/fault"
	"brakeside/calc/figures"
	"brakeside/calc/stock"
	"brakeside/calc/unit"
	"brakeside/testdata/suite"
)

// wholeShop has every field of a shop file.
const wholeShop = `{
 "units": "mm",
 "rule": "din-6935",
 "rules": [{"material": "copper", "rule": "soft-0.55"}, {"material": "1050-H14", "rule": "half-hard-0.64"}],
 "materials": [
  {"id": "1050-H14", "like": "1100-H14", "words": "aluminium 1050-H14", "strength": 118, "source": "mill sheet of 3 May"},
  {"id": "spring", "words": "spring steel", "family": "mild-steel", "magnetic": true, "gauge_series": "sheet-steel",
   "density": 7850, "modulus": 206000, "yield": 900, "strength": 1100, "springback": {"mean": 12, "low": 8, "high": 16},
   "usual_radius": 3, "source": "supplier"}
 ],
 "radii": [{"material": "aluminium", "radius": 2.5}, {"bar": "narrow", "radius": 0.8}],
 "calibrations": [
  {"material": "mild-steel", "thickness": 1.5, "radius": [1.2, 1.9], "bar": "wide", "k": 0.42, "angle": 90, "springback": 1.6,
   "by": "AB", "at": "2026-05-04T09:30:00Z", "source": "trial strip"},
  {"material": "1050-H14", "thickness": 1, "radius": [1, 1], "deduction": 1.8, "at": "2026-05-04", "source": "a run of brackets"},
  {"material": "304", "thickness": 0.8, "radius": [1, 1.5], "springback": 3.4, "angle": 45, "source": "log"}
 ]
}`

func readShop(t suite.Failer, text string) figures.Shop {
	t.Helper()
	s, err := figures.ReadShop([]byte(text))
	if err != nil {
		t.Fatalf("ReadShop: %v", err)
	}
	return s
}

func TestReadShop(t *testing.T) {
	s := readShop(t, wholeShop)
	if s.Rule.ID != "din-6935" || len(s.RuleFor) != 2 || s.RuleFor[0].Material != "copper" || s.RuleFor[0].Rule.ID != "soft-0.55" {
		t.Errorf("rules = %q, %+v", s.Rule.ID, s.RuleFor)
	}
	like, err := stock.Find("1100-H14")
	if err != nil {
		t.Fatal(err)
	}
	own := s.Materials[0]
	if own.Strength != 118 || own.Density != like.Density || own.Series != like.Series || own.RadiusRow != "1100-H14" || own.Source != "mill sheet of 3 May" {
		t.Errorf("a material like another = %+v", own)
	}
	if spring := s.Materials[1]; spring.Series != stock.SheetSteel || !spring.Magnetic || spring.Springback != (stock.Springback{Mean: 12, Low: 8, High: 16}) || spring.Usual != 3 {
		t.Errorf("a material of its own = %+v", spring)
	}
	want := bend.Calibration{
		Material: "mild-steel", Thickness: 1.5, Radius: [2]unit.MM{1.2, 1.9}, Bar: "wide", K: 0.42, Angle: 90, Springback: 1.6,
		By: "AB", At: "2026-05-04T09:30:00Z", Source: "trial strip",
	}
	if s.Calibrations[0] != want {
		t.Errorf("calibration = %+v, want %+v", s.Calibrations[0], want)
	}
	// Two outside setbacks of 2 less 1.8 is an allowance of 2.2: K = 2.2 x 2/pi - 1.
	if c := s.Calibrations[1]; math.Abs(c.K-(2.2*2/math.Pi-1)) > 1e-12 || c.Angle != 0 {
		t.Errorf("a deduction became %+v, want K %v and no springback", c, 2.2*2/math.Pi-1)
	}
	if c := s.Calibrations[2]; c.K != 0 || c.Angle != 45 || c.Springback != 3.4 {
		t.Errorf("a springback alone became %+v", c)
	}
}

func TestReadShopInInches(t *testing.T) {
	s := readShop(t, `{"units":"in","calibrations":[{"material":"304","thickness":0.05,"radius":[0.04,0.06],"deduction":0.09,"source":"strip"}]}`)
	c := s.Calibrations[0]
	suite.Near(t, "thickness", float64(c.Thickness), 1.27, 1e-12)
	suite.Near(t, "radius", float64(c.Radius[1]), 1.524, 1e-12)
	b := bend.Bend{Angle: 90, Radius: 1.27, Thickness: 1.27, K: c.K}
	suite.Near(t, "deduction", float64(b.Deduction()), 0.09*25.4, 1e-9)
}

func TestReadShopRefuses(t *testing.T) {
	calibration := func(fields string) string {
		return `{"calibrations":[{"material":"304","thickness":1,"radius":[1,2],` + fields + `}]}`
	}
	material := func(fields string) string {
		return `{"materials":[{"id":"own","like":"304","source":"mill sheet",` + fields + `}]}`
	}
	for _, test := range []struct{ name, text, field, says string }{
		{"an unknown field", `{"rle":"textbook"}`, "rle", "no field of this name"},
		{"other units", `{"units":"cm"}`, "units", `write "mm" or "in"`},
		{"an unknown rule", `{"rule":"guess"}`, "rule", "per-degree"},
		{"a rule for nothing", `{"rules":[{"material":"wood","rule":"textbook"}]}`, "rules[0].material", "families"},
		{"an unknown rule for a metal", `{"rules":[{"material":"copper","rule":"guess"}]}`, "rules[0].rule", "textbook"},
		{"a material without a name", `{"materials":[{"id":"","like":"304","source":"mill sheet"}]}`, "materials[0].id", "name of its own"},
		{"a material twice", `{"materials":[{"id":"x","like":"304","source":"mill sheet"},{"id":"x","like":"304","source":"mill sheet"}]}`, "materials[1].id", "name of its own"},
		{"like nothing", `{"materials":[{"id":"x","like":"wood","source":"mill sheet"}]}`, "materials[0].like", "wood"},
		{"no source", `{"materials":[{"id":"x","like":"304","source":""}]}`, "materials[0].source", "where the figures come from"},
		{"figures missing", `{"materials":[{"id":"x","words":"x","family":"copper","source":"mill sheet"}]}`, "materials[0].density", "not possible"},
		{"no family", `{"materials":[{"id":"x","words":"x","source":"mill sheet"}]}`, "materials[0].family", "families"},
		{"a strange density", material(`"density":1`), "materials[0].density", "not possible"},
		{"yields after it breaks", material(`"yield":900`), "materials[0].yield", "not possible"},
		{"springback out of order", material(`"springback":{"mean":3,"low":4,"high":5}`), "materials[0].springback.mean", "not possible"},
		{"an unknown series", material(`"gauge_series":"birmingham"`), "materials[0].gauge_series", "brown-sharpe"},
		{"a radius for nothing", `{"radii":[{"material":"wood","radius":2}]}`, "radii[0].material", "families"},
		{"no radius", `{"radii":[{"bar":"wide","radius":0}]}`, "radii[0].radius", "more than 0"},
		{"a radius for a former", `{"radii":[{"bar":"wide","radius":80}]}`, "radii[0].radius", "at most 50 mm"},
		{"an unknown material", `{"calibrations":[{"material":"wood","thickness":1,"radius":[1,2],"k":0.4,"source":"s"}]}`, "calibrations[0].material", "wood"},
		{"no thickness", `{"calibrations":[{"material":"304","thickness":0,"radius":[1,2],"k":0.4,"source":"s"}]}`, "calibrations[0].thickness", "not a size"},
		{"radii the wrong way round", `{"calibrations":[{"material":"304","thickness":1,"radius":[2,1],"k":0.4,"source":"s"}]}`, "calibrations[0].radius", "least, then the greatest"},
		{"nothing measured", calibration(`"source":"s"`), "calibrations[0]", "nothing was measured"},
		{"K and deduction", calibration(`"k":0.4,"deduction":2,"source":"s"`), "calibrations[0].deduction", "not both"},
		{"K above 1", calibration(`"k":1.2,"source":"s"`), "calibrations[0].k", "not a K-factor"},
		{"K below 0", calibration(`"k":-0.2,"source":"s"`), "calibrations[0].k", "not a K-factor"},
		{"a deduction that cannot be", calibration(`"deduction":9,"source":"s"`), "calibrations[0].deduction", "K-factor of"},
		{"an angle that cannot be", calibration(`"angle":180,"springback":2,"source":"s"`), "calibrations[0].angle", "bend angle"},
		{"a springback that cannot be", calibration(`"springback":90,"source":"s"`), "calibrations[0].springback", "stop less the angle"},
		{"no source of a figure", calibration(`"k":0.4`), "calibrations[0].source", "how it was measured"},
		{"a date in words", calibration(`"k":0.4,"at":"4 May","source":"s"`), "calibrations[0].at", "2026-05-04"},
		{"initials without end", calibration(`"k":0.4,"by":"` + strings.Repeat("A", 201) + `","source":"s"`), "calibrations[0].by", "200"},
	} {
		_, err := figures.ReadShop([]byte(test.text))
		r, ok := err.(*fault.Refusal)
		if !ok || r.Field != test.field || !strings.Contains(r.Message, test.says) || r.Line != 1 {
			t.Errorf("%s: %v, want a refusal on %q that says %q", test.name, err, test.field, test.says)
		}
	}
	many := `{"calibrations":[` + strings.TrimSuffix(strings.Repeat(`{"material":"304"},`, figures.MostCalibrations+1), ",") + `]}`
	if _, err := figures.ReadShop([]byte(many)); fault.KindOf(err) == fault.Internal || err == nil {
		t.Errorf("%d calibrations: %v, want a refusal", figures.MostCalibrations+1, err)
	}
}

// sameShop compares what a shop file holds.
func sameShop(t suite.Failer, a, b figures.Shop) {
	t.Helper()
	if a.Rule.ID != b.Rule.ID || !reflect.DeepEqual(a.Materials, b.Materials) || !reflect.DeepEqual(a.Calibrations, b.Calibrations) || len(a.RuleFor) != len(b.RuleFor) {
		t.Fatalf("a shop written and read again is\n%+v, was\n%+v", b, a)
	}
	for i := range a.RuleFor {
		if a.RuleFor[i].Material != b.RuleFor[i].Material || a.RuleFor[i].Rule.ID != b.RuleFor[i].Rule.ID {
			t.Errorf("rule %d became %+v, was %+v", i, b.RuleFor[i], a.RuleFor[i])
		}
	}
}

func written(t suite.Failer, s figures.Shop) []byte {
	t.Helper()
	text, err := s.Write()
	if err != nil {
		t.Fatalf("%v", err)
	}
	return text
}

func TestWriteShopComesBack(t *testing.T) {
	for _, text := range []string{wholeShop, `{}`, `{"rule":"textbook"}`} {
		s := readShop(t, text)
		first := written(t, s)
		again := readShop(t, string(first))
		sameShop(t, s, again)
		if second := written(t, again); string(second) != string(first) {
			t.Errorf("written twice it differs:\n%s\n%s", first, second)
		}
	}
}

func TestAdopt(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := readShop(t, wholeShop)
		c := bend.Calibration{
			Material: rapid.SampledFrom([]string{"304", "brass", "1050-H14"}).Draw(t, "material"), Source: "strip",
			Thickness: unit.MM(rapid.Float64Range(0.3, 6).Draw(t, "thickness")), Bar: rapid.SampledFrom([]string{"", "wide"}).Draw(t, "bar"),
			K: rapid.Float64Range(0.1, 0.6).Draw(t, "k"), By: "CD", At: "2026-06-01T10:00:00Z",
		}
		low := unit.MM(rapid.Float64Range(0, 10).Draw(t, "radius"))
		c.Radius = [2]unit.MM{low, low + unit.MM(rapid.Float64Range(0, 10).Draw(t, "band"))}
		if rapid.Bool().Draw(t, "springback") {
			c.Angle, c.Springback = 90, unit.Deg(rapid.Float64Range(-1, 15).Draw(t, "degrees"))
		}
		adopted := s.Adopt(c)
		if len(s.Calibrations) != 3 || len(adopted.Calibrations) != 4 {
			t.Fatalf("adopting gave %d and left %d calibrations", len(adopted.Calibrations), len(s.Calibrations))
		}
		sameShop(t, adopted, readShop(t, string(written(t, adopted))))
	})
}

func FuzzReadShop(f *testing.F) {
	f.Add([]byte(wholeShop))
	f.Add([]byte(`{"units":"in","calibrations":[{"material":"304","thickness":0.05,"radius":[0.04,0.06],"deduction":0.09,"source":"strip"}]}`))
	f.Add([]byte(`{"materials":[{"id":"x","like":"brass","source":"mill","usual_radius":0}]}`))
	f.Add([]byte(`{}`))
	f.Fuzz(func(t *testing.T, text []byte) {
		s, err := figures.ReadShop(text)
		if err != nil {
			if fault.KindOf(err) == fault.Internal {
				t.Fatalf("refused as a mistake of the program: %v", err)
			}
			return
		}
		sameShop(t, s, readShop(t, string(written(t, s))))
	})
}

// A part of the shop's own material plans by its figures; the built-in ones
// stay known.
func TestOwnMaterials(t *testing.T) {
	s := readShop(t, wholeShop)
	for _, test := range []struct {
		material string
		density  float64
	}{{"1050-H14", 2713}, {"spring", 7850}, {"brass", 8530}} {
		sheet, err := s.SheetOf(test.material, "", 1)
		if err != nil || sheet.Material.Density != test.density {
			t.Errorf("SheetOf(%s) = %+v, %v", test.material, sheet.Material, err)
		}
	}
	if _, err := (figures.Shop{}).SheetOf("spring", "", 1); fault.KindOf(err) != fault.Missing {
		t.Errorf("another shop knows it too: %v", err)
	}
	if least, ok := (stock.Sheet{Material: s.Materials[0], Thickness: 1.6}).LeastRadius(90, stock.Across); !ok || !strings.Contains(least.Source, "Aluminum Association") {
		t.Errorf("a material like 1100-H14 has no least radius of it: %+v", least)
	}
	own := figures.Shop{Materials: []stock.Material{{ID: "304", Words: "our own 304", Density: 7900}}}
	if m, err := own.Material("304"); err != nil || m.Words != "our own 304" {
		t.Errorf("the shop's own figures do not come first: %+v, %v", m, err)
	}
}

func TestSheetOf(t *testing.T) {
	for _, test := range []struct {
		name, material, gauge string
		thickness             unit.MM
		want                  float64
		field                 string
	}{
		{"a thickness", "304", "", 1.2, 1.2, ""},
		{"16 gauge of sheet steel", "mild-steel", "16", 0, 0.0598 * 25.4, ""},
		{"16 gauge of galvanised", "galvanised", "16", 0, 0.0635 * 25.4, ""},
		{"16 gauge of stainless", "304", "16", 0, 0.0625 * 25.4, ""},
		{"16 gauge of aluminium", "3003-H14", "16", 0, 0.0508 * 25.4, ""},
		{"both", "304", "16", 1.2, 0, "thickness"},
		{"neither", "304", "", 0, 0, "thickness"},
		{"a gauge alone", "", "18", 0, 0, "gauge"},
		{"an unknown material", "wood", "", 1, 0, "material"},
		{"a gauge there is not", "304", "99", 0, 0, "gauge"},
	} {
		sheet, err := figures.Shop{}.SheetOf(test.material, test.gauge, test.thickness)
		if test.field == "" {
			suite.Near(t, test.name, float64(sheet.Thickness), test.want, 0.001)
			continue
		}
		if r, ok := err.(*fault.Refusal); !ok || r.Field != test.field {
			t.Errorf("%s: %v, want a refusal on %s", test.name, err, test.field)
		}
	}
}

func TestWithRule(t *testing.T) {
	s, err := readShop(t, wholeShop).WithRule("per-degree")
	if err != nil || s.Rule.ID != "per-degree" || s.RuleFor != nil || len(s.Calibrations) != 3 {
		t.Errorf("WithRule = %q, %v, %v", s.Rule.ID, s.RuleFor, err)
	}
	if _, err := s.WithRule("guess"); fault.KindOf(err) != fault.Missing || !strings.Contains(err.Error(), "half-hard-0.64") {
		t.Errorf("WithRule(guess) = %v, want a refusal that lists the rules", err)
	}
}

// By hand for legs of 34 and 52 in 1.5 mm at r = t: the blank is 86 less 6 plus
// the allowance, 1.5708 x 1.5 (1 + K) by a K-factor, 1.5708 r + y t by metal.
func TestCompareRules(t *testing.T) {
	p := suite.Read(t, []byte(`{"number":"T","material":"mild-steel","thickness":1.5,"inside_radius":1.5,"k":0.45,"profile":{"length":100,"legs":[34,52],"bends":[90]}}`))
	compared, err := readShop(t, `{"calibrations":[{"material":"mild-steel","thickness":1.5,"radius":[1,2],"k":0.5,"source":"s"}]}`).CompareRules(p)
	if err != nil {
		t.Fatal(err)
	}
	want := map[string]float64{
		"textbook": 80 + math.Pi/2*1.5*1.33, "din-6935": 80 + math.Pi/2*1.5*1.325,
		"soft-0.55": 80 + math.Pi/2*1.5 + 0.55*1.5, "half-hard-0.64": 80 + math.Pi/2*1.5 + 0.64*1.5,
		"hard-0.71": 80 + math.Pi/2*1.5 + 0.71*1.5, "per-degree": 80 + 90*(0.01743*1.5+0.0078*1.5),
	}
	for _, c := range compared {
		suite.Near(t, c.Rule.ID, float64(c.Height), want[c.Rule.ID], 1e-9)
		suite.Near(t, c.Rule.ID+", sizes less deduction", 86-float64(c.Bends[0].Deduction), float64(c.Height), 1e-9)
	}
	if len(compared) != len(want) {
		t.Errorf("%d rules compared, want %d", len(compared), len(want))
	}
}

func ExampleShop_Adopt() {
	strip := bend.Trial{Blank: 100, Legs: [2]unit.MM{51.2, 51.5}, Angle: 90, Stop: 91.6, Radius: 1.5, Thickness: 1.5}
	learned, _ := strip.Learn()
	sheet, _ := figures.Shop{}.SheetOf("mild-steel", "", 1.5)
	c := strip.Calibration(bend.Making{Sheet: sheet, Tool: bend.Tool{Bar: "wide"}}, learned)
	c.By, c.At = "AB", "2026-05-04T09:30:00Z"
	text, _ := figures.Shop{}.Adopt(c).Write()
	fmt.Printf("%s", text)
	// Output:
	// {
	//  "calibrations": [
	//   {
	//    "material": "mild-steel",
	//    "thickness": 1.5,
	//    "radius": [
	//     1.125,
	//     1.875
	//    ],
	//    "bar": "wide",
	//    "k": 0.400563,
	//    "angle": 90,
	//    "springback": 1.6,
	//    "by": "AB",
	//    "at": "2026-05-04T09:30:00Z",
	//    "source": "trial strip 100.00 mm, legs 51.20 and 51.50 mm, 90.0 degrees"
	//   }
	//  ]
	// }
}
