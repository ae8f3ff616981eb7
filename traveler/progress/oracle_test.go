package progress

import (
	"fmt"
	"math/rand"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"brakeside/calc/unit"
	"brakeside/traveler"
)

// plainNext is the slow way: write down every bend in the order of the run,
// strike out what needs no bending, take the first that is left.
func plainNext(job Job) (Spot, bool) {
	dead := plainScrapped(job)
	var pieces []int
	for piece := 1; piece <= job.pieces(); piece++ {
		if !slices.Contains(dead, piece) && !slices.Contains(job.Skipped, piece) {
			pieces = append(pieces, piece)
		}
	}
	pieces = plainSample(pieces, job.Every)
	for _, spot := range plainOrder(job, pieces) {
		if !plainDone(job, spot, pieces[0]) {
			return spot, true
		}
	}
	return Spot{}, false
}

// plainDone: a bend is done once it is measured; one of the first piece only once
// the last word at every place along it is good, or the run is released.
func plainDone(job Job, spot Spot, first int) bool {
	last := map[string]bool{}
	for _, r := range plainCounted(job) {
		if r.Piece != spot.Piece || r.Step != spot.Step {
			continue
		}
		if r.State == StateReworked {
			last = map[string]bool{}
		}
		off := r.Bend() - job.Traveler.Steps[spot.Step-1].Target
		last[r.Place] = off <= 100 && off >= -100
	}
	for _, good := range last {
		if !good && spot.Piece == first && !job.Override {
			return false
		}
	}
	return len(last) > 0
}

// plainSample picks the first good piece, the last one, and for each multiple of
// every the good piece that is nearest from there on.
func plainSample(good []int, every int) []int {
	if every < 2 || len(good) == 0 {
		return good
	}
	picked := []int{good[0], good[len(good)-1]}
	for turn := every; turn <= good[len(good)-1]; turn += every {
		at := slices.IndexFunc(good, func(piece int) bool { return piece >= turn })
		picked = append(picked, good[at])
	}
	slices.Sort(picked)
	return slices.Compact(picked)
}

func plainOrder(job Job, pieces []int) []Spot {
	var order []Spot
	if len(pieces) == 0 {
		return nil
	}
	if job.Traveler.Run == traveler.ByPiece {
		for _, piece := range pieces {
			for _, step := range job.Traveler.Steps {
				order = append(order, bendAt(piece, step.Number))
			}
		}
		return order
	}
	for _, step := range job.Traveler.Steps {
		order = append(order, bendAt(pieces[0], step.Number))
	}
	for _, step := range job.Traveler.Steps {
		for _, piece := range pieces[1:] {
			order = append(order, bendAt(piece, step.Number))
		}
	}
	return order
}

func plainCounted(job Job) []Reading {
	var counted []Reading
	for _, r := range job.Readings {
		if !slices.ContainsFunc(job.Readings, func(c Reading) bool { return c.Corrects == r.ID }) && !slices.Contains(r.Flags, FlagWithdrawn) {
			counted = append(counted, r)
		}
	}
	return counted
}

func plainScrapped(job Job) []int {
	var dead []int
	for piece := 1; piece <= job.pieces(); piece++ {
		if slices.ContainsFunc(plainCounted(job), func(r Reading) bool { return r.Piece == piece && r.State == StateScrapped }) {
			dead = append(dead, piece)
		}
	}
	return dead
}

