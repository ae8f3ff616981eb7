package progress

import (
	"maps"
	"slices"

	"brakeside/calc/unit"
	"brakeside/traveler"
	"brakeside/traveler/standing"
)

// tally is what the counted readings of a job add up to.
type tally struct {
	of         int // readings, with those that do not count
	sheet      *traveler.Traveler
	readings   []*Reading
	made       map[Spot]made
	latest     Spot // one more that is made, and how; the zero spot is none
	latestMade made
	scrapped   map[int]bool // pieces
	lessons    []lesson     // by the place of the step in the traveler
	pieces     []int        // the sample, where it is asked for more than once; nil when it must be worked out
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

// lesson is what the readings of a step that teach add up to.
type lesson struct {
	n      int
	sprung unit.CentiDeg // back from the stop, summed up
	last   *Reading
}

func tallyOf(job Job) tally { return tallyWithout(job, "") }

// tallyWithout is the tally of a job as if the reading with that id did not
// count. It must not be added to: it may be the job's own.
func tallyWithout(job Job, id string) tally {
	if id == "" && job.counted() {
		return *job.sum
	}
	counted := counting(job.Readings)
	t := tally{of: len(job.Readings), sheet: job.Traveler, readings: counted[:0], made: make(map[Spot]made, len(counted)+1),
		scrapped: make(map[int]bool), lessons: make([]lesson, len(job.Traveler.Steps))}
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
	t.learn(r, step)
}

func (t *tally) learn(r *Reading, step *traveler.Step) {
	if r.Teaches() {
		l := &t.lessons[placeOf(t.sheet, r.Step)]
		*l = lesson{l.n + 1, l.sprung + stopUsed(&t.sheet.Brake, step, r) - r.Bend(), r}
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
		t.lessons = slices.Clone(t.lessons)
		t.learn(r, step)
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
