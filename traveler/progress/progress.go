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

import (
	"maps"

	"brakeside/traveler"
)

// Job is one traveler with everything logged against it so far.
type Job struct {
	Traveler *traveler.Traveler
	Readings []Reading // in the server's order
	Quantity int       // pieces to make now; 0 means as on the traveler
	Override bool      // the owner has let the run go on without an accepted first piece
	Every    int       // the first, every so-manieth and the last piece are measured; 0 or 1 means every piece

	sum *tally // of Readings, as Add keeps it; nil when they must be counted
}

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

// Counted gives the readings that stand, in their order: those that no later
// reading corrects, without those that only take one back.
func Counted(job Job) []Reading {
	counted := make([]Reading, 0, len(job.Readings))
	for _, r := range standing(job.Readings) {
		counted = append(counted, *r)
	}
	return counted
}

// standing is Counted without copying.
func standing(readings []Reading) []*Reading {
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

// tally is what the counted readings of a job add up to.
type tally struct {
	of       int // readings, with those that do not count
	readings []*Reading
	done     map[Spot]bool // bent, as bent or after rework
	latest   Spot          // one more that is; the zero spot is none
	scrapped map[int]bool  // pieces
}

func tallyOf(job Job) tally { return tallyWithout(job, "") }

// tallyWithout is the tally of a job as if the reading with that id did not
// count. It must not be added to: it may be the job's own.
func tallyWithout(job Job, id string) tally {
	if id == "" && job.counted() {
		return *job.sum
	}
	counted := standing(job.Readings)
	t := tally{of: len(job.Readings), readings: counted[:0], done: make(map[Spot]bool, len(counted)+1), scrapped: make(map[int]bool)}
	for _, r := range counted {
		if id == "" || r.ID != id {
			t.add(r)
		}
	}
	return t
}

// add counts one more reading.
func (t *tally) add(r *Reading) {
	t.readings = append(t.readings, r)
	if r.State == StateScrapped {
		t.scrapped[r.Piece] = true
		return
	}
	t.done[Spot{r.Piece, r.Step}] = true
}

// with is the tally with one more reading; the tally itself stays as it is.
func (t tally) with(r *Reading) tally {
	if r.Withdrawn() {
		return t
	}
	t.readings = append(t.readings[:len(t.readings):len(t.readings)], r)
	if r.State == StateScrapped {
		t.scrapped = maps.Clone(t.scrapped)
		t.scrapped[r.Piece] = true
		return t
	}
	t.latest = Spot{r.Piece, r.Step}
	return t
}

// in reports whether a bend is bent, as bent or after rework.
func (t tally) in(spot Spot) bool { return t.done[spot] || spot == t.latest }

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

// SamplePieces lists the pieces that are measured, lowest first: the first one,
// every so-manieth and the last one, of all that are not scrapped. A scrapped
// piece whose turn it was leaves it to the next one. An every of 0 or 1 means
// every piece.
func SamplePieces(quantity, every int, scrapped map[int]bool) []int {
	every = max(every, 1)
	sample := make([]int, 0, max(quantity, 0)/every+2)
	last, due := 0, 0 // the last of the good pieces so far, and from where on the next is measured
	for piece := 1; piece <= quantity; piece++ {
		if scrapped[piece] {
			continue
		}
		if piece >= due {
			sample, due = append(sample, piece), (piece/every+1)*every
		}
		last = piece
	}
	if last > 0 && sample[len(sample)-1] != last {
		sample = append(sample, last)
	}
	return sample
}

// Sample lists the pieces of a job that are measured, lowest first.
func Sample(job Job) []int { return tallyOf(job).sample(job) }

func (t tally) sample(job Job) []int { return SamplePieces(job.pieces(), job.Every, t.scrapped) }

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

// Next gives the first bend that is still to be logged, in the order of the
// run, and false when all are in.
//
// By piece, each piece is finished before the next one is begun. By step, the
// first piece is made whole so that it can be approved; then step 1 is made on
// all other pieces, then step 2, and so on. Scrapped pieces are passed over,
// and so are those that are bent but not measured (see SamplePieces). Bends
// logged out of order are not asked for again.
func Next(job Job) (Spot, bool) {
	return tallyOf(job).next(job)
}

// NextBend is Next for a JSON field: nil when all bends are in.
func NextBend(job Job) *Spot { return tallyOf(job).nextBend(job) }

func (t tally) nextBend(job Job) *Spot {
	if spot, more := t.next(job); more {
		return &spot
	}
	return nil
}

func (t tally) next(job Job) (Spot, bool) {
	sample := t.sample(job)
	if job.Traveler.Run == traveler.ByPiece {
		return t.nextByPiece(job, sample)
	}
	first := min(1, len(sample))
	if spot, more := t.nextByPiece(job, sample[:first]); more {
		return spot, true
	}
	return t.nextByStep(job, sample[first:])
}

// nextByPiece looks for the first open bend, piece after piece.
func (t tally) nextByPiece(job Job, pieces []int) (Spot, bool) {
	for _, piece := range pieces {
		for i := range job.Traveler.Steps {
			if spot := (Spot{piece, job.Traveler.Steps[i].Number}); !t.in(spot) {
				return spot, true
			}
		}
	}
	return Spot{}, false
}

// nextByStep looks for the first open bend, step after step.
func (t tally) nextByStep(job Job, pieces []int) (Spot, bool) {
	for i := range job.Traveler.Steps {
		for _, piece := range pieces {
			if spot := (Spot{piece, job.Traveler.Steps[i].Number}); !t.in(spot) {
				return spot, true
			}
		}
	}
	return Spot{}, false
}

// FirstPieceAccepted reports whether every bend of the first piece is in and
// within tolerance. Each place along the bend is judged by its latest reading;
// a reading after rework replaces all that were taken before it, for the metal
// has been moved since.
func FirstPieceAccepted(job Job) bool { return tallyOf(job).firstPieceAccepted(job) }

func (t tally) firstPieceAccepted(job Job) bool {
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
