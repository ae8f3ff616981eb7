package progress

import (
	"fmt"

	"brakeside/calc/unit"
	"brakeside/traveler"
)

// sheet is a made-up rail bracket: step 1 bends 90, step 2 bends 45, step 3
// bends 90, all within 1 degree, with 2 degrees of springback in the stops.
func sheet(quantity int) *traveler.Traveler {
	step := func(number int, target unit.CentiDeg) traveler.Step {
		return traveler.Step{Number: number, Target: target, Tolerance: 100, Stop: target + 200, StopBend: target + 200}
	}
	return &traveler.Traveler{
		Quantity: quantity, Run: traveler.ByStep,
		Part:  traveler.Part{Thickness: 1500},
		Brake: traveler.Brake{Reads: GivenBend, MaxAngle: 13000},
		Steps: []traveler.Step{step(1, 9000), step(2, 4500), step(3, 9000)},
	}
}

// onOpening turns a sheet into one for a brake whose scale shows the opening
// and starts at the given zero.
func onOpening(t *traveler.Traveler, zero unit.CentiDeg) *traveler.Traveler {
	t.Brake.Reads, t.Brake.Zero = GivenOpening, zero
	for i := range t.Steps {
		t.Steps[i].Stop = StopOnScale(t.Brake, t.Steps[i].StopBend)
	}
	return t
}

// reading is one as-bent reading of a bend angle.
func reading(piece, step int, measured unit.CentiDeg) Reading {
	return Reading{
		ID: fmt.Sprintf("r-%d-%d-%d", piece, step, measured), Piece: piece, Step: step,
		Measured: measured, GivenAs: GivenBend, State: StateAsBent,
	}
}

func (r Reading) with(change func(*Reading)) Reading {
	change(&r)
	return r
}

func confirmed(r *Reading) { r.Confirmed = true }
func reworked(r *Reading)  { r.State = StateReworked }
func scrapped(r *Reading)  { r.State, r.Note = StateScrapped, "torn" }

func correcting(id string) func(*Reading) {
	return func(r *Reading) { r.ID, r.Corrects = r.ID+"-again", id }
}

func at(place string) func(*Reading) {
	return func(r *Reading) { r.ID, r.Place = r.ID+place, place }
}

func stop(v unit.CentiDeg) func(*Reading) { return func(r *Reading) { r.Stop = &v } }

// logged is a job with readings that were judged: their errors are set.
func logged(t *traveler.Traveler, readings ...Reading) Job {
	job := Job{Traveler: t, Stops: meanOf{t}}
	for i, r := range readings {
		step, _ := StepOf(t, r.Step)
		r.Error, r.Seq = r.Bend()-step.Target, int64(i+1)
		job.Readings = append(job.Readings, r)
	}
	return job
}

// firstPiece is piece 1 of sheet, all bends on target.
func firstPiece() []Reading {
	return []Reading{reading(1, 1, 9000), reading(1, 2, 4500), reading(1, 3, 9000)}
}

// bendAt names a bend of a piece.
func bendAt(piece, step int) Spot { return Spot{Piece: piece, Step: step} }
