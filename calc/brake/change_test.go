package brake

import (
	"math"
	"os"
	"testing"

	"brakeside/calc/geom"
	"brakeside/calc/unit"
)

// A bar that is bought is the one that was thought of, read from the brake's file with
// the bar in it; in inches as well, and nothing else of the brake is another.
func TestAddBarPutsItOnTheShelf(t *testing.T) {
	millimetres, err := os.ReadFile("../../testdata/suite/brake.json")
	if err != nil {
		t.Fatal(err)
	}
	bought(t, "millimetres", millimetres)
	bought(t, "inches", []byte(inches))
}

func bought(t *testing.T, in string, text []byte) {
	t.Helper()
	k, err := Read(text)
	if err != nil {
		t.Fatal(err)
	}
	bar := k.Bars[0]
	bar.Name, bar.NoseRadius, bar.MaxAngle = "bought", 0.4, 117
	bar.Height -= 1.5
	bar.Section = bar.Section.Clip(geom.Point2{Y: float64(bar.Height)}, geom.Point2{X: -1})
	more, err := k.Changed(k.AddBar(bar))
	if err != nil {
		t.Fatalf("%s: %v", in, err)
	}
	got := more.Bars[len(more.Bars)-1]
	if len(more.Bars) != len(k.Bars)+1 || got.Name != bar.Name || got.Kind != bar.Kind || got.MaxAngle != bar.MaxAngle {
		t.Fatalf("%s: %d bars, the last %+v, want %+v", in, len(more.Bars), got, bar)
	}
	for _, size := range []struct {
		what      string
		got, want unit.MM
	}{
		{"depth", got.Depth, bar.Depth}, {"height", got.Height, bar.Height}, {"length", got.Length, bar.Length},
		{"rating", got.Rating, bar.Rating}, {"nose radius", got.NoseRadius, bar.NoseRadius},
		{"area of the section", unit.MM(got.Section.Area()), unit.MM(bar.Section.Area())},
	} {
		near(t, in+": "+size.what, float64(size.got), float64(size.want), 2e-3*math.Max(1, float64(size.want)))
	}
	for i, b := range k.Bars {
		if more.Bars[i].Name != b.Name || more.Bars[i].Length != b.Length || more.Bars[i].Section.Area() != b.Section.Area() {
			t.Errorf("%s: bar %s has changed too", in, b.Name)
		}
	}
}

// A finger goes to the bar that is named, and to no other; a bar that is not there, and
// one whose name says nothing, gets none.
func TestAddFingerGoesToItsBar(t *testing.T) {
	k := suite(t)
	for i, b := range k.Bars {
		if b.Kind != Segments {
			continue
		}
		more, err := k.Changed(k.AddFinger(b.Name, 33))
		if err != nil {
			t.Fatal(err)
		}
		widths := more.Bars[i].Widths
		if len(widths) != len(b.Widths)+1 || widths[len(widths)-1] != 33 {
			t.Errorf("%s has the fingers %v, had %v", b.Name, widths, b.Widths)
		}
	}
	if got := k.AddFinger("no such bar", 33); got != nil {
		t.Errorf("a bar that is not there gets %v", got)
	}
}

// Another edge of the leaf is the one asked for, and its rating stays.
func TestSetSlimFace(t *testing.T) {
	k := suite(t)
	less, err := k.Changed(k.SetSlimFace(7.5))
	if err != nil {
		t.Fatal(err)
	}
	if less.Leaf.SlimFace != 7.5 || less.Leaf.SlimRating != k.Leaf.SlimRating || less.Leaf.FullFace != k.Leaf.FullFace {
		t.Errorf("the leaf is %+v, was %+v", less.Leaf, k.Leaf)
	}
}
