package clash

import (
	"fmt"
	"testing"

	"brakeside/calc/brake"
	"brakeside/calc/unit"
)

// Under a top leaf what stands behind the bend must pass the beam: a lip lies over
// or under it, a wall behind it. The fingers of the suite's brake are given 60 of
// height, and a beam of 120 height and 90 depth (invented figures). Over the sheet
// of 1 mm the beam then begins at 61 and ends at 181; its back is 1.3 of nose
// setback, 26.4 of the fingers' slope and 90 behind the hinge; the clearance is 1.5.
func TestBeamOfATopLeaf(t *testing.T) {
	lip := func(height float64) string {
		return fmt.Sprintf(`"profile":{"length":300,"legs":[60,%v,130,40],"bends":[90,90,90]}`, height)
	}
	wall := func(base float64) string {
		return fmt.Sprintf(`"profile":{"length":300,"legs":[20,100,%v,40],"bends":[-90,90,90]}`, base)
	}
	for _, test := range []struct {
		name, shape, face string
		height, depth     float64
		hit               bool
	}{
		{"a lip just under the beam", lip(59.3), "p0", 120, 90, false},
		{"a lip that touches it from below", lip(59.7), "p0", 120, 90, true},
		{"a lip within its height", lip(120), "p0", 120, 90, true},
		{"a lip too low over it", lip(183.3), "p0", 120, 90, true},
		{"a lip just over it", lip(183.7), "p0", 120, 90, false},
		{"the same over a lower beam", lip(140), "p0", 60, 90, false},
		{"the same over a higher beam", lip(183.7), "p0", 240, 90, true},
		{"a wall just behind it", wall(120.4), "p1", 120, 90, false},
		{"a wall too near behind it", wall(120), "p1", 120, 90, true},
		{"the same behind a shallow beam", wall(120), "p1", 120, 60, false},
	} {
		blank := drawn(t, test.shape)
		bench := put(t, blank, "b3", "p2")
		k := *bench.Brake
		k.Clamping, k.FingerHeight = brake.TopLeaf, 60
		k.BeamHeight, k.BeamDepth = unit.MM(test.height), unit.MM(test.depth)
		setting := bench.Setting
		setting.Brake = &k
		a := NewBench(setting).Answer(blank.FaceIndex(test.face), made(blank, "b1", "b2"))
		if got := len(a.Of(OfBar(3, Beam)).Blocked) > 0; got != test.hit {
			t.Errorf("%s: hit %v, want %v: %v", test.name, got, test.hit, a.Of(OfBar(3, Beam)).Blocked)
		}
	}
}
