package tolerance

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"brakeside/calc/fault"
	"brakeside/calc/unit"
	"brakeside/testdata/checks"
)

var update = flag.Bool("update", false, "write the page of checks anew")

// A size inside each band of the published tables.
var (
	insideLengths = []unit.MM{2, 5, 20, 100, 300, 800, 1500, 3000}
	insideAngles  = []unit.MM{8, 30, 100, 300, 500}
)

func TestPublished(t *testing.T) {
	page := &checks.Page{Name: "tolerance", Title: "General tolerances, ISO 2768-1"}
	for _, row := range checks.Read(t, "statistics") {
		if !strings.HasPrefix(row.Topic, "tolerance-") {
			continue
		}
		if row.LeftOut != "" {
			page.LeaveOut(t, row)
			continue
		}
		for _, class := range classesOf(t, row.ID) {
			if row.Topic == "tolerance-linear" {
				compareLengths(t, page, row, class)
				continue
			}
			compareAngles(t, page, row, class)
		}
	}
	page.Keep(t, checks.ModeOf(update))
}

func classesOf(t *testing.T, id string) []Class {
	_, last, found := strings.Cut(strings.TrimPrefix(id, "tol-"), "-")
	if !found {
		t.Fatalf("%s names no class", id)
	}
	var out []Class
	for _, letter := range last {
		out = append(out, Class(letter))
	}
	return out
}

func compareLengths(t *testing.T, page *checks.Page, row checks.Row, class Class) {
	for i, want := range checks.List(t, row.Outputs["plus_minus"]) {
		got, err := class.Length(insideLengths[i])
		if want == nil {
			if fault.KindOf(err) != fault.Invalid {
				t.Errorf("%s.Length(%v) = %v, %v, want Invalid: the table is empty there", class, insideLengths[i], got, err)
			}
			continue
		}
		if err != nil {
			t.Fatal(err)
		}
		page.Compare(t, row, checks.Value{Check: fmt.Sprintf("class %s, length %v mm", class, float64(insideLengths[i])), Published: want, Ours: float64(got)})
	}
}

func compareAngles(t *testing.T, page *checks.Page, row checks.Row, class Class) {
	for i, want := range checks.List(t, row.Outputs["degrees"]) {
		got, err := class.Angle(insideAngles[i])
		if err != nil {
			t.Fatal(err)
		}
		page.Compare(t, row, checks.Value{Check: fmt.Sprintf("class %s, shorter leg %v mm, degrees", class, float64(insideAngles[i])), Published: want, Ours: float64(got), Tolerance: 5e-7})
	}
}

// The ends of the bands belong to the smaller sizes.
func TestBandEnds(t *testing.T) {
	for _, c := range []struct {
		size unit.MM
		want unit.MM
	}{{0.5, 0.1}, {3, 0.1}, {6, 0.1}, {6.01, 0.2}, {30, 0.2}, {30.01, 0.3}, {120, 0.3}, {400, 0.5}, {1000, 0.8}, {4000, 2}} {
		if got, err := Medium.Length(c.size); err != nil || got != c.want {
			t.Errorf("Medium.Length(%v) = %v, %v, want %v", c.size, got, err, c.want)
		}
	}
	for _, c := range []struct {
		leg  unit.MM
		want unit.Deg
	}{{10, 1}, {10.01, 0.5}, {50, 0.5}, {120, 20.0 / 60}, {400, 10.0 / 60}, {401, 5.0 / 60}} {
		if got, err := Medium.Angle(c.leg); err != nil || got != c.want {
			t.Errorf("Medium.Angle(%v) = %v, %v, want %v", c.leg, got, err, c.want)
		}
	}
}

