package fitting

import (
	"fmt"
	"os"
	"testing"

	"brakeside/calc/brake"
	"brakeside/calc/clamp"
)

// Slot 1 of the suite's bar is 36 from its left end, the others follow 24 apart.
func TestSlotsTaken(t *testing.T) {
	data, err := os.ReadFile("../../testdata/suite/brake.json")
	if err != nil {
		t.Fatal(err)
	}
	k, err := brake.Read(data)
	if err != nil {
		t.Fatal(err)
	}
	slots := k.Bars[2].Slots
	for _, test := range []struct {
		at    float64
		walls []clamp.Span
		want  string
	}{
		{-36, nil, "[]"},
		{-36, []clamp.Span{{Low: -1, High: 1}}, "[1]"},
		{-36, []clamp.Span{{Low: -1, High: 1}, {Low: 287, High: 289}}, "[1 13]"},
		{-58, []clamp.Span{{Low: 0, High: 2}}, "[2]"},
	} {
		if got := fmt.Sprint(slotsTaken(slots, test.at, test.walls)); got != test.want {
			t.Errorf("slotsTaken(%v, %v) = %v, want %v", test.at, test.walls, got, test.want)
		}
	}
}
