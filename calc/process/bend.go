package process

import (
	"math"
	"slices"

	"brakeside/calc/bend"
	"brakeside/calc/brake"
	"brakeside/calc/flat"
	"brakeside/calc/part"
	"brakeside/calc/unit"
)

// Bend is the arithmetic of one bend.
type Bend struct {
	ID    string
	Word  string    // what people read for it
	Angle unit.Deg  // signed
	Bend  bend.Bend // what the leaf makes: all of it, or what a hem begins with
	// Finished is what the part ends up with: Bend, or the hem folded right over.
	Finished bend.Bend
	Hem      part.Hem
	Rule     string // how the K-factor of Finished was chosen
	// Deduction is what comes off the two sizes beside the bend, as the part
	// file gives them, to make the blank.
	Deduction      unit.MM
	Former         unit.MM // outside radius of the round bar it is bent over, 0 for none
	Springback     unit.Deg
	Spread         [2]unit.Deg // the usual least and most of it
	SpringbackFrom string
	BeyondTable    bool // the table of the springback ends before this radius
}

// OutsideSetback is how far the sizes beside the bend run past its tangents: to
// the apex of the outer faces, at a hem to its fold.
func (b Bend) OutsideSetback() unit.MM {
	if b.Hem != part.NoHem {
		return b.Finished.TangentReach()
	}
	return b.Finished.OutsideSetback()
}

// Sorts lists the first of each sort of bend: of equal angle, radius and
// arithmetic.
func Sorts(bends []Bend) []int {
	var out []int
	for i, b := range bends {
		if !slices.ContainsFunc(out, func(k int) bool { return b.Bend == bends[k].Bend && b.Deduction == bends[k].Deduction }) {
			out = append(out, i)
		}
	}
	return out
}

// ToolOf is what a bar is to the arithmetic of a bend.
func ToolOf(b brake.Bar) bend.Tool {
	if b.Kind == brake.Round {
		return bend.Tool{Bar: b.Name, Former: b.OutsideRadius}
	}
	return bend.Tool{Bar: b.Name}
}

// reckoned gives the arithmetic of a bend and what is expected of its
// springback.
func reckoned(b *flat.Blank, joint int) Bend {
	j := b.Joints[joint]
	out := Bend{
		ID: j.ID, Word: j.Word, Angle: j.Angle, Bend: j.Bend, Finished: j.Bend, Hem: j.Hem, Rule: j.Rule, Deduction: j.Deduction,
		Former: b.Making.Tools[j.ID].Former,
	}
	out.expect(b.Making.Practice.Expect(b.Made(joint)))
	return out
}

// expect sets what is expected of the springback.
func (b *Bend) expect(e bend.Expected) {
	b.Springback, b.Spread, b.SpringbackFrom, b.BeyondTable = e.Degrees, [2]unit.Deg{e.Low, e.High}, e.From, e.Beyond
}

// HemBegins is as far as the leaf turns the edge of a hem up, even where it
// would go on; then the bar presses it flat (common practice, no source).
const HemBegins unit.Deg = 135

// begin replaces what a hem is in the end by the bend that begins it, as far as
// the leaf of a brake goes with the springback. No brake does not limit it.
func (b *Bend) begin(blank *flat.Blank, joint int, k *brake.Brake) {
	angle := HemBegins
	for range 3 { // less angle springs back less: the second look settles it
		b.Bend = blank.BegunBend(joint, angle)
		making := blank.Made(joint)
		making.Bend = b.Bend
		b.expect(blank.Making.Practice.Expect(making))
		if k == nil || angle+b.Springback <= k.Leaf.MaxAngle+tiny {
			return
		}
		angle = unit.Deg(max(math.Floor(float64(k.Leaf.MaxAngle-b.Springback)), 1))
	}
}

// tiny forgives rounding where two figures are compared.
const tiny = 1e-6