func TestRefusals(t *testing.T) {
	for name, try := range map[string]func() error{
		"too short":     func() error { _, err := Medium.Length(0.4); return err },
		"too long":      func() error { _, err := Medium.Length(4001); return err },
		"fine, 3 m":     func() error { _, err := Fine.Length(3000); return err },
		"v, 2 mm":       func() error { _, err := VeryCoarse.Length(2); return err },
		"no class":      func() error { _, err := Class("x").Length(20); return err },
		"no leg":        func() error { _, err := Medium.Angle(0); return err },
		"not a number":  func() error { _, err := Medium.Angle(unit.MM(math.NaN())); return err },
		"no such class": func() error { _, err := Class("").Angle(20); return err },
	} {
		if err := try(); fault.KindOf(err) != fault.Invalid {
			t.Errorf("%s: %v, want Invalid", name, err)
		}
	}
}

// Worked by hand with 0.15 for an edge, 0.25 for a line and 0.5 degrees
// (0.0087266 rad): one bend swinging 20 mm adds 0.0625 + 0.1745^2.
func TestSpread(t *testing.T) {
	for _, c := range []struct {
		name  string
		chain Chain
		want  float64
	}{
		{"from a sheared edge", Chain{}, 0.15},
		{"to another edge", Chain{Cut: true}, 0.2121},
		{"over one bend", Chain{Bends: []unit.MM{20}}, 0.3398},
		{"over one bend with no leg", Chain{Bends: []unit.MM{0}}, 0.2915},
		{"over three bends", Chain{Bends: []unit.MM{0, 0, 0}}, 0.4583},
		{"over one long leg", Chain{Bends: []unit.MM{100}}, 0.9201},
	} {
		if got := float64(Usual.Spread(c.chain)); math.Abs(got-c.want) > 5e-5 {
			t.Errorf("%s: Spread(%+v) = %.4f, want %.4f", c.name, c.chain, got, c.want)
		}
	}
}

// The spread of a simulated chain is the predicted one.
func TestSpreadSimulated(t *testing.T) {
	random := rand.New(rand.NewPCG(6, 6))
	legs := []unit.MM{30, 12}
	var squares float64
	const rounds = 40000
	for range rounds {
		off := float64(Usual.Edge) * random.NormFloat64()
		for _, leg := range legs {
			off += float64(Usual.Line) * random.NormFloat64()
			off += float64(leg) * math.Sin(Usual.Angle.Rad()*random.NormFloat64())
		}
		squares += off * off
	}
	got, want := math.Sqrt(squares/rounds), float64(Usual.Spread(Chain{Bends: legs}))
	if math.Abs(got/want-1) > 0.02 {
		t.Errorf("simulated spread %.4f, predicted %.4f", got, want)
	}
}

// A further bend or a longer leg never makes a size surer.
func TestSpreadGrows(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		legs := rapid.SliceOfN(rapid.Float64Range(0, 400), 0, 6).Draw(t, "legs")
		var chain Chain
		for _, leg := range legs {
			chain.Bends = append(chain.Bends, unit.MM(leg))
		}
		before := Usual.Spread(chain)
		chain.Bends = append(chain.Bends, unit.MM(rapid.Float64Range(0, 400).Draw(t, "further")))
		if after := Usual.Spread(chain); !(after > before) {
			t.Errorf("a further bend: %v after %v", after, before)
		}
	})
}

func TestJudge(t *testing.T) {
	for _, c := range []struct {
		tolerance, spread float64
		want              Verdict
		words             string
	}{
		{0.5, 0.15, Holds, "holds"}, {0.45, 0.15, Holds, "holds"}, {0.44, 0.15, Tight, "tight"}, {0.3, 0.15, Tight, "tight"},
		{0.29, 0.15, NotHere, "not on this brake"}, {1, 0.5, Tight, "tight"}, {1, math.NaN(), NotHere, "not on this brake"}, {0.1, 0, Holds, "holds"},
	} {
		if got := Judge(c.tolerance, c.spread); got != c.want || got.Words() != c.words {
			t.Errorf("Judge(%v, %v) = %v, want %v", c.tolerance, c.spread, got.Words(), c.words)
		}
	}
	if got := Outside(2, 1); math.Abs(got-0.0455) > 5e-5 { // two standard deviations, both sides
		t.Errorf("Outside(2, 1) = %v, want 0.0455", got)
	}
	if got := Outside(1, 0); got != 0 {
		t.Errorf("Outside(1, 0) = %v, want 0", got)
	}
}
