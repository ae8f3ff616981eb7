package wording_test

import (
	"os"
	"strings"
	"testing"

	"brakeside/calc"
	"brakeside/calc/bend"
	"brakeside/calc/brake"
	"brakeside/calc/process"
	"brakeside/testdata/suite"
)

// demoBrake is the brake that the program carries.
func demoBrake(t *testing.T) *brake.Brake {
	t.Helper()
	text, err := os.ReadFile("../../cmd/brakeside/shop/brake.json")
	if err != nil {
		t.Fatal(err)
	}
	k, err := brake.Read(text)
	if err != nil {
		t.Fatal(err)
	}
	return k
}

// kept plans a kept case on the demo's brake.
func kept(t *testing.T, file string) *process.Plan {
	t.Helper()
	text, err := os.ReadFile("../../testdata/cases/" + file)
	if err != nil {
		t.Fatal(err)
	}
	plan := suite.Work(t, suite.Read(t, text), demoBrake(t), calc.Options{Quantity: 10})
	if !plan.Feasible {
		t.Fatalf("%s cannot be bent", file)
	}
	return plan
}

// about counts the cautions of a step whose hazard holds some words, and gives
// the place of the first.
func about(s process.Step, words string) (count, first int) {
	first = -1
	for i, c := range s.Cautions {
		if strings.Contains(c.Hazard, words) {
			if count++; first < 0 {
				first = i
			}
		}
	}
	return count, first
}

// Every caution says what to do, and the gravest stands first.
func TestCautionsAreWholeAndInOrder(t *testing.T) {
	grave := map[process.Level]int{process.Warning: 0, process.Care: 1, process.Notice: 2}
	for _, file := range []string{"14-2mm.json", "30-l-small.json", "31-panel.json", "32-threesided.json", "06-hemZ.json", "28-stairs.json"} {
		for _, s := range kept(t, file).Steps {
			for i, c := range s.Cautions {
				if c.Hazard == "" || c.Do == "" || !strings.HasSuffix(c.Text(), ".") {
					t.Errorf("%s, step %d: %+v", file, s.Number, c)
				}
				if i > 0 && grave[c.Level] < grave[s.Cautions[i-1].Level] {
					t.Errorf("%s, step %d: %q stands below %q", file, s.Number, c.Text(), s.Cautions[i-1].Text())
				}
			}
		}
	}
}

// A hold that is too small stands above the weight of the bar.
func TestHoldStandsAboveTheWeight(t *testing.T) {
	text, err := os.ReadFile("../../testdata/parts/hemmed-tray.json") // its hem is turned up on a lip of 8, whatever bar it lies under
	if err != nil {
		t.Fatal(err)
	}
	s := suite.Work(t, suite.Read(t, text), demoBrake(t), calc.Options{}).Steps[0]
	_, hold := about(s, "Magnet hold is too small")
	_, weight := about(s, "bar weighs about")
	if s.Hold.State != bend.TooSmall || hold < 0 || weight < 0 || hold > weight {
		t.Errorf("%+v: %+v", s.Hold, s.Cautions)
	}
}

// The weight stands where a bar is lifted, and nowhere else.
func TestWeightWhereTheBarIsLifted(t *testing.T) {
	for _, file := range []string{"31-panel.json", "28-stairs.json", "32-threesided.json"} {
		bar := ""
		for _, s := range kept(t, file).Steps {
			want := 0
			if s.Bar.Name != bar && s.Segments == nil && s.Bar.Weight() > 5 {
				want = 1
			}
			bar = s.Bar.Name
			if count, _ := about(s, "bar weighs about"); count != want {
				t.Errorf("%s, step %d under the %s bar: its weight stands there %d times, want %d", file, s.Number, s.Bar.Name, count, want)
			}
		}
	}
}

// A clip of 20 mm under a bar of 1,180 is held by the whole bar, once its ends
// are packed; one of a tenth of the bar is not yet short.
func TestShortPartUnderALongBar(t *testing.T) {
	plan := kept(t, "30-l-small.json")
	s := plan.Steps[0]
	want := 0.35 * float64(s.Bar.Depth) / 2 * float64(s.Bar.Length/s.Length) * plan.Blank.Sheet.Material.HoldShare()
	suite.Near(t, "limit", s.Hold.Limit, want, 0.01*want)
	if count, at := about(s, "under a bar of"); count != 1 || s.Cautions[at].Do != "Pack both ends with scrap of the same gauge." {
		t.Errorf("%+v", s.Cautions)
	}
	if s := kept(t, "14-2mm.json").Steps[0]; s.Hold.Limit > 12.96 { // 0.35 x 74 / 2: 180 mm under 1,180
		t.Errorf("180 mm are held by %v N/mm, more than the bar over them has", s.Hold.Limit)
	}
}

// The swing is that of the farthest point: a panel of 240 mm that hangs from a
// short lip counts, though the lip alone reaches 30.
func TestHangingPanelsSwing(t *testing.T) {
	part := `{"number":"H","material":"mild-steel","thickness":1,"profile":{"length":300,"legs":[60,30,240],"bends":[90,90]}}`
	plan := suite.Work(t, suite.Read(t, []byte(part)), suite.Brake(t), calc.Options{})
	for _, s := range plan.Steps {
		swings := s.Clamped != "p2" && s.Swinging != "p0" // flat, or hanging at the end of the lip
		if count, _ := about(s, "from the hinge"); (count == 1) != swings {
			t.Errorf("step %d clamps %s: %+v", s.Number, s.Clamped, s.Cautions)
		}
	}
}
