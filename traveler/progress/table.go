package progress

import (
	"strings"

	"brakeside/calc/learn"
	"brakeside/calc/unit"
	"brakeside/traveler"
	"brakeside/traveler/standing"
)

// Table is what a phone needs to judge readings without the service: the figures
// of the rules, the angles of the steps, and what the readings so far add up to.
// Angles are whole hundredths of a degree, as bend angles, lengths micrometres.
type Table struct {
	Rules        Figures        `json:"rules"`
	Pieces       int            `json:"pieces"`
	EverPieces   int            `json:"ever"`
	Every        int            `json:"every"`
	ByPiece      bool           `json:"by_piece"`
	Released     bool           `json:"released"`
	ReleaseAsked bool           `json:"release_asked"`
	LeftOut      []int          `json:"left_out"`
	Scrapped     []int          `json:"scrapped"`
	Halt         *standing.Halt `json:"halt"`
	Opening      bool           `json:"opening"` // the brake's scale shows openings
	Zero         unit.CentiDeg  `json:"zero"`
	MaxAngle     unit.CentiDeg  `json:"max_angle"`
	Thickness    unit.Micron    `json:"thickness"`
	Steps        []StepTable    `json:"steps"`
	Off          []OffTable     `json:"off"`
	Learned      *learn.Carried `json:"learned"` // what moves the stops with further readings; nil: nothing does
}

// Figures are the figures behind the rules.
type Figures struct {
	Least         unit.CentiDeg `json:"least"` // what an angle may read
	Most          unit.CentiDeg `json:"most"`
	FarOff        unit.CentiDeg `json:"far_off"`
	OpenByHand    unit.CentiDeg `json:"open_by_hand"`
	WorthMoving   unit.CentiDeg `json:"worth_moving"`
	SheetDoubtful unit.Micron   `json:"sheet_doubtful"`
	SheetWrong    unit.Micron   `json:"sheet_wrong"`
}

// StepTable is one step. Made has a letter for each piece from the first on: g for
// a bend that is in and in tolerance, b for one that is in and not, and a dot; the
// dots at the end are left out.
type StepTable struct {
	Number    int           `json:"step"`
	Target    unit.CentiDeg `json:"target"`
	Tolerance unit.CentiDeg `json:"tolerance"`
	Printed   unit.CentiDeg `json:"printed"` // stop
	Told      unit.CentiDeg `json:"told"`    // stop, for a bend that is not in
	Why       string        `json:"why"`     // and where it comes from
	Known     bool          `json:"known"`   // the log knows where to stop
	Used      unit.CentiDeg `json:"used"`    // the stop of the last reading that taught, else the printed one
	Made      string        `json:"made"`
}

// OffTable is one bend that is in and out of tolerance: how it came out at each
// place (not said, left, middle, right: 0 not measured, 1 in tolerance, 2 out of
// it), and the last reading that was out.
type OffTable struct {
	Spot
	Places [4]int8       `json:"places"`
	Error  unit.CentiDeg `json:"error"`
	Used   unit.CentiDeg `json:"used"` // stop
}

// TableOf works a job out into a table.
func TableOf(job Job) Table {
	t := tallyOf(job)
	s := job.Standing
	table := Table{
		Rules:  Figures{anyAngle.least, anyAngle.most, FarOff, openByHand, worthMoving, sheetDoubtful, sheetWrong},
		Pieces: job.pieces(), EverPieces: job.everPieces(), Every: s.Every, ByPiece: job.Traveler.Run == traveler.ByPiece,
		Released: s.Override, ReleaseAsked: s.ReleaseAsked,
		LeftOut: append([]int{}, s.Skipped...), Scrapped: append([]int{}, Scrapped(job)...), Halt: s.Halt(),
		Opening: job.Traveler.Brake.Reads == GivenOpening, Zero: job.Traveler.Brake.Zero, MaxAngle: job.Traveler.Brake.MaxAngle,
		Thickness: job.Traveler.Part.Thickness, Off: []OffTable{},
	}
	if t.stops != nil {
		table.Learned = t.stops.Carried(t.readings)
	}
	for i := range job.Traveler.Steps {
		step := &job.Traveler.Steps[i]
		table.Steps = append(table.Steps, t.stepTable(job, step))
		table.Off = append(table.Off, t.offTables(job, step)...)
	}
	return table
}

func (t tally) stepTable(job Job, step *traveler.Step) StepTable {
	told := t.told(step)
	return StepTable{
		Number: step.Number, Target: step.Target, Tolerance: step.Tolerance, Printed: step.StopBend,
		Told: told.stop, Why: told.why, Known: told.known, Used: told.used, Made: t.letters(job, step.Number),
	}
}

func (t tally) letters(job Job, step int) string {
	letters := make([]byte, job.everPieces())
	for i := range letters {
		m := t.at(Spot{Piece: i + 1, Step: step})
		switch {
		case m == (made{}):
			letters[i] = '.'
		case m.accepted():
			letters[i] = 'g'
		default:
			letters[i] = 'b'
		}
	}
	return strings.TrimRight(string(letters), ".")
}

func (t tally) offTables(job Job, step *traveler.Step) (rows []OffTable) {
	for piece := 1; piece <= job.everPieces(); piece++ {
		spot := Spot{Piece: piece, Step: step.Number}
		m := t.at(spot)
		if m == (made{}) || m.accepted() {
			continue
		}
		row, last := OffTable{Spot: spot}, t.lastOff(spot, step)
		for place, came := range m {
			row.Places[place] = int8(came)
		}
		row.Error, row.Used = last.Error, stopUsed(&job.Traveler.Brake, step, last)
		rows = append(rows, row)
	}
	return rows
}
