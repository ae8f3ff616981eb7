package progress

import (
	"testing"

	"brakeside/calc/unit"
)

// The stop that is told for a piece that still waits for a step, and why.
func TestStopOfAFurtherPiece(t *testing.T) {
	flagged := func(r *Reading) { r.Flags = []string{FlagBarLifted} }
	const printed = "as printed"
	cases := []struct {
		name     string
		readings []Reading
		step     int
		stop     unit.CentiDeg
		why      string
	}{
		{"nothing logged", nil, 1, 9200, printed},
		{"no such step", firstPiece(), 99, 0, ""},
		{"one good reading", firstPiece(), 1, 9200, printed},
		{"one bad reading", []Reading{reading(1, 1, 8850)}, 1, 9350, "1 reading of this job"},
		{"another step's reading", []Reading{reading(1, 1, 8850)}, 2, 4700, printed},
		{"a flagged reading teaches nothing", []Reading{reading(1, 1, 8850).with(flagged)}, 1, 9200, printed},
		{"one bad reading that was corrected", []Reading{reading(1, 1, 8850), reading(1, 1, 8950).with(correcting("r-1-1-8850"))}, 1, 9200, printed},
		{"three good readings", []Reading{reading(1, 1, 8960), reading(2, 1, 8950), reading(3, 1, 8940)}, 1, 9250, "the mean of 3 readings of this job"},
		{"a moved stop that proved right stays moved", []Reading{reading(1, 1, 8850), reading(2, 1, 9000).with(stop(9350))}, 1,
			9350, "the mean of 2 readings of this job"},
		{"the leaf's limit", []Reading{reading(1, 1, 8850).with(stop(12950))}, 1, 13000, "1 reading of this job"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			due := DueAt(logged(sheet(5), c.readings...), bendAt(5, c.step))
			if due.Stop != c.stop || due.Why != c.why || due.Do != DoBend {
				t.Errorf("DueAt(%s, step %d) = %s at %d, %q, want it bent at %d, %q", c.name, c.step, due.Do, due.Stop, due.Why, c.stop, c.why)
			}
		})
	}
}
