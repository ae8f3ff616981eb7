package progress

import (
	"slices"
	"testing"

	"brakeside/traveler"
)

func TestNext(t *testing.T) {
	whole := firstPiece()
	all := slices.Concat(whole, []Reading{reading(2, 1, 9000), reading(3, 1, 9000),
		reading(2, 2, 4500), reading(3, 2, 4500), reading(2, 3, 9000), reading(3, 3, 9000)})
	cases := []struct {
		name     string
		run      string
		quantity int
		readings []Reading
		want     Spot
		wantMore bool
	}{
		{"nothing logged", traveler.ByStep, 0, nil, bendAt(1, 1), true},
		{"the first piece goes on whole", traveler.ByStep, 0, whole[:1], bendAt(1, 2), true},
		{"then step 1 on the second piece", traveler.ByStep, 0, whole, bendAt(2, 1), true},
		{"then step 1 on the third piece", traveler.ByStep, 0, all[:4], bendAt(3, 1), true},
		{"then step 2 on the second piece", traveler.ByStep, 0, all[:5], bendAt(2, 2), true},
		{"then step 3", traveler.ByStep, 0, all[:7], bendAt(2, 3), true},
		{"all in", traveler.ByStep, 0, all, Spot{}, false},
		{"by piece goes on with step 2 of the second piece", traveler.ByPiece, 0, all[:4], bendAt(2, 2), true},
		{"by piece, all in", traveler.ByPiece, 0, all, Spot{}, false},
		{"out of order is not asked again", traveler.ByStep, 0, []Reading{reading(1, 2, 4500)}, bendAt(1, 1), true},
		{"out of order is passed over", traveler.ByStep, 0, []Reading{reading(1, 2, 4500), reading(1, 1, 9000)}, bendAt(1, 3), true},
		{"out of tolerance on the first piece is reworked first", traveler.ByStep, 0, []Reading{reading(1, 1, 8899)}, bendAt(1, 1), true},
		{"at the tolerance it is in", traveler.ByStep, 0, []Reading{reading(1, 1, 8900)}, bendAt(1, 2), true},
		{"out of tolerance on a further piece is passed over", traveler.ByStep, 0, append(slices.Clone(whole), reading(2, 1, 8700)), bendAt(3, 1), true},
		{"only after rework is done too", traveler.ByStep, 0, []Reading{reading(1, 1, 9000).with(reworked)}, bendAt(1, 2), true},
		{"a correction stands for what it corrects", traveler.ByStep, 0,
			[]Reading{reading(1, 1, 9000), reading(1, 1, 9010).with(correcting("r-1-1-9000"))}, bendAt(1, 2), true},
		{"a correction to another step frees the first", traveler.ByStep, 0,
			[]Reading{reading(1, 1, 4500), reading(1, 2, 4500).with(correcting("r-1-1-4500"))}, bendAt(1, 1), true},
		{"a scrapped first piece passes to the next", traveler.ByStep, 0,
			[]Reading{reading(1, 1, 9000), reading(1, 2, 4500).with(scrapped)}, bendAt(2, 1), true},
		{"the new first piece is made whole", traveler.ByStep, 0,
			[]Reading{reading(1, 1, 9000).with(scrapped), reading(2, 1, 9000)}, bendAt(2, 2), true},
		{"a scrapped piece in the run is skipped", traveler.ByStep, 0,
			append(slices.Clone(whole), reading(2, 1, 9000).with(scrapped)), bendAt(3, 1), true},
		{"by piece skips a scrapped piece", traveler.ByPiece, 0,
			append(slices.Clone(whole), reading(2, 1, 9000).with(scrapped)), bendAt(3, 1), true},
		{"no replacement is made unasked", traveler.ByPiece, 2,
			append(slices.Clone(whole), reading(2, 1, 9000).with(scrapped)), Spot{}, false},
		{"the owner raised the quantity", traveler.ByStep, 4, all, bendAt(4, 1), true},
		{"the owner lowered the quantity", traveler.ByStep, 1, whole, Spot{}, false},
		{"all pieces scrapped", traveler.ByStep, 1, []Reading{reading(1, 1, 9000).with(scrapped)}, Spot{}, false},
		{"a corrected scrapping brings the piece back", traveler.ByStep, 0,
			[]Reading{reading(1, 1, 9000).with(scrapped), reading(1, 1, 9000).with(correcting("r-1-1-9000"))}, bendAt(1, 2), true},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			job := logged(sheet(3), c.readings...)
			job.Traveler.Run, job.Quantity = c.run, c.quantity
			got, more := Next(job)
			if got != c.want || more != c.wantMore {
				t.Errorf("Next(%d readings) = %v, %t, want %v, %t", len(c.readings), got, more, c.want, c.wantMore)
			}
			if due := NextDue(job); (due != nil) != c.wantMore || (due != nil && due.Spot != c.want) {
				t.Errorf("NextDue(%d readings) = %v, want %v, %t", len(c.readings), due, c.want, c.wantMore)
			}
		})
	}
}

