package bend

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"brakeside/calc/unit"
)

// An invented brake: 1.6 mm over 1180 mm, a quarter more where shorter.
var invented = Rating{T: 1.6, Length: 1180, Cap: 1.25}

func TestFitsFull(t *testing.T) {
	for _, test := range []struct {
		name        string
		tEq, length unit.MM
		want        bool
		says        string
	}{
		{"at its rating", 1.6, 1180, true, "within the 1180 mm it takes of 1.60 mm"},
		{"just longer", 1.6, 1181, false, "over the 1180 mm it takes of 1.60 mm"},
		{"thicker and shorter", 2, 755, true, "within the 755 mm"},
		{"thicker and too long", 2, 756, false, "over the 755 mm"},
		{"at the cap", 2.0, 100, true, "within"},
		{"over the cap", 2.01, 10, false, "over the 2.00 mm this bar takes at any length"},
		{"thin over any length", 0.5, 1180, true, "within the 12083 mm"},
	} {
		t.Run(test.name, func(t *testing.T) {
			got := FitsFull(test.tEq, test.length, invented)
			if got.OK != test.want || !strings.Contains(got.Why, test.says) {
				t.Errorf("FitsFull(%v, %v) = %+v, want %v and %q", test.tEq, test.length, got, test.want, test.says)
			}
		})
	}
}

func TestFitsSlimLeaf(t *testing.T) {
	slim := Rating{T: 1, Length: 1180}
	// 1.5^2 x 640 = 1440 is over 1180; 1.2^2 x 640 = 922 is not. No cap is asked.
	for tEq, want := range map[unit.MM]bool{1.5: false, 1.2: true, 1: true} {
		if got := FitsSlimLeaf(tEq, 640, slim); got.OK != want || got.Why == "" {
			t.Errorf("FitsSlimLeaf(%v, 640) = %+v, want %v", tEq, got, want)
		}
	}
	if got := FitsSlimLeaf(3, 100, slim); !got.OK {
		t.Errorf("FitsSlimLeaf(3, 100) = %+v, want it to fit: 9 x 100 is under 1180", got)
	}
}

func TestFitsSegments(t *testing.T) {
	for tEq, want := range map[unit.MM]bool{1.2: true, 1.21: false, 0.3: true} {
		got := FitsSegments(tEq, Rating{T: 1.2})
		if got.OK != want || !strings.Contains(got.Why, tEq.Text(2)) {
			t.Errorf("FitsSegments(%v) = %+v, want %v with the figure", tEq, got, want)
		}
	}
}

// Equality that is lost in the last digits is still equality: 0.8 mm of a metal
// that counts 1.3 is 1.04 mm.
func TestNominalEqualityFits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		thickness := unit.MM(rapid.IntRange(3, 40).Draw(t, "tenths")) / 10
		factor := float64(rapid.IntRange(5, 30).Draw(t, "factor in tenths")) / 10
		tEq := TEquivalent(thickness, factor)
		exactly := Rating{T: unit.MM(math.Round(float64(thickness)*factor*100) / 100), Length: 1180, Cap: 1}
		if !FitsFull(tEq, 1180, exactly).OK || !FitsSegments(tEq, exactly).OK || !FitsSlimLeaf(tEq, 1180, exactly).OK {
			t.Errorf("%v counts as %v and does not fit a rating of just that", thickness, tEq)
		}
	})
}

// What fits, fits shorter and thinner too.
func TestCapacityIsMonotone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tEq := unit.MM(rapid.Float64Range(0.3, 3).Draw(t, "thickness"))
		length := unit.MM(rapid.Float64Range(1, 1180).Draw(t, "length"))
		less := rapid.Float64Range(0.1, 1).Draw(t, "share")
		if FitsFull(tEq, length, invented).OK && !(FitsFull(tEq*unit.MM(less), length, invented).OK &&
			FitsFull(tEq, length*unit.MM(less), invented).OK) {
			t.Errorf("%v over %v fits, and %v times less does not", tEq, length, less)
		}
	})
}

