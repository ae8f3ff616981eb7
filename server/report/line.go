package report

import (
	"brakeside/calc/unit"
	"brakeside/traveler"
	"brakeside/traveler/progress"
	"fmt"
)

// line is one inspected bend. What was corrected or taken back is not in it.
type line struct {
	piece, step                     int
	bend                            string
	nominal, tolerance, measured, o string
	place, when, by, result         string
	off                             unit.CentiDeg // measured less nominal
	made, good, teaches             bool          // as made, before rework; in tolerance; in the mean
}

// noted reports whether there is more to say of a bend than its angle.
func (l line) noted() bool { return l.result != "in tolerance" }

func within(x progress.Reading, step traveler.Step) bool {
	return max(x.Error, -x.Error) <= step.Tolerance
}

// result says how the bend came out. A bend that was put right is said to be.
func result(x progress.Reading, step traveler.Step) string {
	in := "in tolerance"
	if !within(x, step) {
		in = "out of tolerance"
	}
	switch x.State {
	case progress.StateScrapped:
		return "scrapped"
	case progress.StateReworked:
		return in + ", reworked"
	}
	return in
}

// share counts the bends in tolerance as the review does: as made, before rework,
// those that are flagged too.
func share(lines []line) string {
	good, n := 0, 0
	for _, l := range lines {
		if l.made {
			n++
		}
		if l.made && l.good {
			good++
		}
	}
	return fmt.Sprintf("%d of %d", good, n)
}
