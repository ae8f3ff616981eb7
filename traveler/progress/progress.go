// Package progress says what a logged reading means and which bend comes next.
//
// It holds the rules of the log and nothing else: no clock, no disk, no
// network. Angles are kept as whole hundredths of a degree and lengths as whole
// micrometres; the JSON form speaks degrees and millimetres. An error is the
// measured bend minus the target bend, so that + is over-bent.
//
// Readings are only ever added. A reading that another one corrects counts no
// more; everything here works on the readings that are left (see Counted).
package progress

import "brakeside/traveler"

// Job is one traveler with everything logged against it so far.
type Job struct {
	Traveler *traveler.Traveler
	Readings []Reading // in the server's order
	Quantity int       // pieces to make now; 0 means as on the traveler
	Override bool      // the owner has let the run go on without an accepted first piece
}

// Spot is one bend of one piece.
type Spot struct {
	Piece int `json:"piece"`
	Step  int `json:"step"`
}

// pieces is the number of pieces the owner wants made. A scrapped piece is one
// of them: a replacement is made only once the owner raises the quantity.
func (j Job) pieces() int {
	if j.Quantity > 0 {
		return j.Quantity
	}
	return j.Traveler.Quantity
}

// Counted gives the readings that no later reading corrects, in their order.
func Counted(job Job) []Reading {
	corrected := make(map[string]bool)
	for _, r := range job.Readings {
		if r.Corrects != "" {
			corrected[r.Corrects] = true
		}
	}
	counted := make([]Reading, 0, len(job.Readings))
	for _, r := range job.Readings {
		if !corrected[r.ID] {
			counted = append(counted, r)
		}
	}
	return counted
}

// tally is what the counted readings of a job add up to.
type tally struct {
	readings []Reading
	done     map[Spot]bool // bent, as bent or after rework
	scrapped map[int]bool  // pieces
}

func tallyOf(job Job) tally {
	t := tally{readings: Counted(job), done: make(map[Spot]bool), scrapped: make(map[int]bool)}
	for _, r := range t.readings {
		if r.State == StateScrapped {
			t.scrapped[r.Piece] = true
			continue
		}
		t.done[Spot{r.Piece, r.Step}] = true
	}
	return t
}

// firstPiece is the lowest piece that is not scrapped: when piece 1 is lost,
// the next one is the one to approve. It is past the quantity when all are
// scrapped.
func (t tally) firstPiece() int {
	piece := 1
	for t.scrapped[piece] {
		piece++
	}
	return piece
}

// Scrapped lists the pieces that were scrapped, lowest first.
func Scrapped(job Job) []int {
	t := tallyOf(job)
	var pieces []int
	for piece := 1; len(pieces) < len(t.scrapped); piece++ {
		if t.scrapped[piece] {
			pieces = append(pieces, piece)
		}
	}
	return pieces
}

// Next gives the first bend that is still to be made, in the order of the run,
// and false when all are in.
//
// By piece, each piece is finished before the next one is begun. By step, the
// first piece is made whole so that it can be approved; then step 1 is made on
// all other pieces, then step 2, and so on. Scrapped pieces are passed over.
// Bends logged out of order are not asked for again.
func Next(job Job) (Spot, bool) {
	return tallyOf(job).next(job)
}

// NextBend is Next for a JSON field: nil when all bends are in.
func NextBend(job Job) *Spot {
	if spot, more := Next(job); more {
		return &spot
	}
	return nil
}

func (t tally) next(job Job) (Spot, bool) {
	if job.Traveler.Run == traveler.ByPiece {
		return t.nextByPiece(job, 1, job.pieces())
	}
	first := t.firstPiece()
	if spot, more := t.nextByPiece(job, first, min(first, job.pieces())); more {
		return spot, true
	}
	return t.nextByStep(job, first+1)
}

// nextByPiece looks for the first open bend, piece after piece, from one piece
// to another, both included.
func (t tally) nextByPiece(job Job, from, to int) (Spot, bool) {
	for piece := from; piece <= to; piece++ {
		for _, step := range job.Traveler.Steps {
			if spot := (Spot{piece, step.Number}); t.open(spot) {
				return spot, true
			}
		}
	}
	return Spot{}, false
}

// nextByStep looks for the first open bend, step after step, on all pieces
// from one on.
func (t tally) nextByStep(job Job, from int) (Spot, bool) {
	for _, step := range job.Traveler.Steps {
		for piece := from; piece <= job.pieces(); piece++ {
			if spot := (Spot{piece, step.Number}); t.open(spot) {
				return spot, true
			}
		}
	}
	return Spot{}, false
}

func (t tally) open(spot Spot) bool { return !t.done[spot] && !t.scrapped[spot.Piece] }

// FirstPieceAccepted reports whether every bend of the first piece is in and
// within tolerance. Each place along the bend is judged by its latest reading;
// a reading after rework replaces all that were taken before it, for the metal
// has been moved since.
func FirstPieceAccepted(job Job) bool {
	t := tallyOf(job)
	piece := t.firstPiece()
	for _, step := range job.Traveler.Steps {
		if !t.accepted(piece, step) {
			return false
		}
	}
	return piece <= job.pieces()
}

func (t tally) accepted(piece int, step traveler.Step) bool {
	latest := make(map[string]bool)
	for _, r := range t.readings {
		if r.Piece != piece || r.Step != step.Number || r.State == StateScrapped {
			continue
		}
		if r.State == StateReworked {
			clear(latest)
		}
		latest[r.Place] = within(r.Bend()-step.Target, step.Tolerance)
	}
	for _, good := range latest {
		if !good {
			return false
		}
	}
	return len(latest) > 0
}

// StepOf finds a step of a traveler by its number.
func StepOf(t *traveler.Traveler, number int) (traveler.Step, bool) {
	for _, step := range t.Steps {
		if step.Number == number {
			return step, true
		}
	}
	return traveler.Step{}, false
}
