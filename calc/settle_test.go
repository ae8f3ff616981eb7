package calc_test

import (
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"brakeside/calc"
	"brakeside/calc/bend"
	"brakeside/calc/brake"
	"brakeside/calc/figures"
	"brakeside/calc/part"
	"brakeside/calc/process"
	"brakeside/calc/stock"
	"brakeside/calc/unit"
	"brakeside/calc/wording"
	"brakeside/testdata/suite"
)

// angleBracket is an L of two legs.
func angleBracket(t suite.Failer, head string) part.Part {
	t.Helper()
	return suite.Read(t, []byte(`{"number":"L",`+head+`,"profile":{"length":300,"legs":[90,120],"bends":[90]}}`))
}

// roundBars is an invented brake with two round bars, of radius 15 and 6.
func roundBars(t suite.Failer) *brake.Brake {
	t.Helper()
	data, err := os.ReadFile("../testdata/brakes/round.json")
	if err != nil {
		t.Fatalf("%v", err)
	}
	k, err := brake.Read(data)
	if err != nil {
		t.Fatalf("%v", err)
	}
	return k
}

// The tray P5 makes three walls with the wide bar and the last with fingers:
// each goes by the calibration of its own bar, and the blank by both.
func TestBlankByTheBarsChosen(t *testing.T) {
	p := suite.Part(t, "P5")
	sheet, err := figures.Shop{}.Sheet(p)
	if err != nil {
		t.Fatal(err)
	}
	calibration := func(bar string, k float64, springback unit.Deg) bend.Calibration {
		return bend.Calibration{
			Material: sheet.Material.ID, Thickness: sheet.Thickness, Radius: [2]unit.MM{0, 5}, Bar: bar,
			K: k, Angle: 90, Springback: springback, Source: "strip",
		}
	}
	shop := figures.Shop{Practice: bend.Practice{Calibrations: []bend.Calibration{calibration("wide", 0.44, 2), calibration("fingers", 0.38, 2.6)}}}
	plan := suite.Work(t, p, suite.Brake(t), calc.Options{Shop: shop})
	want := map[string][2]float64{"wide": {0.44, 2}, "fingers": {0.38, 2.6}}
	bars := map[string]int{}
	for _, b := range plan.Bends {
		s := stepOf(t, plan, b.ID)
		bars[s.Bar.Name]++
		w := want[s.Bar.Name]
		if b.Bend.K != w[0] || float64(b.Springback) != w[1] || !strings.Contains(b.Rule, "under "+s.Bar.Name) {
			t.Errorf("bend %s under %s: K %v (%s), springback %v, want %v", b.ID, s.Bar.Name, b.Bend.K, b.Rule, b.Springback, w)
		}
		suite.Near(t, b.ID+": stop", float64(s.StopBend), 90+w[1], 1e-12)
		if s.StopFrom != b.SpringbackFrom || !strings.Contains(s.StopFrom, "measured in this shop") {
			t.Errorf("bend %s: its stop is from %q", b.ID, s.StopFrom)
		}
	}
	if bars["wide"] != 2 || bars["fingers"] != 2 || slices.Contains(plan.Cautions, wording.Unsettled) {
		t.Errorf("bars used: %v, unsettled %v; want wide twice and fingers twice, settled", bars, slices.Contains(plan.Cautions, wording.Unsettled))
	}
	again, err := shop.DevelopFor(p, plan.Tools())
	if err != nil || again.Width != plan.Blank.Width || again.Height != plan.Blank.Height {
		t.Errorf("the blank %v x %v is not that of its bars, %v x %v (%v)", plan.Blank.Width, plan.Blank.Height, again.Width, again.Height, err)
	}
}

