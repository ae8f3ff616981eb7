package progress

import (
	"slices"
	"strings"
	"testing"

	"brakeside/calc/unit"
	"brakeside/traveler"
	"brakeside/traveler/standing"
)

// What is due is arithmetic on the last reading: the stop it was bent at less its
// error, as far as the leaf goes.
func TestDue(t *testing.T) {
	whole := firstPiece()
	released := func(j *Job) { j.Override = true }
	spot := bendAt
	cases := []struct {
		name   string
		sheet  *traveler.Traveler
		change func(*Job)
		before []Reading
		want   Due
	}{
		{"the first bend", sheet(2), nil, nil, Due{spot(1, 1), DoBend, 9200, "as printed", "Bend with the stop at 92.0, then measure."}},
		{"under-bent", sheet(2), nil, []Reading{reading(1, 1, 8890)}, Due{spot(1, 1), DoBendAgain, 9310, "under-bent by 1.1", "Bend again at 93.1, then measure."}},
		{"under-bent on an opening scale", onOpening(sheet(2), 100), nil, []Reading{reading(1, 1, 8890)}, Due{spot(1, 1), DoBendAgain, 8790, "under-bent by 1.1", "Bend again at 87.9, then measure."}},
		{"under-bent, the run released", sheet(2), released, []Reading{reading(1, 1, 8890)}, Due{spot(1, 2), DoBend, 4700, "as printed", "Bend with the stop at 47.0, then measure."}},
		{"under-bent again after rework", sheet(2), nil, []Reading{reading(1, 1, 8800), reading(1, 1, 8890).with(reworked).with(stop(9400))}, Due{spot(1, 1), DoBendAgain, 9510, "under-bent by 1.1", "Bend again at 95.1, then measure."}},
		{"at one end only", sheet(2), nil, []Reading{reading(1, 1, 8880).with(at(PlaceLeft)), reading(1, 1, 9000).with(at(PlaceRight))}, Due{spot(1, 1), DoBendAgain, 9320, "under-bent by 1.2", "Bend again at 93.2, then measure."}},
		{"the leaf goes just so far", sheet(2), nil, []Reading{reading(1, 1, 8850).with(stop(12950))}, Due{spot(1, 1), DoBendAgain, 13000, "under-bent by 1.5", "Bend again at 130.0, then measure."}},
		{"the leaf goes no further", sheet(2), nil, []Reading{reading(1, 1, 8850).with(stop(13000))}, Due{spot(1, 1), DoDecide, 13000, "under-bent by 1.5", "Scrap piece 1, or ask for the release of the run."}},
		{"over-bent, to be opened", sheet(2), nil, []Reading{reading(1, 1, 9300)}, Due{spot(1, 1), DoOpen, 9200, "over-bent by 3.0", "Open it by hand, a little at a time along the whole bend, then measure."}},
		{"over-bent too far to be opened", sheet(2), nil, []Reading{reading(1, 1, 9301)}, Due{spot(1, 1), DoDecide, 9200, "over-bent by 3.0", "Scrap piece 1, or ask for the release of the run."}},
		{"one advised stop", sheet(2), nil, []Reading{reading(1, 1, 8890), reading(1, 1, 9000).with(reworked), whole[1], whole[2]}, Due{spot(2, 1), DoBend, 9310, "from 1 of this job", "Bend with the stop at 93.1, then measure."}},
		{"a piece left out", sheet(3), func(j *Job) { j.Skipped = []int{2} }, whole, Due{spot(3, 1), DoBend, 9200, "as printed", "Bend with the stop at 92.0, then measure."}},
		{"the first piece left out", sheet(3), func(j *Job) { j.Skipped = []int{1} }, nil, Due{spot(2, 1), DoBend, 9200, "as printed", "Bend with the stop at 92.0, then measure."}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			job := logged(c.sheet, c.before...)
			if c.change != nil {
				c.change(&job)
			}
			if got := NextDue(job); got == nil || *got != c.want || DueAt(job, got.Spot) != c.want {
				t.Errorf("NextDue =\n%+v, want\n%+v", got, c.want)
			}
		})
	}
}

