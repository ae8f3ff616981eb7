package progress

import "testing"

func TestStopAdvice(t *testing.T) {
	flagged := func(r *Reading) { r.Flags = []string{FlagBarLifted} }
	cases := []struct {
		name     string
		readings []Reading
		step     int
		want     string
	}{
		{"nothing logged", nil, 1, ""},
		{"no such step", firstPiece(), 99, ""},
		{"one good reading", firstPiece(), 1, ""},
		{"one bad reading", []Reading{reading(1, 1, 8850)}, 1, "Instead of the printed stop, set the stop at 93.5 (1 reading of this job)."},
		{"another step's reading", []Reading{reading(1, 1, 8850)}, 2, ""},
		{"a flagged reading teaches nothing", []Reading{reading(1, 1, 8850).with(flagged)}, 1, ""},
		{"one bad reading that was corrected", []Reading{reading(1, 1, 8850), reading(1, 1, 8950).with(correcting("r-1-1-8850"))}, 1, ""},
		{"three good readings", []Reading{reading(1, 1, 8960), reading(2, 1, 8950), reading(3, 1, 8940)}, 1,
			"Instead of the printed stop, set the stop at 92.5 (the mean of 3 readings of this job)."},
		{"a moved stop that proved right stays moved", []Reading{reading(1, 1, 8850), reading(2, 1, 9000).with(stop(9350))}, 1,
			"Instead of the printed stop, set the stop at 93.5 (the mean of 2 readings of this job)."},
		{"the leaf's limit", []Reading{reading(1, 1, 8850).with(stop(12950))}, 1,
			"Instead of the printed stop, set the stop at 130.0 (1 reading of this job)."},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			if got := StopAdvice(logged(sheet(5), c.readings...), c.step); got != c.want {
				t.Errorf("StopAdvice(%s, step %d) = %q, want %q", c.name, c.step, got, c.want)
			}
		})
	}
}