// twoBars is a brake of two bars in one piece; the first is preferred and
// closes at most so far.
func twoBars(t suite.Failer, most unit.Deg) *brake.Brake {
	k := suite.Brake(t)
	first, second := k.Bars[0], k.Bars[0]
	first.Name, first.MaxAngle, second.Name = "first", most, "second"
	k.Bars = []brake.Bar{first, second}
	k.Minutes.BarPreference = map[string]float64{"second": 1}
	return k
}

// springs is a shop that has learned one springback for each bar.
func springs(by map[string]unit.Deg) figures.Shop {
	return figures.Shop{Practice: bend.Practice{Learned: func(m bend.Making) (bend.Expected, bool) {
		degrees, known := by[m.Tool.Bar]
		return bend.Expected{Degrees: degrees, Low: degrees, High: degrees, From: "learned"}, known
	}}}
}

// Where the drawing gives no inside radius the bar that is chosen decides it.
func TestRadiusOfTheBarChosen(t *testing.T) {
	shop := figures.Shop{Practice: bend.Practice{Radii: []bend.UsualRadius{{Material: "mild-steel", Radius: 2}, {Bar: "first", Radius: 3}, {Material: "copper", Bar: "second", Radius: 9}}}}
	for _, test := range []struct {
		name, radius string
		most         unit.Deg
		want         unit.MM
	}{
		{"the bar's own", ``, 120, 3},
		{"another bar, the material's", ``, 80, 2},
		{"drawn", `,"inside_radius":1.5`, 120, 1.5},
	} {
		plan := suite.Work(t, angleBracket(t, `"material":"mild-steel","thickness":1`+test.radius), twoBars(t, test.most), calc.Options{Shop: shop})
		b := plan.Bends[0].Bend
		if b.Radius != test.want || slices.Contains(plan.Cautions, wording.Unsettled) {
			t.Errorf("%s: radius %v, unsettled %v; want %v, settled", test.name, b.Radius, slices.Contains(plan.Cautions, wording.Unsettled), test.want)
		}
		suite.Near(t, test.name+": blank", float64(plan.Blank.Height), float64(90+120-b.Deduction()), 1e-9)
	}
	plain := stock.Sheet{Material: plainSteel(t), Thickness: 1}
	if got := (bend.Practice{}).RadiusFor(plain, "first"); got != plain.UsualRadius() {
		t.Errorf("RadiusFor in a shop that settled nothing = %v, want %v", got, plain.UsualRadius())
	}
}

func plainSteel(t suite.Failer) stock.Material {
	t.Helper()
	m, err := figures.Shop{}.Material("mild-steel")
	if err != nil {
		t.Fatalf("%v", err)
	}
	return m
}

func TestBlankAndBarsSettle(t *testing.T) {
	p := angleBracket(t, `"material":"mild-steel","thickness":1,"inside_radius":1`)
	for _, test := range []struct {
		name      string
		springs   map[string]unit.Deg
		bar       string
		stop      unit.Deg
		unsettled bool
	}{
		{"nothing learned", nil, "first", 91.5, false},
		{"learned of both", map[string]unit.Deg{"first": 2, "second": 3}, "first", 92, false},
		{"learned that the first does not close far enough", map[string]unit.Deg{"first": 6, "second": 5.5}, "second", 95.5, false},
		{"each bar sends to the other", map[string]unit.Deg{"first": 6, "second": 1}, "first", 91, true},
		{"learned that no leaf turns so far", map[string]unit.Deg{"first": 50}, "first", 91.5, true},
	} {
		plan := suite.Work(t, p, twoBars(t, 95), calc.Options{Shop: springs(test.springs)})
		if !plan.Feasible {
			t.Fatalf("%s: no order", test.name)
		}
		s := plan.Steps[0]
		if s.Bar.Name != test.bar || math.Abs(float64(s.StopBend-test.stop)) > 1e-9 {
			t.Errorf("%s: under %s to %v, want %s to %v", test.name, s.Bar.Name, s.StopBend, test.bar, test.stop)
		}
		if said := strings.Contains(suite.Cautions(plan), "for other bars than this order uses"); said != test.unsettled {
			t.Errorf("%s: cautions %q, want unsettled %v", test.name, suite.Cautions(plan), test.unsettled)
		}
	}
}

