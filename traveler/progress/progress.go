// Package progress says what a logged reading means and what is to be done next.
//
// It holds the rules of the log and nothing else: no clock, no disk, no
// network. Angles are kept as whole hundredths of a degree and lengths as whole
// micrometres; the JSON form speaks degrees and millimetres. An error is the
// measured bend minus the target bend, so that + is over-bent.
//
// The log is a notebook of facts. Readings are only ever added, whatever the
// standing of their traveler; what was out of turn is flagged. A reading that
// another one corrects counts no more; everything here works on the readings
// that are left (see Counted).
package progress

import (
	"slices"

	"brakeside/traveler"
	"brakeside/traveler/standing"
)

// Job is one traveler with everything that happened to it and everything logged
// against it so far.
type Job struct {
	Traveler *traveler.Traveler
	Readings []Reading // in the server's order
	standing.Standing

	sum *tally // of Readings, as Add keeps it; nil when they must be counted
}

// Spot is one bend of one piece.
type Spot = standing.Spot

// Add puts a judged reading behind the others and keeps what they add up to, so
// that the next need not be judged by counting all of them anew. Readings put
// there without it are.
func (j *Job) Add(r Reading) {
	moves := len(j.Readings) == cap(j.Readings) // what points to the old list would keep it in memory
	known := !moves && r.Corrects == "" && !r.Withdrawn() && j.counted()
	j.Readings = append(j.Readings, r)
	if !known {
		t := tallyOf(*j)
		j.sum = &t
		return
	}
	j.sum.of++
	j.sum.add(&j.Readings[len(j.Readings)-1])
}

// counted reports whether the sum is that of all readings.
func (j Job) counted() bool { return j.sum != nil && j.sum.of == len(j.Readings) }

// pieces is the number of pieces the owner wants made. A scrapped piece is one
// of them: a replacement is made only once it is asked for.
func (j Job) pieces() int {
	if j.Quantity > 0 {
		return j.Quantity
	}
	return j.Traveler.Quantity
}

// everPieces is the number of pieces that were ever to be made: a piece that was
// bent before the quantity was lowered is a real one.
func (j Job) everPieces() int { return max(j.Most, j.pieces()) }

// Counted gives the readings that stand, in their order: those that no later
// reading corrects, without those that only take one back.
func Counted(job Job) []Reading {
	counted := make([]Reading, 0, len(job.Readings))
	for _, r := range counting(job.Readings) {
		counted = append(counted, *r)
	}
	return counted
}

// counting is Counted without copying.
func counting(readings []Reading) []*Reading {
	var corrected map[string]bool
	for i := range readings {
		if id := readings[i].Corrects; id != "" {
			if corrected == nil {
				corrected = make(map[string]bool)
			}
			corrected[id] = true
		}
	}
	stand := make([]*Reading, 0, len(readings)+1)
	for i := range readings {
		if r := &readings[i]; !corrected[r.ID] && !r.Withdrawn() {
			stand = append(stand, r)
		}
	}
	return stand
}

// Sample lists the pieces of a job that are measured, lowest first: see
// standing.Sample. Scrapped pieces and those left out are lost.
func Sample(job Job) []int { return tallyOf(job).sample(job) }

// Scrapped lists the pieces that were scrapped, lowest first.
func Scrapped(job Job) []int {
	var pieces []int
	for piece := range tallyOf(job).scrapped {
		pieces = append(pieces, piece)
	}
	slices.Sort(pieces)
	return pieces
}

// Order lists every bend of every piece to be made in the order of the run, also
// of pieces that need not be measured or are lost: the order of a grid on paper.
func Order(job Job) []Spot {
	run := standing.Run{ByPiece: job.Traveler.Run == traveler.ByPiece, Steps: stepNumbers(job.Traveler)}
	for piece := 1; piece <= job.pieces(); piece++ {
		run.Pieces = append(run.Pieces, piece)
	}
	return slices.Collect(run.Order())
}

func stepNumbers(t *traveler.Traveler) []int {
	numbers := make([]int, len(t.Steps))
	for i := range t.Steps {
		numbers[i] = t.Steps[i].Number
	}
	return numbers
}

// FirstPieceAccepted reports whether every bend of the first piece is in and
// within tolerance. Each place along the bend is judged by its latest reading;
// a reading after rework replaces all that were taken before it, for the metal
// has been moved since. The first piece is the lowest that is neither scrapped
// nor left out.
func FirstPieceAccepted(job Job) bool { return tallyOf(job).firstPieceAccepted(job) }

// StepOf finds a step of a traveler by its number.
func StepOf(t *traveler.Traveler, number int) (traveler.Step, bool) {
	if step := stepOf(t, number); step != nil {
		return *step, true
	}
	return traveler.Step{}, false
}

// stepOf is StepOf without copying; nil when there is none.
func stepOf(t *traveler.Traveler, number int) *traveler.Step {
	if at := placeOf(t, number); at >= 0 {
		return &t.Steps[at]
	}
	return nil
}

// placeOf is where a step stands in the list of steps; -1 when there is none.
func placeOf(t *traveler.Traveler, number int) int {
	for i := range t.Steps {
		if t.Steps[i].Number == number {
			return i
		}
	}
	return -1
}
