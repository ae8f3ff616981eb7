package calc

import (
	"math"

	"brakeside/calc/brake"
	"brakeside/calc/flat"
	"brakeside/calc/part"
	"brakeside/calc/unit"
)

// A hem is two operations: the leaf turns its edge up as far as it goes, and
// then the bar presses it flat. Both figures are common practice, no source.
const (
	hemBegins unit.Deg = 135 // no farther, even where the leaf would go on
	leastHem  unit.Deg = 110 // opened less than this, the bar would buckle the edge instead of folding it
)

// begin replaces what a hem is in the end by the bend that begins it, as far as
// the leaf goes with the springback.
func (p *Plan) begin(joint int) {
	b := &p.Bends[joint]
	angle := hemBegins
	for range 3 { // less angle springs back less: the second look settles it
		b.Bend = p.Blank.BegunBend(joint, angle)
		making := p.Blank.Made(joint)
		making.Bend = b.Bend
		expected := p.Blank.Making.Practice.Expect(making)
		b.Springback, b.Spread, b.SpringbackFrom = expected.Degrees, [2]unit.Deg{expected.Low, expected.High}, expected.From
		if p.Brake == nil || angle+b.Springback <= p.Brake.Leaf.MaxAngle+tiny {
			return
		}
		angle = unit.Deg(max(math.Floor(float64(p.Brake.Leaf.MaxAngle-b.Springback)), 1))
	}
}

// blankFor is the blank as it is while an operation is made: a hem is begun and
// not yet flat.
func (p *Plan) blankFor(joints []int) *flat.Blank {
	if p.Blank.Joints[joints[0]].Hem == part.NoHem {
		return p.Blank
	}
	if begun, err := p.Blank.Begun(joints, p.Bends[joints[0]].Bend.Angle); err == nil {
		return begun
	}
	return p.Blank // too short to be begun: see hemsBegin
}

// hemsBegin refuses a hem that is used up by the bend it begins with.
func hemsBegin(b *flat.Blank) error {
	for i, j := range b.Joints {
		if j.Hem == part.NoHem {
			continue
		}
		if _, err := b.Begun([]int{i}, hemBegins); err != nil {
			least := 2*b.BegunBend(i, hemBegins).Allowance() + b.Sheet.Thickness
			return b.Part.Refuse(b.Pointer(i), "hem %s is too short to be bent up before it is flattened; make it and the wall it folds onto %s mm or more", j.ID, least.Text(1))
		}
	}
	return nil
}

// flatten words the second operation of a hem.
func (s *shop) flatten(step *Step) {
	hem := s.plan.Bends[step.Joints[0]].Hem
	if hem == part.NoHem {
		return
	}
	j := s.plan.Blank.Joints[step.Joints[0]]
	over := "and press it shut"
	if hem == part.OpenHem {
		over = "over a strip of the same sheet, and press it down on that"
	}
	step.Flatten = "Flatten the hem: open the bar, draw the part forward until the fold lies under the nose, lay the edge back " + over + "."
	_, half := s.plan.Blank.Middle(s.plan.Blank.FaceIndex(step.Swinging), j.Across)
	step.Check = unit.MM(2*half-j.Half()) + j.Bend.TangentReach()
	step.CheckSize = "width of the hem " + step.Swinging + " when it is flat, from its fold to the sheared edge"
}

// closesFully tells whether a bar that a magnet holds down presses a hem shut.
func closesFully(k *brake.Brake) bool { return k.Magnet.Pressure == 0 }