// The rework of a further piece is told and is not next; that of the first piece
// is both.
func TestAgain(t *testing.T) {
	v, err := Judge(logged(sheet(3), firstPiece()...), reading(2, 1, 8890))
	if err != nil || v.Again == nil || v.Again.Words != "Bend again at 93.1, then measure." || v.Next.Spot != bendAt(3, 1) {
		t.Errorf("Judge(further piece, under) = again %+v, next %+v, %v", v.Again, v.Next, err)
	}
	v, err = Judge(logged(sheet(3)), reading(1, 1, 8890))
	if err != nil || v.Again == nil || *v.Again != *v.Next {
		t.Errorf("Judge(first piece, under) = again %+v, next %+v, %v", v.Again, v.Next, err)
	}
	if v, err = Judge(logged(sheet(3), firstPiece()...), reading(2, 1, 9400)); err != nil || v.Again.Words != "Scrap piece 2, or ask the owner." {
		t.Errorf("Judge(further piece, far over) = again %+v, %v", v.Again, err)
	}
	for _, r := range []Reading{reading(1, 1, 9100), reading(1, 1, 7000).with(scrapped)} {
		if v, err = Judge(logged(sheet(3)), r); err != nil || v.Again != nil {
			t.Errorf("Judge(%+v) = again %+v, %v, want none", r, v.Again, err)
		}
	}
}

// The advice is what was told and keeps: who obeys it without a word is not taken
// to have used the printed stop.
func TestAdviceIsNotUnlearned(t *testing.T) {
	job := logged(sheet(9))
	job.Override = true
	log := func(piece int, measured unit.CentiDeg, more ...func(*Reading)) {
		r := reading(piece, 1, measured)
		for _, change := range more {
			change(&r)
		}
		v, err := Judge(job, r)
		if err != nil {
			t.Fatal(err)
		}
		job.Add(v.Reading)
	}
	log(1, 8840) // at the printed 92.0: 3.6 back
	told := func() unit.CentiDeg { return DueAt(job, bendAt(9, 1)).Stop }
	if told() != 9360 {
		t.Fatalf("told %d after 88.4 at 92.0, want 93.6", told())
	}
	for piece := 2; piece < 7; piece++ {
		log(piece, 9000)
		if last := job.Readings[piece-1]; last.StopBend != 9360 || last.Stop != nil || told() != 9360 {
			t.Fatalf("90.0 without a stop counts as bent at %d and tells %d, want 93.6 for both", last.StopBend, told())
		}
	}
	log(7, 8840, stop(9200)) // who does not obey says so
	if got := StopUsed(job.Traveler, job.Readings[6]); got != 9200 {
		t.Errorf("a reading with its stop counts as bent at %d, want 92.0", got)
	}
}

// A correction without a stop was bent where the reading was that it corrects,
// whatever is told since.
func TestStopOfACorrection(t *testing.T) {
	job := logged(sheet(9))
	job.Override = true
	for _, r := range []Reading{reading(1, 1, 8840), reading(2, 1, 8840), reading(3, 1, 8840), reading(1, 1, 8850).with(correcting("r-1-1-8840"))} {
		v, err := Judge(job, r)
		if err != nil {
			t.Fatal(err)
		}
		job.Add(v.Reading)
	}
	if got := job.Readings[3].StopBend; got != 9200 {
		t.Errorf("the correction counts as bent at %d, want the printed 92.0 of the first piece", got)
	}
	if job.Readings[2].StopBend <= 9360 {
		t.Errorf("the third counts as bent at %d, want what was told then", job.Readings[2].StopBend)
	}
}

