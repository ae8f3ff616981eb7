package phrase

import (
	"fmt"

	"brakeside/calc/unit"
	"brakeside/traveler"
)

// Gauge names what the nose line of a step is measured from, and where the
// blank's drawing has that line if its figure is another.
func Gauge(in unit.System, b traveler.Blank, s traveler.Step) string {
	if s.GaugeFrom == nil {
		return "from " + s.GaugeEdge
	}
	words := "on " + touch(*s.GaugeFrom)
	if s.GaugeFrom.Kind != traveler.PencilledLine {
		words = "from " + touch(*s.GaugeFrom)
	}
	if at, ok := b.NoseAt(s.Number); ok && at.Tenths() != GaugeSize(b, s) {
		words += ", line " + in.Figure(at)
	}
	return words
}

// FromHinge is what the distance of a back stop is measured from.
const FromHinge = "behind the hinge line"

// GaugeSize is the distance at which the nose line of a step is printed to lie from
// what it is measured from. From a sheared edge it is the difference of the running
// figures of edge and line as they are printed, so that whoever adds them up finds
// them right: it is within 0.1 mm of the true one, which the key of the blank says.
func GaugeSize(b traveler.Blank, s traveler.Step) unit.Micron {
	from, to := gaugeEnds(b, s)
	return to.Tenths() - from.Tenths()
}

// GaugeFigure is GaugeSize as it is printed: in inches too it is the difference of the
// running figures beside it.
func GaugeFigure(in unit.System, b traveler.Blank, s traveler.Step) string {
	from, to := gaugeEnds(b, s)
	return in.Apart(to, from)
}

// gaugeEnds are the running figures between which the nose line of a step is measured
// from a sheared edge, the lower one first; from anything else, none and the distance.
func gaugeEnds(b traveler.Blank, s traveler.Step) (from, to unit.Micron) {
	at, straight := b.NoseAt(s.Number)
	if !straight || s.GaugeFrom == nil || s.GaugeFrom.Kind != traveler.ShearedEdge {
		return 0, s.Gauge
	}
	for _, edge := range b.EdgesBeside(s.Number, s.GaugeFrom.Face) {
		if off := max(edge-at, at-edge); max(off-s.Gauge, s.Gauge-off) <= dust {
			return min(edge, at), max(edge, at)
		}
	}
	return 0, s.Gauge
}

// dust is by how much two frozen lengths and their frozen difference may miss each
// other.
const dust unit.Micron = 2

// touch names what a rule is laid on.
func touch(t traveler.Touch) string {
	switch t.Kind {
	case traveler.ShearedEdge:
		return "the sheared edge of " + t.Face
	case traveler.OutsideOfBend:
		return fmt.Sprintf("the outside of the bend of step %d", t.Step)
	}
	return "the pencilled line"
}

// Check is one size to check, in words, and how large it is.
type Check struct {
	Kind  string // of traveler; empty in older ones
	Words string
	Size  unit.Micron
}

// Checks lists the sizes to check after a step.
func Checks(s traveler.Step) []Check {
	if len(s.Checks) == 0 && s.CheckSize != "" {
		return []Check{{"", s.CheckSize, s.Check}}
	}
	var out []Check
	for _, c := range s.Checks {
		out = append(out, Check{c.Kind, checkWords[c.Kind] + c.Face + reaches(c), c.Size})
	}
	return out
}

// reaches tells to where an overall size runs, of which a face may have two.
func reaches(c traveler.Check) string {
	switch {
	case c.Kind != traveler.OverallCheck:
		return ""
	case c.To.Kind == traveler.OutsideOfBend:
		return " to " + c.To.Face
	}
	return ", edge to edge"
}

// checkWords stand in front of the word for the face.
var checkWords = map[string]string{traveler.LegCheck: "SIZE ", traveler.OverallCheck: "OVERALL ", traveler.HemCheck: "WIDTH "}

// FaceName names a face, with its sizes behind the name.
func FaceName(in unit.System, f traveler.Face) string {
	words := f.Name
	for i, size := range f.Sizes {
		if i > 0 {
			words += " ×"
		}
		words += " " + in.Bare(size)
	}
	return words
}
