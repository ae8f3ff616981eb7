package part

import (
	"fmt"
	"math"

	"brakeside/calc/fault"
	"brakeside/calc/notation"
	"brakeside/calc/plain"
	"brakeside/calc/unit"
)

// What the sizes of a part may be at the most; anything larger is a slip of
// the keyboard and would only waste time.
const (
	LargestSize unit.MM = 100_000

	// SmallestSize: sizes are frozen in whole micrometres.
	SmallestSize unit.MM = 0.001

	// What is folded by hand lies well within these (common practice, no source).
	ThinnestSheet unit.MM = 0.05
	ThickestSheet unit.MM = 50

	MostFaces    = 200
	MostVertices = 10_000
	MostOpenings = 1_000 // holes and cutouts together
)

// reader turns the file into a Part and keeps the first refusal.
type reader struct {
	places notation.Places
	scale  unit.MM // millimetres in one unit of the file
	err    error
}

// refuse notes the first mistake.
func (r *reader) refuse(pointer, format string, values ...any) {
	if r.err == nil {
		r.err = r.places.Refuse(pointer, format, values...)
	}
}

func unseen(name string) bool {
	_, found := plain.InName(name)
	return found
}

// seen refuses a name with a character that cannot be seen.
func (r *reader) seen(pointer, name string) {
	if bad, found := plain.InName(name); found {
		r.refuse(pointer, "has the character %U, which cannot be seen; take it out", bad)
	}
}

// word takes one of the known words, the first when none is given.
func (r *reader) word(pointer, given string, known ...string) string {
	if given == "" {
		return known[0]
	}
	for _, k := range known {
		if given == k {
			return k
		}
	}
	r.refuse(pointer, "%q is not known; write one of %q", given, known)
	return known[0]
}

// length reads a size that must be above zero.
func (r *reader) length(pointer string, v float64) unit.MM {
	l := unit.MM(v) * r.scale
	switch {
	case math.IsNaN(v) || v <= 0:
		r.refuse(pointer, "%v is not a size; give a number above 0", v)
	case l < SmallestSize:
		r.refuse(pointer, "%v is smaller than %s mm, the least that is worked out", v, SmallestSize.Text(3))
	case l > LargestSize:
		r.refuse(pointer, "%v is larger than %s mm, the most that is worked out", v, LargestSize.Text(0))
	}
	return l
}

// angle reads a signed bend angle.
func (r *reader) angle(pointer string, v float64) unit.Deg {
	if math.IsNaN(v) || v == 0 || math.Abs(v) >= 180 {
		r.refuse(pointer, "%v cannot be bent; a bend angle is what the metal is turned through from flat, more than 0 and less than 180, + "+
			"towards face A and - away from it%s", v, flatWords(v))
	}
	return unit.Deg(v)
}

// flatWords tells of the hem to who wants an edge folded flat.
func flatWords(v float64) string {
	if math.Abs(v) != 180 {
		return ""
	}
	return `; an edge that is folded flat is a hem: "hem":"closed" or "hem":"open" on the last entry of a wall, or on a bend of a flat part`
}

// tooMany guards lists of points.
func (r *reader) tooMany(pointer string, count int) bool {
	if count <= MostVertices {
		return false
	}
	if r.err == nil {
		refusal := r.places.Refuse(pointer, "has %d points, more than the %d that are worked out", count, MostVertices)
		refusal.Kind = fault.TooLarge
		r.err = refusal
	}
	return true
}

func (r *reader) id(pointer, id string, known map[string]bool) {
	switch {
	case id == "":
		r.refuse(pointer, "needs a name")
	case unseen(id):
		r.seen(pointer, id)
	case len(id) > 40:
		r.refuse(pointer, "%q is longer than 40 bytes", id)
	case known[id]:
		r.refuse(pointer, "%q is used twice", id)
	}
	known[id] = true
}

func (r *reader) point(pointer string, p [2]float64) [2]unit.MM {
	var out [2]unit.MM
	for i, v := range p {
		out[i] = unit.MM(v) * r.scale
		if math.IsNaN(v) || math.Abs(float64(out[i])) > float64(LargestSize) {
			r.refuse(fmt.Sprintf("%s/%d", pointer, i), "%v is farther out than %s mm, the most that is worked out", v, LargestSize.Text(0))
		}
	}
	return out
}

// hem reads the word that makes a bend a hem.
func (r *reader) hem(pointer, given string) Hem {
	if given == "" {
		return NoHem
	}
	return Hem(r.word(pointer+"/hem", given, string(OpenHem), string(ClosedHem)))
}

// bendAngle reads the angle of a bend, square when it is left out; a hem is
// turned right over.
func (r *reader) bendAngle(pointer string, given *float64, hem Hem) unit.Deg {
	switch {
	case hem == NoHem && given == nil:
		return 90
	case hem == NoHem:
		return r.angle(pointer, *given)
	case given == nil:
		return 180
	case math.Abs(*given) != 180:
		r.refuse(pointer, "%v is not the angle of a hem, which is folded right over: give 180 or -180 or leave it out; a wall with a hemmed "+
			"edge is two entries, the wall and then the hem", *given)
	}
	return unit.Deg(*given)
}

// span reads the two ends of a tab.
func (r *reader) span(pointer string, f [2]float64) [2]unit.MM {
	out := [2]unit.MM{unit.MM(f[0]) * r.scale, unit.MM(f[1]) * r.scale}
	if !(f[0] >= 0 && f[1] > f[0] && out[1] <= LargestSize) {
		r.refuse(pointer, "%v is no span; give [from, to], both counted from the left end, the second the larger", f)
	}
	return out
}