func TestFlags(t *testing.T) {
	whole, bad := firstPiece(), []Reading{reading(1, 1, 8700), reading(1, 2, 4500), reading(1, 3, 9000)}
	again := func(r Reading) Reading { return r.with(func(r *Reading) { r.ID += "-2" }) }
	flagged := func(r Reading, flags ...string) Reading { return r.with(func(r *Reading) { r.Flags = flags }) }
	cases := []struct {
		name     string
		standing standing.Standing
		before   []Reading
		r        Reading
		want     string
	}{
		{"in turn", standing.Standing{}, whole, reading(2, 1, 9000), ""},
		{"what was ticked comes first", standing.Standing{Closed: true}, nil, flagged(reading(1, 1, 9000), FlagBarLifted), "bar-lifted sheet-closed"},
		{"what the service flags is not taken over", standing.Standing{}, nil, flagged(reading(1, 1, 9000), FlagTwice), ""},
		{"first piece empty", standing.Standing{}, nil, reading(2, 1, 9000), FlagBeforeFirstPiece},
		{"first piece not whole", standing.Standing{}, whole[:2], reading(2, 1, 9000), FlagBeforeFirstPiece},
		{"first piece out of tolerance", standing.Standing{}, bad, reading(2, 1, 9000), FlagBeforeFirstPiece},
		{"first piece reworked well", standing.Standing{}, append(slices.Clone(bad), reading(1, 1, 9000).with(reworked)), reading(2, 1, 9000), ""},
		{"released", standing.Standing{Override: true}, bad, reading(2, 1, 9000), ""},
		{"rework of the first piece", standing.Standing{}, bad, reading(1, 1, 9000).with(reworked), ""},
		{"the first piece scrapped: the second is now the first", standing.Standing{}, []Reading{reading(1, 1, 9000).with(scrapped)}, reading(2, 1, 9000), ""},
		{"the first piece scrapped: the third waits for the second", standing.Standing{}, []Reading{reading(1, 1, 9000).with(scrapped)}, reading(3, 1, 9000), FlagBeforeFirstPiece},
		{"the first piece left out", standing.Standing{Skipped: []int{1}}, nil, reading(2, 1, 9000), ""},
		{"out of order", standing.Standing{}, nil, reading(1, 3, 9000), FlagOutOfOrder},
		{"the next step while rework is due", standing.Standing{}, bad[:1], reading(1, 2, 4500), FlagOutOfOrder},
		{"scrapped out of order", standing.Standing{}, nil, reading(1, 3, 9000).with(scrapped), ""},
		{"on a scrapped piece", standing.Standing{}, append(slices.Clone(whole), reading(2, 1, 9000).with(scrapped)), reading(2, 2, 4500), FlagOutOfOrder},
		{"on a piece left out", standing.Standing{Skipped: []int{2}}, whole, reading(2, 1, 9000), FlagOutOfOrder},
		{"past a quantity that was lowered", standing.Standing{Quantity: 2, Most: 3}, whole, reading(3, 1, 9000), FlagOutOfOrder},
		{"twice", standing.Standing{}, whole[:1], again(reading(1, 1, 9000)), FlagTwice},
		{"twice at the same place", standing.Standing{}, []Reading{reading(1, 1, 9000).with(at(PlaceLeft))}, reading(1, 1, 9040).with(at(PlaceLeft)), FlagTwice},
		{"at another place", standing.Standing{}, []Reading{reading(1, 1, 9000).with(at(PlaceLeft))}, reading(1, 1, 9040).with(at(PlaceRight)), ""},
		{"after rework", standing.Standing{}, whole[:1], reading(1, 1, 9040).with(reworked), ""},
		{"a correction", standing.Standing{}, whole[:1], reading(1, 1, 8990).with(correcting("r-1-1-9000")), ""},
		{"a correction of the second of two", standing.Standing{}, []Reading{whole[0], flagged(reading(1, 1, 9010), FlagTwice)}, reading(1, 1, 9020).with(correcting("r-1-1-9010")), FlagTwice},
		{"a correction of the first of two", standing.Standing{}, []Reading{whole[0], flagged(reading(1, 1, 9010), FlagTwice)}, reading(1, 1, 9020).with(correcting("r-1-1-9000")), ""},
		{"a correction of a bend before the first piece", standing.Standing{}, append([]Reading{flagged(reading(2, 1, 9050), FlagBeforeFirstPiece)}, whole...),
			reading(2, 1, 9000).with(correcting("r-2-1-9050")), FlagBeforeFirstPiece},
		{"a correction that moves a bend to another piece", standing.Standing{}, whole[:1], reading(2, 1, 9000).with(correcting("r-1-1-9000")), FlagBeforeFirstPiece},
		{"a correction to the next step", standing.Standing{}, []Reading{reading(1, 1, 4500)}, reading(1, 1, 9000).with(correcting("r-1-1-4500")), ""},
		{"replaced", standing.Standing{SupersededBy: "b"}, nil, reading(1, 1, 9000), FlagSheetReplaced},
		{"replaced, to be finished", standing.Standing{SupersededBy: "b", FinishAllowed: true}, nil, reading(1, 1, 9000), ""},
		{"void", standing.Standing{Voided: true}, nil, reading(1, 1, 9000), FlagSheetClosed},
		{"held", standing.Standing{Hold: standing.Hold{Why: "x"}}, nil, reading(1, 1, 9000), FlagRunHeld},
		{"a newer revision", standing.Standing{NewRevision: "D"}, nil, reading(1, 1, 9000), ""},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			job := logged(sheet(3), c.before...)
			job.Standing = c.standing
			v, err := Judge(job, c.r)
			if got := strings.Join(v.Reading.Flags, " "); err != nil || got != c.want {
				t.Errorf("Judge = flags %q, %v, want %q", got, err, c.want)
			}
		})
	}
}

