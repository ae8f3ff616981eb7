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
	"maps"
	"slices"

	"brakeside/calc/learn"
	"brakeside/calc/unit"
	"brakeside/traveler"
	"brakeside/traveler/standing"
)

// Job is one traveler with everything that happened to it and everything logged
// against it so far.
type Job struct {
	Traveler *traveler.Traveler
	Readings []Reading // in the server's order
	Stops    Stops     // where to stop the leaf; nil: as printed
	standing.Standing

	sum *tally // of Readings, as Add keeps it; nil when they must be counted
}

// Stops tells where to stop the leaf, from what is known of the metal.
type Stops interface {
	// Stop gives the bend angle to stop the leaf at for a step of a further piece,
	// once these readings of the job are in, which are those that count in their
	// order; and in words where it comes from. It is false where nothing is known
	// beside what is printed.
	Stop(step *traveler.Step, counted []*Reading) (stop unit.Deg, why string, known bool)
	// Carried is what a phone needs to move these stops itself with further
	// readings; nil when none would move them.
	Carried(counted []*Reading) *learn.Carried
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
		t.stops = nil // each job has its own
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

// FirstPieceAccepted reports whether every bend of the first piece is in and
// within tolerance. Each place along the bend is judged by its latest reading;
// a reading after rework replaces all that were taken before it, for the metal
// has been moved since. The first piece is the lowest that is neither scrapped
// nor left out.
func FirstPieceAccepted(job Job) bool { return tallyOf(job).firstPieceAccepted(job) }

// tally is what the counted readings of a job add up to.
type tally struct {
	of         int // readings, with those that do not count
	sheet      *traveler.Traveler
	readings   []*Reading
	made       map[Spot]made
	latest     Spot // one more that is made, and how; the zero spot is none
	latestMade made
	scrapped   map[int]bool // pieces
	taught     []*Reading   // the last one of each step that teaches, by the place of the step in the traveler
	stops      Stops
	pieces     []int // the sample, where it is asked for more than once; nil when it must be worked out
}

// made is how a bend came out: for each place along it the latest reading. The
// zero made is that of a bend that is not in.
type made [4]outcome

type outcome int8

const (
	good outcome = iota + 1
	bad
)

// placeAt gives each place along a bend its own outcome.
var placeAt = map[string]int{"": 0, PlaceLeft: 1, PlaceMiddle: 2, PlaceRight: 3}

// and is how a bend came out with one more reading: rework moves the metal, so
// that what was measured before says nothing any more.
func (m made) and(r *Reading, step *traveler.Step) made {
	if r.State == StateReworked {
		m = made{}
	}
	came := bad
	if within(r.Bend()-step.Target, step.Tolerance) {
		came = good
	}
	m[placeAt[r.Place]] = came
	return m
}

// accepted reports whether a bend is in and in tolerance wherever it was
// measured.
func (m made) accepted() bool { return m != made{} && !slices.Contains(m[:], bad) }

func tallyOf(job Job) tally { return tallyWithout(job, "") }

// tallyWithout is the tally of a job as if the reading with that id did not
// count. It must not be added to: it may be the job's own.
func tallyWithout(job Job, id string) tally {
	if id == "" && job.counted() {
		t := *job.sum
		t.stops = job.Stops
		return t
	}
	counted := counting(job.Readings)
	t := tally{of: len(job.Readings), sheet: job.Traveler, readings: counted[:0], made: make(map[Spot]made, len(counted)+1),
		scrapped: make(map[int]bool), taught: make([]*Reading, len(job.Traveler.Steps)), stops: job.Stops}
	for _, r := range counted {
		if id == "" || r.ID != id {
			t.add(r)
		}
	}
	return t
}

// add counts one more reading. One of a step that the traveler does not have,
// which none that was judged is, counts for nothing.
func (t *tally) add(r *Reading) {
	t.readings = append(t.readings, r)
	step := stepOf(t.sheet, r.Step)
	if step == nil {
		return
	}
	if r.State == StateScrapped {
		t.scrapped[r.Piece] = true
		return
	}
	spot := Spot{Piece: r.Piece, Step: r.Step}
	t.made[spot] = t.made[spot].and(r, step)
	if r.Teaches() {
		t.taught[placeOf(t.sheet, r.Step)] = r
	}
}

// with is the tally with one more reading; the tally itself stays as it is.
func (t tally) with(r *Reading) tally {
	if r.Withdrawn() {
		return t
	}
	t.readings = append(t.readings[:len(t.readings):len(t.readings)], r)
	if r.State == StateScrapped {
		t.scrapped, t.pieces = maps.Clone(t.scrapped), nil
		t.scrapped[r.Piece] = true
		return t
	}
	step := stepOf(t.sheet, r.Step)
	t.latest = Spot{Piece: r.Piece, Step: r.Step}
	t.latestMade = t.made[t.latest].and(r, step)
	if r.Teaches() {
		t.taught = slices.Clone(t.taught)
		t.taught[placeOf(t.sheet, r.Step)] = r
	}
	return t
}

// at gives how a bend came out.
func (t tally) at(spot Spot) made {
	if spot == t.latest {
		return t.latestMade
	}
	return t.made[spot]
}

// in reports whether a bend is bent, as bent or after rework.
func (t tally) in(spot Spot) bool { return t.at(spot) != made{} }

// lost reports whether a piece is not made, or no more.
func (t tally) lost(job Job, piece int) bool { return t.scrapped[piece] || job.LeftOut(piece) }

// firstPiece is the lowest piece that is not lost: when piece 1 is, the next one
// is the one to approve. It is past the quantity when all are lost.
func (t tally) firstPiece(job Job) int {
	piece := 1
	for t.lost(job, piece) {
		piece++
	}
	return piece
}

func (t tally) sample(job Job) []int {
	if t.pieces != nil {
		return t.pieces
	}
	if len(t.scrapped) == 0 && len(job.Skipped) == 0 {
		return standing.Sample(job.pieces(), job.Every, func(int) bool { return false })
	}
	return standing.Sample(job.pieces(), job.Every, func(piece int) bool { return t.lost(job, piece) })
}

func (t tally) firstPieceAccepted(job Job) bool {
	piece := t.firstPiece(job)
	for i := range job.Traveler.Steps {
		if !t.at(Spot{Piece: piece, Step: job.Traveler.Steps[i].Number}).accepted() {
			return false
		}
	}
	return piece <= job.pieces()
}

// gated reports whether a piece must wait for the first one to be accepted.
func (t tally) gated(job Job, piece int) bool {
	return !job.Override && piece > t.firstPiece(job) && !t.firstPieceAccepted(job)
}

// next finds the first bend that is still to be made.
func (t tally) next(job Job) (Spot, bool) {
	run := standing.Run{ByPiece: job.Traveler.Run == traveler.ByPiece, Steps: stepNumbers(job.Traveler), Pieces: t.sample(job)}
	first := t.firstPiece(job)
	return run.First(func(spot Spot) bool {
		if spot.Piece == first && !job.Override {
			return !t.at(spot).accepted()
		}
		return !t.in(spot)
	})
}