// A run logged in the order that Next asks for ends after every bend of every
// piece, each asked for once, in both orders.
func TestNextVisitsEveryBendOnce(t *testing.T) {
	for _, run := range []string{traveler.ByStep, traveler.ByPiece} {
		job := logged(sheet(5))
		job.Traveler.Run = run
		seen := make(map[Spot]bool)
		for spot, more := Next(job); more; spot, more = Next(job) {
			if seen[spot] {
				t.Fatalf("Next by %s asks for %v twice", run, spot)
			}
			seen[spot] = true
			step, _ := StepOf(job.Traveler, spot.Step)
			job.Readings = append(job.Readings, reading(spot.Piece, spot.Step, step.Target))
		}
		if len(seen) != 15 {
			t.Errorf("Next by %s asks for %d bends, want 15", run, len(seen))
		}
	}
}

func TestFirstPieceAccepted(t *testing.T) {
	cases := []struct {
		name     string
		readings []Reading
		want     bool
	}{
		{"nothing logged", nil, false},
		{"one bend missing", firstPiece()[:2], false},
		{"all good", firstPiece(), true},
		{"at the tolerance", []Reading{reading(1, 1, 9100), reading(1, 2, 4400), reading(1, 3, 9000)}, true},
		{"past the tolerance", []Reading{reading(1, 1, 9101), reading(1, 2, 4500), reading(1, 3, 9000)}, false},
		{"bad, then good after rework", append(firstPiece()[1:], reading(1, 1, 8800), reading(1, 1, 9000).with(reworked)), true},
		{"good, then spoilt by rework", append(firstPiece(), reading(1, 1, 8800).with(reworked)), false},
		{"bad, then a good second reading", append(firstPiece()[1:], reading(1, 1, 8800), reading(1, 1, 9000)), true},
		{"bad at one end only",
			append(firstPiece()[1:], reading(1, 1, 8800).with(at(PlaceLeft)), reading(1, 1, 9000).with(at(PlaceRight))), false},
		{"rework settles both ends", append(firstPiece()[1:], reading(1, 1, 8800).with(at(PlaceLeft)), reading(1, 1, 9000).with(reworked)), true},
		{"a bad reading corrected", append(firstPiece()[1:], reading(1, 1, 8800), reading(1, 1, 9000).with(correcting("r-1-1-8800"))), true},
		{"the first piece scrapped, the second good", append(firstPiece()[:1],
			reading(1, 2, 6000).with(scrapped), reading(2, 1, 9000), reading(2, 2, 4500), reading(2, 3, 9000)), true},
		{"the good first piece scrapped afterwards", append(firstPiece(), reading(1, 3, 9500).with(scrapped)), false},
		{"every piece scrapped", []Reading{reading(1, 1, 9000).with(scrapped), reading(2, 1, 9000).with(scrapped)}, false},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			if got := FirstPieceAccepted(logged(sheet(2), c.readings...)); got != c.want {
				t.Errorf("FirstPieceAccepted(%d readings) = %t, want %t", len(c.readings), got, c.want)
			}
		})
	}
}

func TestCounted(t *testing.T) {
	a := reading(1, 1, 8000)
	b := reading(1, 1, 8900).with(correcting(a.ID))
	c := reading(1, 1, 9000).with(correcting(b.ID))
	job := logged(sheet(1), a, reading(1, 2, 4500), b, c)
	var got []string
	for _, r := range Counted(job) {
		got = append(got, r.ID)
	}
	if want := []string{"r-1-2-4500", c.ID}; !slices.Equal(got, want) {
		t.Errorf("Counted(a corrected by b corrected by c) = %v, want %v", got, want)
	}
}

func TestScrapped(t *testing.T) {
	job := logged(sheet(9), reading(7, 1, 0).with(scrapped), reading(2, 3, 0).with(scrapped), reading(7, 2, 0).with(scrapped))
	if got := Scrapped(job); !slices.Equal(got, []int{2, 7}) {
		t.Errorf("Scrapped(7, 2, 7) = %v, want [2 7]", got)
	}
	if got := Scrapped(logged(sheet(1))); len(got) != 0 {
		t.Errorf("Scrapped(nothing) = %v, want none", got)
	}
}