// What a flagged reading teaches is decided flag by flag.
func TestFlagsThatTeach(t *testing.T) {
	for flag, want := range map[string]bool{
		FlagBeforeFirstPiece: true, FlagSheetReplaced: true, FlagSheetClosed: true, FlagOutOfOrder: true,
		FlagRunHeld: false, FlagTwice: false, FlagBarLifted: false, FlagSetbackOpened: false, FlagCornerTorn: false, FlagWithdrawn: false,
	} {
		r := reading(1, 1, 9000)
		r.Flags = []string{FlagOutOfOrder, flag}
		if r.Teaches() != want || (len(r.Against()) == 0) != want {
			t.Errorf("a reading with %s teaches: %t, want %t", flag, r.Teaches(), want)
		}
	}
	r := reading(1, 1, 9000).with(reworked)
	if r.Teaches() {
		t.Error("rework teaches")
	}
}

// Two people correct the same reading: both are kept, and the later word stands.
func TestCorrectedTwice(t *testing.T) {
	first := reading(1, 1, 9000)
	job := logged(sheet(2), first, reading(1, 1, 9010).with(correcting(first.ID)))
	v, err := Judge(job, reading(1, 1, 9020).with(correcting(first.ID)))
	if err != nil || v.Reading.Corrects != "r-1-1-9010-again" {
		t.Fatalf("Judge = corrects %q, %v, want the newest", v.Reading.Corrects, err)
	}
	job.Add(v.Reading)
	if left := Counted(job); len(left) != 1 || left[0].Measured != 9020 {
		t.Errorf("Counted = %+v, want the later correction alone", left)
	}
	taken := logged(sheet(2), first.with(func(r *Reading) { r.Received = "2026-05-04T09:30:00Z" }))
	taken.Readings = append(taken.Readings, back(taken.Readings[0], "2026-05-04T09:31:00Z"))
	if v, err = Judge(taken, reading(1, 1, 9020).with(correcting(first.ID))); err != nil {
		t.Fatal(err)
	}
	taken.Add(v.Reading)
	if left := Counted(taken); len(left) != 1 || left[0].Measured != 9020 {
		t.Errorf("Counted = %+v, want the correction of what was taken back", left)
	}
}