// The tube of radius 15 in 1 mm mild steel: under load 15, after springback
// (15 + 1/2) stop / target - 1/2; the blank goes by that radius and K 0.5.
func TestBendOverARoundBar(t *testing.T) {
	for _, test := range []struct {
		material string
		angle    unit.Deg
	}{{"mild-steel", 90}, {"mild-steel", 45}, {"304", 90}, {"5251-H22", 60}} {
		text := fmt.Sprintf(`{"number":"R","material":%q,"thickness":0.9,"inside_radius":15,"profile":{"length":300,"legs":[90,120],"bends":[%v]}}`, test.material, test.angle)
		plan := suite.Work(t, suite.Read(t, []byte(text)), roundBars(t), calc.Options{})
		if !plan.Feasible {
			t.Fatalf("%s: %v", text, plan.Blocked)
		}
		s, b := plan.Steps[0], plan.Bends[0]
		if s.Bar.Name != "tube 30" || b.Former != 15 {
			t.Errorf("%s %v: made under %s over %v, want the tube", test.material, test.angle, s.Bar.Name, b.Former)
		}
		// The axis of the tube stands 15 + 0.9 from the bed, and at the stop from the leaf.
		axis := 15.9 * math.Tan(float64(s.StopBend)*math.Pi/360)
		suite.Near(t, "nose setback", float64(s.NoseSetback), axis-15, 1e-9)
		suite.Near(t, "the line that is gauged", float64(s.LineSetback()), axis, 1e-9)
		radius := (15+0.45)*float64((test.angle+b.Springback)/test.angle) - 0.45
		suite.Near(t, "finished radius", float64(b.Bend.Radius), radius, 1e-9)
		suite.Near(t, "stop", float64(s.StopBend), float64(test.angle+b.Springback), 1e-12)
		if b.Bend.K != 0.5 {
			t.Errorf("K over the tube is %v, want 0.5", b.Bend.K)
		}
		sheet := plan.Blank.Sheet
		if tight := bend.Springback(sheet, bend.Bend{Angle: test.angle, Radius: 0.9, Thickness: 0.9}); b.Springback <= tight.Degrees {
			t.Errorf("%s springs back %v over the tube and %v around a nose", test.material, b.Springback, tight.Degrees)
		}
		setback := (radius + 0.9) * math.Tan(test.angle.Rad()/2)
		flat := 90 - setback + b.Finished.Angle.Rad()*(radius+0.45)
		suite.Near(t, "gauge, from where the bend begins to the sheared edge", float64(s.Gauge), flat, 1e-9)
		suite.Near(t, "blank", float64(plan.Blank.Height), 210-2*setback+test.angle.Rad()*(radius+0.45), 1e-9)
	}
}

