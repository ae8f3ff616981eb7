package progress

import (
	"slices"
	"testing"

	"brakeside/calc/unit"
	"brakeside/traveler"
)

// The scales are arithmetic, no outside source: an opening is 180 less the bend.
func TestStopScales(t *testing.T) {
	cases := []struct {
		name  string
		brake traveler.Brake
		stop  unit.CentiDeg
		bend  unit.CentiDeg
	}{
		{"bend, no zero", traveler.Brake{Reads: GivenBend}, 9200, 9200},
		{"bend, zero at 1.5", traveler.Brake{Reads: GivenBend, Zero: 150}, 9350, 9200},
		{"bend, zero below", traveler.Brake{Reads: GivenBend, Zero: -200}, 9000, 9200},
		{"opening, no zero", traveler.Brake{Reads: GivenOpening}, 8800, 9200},
		{"opening, zero at 1.5", traveler.Brake{Reads: GivenOpening, Zero: 150}, 8950, 9200},
		{"opening of a 45 bend and 2 springback", traveler.Brake{Reads: GivenOpening}, 13300, 4700},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			if got := StopBend(c.brake, c.stop); got != c.bend {
				t.Errorf("StopBend(%d) = %d, want %d", c.stop, got, c.bend)
			}
			if got := StopOnScale(c.brake, c.bend); got != c.stop {
				t.Errorf("StopOnScale(%d) = %d, want %d", c.bend, got, c.stop)
			}
		})
	}
}

func TestStopUsed(t *testing.T) {
	sheet := onOpening(sheet(1), 100)
	cases := []struct {
		name string
		r    Reading
		want unit.CentiDeg
	}{
		{"printed", reading(1, 2, 4500), 4700},
		{"as logged", reading(1, 2, 4500).with(stop(13300)), 4800},
		{"no such step", reading(1, 8, 4500), 0},
	}
	for _, c := range cases {
		if got := StopUsed(sheet, c.r); got != c.want {
			t.Errorf("StopUsed(%s) = %d, want %d", c.name, got, c.want)
		}
	}
}

// adviceCase is a reading and what is said about it.
type adviceCase struct {
	name   string
	sheet  *traveler.Traveler
	before []Reading
	r      Reading
	want   string
}

func checkAdvice(t *testing.T, cases []adviceCase) {
	t.Helper()
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			got, err := Judge(logged(c.sheet, c.before...), c.r)
			if err != nil {
				t.Fatal(err)
			}
			if got.Advice != c.want {
				t.Errorf("Judge(%s).Advice =\n%s\nwant\n%s", c.name, got.Advice, c.want)
			}
		})
	}
}

func TestAdviceOnTheBend(t *testing.T) {
	gauge := func(v unit.Micron) func(*Reading) { return func(r *Reading) { r.Thickness = &v } }
	checkAdvice(t, []adviceCase{
		{"in tolerance", sheet(3), nil, reading(1, 1, 8970), "In tolerance: go on."},
		{"under-bent", sheet(1), nil, reading(1, 1, 8850),
			"Under-bent by 1.5: bend again with the stop at 93.5, measure again and log it as reworked."},
		{"under-bent with another stop", sheet(1), nil, reading(1, 1, 8850).with(stop(9300)),
			"Under-bent by 1.5: bend again with the stop at 94.5, measure again and log it as reworked."},
		{"under-bent on an opening scale", onOpening(sheet(1), 0), nil, reading(1, 1, 8850),
			"Under-bent by 1.5: bend again with the stop at 86.5, measure again and log it as reworked."},
		{"under-bent on an opening scale with a zero", onOpening(sheet(1), 100), nil, reading(1, 1, 8850),
			"Under-bent by 1.5: bend again with the stop at 87.5, measure again and log it as reworked."},
		{"under-bent at the end of the leaf", sheet(1), nil, reading(1, 1, 8850).with(stop(12950)),
			"Under-bent by 1.5: bend again with the stop at 130.0, as far as the leaf goes; the rest cannot be had on this brake."},
		{"over-bent a little", sheet(1), nil, reading(1, 1, 9250),
			"Over-bent by 2.5: the leaf cannot open it. " +
				"Open it by hand, a little at a time along the whole bend, measure again and log it as reworked."},
		{"over-bent too far", sheet(1), nil, reading(1, 1, 9400),
			"Over-bent by 4.0: do not open more than 3 by hand, it kinks or cracks beside the bend. Scrap the piece, or ask the owner."},
		{"scrapped", sheet(1), nil, reading(1, 1, 7000).with(scrapped), "Piece 1 is scrapped: set it aside and mark it."},
		{"sheet a little off", sheet(1), nil, reading(1, 1, 9000).with(gauge(1440)),
			"Check the sizes: the sheet measures 1.44, the plan is for 1.50. In tolerance: go on."},
		{"wrong sheet", sheet(1), nil, reading(1, 1, 9000).with(gauge(1210)),
			"Stop: the sheet measures 1.21, the plan is for 1.50. Get the right sheet or ask the owner."},
		{"right sheet", sheet(1), nil, reading(1, 1, 9000).with(gauge(1520)), "In tolerance: go on."},
	})
}