// randomJob logs readings anyhow: out of order, twice, reworked, scrapped and
// corrected.
func randomJob(random *rand.Rand) Job {
	job := logged(sheet(1 + random.Intn(7)))
	job.Every, job.Override = random.Intn(4), random.Intn(3) == 0
	if random.Intn(3) == 0 {
		job.Skipped = []int{1 + random.Intn(2)}
	}
	if random.Intn(2) == 0 {
		job.Traveler.Run = traveler.ByPiece
	}
	for i := range random.Intn(20) {
		step := 1 + random.Intn(3)
		r := reading(1+random.Intn(job.pieces()), step, job.Traveler.Steps[step-1].Target+unit.CentiDeg(random.Intn(260)-130))
		r.Place = []string{"", "", PlaceLeft, PlaceRight}[random.Intn(4)]
		r.ID = fmt.Sprintf("r%d", i)
		r.State = []string{StateAsBent, StateAsBent, StateAsBent, StateReworked, StateScrapped}[random.Intn(5)]
		if i > 0 && random.Intn(4) == 0 {
			r.Corrects = job.Readings[random.Intn(i)].ID
			if random.Intn(2) == 0 {
				r.Flags = []string{FlagWithdrawn}
			}
		}
		job.Readings = append(job.Readings, r)
	}
	return job
}

func TestNextAgreesWithThePlainWay(t *testing.T) {
	random := rand.New(rand.NewSource(1))
	finished := 0
	for range 5000 {
		job := randomJob(random)
		got, more := Next(job)
		want, wantMore := plainNext(job)
		if got != want || more != wantMore {
			t.Fatalf("Next(%s, %d pieces, %+v) = %v, %t, want %v, %t", job.Traveler.Run, job.pieces(), job.Readings, got, more, want, wantMore)
		}
		if got, want := Counted(job), plainCounted(job); len(got) != len(want) {
			t.Fatalf("Counted(%+v) = %+v, want %+v", job.Readings, got, want)
		}
		if got, want := Scrapped(job), plainScrapped(job); !slices.Equal(got, want) {
			t.Fatalf("Scrapped(%+v) = %v, want %v", job.Readings, got, want)
		}
		if !more {
			finished++
		}
	}
	if finished == 0 || finished == 5000 {
		t.Errorf("%d of 5000 jobs were finished: the cases do not vary", finished)
	}
}

// metal is an invented sheet that springs back more than the plan expects, more
// so the second time it is bent, and a brake that scatters a little.
type metal struct {
	random *rand.Rand
	back   unit.CentiDeg
}

func (m metal) bend(stop unit.CentiDeg) unit.CentiDeg {
	return stop - m.back + unit.CentiDeg(m.random.Intn(41)-20)
}

// A person who does nothing but what the log says ends with every bend in
// tolerance, having reworked only bends of the first piece, whether or not he
// says where he stopped: the advice must lead there, on both kinds of scale.
func TestFollowingTheAdvice(t *testing.T) {
	for _, c := range []struct {
		name  string
		sheet *traveler.Traveler
		says  bool // where the leaf was stopped
	}{{"bend scale", sheet(6), true}, {"bend scale, not saying the stop", sheet(6), false}, {"opening scale", onOpening(sheet(6), 0), true},
		{"opening scale, not saying the stop", onOpening(sheet(6), 0), false}, {"opening scale with a zero", onOpening(sheet(6), -150), true}} {
		t.Run(c.name, func(t *testing.T) {
			p := person{job: logged(c.sheet), metal: metal{rand.New(rand.NewSource(2)), 350}, says: c.says}
			for due := NextDue(p.job); due != nil && len(p.job.Readings) < 100; due = NextDue(p.job) {
				p.make(t, *due)
			}
			reworked := 0
			for _, r := range p.job.Readings {
				if r.State == StateReworked {
					reworked++
				}
				if r.Piece > 1 && !within(r.Error, 100) {
					t.Errorf("piece %d, step %d is off by %d, want the advice of the first piece to prevent it", r.Piece, r.Step, r.Error)
				}
			}
			if reworked != 3 || len(p.job.Readings) != 21 {
				t.Errorf("%d readings with %d reworked, want 18 as bent and the 3 of the first piece reworked", len(p.job.Readings), reworked)
			}
		})
	}
}

// person bends and logs what is due, with the stop that is told.
type person struct {
	job   Job
	metal metal
	says  bool
}