// A radius that a tube leaves after springback is made over that tube, and
// nothing is cautioned; a tube of the drawn radius leaves more, and says so.
func TestRoundBarIsChosenByItsRadius(t *testing.T) {
	k := roundBars(t)
	left, _ := bend.OverFormer(sheetOf(t, "mild-steel", 0.9), 90, 15)
	for _, test := range []struct {
		name   string
		radius unit.MM
		length int
		bar    string
		says   string // empty: nothing about the radius
	}{
		{"the radius the tube leaves", left.Radius, 300, "tube 30", ""},
		{"the tube's own radius", 15, 300, "tube 30", "leaves an inside radius of " + left.Radius.Text(1)},
		{"between the tubes", 10, 300, "wide", "larger than the nose of a bar makes"},
		{"as a nose makes", 2, 300, "wide", ""},
		{"a rod that is too short", 6, 700, "wide", "A round bar of radius about"},
		{"a rod that reaches", 6, 500, "rod 12", ""},
	} {
		text := fmt.Sprintf(`{"number":"R","material":"mild-steel","thickness":0.9,"inside_radius":%v,"profile":{"length":%d,"legs":[90,120],"bends":[90]}}`, float64(test.radius), test.length)
		plan := suite.Work(t, suite.Read(t, []byte(text)), k, calc.Options{})
		if !plan.Feasible || plan.Steps[0].Bar.Name != test.bar {
			t.Fatalf("%s: %+v, want an order with %s", test.name, plan.Blocked, test.bar)
		}
		if got := suite.Cautions(plan); test.says == "" && strings.Contains(got, "round bar") || !strings.Contains(got, test.says) {
			t.Errorf("%s: cautions %q, want %q", test.name, got, test.says)
		}
		want := test.radius
		if want > 4*0.9 { // what no bar with an edge makes comes out as it leaves it
			want = 0.9
		}
		if test.bar == "wide" && plan.Bends[0].Bend.Radius != want {
			t.Errorf("%s: radius %v, want %v", test.name, plan.Bends[0].Bend.Radius, want)
		}
	}
}

func sheetOf(t suite.Failer, id string, thickness unit.MM) stock.Sheet {
	t.Helper()
	sheet, err := figures.Shop{}.SheetOf(id, "", thickness)
	if err != nil {
		t.Fatalf("%v", err)
	}
	return sheet
}

// A brake rated for 16 gauge mild steel across its width takes about 20 gauge
// stainless (common practice, no source), thinner than mild steel, and more of
// soft aluminium; it states no factors of its own.
func TestBrakeRatedFor16Gauge(t *testing.T) {
	k := suite.Brake(t)
	k.RatingFactor, k.RatingCap = nil, 1
	k.Bars = k.Bars[:1]
	rated, err := figures.Shop{}.SheetOf("mild-steel", "16", 0)
	if err != nil {
		t.Fatal(err)
	}
	k.Bars[0].Rating = rated.Thickness
	for _, test := range []struct {
		material, gauge string
		want            bool
	}{
		{"mild-steel", "16", true}, {"mild-steel", "15", false},
		{"304", "20", true}, {"304", "19", false}, {"304", "16", false}, {"316", "20", true},
		{"1100-H14", "12", true}, {"3003-H14", "14", true}, {"2024-T3", "16", false},
	} {
		text := fmt.Sprintf(`{"number":"W","material":%q,"gauge":%q,"profile":{"length":%v,"legs":[60,90],"bends":[90]}}`, test.material, test.gauge, k.RatingLength)
		plan := suite.Work(t, suite.Read(t, []byte(text)), k, calc.Options{})
		if plan.Feasible != test.want {
			t.Errorf("%s gauge %s over the whole width: %v, want %v", test.gauge, test.material, plan.Feasible, test.want)
		}
		if !plan.Feasible && !strings.Contains(strings.Join(plan.Blocked[0].Why, "\n"), "too weak") {
			t.Errorf("%s gauge %s: %q does not say that the bar is too weak", test.gauge, test.material, plan.Blocked[0].Why)
		}
	}
}

// The hold of the magnet is a caution with its figures, worked here by hand for
// 1.5 mm mild steel under the wide bar: M = 1.15 x 340 x 2.25 / 4 = 219.9, on
// the lever of the flat flange 34 - 3 = 31 (drawn to 0.01 mm) and the depth 74: 10.06 N/mm against
// 0.35 x 74 / 2 = 12.95.
func TestHoldIsACautionWithFigures(t *testing.T) {
	plan := suite.Plan(t, "P1")
	hold := plan.Steps[0].Hold
	suite.Near(t, "load", hold.NoseLoad, 1.15*340*2.25/4*(1.0/31+1.0/74), 0.01)
	suite.Near(t, "limit", hold.Limit, 12.95, 1e-9)
	want := process.Caution{
		Level:  process.Notice,
		Hazard: "Magnet hold is marginal: 10.1 N/mm lift the bar, 12.9 hold it.",
		Harm:   "Lifting spoils the bend.", Do: "If it lifts, stop.", Needs: process.AMagnet,
	}
	if got := plan.Steps[0].Cautions; !slices.Contains(got, want) {
		t.Errorf("cautions %+v, want %+v", got, want)
	}
	clamped := *plan.Brake
	clamped.Magnet = brake.Magnet{}
	other := suite.Work(t, suite.Part(t, "P1"), &clamped, calc.Options{})
	if other.Steps[0].Hold != (bend.Hold{}) || strings.Contains(fmt.Sprint(other.Steps[0].Cautions), "Magnet") {
		t.Errorf("without a magnet: %+v", other.Steps[0].Cautions)
	}
}