func TestJobHalt(t *testing.T) {
	cases := []struct {
		name     string
		standing standing.Standing
		before   []Reading
		at       Spot
		cause    string
		way      string
	}{
		{"the first piece", standing.Standing{}, nil, bendAt(1, 3), "", ""},
		{"the second piece, nothing in", standing.Standing{}, nil, bendAt(2, 1), standing.FirstPiece, "Piece 1, step 1: Bend with the stop at 92.0, then measure. Or ask for the release of the run."},
		{"the second piece, rework due", standing.Standing{ReleaseAsked: true}, []Reading{reading(1, 1, 8890)}, bendAt(2, 1), standing.FirstPiece,
			"Piece 1, step 1: Bend again at 93.1, then measure. Or ask for the release of the run. The release was asked for."},
		{"the second piece, accepted", standing.Standing{}, firstPiece(), bendAt(2, 1), "", ""},
		{"the second piece, released", standing.Standing{Override: true}, nil, bendAt(2, 1), "", ""},
		{"a scrapped piece", standing.Standing{}, append(firstPiece(), reading(2, 1, 9000).with(scrapped)), bendAt(2, 2), standing.PieceIsLost, "Make it again"},
		{"a piece left out", standing.Standing{Skipped: []int{2}}, firstPiece(), bendAt(2, 2), standing.PieceIsLost, "Take it up again"},
		{"held", standing.Standing{Hold: standing.Hold{Why: "bar cracked"}}, nil, bendAt(2, 1), standing.IsHeld, "Go on once"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			job := logged(sheet(3), c.before...)
			job.Standing = c.standing
			h := job.Halt(c.at)
			if (h == nil) != (c.cause == "") || h != nil && (h.Cause != c.cause || !strings.HasPrefix(h.Way, c.way)) {
				t.Errorf("Halt(%v) = %+v, want %s with %q", c.at, h, c.cause, c.way)
			}
		})
	}
}

// Another piece is offered for the same step only where it may be made.
func TestFree(t *testing.T) {
	none := func(Spot) bool { return false }
	cases := []struct {
		name     string
		standing standing.Standing
		before   []Reading
		busy     func(Spot) bool
		want     Spot
		wantFree bool
	}{
		{"before the first piece", standing.Standing{}, nil, none, Spot{}, false},
		{"after it", standing.Standing{}, firstPiece(), none, bendAt(2, 1), true},
		{"released", standing.Standing{Override: true}, nil, none, bendAt(2, 1), true},
		{"the second is busy", standing.Standing{Override: true}, nil, func(s Spot) bool { return s == bendAt(2, 1) }, bendAt(3, 1), true},
		{"the second is in", standing.Standing{Override: true}, []Reading{reading(2, 1, 9000)}, none, bendAt(3, 1), true},
		{"the second is left out", standing.Standing{Override: true, Skipped: []int{2}}, nil, none, bendAt(3, 1), true},
		{"held", standing.Standing{Override: true, Hold: standing.Hold{Why: "x"}}, nil, none, Spot{}, false},
		{"all busy", standing.Standing{Override: true}, nil, func(Spot) bool { return true }, Spot{}, false},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			job := logged(sheet(3), c.before...)
			job.Standing = c.standing
			if got, free := Free(job, bendAt(1, 1), c.busy); got != c.want || free != c.wantFree {
				t.Errorf("Free = %v, %t, want %v, %t", got, free, c.want, c.wantFree)
			}
		})
	}
}

// The grid on paper lists every bend of every piece in the order of the run.
func TestOrder(t *testing.T) {
	job := logged(sheet(2), reading(1, 1, 9000).with(scrapped))
	job.Every = 5
	want := []Spot{bendAt(1, 1), bendAt(1, 2), bendAt(1, 3), bendAt(2, 1), bendAt(2, 2), bendAt(2, 3)}
	if got := Order(job); !slices.Equal(got, want) {
		t.Errorf("Order = %v, want %v", got, want)
	}
}