func (p *person) make(t *testing.T, due Due) {
	t.Helper()
	r := reading(due.Piece, due.Step, p.metal.bend(StopBend(p.job.Traveler.Brake, due.Stop)))
	r.ID = fmt.Sprintf("r%d", len(p.job.Readings))
	if due.Do != DoBend {
		r.State = StateReworked
	}
	if p.says {
		r.Stop = &due.Stop
	}
	v, err := Judge(p.job, r)
	if err != nil || len(v.Reading.Flags) > 0 {
		t.Fatalf("Judge(%+v) = %v, %v, want it in turn", r, v.Reading.Flags, err)
	}
	p.job.Add(v.Reading)
}

// A job to which readings were added one after the other is judged as one whose
// readings are counted anew.
func TestAddedReadingsAreJudgedAsCountedOnes(t *testing.T) {
	taken := 0
	rapid.Check(t, func(r *rapid.T) {
		added := logged(sheet(4))
		added.Override, added.Every = rapid.Bool().Draw(r, "override"), rapid.IntRange(0, 2).Draw(r, "every")
		added.Traveler.Run = rapid.SampledFrom([]string{traveler.ByPiece, traveler.ByStep}).Draw(r, "run")
		for i := range rapid.IntRange(10, 40).Draw(r, "readings") {
			one := Reading{ID: fmt.Sprint(i), Piece: rapid.IntRange(1, 4).Draw(r, "piece"), Step: rapid.IntRange(1, 3).Draw(r, "step"),
				Measured: unit.CentiDeg(rapid.IntRange(8700, 9300).Draw(r, "measured")), GivenAs: GivenBend,
				Confirmed: rapid.Bool().Draw(r, "confirmed"), Received: "2026-05-04T12:00:00Z",
				State: rapid.SampledFrom([]string{StateAsBent, StateAsBent, StateAsBent, StateReworked, StateScrapped}).Draw(r, "state")}
			if len(added.Readings) > 0 && rapid.IntRange(0, 3).Draw(r, "corrects") == 0 {
				old := added.Readings[rapid.IntRange(0, len(added.Readings)-1).Draw(r, "which")]
				one.Corrects = old.ID
				if rapid.Bool().Draw(r, "withdrawn") {
					one.Piece, one.Step, one.Measured, one.Flags = old.Piece, old.Step, old.Measured, []string{FlagWithdrawn}
				}
			}
			plain := added
			plain.sum = nil
			want, wantErr := Judge(plain, one)
			for range 2 { // judging changes nothing
				if got, err := Judge(added, one); fmt.Sprint(err) != fmt.Sprint(wantErr) || !reflect.DeepEqual(got, want) {
					r.Fatalf("Judge(%+v) = %+v, %v, want %+v, %v", one, got, err, want, wantErr)
				}
			}
			if wantErr != nil {
				continue
			}
			taken++
			added.Add(want.Reading)
			if !added.counted() {
				r.Fatalf("what they add up to was lost with %+v", one)
			}
		}
	})
	if taken < 200 {
		t.Errorf("%d readings were taken: the property was hardly tried", taken)
	}
}

func ExampleJudge() {
	job := logged(sheet(2)) // step 1 bends 90, the stop stands at 92
	v, _ := Judge(job, Reading{ID: "a1", Piece: 1, Step: 1, Measured: 9150, GivenAs: GivenOpening, State: StateAsBent})
	fmt.Println(v.Error.Text(1), v.InTolerance, v.Next.Spot, v.Next.Words)
	fmt.Println(strings.ReplaceAll(v.Advice, ". ", ".\n"))
	// Output:
	// -1.5 false {1 1} Bend again at 93.5, then measure.
	// Under-bent by 1.5: bend again with the stop at 93.5, measure again and log it as reworked.
	// Next piece: set the stop at 93.5 (from 1 of this job).
}