// A stop is target and springback, written in the scale of the brake.
func TestStopByTheScale(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := suite.Brake(t)
		k.Scale = brake.Scale{Opening: rapid.Bool().Draw(t, "opening"), Zero: unit.Deg(rapid.IntRange(-30, 30).Draw(t, "zero")) / 4}
		angle := unit.Deg(rapid.IntRange(20, 110).Draw(t, "angle"))
		text := fmt.Sprintf(`{"number":"S","material":"304","thickness":1,"profile":{"length":300,"legs":[60,90],"bends":[%v]}}`, angle)
		s := suite.Work(t, suite.Read(t, []byte(text)), k, calc.Options{}).Steps[0]
		want := float64(angle + s.Springback)
		if k.Scale.Opening {
			want = 180 - want
		}
		suite.Near(t, "stop", float64(s.Stop), want+float64(k.Scale.Zero), 1e-9)
		suite.Near(t, "springback", float64(s.Springback), 4*float64(angle)/90, 1e-9)
		if s.StopFrom != "common practice for the material" {
			t.Errorf("the stop is from %q", s.StopFrom)
		}
	})
}

// Whatever was measured of each bar, a plan that has settled has the blank of
// its own bars, and its stops are those of its bars.
func TestSettledPlansAgreeWithTheirBars(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := suite.Part(t, rapid.SampledFrom([]string{"P1", "P2", "P4", "P7"}).Draw(t, "part"))
		sheet, err := figures.Shop{}.Sheet(p)
		if err != nil {
			t.Fatalf("%v", err)
		}
		var shop figures.Shop
		for _, bar := range []string{"wide", "narrow", "slotted", "fingers"} {
			if rapid.Bool().Draw(t, bar+" measured") {
				shop = shop.Adopt(bend.Calibration{
					Material: sheet.Material.ID, Thickness: sheet.Thickness, Radius: [2]unit.MM{0, 10}, Bar: bar, Source: "strip",
					K: rapid.Float64Range(0.3, 0.5).Draw(t, bar+" k"), Angle: 90, Springback: unit.Deg(rapid.Float64Range(0, 8).Draw(t, bar+" springback")),
				})
			}
		}
		plan := suite.Work(t, p, suite.Brake(t), calc.Options{Shop: shop})
		if !plan.Feasible || slices.Contains(plan.Cautions, wording.Unsettled) {
			return
		}
		again, err := shop.DevelopFor(p, plan.Tools())
		if err != nil || !plan.Blank.BendsLike(again) || again.Height != plan.Blank.Height || again.Width != plan.Blank.Width {
			t.Fatalf("%s: the blank %v x %v is not that of its bars %v (%v)", p.Number, plan.Blank.Width, plan.Blank.Height, plan.Tools(), err)
		}
		for i, b := range plan.Bends {
			s := stepOf(t, plan, b.ID)
			if s.StopBend != b.Bend.Angle+b.Springback || again.Joints[i].Rule != b.Rule {
				t.Errorf("%s: bend %s stops at %v by %q, springs back %v", p.Number, b.ID, s.StopBend, b.Rule, b.Springback)
			}
		}
	})
}
