package traveler_test

import (
	"fmt"
	"strings"
	"testing"

	"brakeside/calc/figures"
	"brakeside/calc/part"
	"brakeside/traveler"
)

// A step of the folding has four pictures, and fewer where more than seven steps
// would make more than 28 of them, but never less than two (the sizes that keep a
// page small are this program's own). The first picture is the flat blank.
func TestPicturesOfAFolding(t *testing.T) {
	for _, test := range []struct{ bends, each int }{{1, 4}, {7, 4}, {8, 3}, {9, 3}, {10, 2}, {14, 2}, {16, 2}} {
		legs, angles := strings.Repeat("20,", test.bends)+"20", strings.Repeat("90,-90,", test.bends)
		angles = strings.Join(strings.Split(angles, ",")[:test.bends], ",")
		p, err := part.Read(fmt.Appendf(nil, `{"number":"T","material":"mild-steel","thickness":1,"inside_radius":1,"profile":{"length":100,"legs":[%s],"bends":[%s]}}`, legs, angles))
		if err != nil {
			t.Fatal(err)
		}
		b, err := figures.Shop{}.Develop(p)
		if err != nil {
			t.Fatal(err)
		}
		made := &traveler.Traveler{Steps: make([]traveler.Step, test.bends)}
		for i, j := range b.Joints {
			made.Blank.Lines = append(made.Blank.Lines, traveler.BendLine{Bend: j.ID, Step: i + 1})
		}
		frames, err := traveler.Folding(made, b)
		if err != nil || len(frames) != 1+test.bends*test.each {
			t.Fatalf("%d bends: %d pictures, %v, want the blank and %d a step", test.bends, len(frames), err, test.each)
		}
		for i, f := range frames {
			step := (i + test.each - 1) / test.each
			if f.Step != step || f.Whole != (i%test.each == 0) || len(f.Picture.Strokes) == 0 {
				t.Errorf("%d bends, picture %d: step %d, whole %v, %d kinds of strokes; want step %d", test.bends, i, f.Step, f.Whole, len(f.Picture.Strokes), step)
			}
		}
		made.Blank.Lines[0].Step = 0 // as of a line that no step bends
		if _, err := traveler.Folding(made, b); err == nil {
			t.Errorf("%d bends: one of no step is folded", test.bends)
		}
	}
}
