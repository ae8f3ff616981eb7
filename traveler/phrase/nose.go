package phrase

import (
	"slices"
	"strings"

	"brakeside/calc/unit"
	"brakeside/traveler"
)

// A rule has lines for half millimetres; what lies between them is set by a strip of
// sheet as thick (common practice, no source).
const ruleLine unit.Micron = 500

// NeedsStrip reports whether the nose setback of a step, as it is printed, lies between
// the lines of a rule. A round bar is set by its axis, and a nose in front of the hinge
// has no room for a strip.
func NeedsStrip(s traveler.Step) bool {
	printed := s.NoseSetback.Tenths()
	return s.ContactLine == 0 && printed > 0 && printed%ruleLine != 0
}

// Strip names the strip that sets the nose of a step; empty where a rule does.
func Strip(in unit.System, s traveler.Step) string {
	if !NeedsStrip(s) {
		return ""
	}
	return "use a " + in.Sized(s.NoseSetback) + " strip"
}

// Strips tells how the strips of a traveler set the nose; empty where rules do. The face
// of the leaf stands over the hinge line when it is raised square.
func Strips(t *traveler.Traveler) string {
	var thick []string
	for _, s := range t.Steps {
		if words := t.In().Figure(s.NoseSetback); NeedsStrip(s) && !slices.Contains(thick, words) {
			thick = append(thick, words)
		}
	}
	if len(thick) == 0 {
		return ""
	}
	return "Nose setback " + strings.Join(thick, ", ") +
		": leaf raised square, a strip as thick between it and the nose, alike at both ends, hands clear, clamp."
}

// Stack tells how finished pieces are stacked: on the face away from which most of the
// largest face's neighbours were bent, all of them the same way round, as the last step
// left them (common practice, no source). Empty for one piece, and for older travelers.
func Stack(t *traveler.Traveler) string {
	if t.Quantity < 2 || len(t.Blank.Faces) == 0 || len(t.Steps) == 0 {
		return ""
	}
	base, most := "", int64(-1)
	for _, f := range t.Blank.Faces {
		if size := f.Extent() / 1000; size > most {
			base, most = f.Name, size
		}
	}
	up, down := 0, 0
	for _, s := range t.Steps {
		for _, line := range t.Blank.Lines {
			switch {
			case line.Step != s.Number || s.Clamped != base && s.Swinging != base:
			case line.Up:
				up++
			default:
				down++
			}
		}
	}
	words := "STACK finished pieces with face " + faceDown(up, down) + " down"
	if up > 0 && down > 0 {
		words += ", one in the other"
	}
	return words + ", " + t.Steps[len(t.Steps)-1].Swinging + " outwards, all the same way round."
}

// faceDown is the face that lies down: the one away from which more was bent.
func faceDown(up, down int) string {
	if down > up {
		return "A"
	}
	return "B"
}
