package progress

import (
	"errors"
	"slices"
	"testing"

	"brakeside/calc/fault"
	"brakeside/traveler"
)

// A sampled run ends once the sample is in, in both orders, and who measures
// more than is asked is not questioned.
func TestSampledRun(t *testing.T) {
	for _, run := range []string{traveler.ByStep, traveler.ByPiece} {
		job := logged(sheet(25), firstPiece()...)
		job.Traveler.Run, job.Every = run, 10
		extra := reading(7, 1, 9000)
		if v, err := Judge(job, extra); err != nil || len(v.Reading.Flags) != 0 {
			t.Errorf("Judge(a piece that need not be measured) by %s = %v, %v, want it taken without a flag", run, v.Reading.Flags, err)
		}
		if v, err := Judge(job, reading(20, 3, 9000)); err != nil || !slices.Equal(v.Reading.Flags, []string{FlagOutOfOrder}) {
			t.Errorf("Judge(a sampled piece out of order) by %s = %v, %v, want it flagged", run, v.Reading.Flags, err)
		}
		var pieces []int
		for spot, more := Next(job); more; spot, more = Next(job) {
			pieces = append(pieces, spot.Piece)
			job.Readings = append(job.Readings, reading(spot.Piece, spot.Step, 9000))
		}
		want := []int{10, 20, 25, 10, 20, 25, 10, 20, 25}
		if run == traveler.ByPiece {
			want = []int{10, 10, 10, 20, 20, 20, 25, 25, 25}
		}
		if !slices.Equal(pieces, want) {
			t.Errorf("Next by %s asks for pieces %v, want %v", run, pieces, want)
		}
		if got := Sample(job); !slices.Equal(got, []int{1, 10, 20, 25}) {
			t.Errorf("Sample = %v, want 1, 10, 20, 25", got)
		}
	}
}

// back takes a reading back.
func back(r Reading, received string) Reading {
	r.ID, r.Corrects, r.Flags, r.Received, r.At = r.ID+"-back", r.ID, []string{FlagWithdrawn}, received, ""
	return r
}

func TestWithdraw(t *testing.T) {
	const stored, soon, late = "2026-05-04T09:30:00Z", "2026-05-04T09:40:00Z", "2026-05-04T09:40:01Z"
	// By the phone's clock, which is twelve hours ahead.
	const measured, atOnce, tooLate = "2026-05-04T21:30:00Z", "2026-05-04T21:40:00Z", "2026-05-04T21:40:01Z"
	first := reading(1, 1, 9000).with(func(r *Reading) { r.Received, r.At = stored, measured })
	other := func(change func(*Reading)) Reading { return back(first, soon).with(change) }
	taken := back(first, soon)
	by := func(at string) Reading { return back(first, late).with(func(r *Reading) { r.At = at }) }
	cases := []struct {
		name    string
		earlier []Reading
		reading Reading
		want    fault.Kind // Internal: it is taken
	}{
		{"within ten minutes", nil, back(first, soon), fault.Internal},
		{"a second too late", nil, back(first, late), fault.Conflict},
		{"late for the service, at once for the phone", nil, by(atOnce), fault.Internal},
		{"late for both", nil, by(tooLate), fault.Conflict},
		{"without a time", nil, back(first, ""), fault.Conflict},
		{"of nothing", nil, other(func(r *Reading) { r.Corrects = "" }), fault.Invalid},
		{"of what is not there", nil, other(func(r *Reading) { r.Corrects = "nobody" }), fault.Invalid},
		{"of another piece", nil, other(func(r *Reading) { r.Piece = 2 }), fault.Invalid},
		{"of another step", nil, other(func(r *Reading) { r.Step = 2 }), fault.Invalid},
		{"of another angle", nil, other(func(r *Reading) { r.Measured = 9010 }), fault.Invalid},
		{"in the other convention", nil, other(func(r *Reading) { r.GivenAs, r.Measured = GivenOpening, 9000 }), fault.Internal},
		{"twice", []Reading{taken}, back(first, soon).with(func(r *Reading) { r.ID = "again" }), fault.Conflict},
		{"of a taking back", []Reading{taken}, back(taken, soon), fault.Conflict},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			job := Job{Traveler: sheet(2), Readings: append([]Reading{first}, c.earlier...)}
			v, err := Judge(job, c.reading)
			if c.want != fault.Internal {
				var refusal *fault.Refusal
				if !errors.As(err, &refusal) || refusal.Kind != c.want {
					t.Errorf("Judge(%+v) = %v, want a refusal of kind %d", c.reading, err, c.want)
				}
				return
			}
			if err != nil || v.Next.Spot != (bendAt(1, 1)) || v.Reading.Teaches() {
				t.Errorf("Judge(%+v) = %+v, %v, want the bend to be open again", c.reading, v, err)
			}
		})
	}
}

// After a reading was taken back the bend can be logged anew without a
// question, and neither of the two counts.
func TestWithdrawnCountsNoMore(t *testing.T) {
	first := reading(1, 1, 9300).with(func(r *Reading) { r.Received = "2026-05-04T09:30:00Z" })
	job := Job{Traveler: sheet(2), Readings: []Reading{first, back(first, "2026-05-04T09:31:00Z")}}
	if got := Counted(job); len(got) != 0 {
		t.Errorf("Counted = %+v, want nothing", got)
	}
	job.Stops = meanOf{job.Traveler}
	if due := DueAt(job, bendAt(2, 1)); due.Stop != 9200 {
		t.Errorf("told %d, want nothing learnt from what was taken back", due.Stop)
	}
	again := reading(1, 1, 9000)
	v, err := Judge(job, again)
	if err != nil || v.Next.Spot != (bendAt(1, 2)) {
		t.Errorf("Judge(%+v) = %+v, %v, want it taken and step 2 next", again, v, err)
	}
	scrap := reading(1, 1, 9300).with(scrapped).with(func(r *Reading) { r.ID, r.Received = "s", "2026-05-04T09:30:00Z" })
	job.Readings = []Reading{scrap, back(scrap, "2026-05-04T09:30:10Z")}
	if lost := Scrapped(job); len(lost) != 0 {
		t.Errorf("Scrapped = %v after the scrapping was taken back, want none", lost)
	}
}

// A correction of a correction leaves nothing of the first reading behind, also
// while the new one is judged.
func TestJudgeACorrectionOfACorrection(t *testing.T) {
	a := reading(1, 1, 8000)
	b := reading(1, 1, 8100).with(correcting(a.ID))
	job := Job{Traveler: sheet(2), Readings: []Reading{a, b}}
	if left := tallyWithout(job, b.ID); len(left.readings) != 0 || len(left.made) != 0 {
		t.Errorf("tallyWithout(the correction) = %+v, want nothing: the first reading does not come back", left)
	}
}