// A stop is proposed for the pieces that still wait, where it is another than the
// last; see meanOf.
func TestAdviceOnTheStop(t *testing.T) {
	flagged := func(r *Reading) { r.Flags = []string{FlagSetbackOpened} }
	whole := firstPiece()
	three := []Reading{reading(1, 1, 8960), reading(1, 2, 4500), reading(1, 3, 9000), reading(2, 1, 8950)}
	checkAdvice(t, []adviceCase{
		{"out of tolerance moves the stop for the next piece", sheet(2), nil, reading(1, 1, 8850),
			"Under-bent by 1.5: bend again with the stop at 93.5, measure again and log it as reworked. " +
				"Next piece: set the stop at 93.5 (from 1 of this job)."},
		{"over-bent lowers the stop for the next piece", onOpening(sheet(2), 0), nil, reading(1, 1, 9150),
			"Over-bent by 1.5: the leaf cannot open it. " +
				"Open it by hand, a little at a time along the whole bend, measure again and log it as reworked. " +
				"Next piece: set the stop at 89.5 (from 1 of this job)."},
		{"a stop that is near enough stays", sheet(4), three, reading(3, 1, 8940), "In tolerance: go on."},
		{"a good reading moves it too", sheet(4), three[:3], reading(2, 1, 8930), "In tolerance: go on. Next piece: set the stop at 92.8 (from 2 of this job)."},
		{"three readings close to target do not", sheet(4), append(slices.Clone(whole), reading(2, 1, 9020)), reading(3, 1, 8960),
			"In tolerance: go on."},
		{"no piece left to move the stop for", sheet(3), three, reading(3, 1, 8940), "In tolerance: go on."},
		{"each reading counts with its own stop", sheet(4),
			[]Reading{reading(1, 1, 8900), reading(1, 2, 4500), reading(1, 3, 9000), reading(2, 1, 9000).with(stop(9300))},
			reading(3, 1, 9000).with(stop(9300)), "In tolerance: go on."},
		{"a far-off reading teaches nothing", sheet(2), nil, reading(1, 1, 8100).with(confirmed),
			"Under-bent by 9.0: bend again with the stop at 101.0, measure again and log it as reworked."},
		{"a flagged reading teaches nothing", sheet(2), nil, reading(1, 1, 8850).with(flagged),
			"Under-bent by 1.5: bend again with the stop at 93.5, measure again and log it as reworked."},
		{"rework teaches nothing but the as-bent reading before it does", sheet(2),
			[]Reading{reading(1, 1, 8850)}, reading(1, 1, 8890).with(reworked).with(stop(9350)),
			"Under-bent by 1.1: bend again with the stop at 94.6, measure again and log it as reworked. " +
				"Next piece: set the stop at 93.5 (from 1 of this job)."},
	})
}
