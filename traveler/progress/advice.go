package progress

import (
	"fmt"
	"strings"

	"brakeside/calc/unit"
	"brakeside/traveler"
)

// The figures behind the advice: common practice, no source.
const (
	sheetDoubtful unit.Micron = 50  // off the nominal thickness: say so
	sheetWrong    unit.Micron = 150 // off the nominal thickness: stop
)

// advise words what to do about r, the last reading of the tally. On the wrong
// sheet, and about a reading that is taken back, there is nothing else to say.
func (t tally) advise(job Job, r Reading) string {
	step := stepOf(job.Traveler, r.Step)
	if r.Withdrawn() {
		return fmt.Sprintf("The %s logged for piece %d, step %d counts no more. Measure the bend and save it anew.",
			r.Measured.Text(1), r.Piece, r.Step)
	}
	if off := sheetOff(job.Traveler.Part, r); off > sheetWrong {
		return fmt.Sprintf("Stop: the sheet measures %s, the plan is for %s. Get the right sheet or ask the owner.",
			r.Thickness.Text(2), job.Traveler.Part.Thickness.Text(2))
	}
	sentences := []string{adviseSheet(job.Traveler.Part, r), adviseBend(&job.Traveler.Brake, step, &r), t.adviseStop(job, step)}
	said := sentences[:0]
	for _, s := range sentences {
		if s != "" {
			said = append(said, s)
		}
	}
	return strings.Join(said, " ")
}

// sheetOff is how far the sheet as measured is from the planned one, 0 when it
// was not measured.
func sheetOff(part traveler.Part, r Reading) unit.Micron {
	if r.Thickness == nil {
		return 0
	}
	return max(*r.Thickness-part.Thickness, part.Thickness-*r.Thickness)
}

func adviseSheet(part traveler.Part, r Reading) string {
	if sheetOff(part, r) <= sheetDoubtful {
		return ""
	}
	return fmt.Sprintf("Check the sizes: the sheet measures %s, the plan is for %s.", r.Thickness.Text(2), part.Thickness.Text(2))
}

func adviseBend(b *traveler.Brake, step *traveler.Step, r *Reading) string {
	switch {
	case r.State == StateScrapped:
		return fmt.Sprintf("Piece %d is scrapped: set it aside and mark it.", r.Piece)
	case within(r.Error, step.Tolerance):
		return "In tolerance: go on."
	case r.Error < 0:
		return adviseUnder(b, step, r)
	case r.Error <= openByHand:
		return fmt.Sprintf("Over-bent by %s: the leaf cannot open it. "+
			"Open it by hand, a little at a time along the whole bend, measure again and log it as reworked.", r.Error.Text(1))
	}
	return fmt.Sprintf("Over-bent by %s: do not open more than %s by hand, it kinks or cracks beside the bend. "+
		"Scrap the piece, or ask the owner.", r.Error.Text(1), openByHand.Text(0))
}

func adviseUnder(b *traveler.Brake, step *traveler.Step, r *Reading) string {
	short, again := (-r.Error).Text(1), stopUsed(b, step, r)-r.Error
	if b.MaxAngle > 0 && again > b.MaxAngle {
		return fmt.Sprintf("Under-bent by %s: bend again with the stop at %s, as far as the leaf goes; the rest cannot be had on this brake.",
			short, StopOnScale(*b, b.MaxAngle).Text(1))
	}
	return fmt.Sprintf("Under-bent by %s: bend again with the stop at %s, measure again and log it as reworked.",
		short, StopOnScale(*b, again).Text(1))
}