func TestHoldByHand(t *testing.T) {
	// M = 1.15 x 340 x 1 / 4 = 97.75 N mm per mm; q = 97.75 (1/20 + 1/74) =
	// 6.208 N per mm; the limit is 0.35 x 74 / 2 = 12.95.
	h := Clamped{Strength: 340, Thickness: 1, Lever: 20, Depth: 74, Pressure: 0.35, Margin: 2}.Hold()
	for name, pair := range map[string][2]float64{
		"moment": {h.Moment, 97.75}, "nose load": {h.NoseLoad, 6.20845}, "limit": {h.Limit, 12.95},
	} {
		if math.Abs(pair[0]-pair[1]) > 1e-4 {
			t.Errorf("%s = %v, want %v", name, pair[0], pair[1])
		}
	}
	if h.State != Holds {
		t.Errorf("a wide bar on 1 mm steel: %+v, want it held", h)
	}
	narrow := Clamped{Strength: 340, Thickness: 1, Lever: 20, Depth: 23, Pressure: 0.35, Margin: 2}.Hold()
	if !narrow.Lifts() || narrow.State != TooSmall {
		t.Errorf("a narrow bar on 1 mm steel: %+v, want it to lift", narrow)
	}
}

// The state turns where the load passes the limit, and where the load times the
// margin does: 97.75 (1/20 + 1/74) = 6.208 N/mm against limits just beside it. A
// bar three times as long as the bend, on packing, holds three times as much.
func TestHoldStates(t *testing.T) {
	const load = 97.75 * (1.0/20 + 1.0/74)
	for _, test := range []struct {
		limit, share float64
		want         HoldState
		lifts        bool
	}{
		{2.001 * load, 1, Holds, false}, {1.999 * load, 1, Marginal, false}, {1.001 * load, 1, Marginal, false}, {0.999 * load, 1, TooSmall, true},
		{0.667 * load, 3, Holds, false}, {0.666 * load, 3, Marginal, false}, {0.334 * load, 3, Marginal, false}, {0.333 * load, 3, TooSmall, true},
	} {
		c := Clamped{Strength: 340, Thickness: 1, Lever: 20, Depth: 74, Pressure: unit.MPa(2 * test.limit / 74), Margin: 2, Share: test.share}
		if h := c.Hold(); h.State != test.want || h.Lifts() != test.lifts {
			t.Errorf("load %.3f, limit %.3f x %g: %q, lifts %v, want %q", load, test.limit, test.share, h.State, h.Lifts(), test.want)
		}
	}
}

func TestHoldWords(t *testing.T) {
	for _, test := range []struct {
		name string
		hold Hold
		want string
	}{
		{"held", Hold{NoseLoad: 6.2, Limit: 12.95, Margin: 2, State: Holds}, "Magnet holds: the bend lifts with 6.2 N/mm, the hold is 12.9."},
		{"marginal", Hold{NoseLoad: 6.8, Limit: 12.95, Margin: 2, State: Marginal}, "Magnet hold is marginal: 6.8 N/mm lift the bar, 12.9 hold it."},
		{"another margin", Hold{NoseLoad: 6.8, Limit: 12, Margin: 2.5, State: Marginal}, "Magnet hold is marginal: 6.8 N/mm lift the bar, 12.0 hold it."},
		{"too small", Hold{NoseLoad: 13.1, Limit: 4, Margin: 2, State: TooSmall}, "Magnet hold is too small: 13.1 N/mm lift the bar, 4.0 hold it."},
		{"no hold at all", Hold{NoseLoad: math.Inf(1), State: TooSmall, Margin: 1}, "Magnet hold is not known: the leaf has no lever or the bar no depth."},
	} {
		if got := test.hold.Words(); got != test.want {
			t.Errorf("%s: Words() = %q, want %q", test.name, got, test.want)
		}
	}
}

func TestHoldWithoutFiguresNeverHolds(t *testing.T) {
	for _, c := range []Clamped{{}, {Strength: 300, Thickness: 1, Depth: 70, Pressure: 1}, {Strength: 300, Thickness: 1, Lever: -5, Depth: 70, Pressure: 1}} {
		if h := c.Hold(); !h.Lifts() {
			t.Errorf("%+v.Hold() = %+v, want no hold without a lever and a bar", c, h)
		}
	}
}

// A margin below one is none: doubt is not safety.
func TestHoldMarginIsAtLeastOne(t *testing.T) {
	c := Clamped{Strength: 340, Thickness: 1.5, Lever: 20, Depth: 74, Pressure: 0.35}
	one := c
	one.Margin = 1
	if c.Hold() != one.Hold() {
		t.Errorf("without a margin: %+v, with one: %+v", c.Hold(), one.Hold())
	}
}

func ExampleFitsFull() {
	fmt.Println(FitsFull(TEquivalent(1.5, 1), 640, Rating{T: 0.9, Length: 1180, Cap: 1.25}).Why)
	fmt.Println(FitsFull(TEquivalent(0.9, 1.3), 640, invented).Why)
	// Output:
	// counts as 1.50 mm of mild steel, over the 1.13 mm this bar takes at any length
	// 640 mm long, within the 2207 mm it takes of 1.17 mm of mild steel
}
