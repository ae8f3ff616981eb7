package wording

import (
	"fmt"
	"math"
	"strings"

	"brakeside/calc/flat"
	"brakeside/calc/geom"
	"brakeside/calc/process"
	"brakeside/calc/unit"
)

// sameSpot is how near to each other two features must lie to be one and its
// mirror image, in millimetres: what an eye tells apart on a sheet.
const sameSpot = 1.0

// feature is something on the blank that a person can point at.
type feature struct {
	words string // "the 6.0 mm hole"
	kind  string // features of one kind can be each other's mirror image
	at    geom.Point2
}

// MirrorCheck names one feature that lies on one side only, as it must lie when
// the first bend comes up, so that a blank laid down wrong way up is seen before
// it is bent. A blank that is its own mirror image has none, and the sentence
// says so. A plan without steps has no sentence.
func MirrorCheck(p *process.Plan) string {
	words, _ := mirrorCheck(p)
	return words
}

// MirrorMark is where on the blank the feature lies that MirrorCheck names, if it
// is a spot that can be marked; a bend line carries its number already.
func MirrorMark(p *process.Plan) (at geom.Point2, ok bool) {
	_, f := mirrorCheck(p)
	return f.at, f.words != "" && !strings.HasPrefix(f.kind, bendKind)
}

// bendKind begins the kinds of bend lines.
const bendKind = "bend "

func mirrorCheck(p *process.Plan) (words string, named feature) {
	if len(p.Steps) == 0 {
		return "", feature{}
	}
	all := features(p)
	middle := geom.Point2{X: float64(p.Blank.Width) / 2, Y: float64(p.Blank.Height) / 2}
	first := p.Steps[0]
	right := first.NoseLine[1].Sub(first.NoseLine[0]).Unit()
	const half = math.Sqrt2 / 2
	for _, axis := range []geom.Point2{{X: 1}, {Y: 1}, {X: half, Y: half}, {X: half, Y: -half}, right} {
		if len(unmatched(all, middle, axis)) == 0 {
			return "The blank is its own mirror image: it has no left or right hand.", feature{}
		}
	}
	alone := unmatched(all, middle, right)
	pick := alone[0]
	for _, f := range alone[1:] { // the first kind that helps, and of that the one farthest out
		if f.kind == pick.kind && math.Abs(right.Dot(f.at.Sub(middle))) > math.Abs(right.Dot(pick.at.Sub(middle)))+sameSpot {
			pick = f
		}
	}
	return fmt.Sprintf("%s is %s at step 1.", pick.words, whereIs(p, pick, all, right)), pick
}

// whereIs tells on which side of the operator a feature lies, and, when there
// is another of its kind, which of them is meant.
func whereIs(p *process.Plan, f feature, all []feature, right geom.Point2) string {
	middle := geom.Point2{X: float64(p.Blank.Width) / 2, Y: float64(p.Blank.Height) / 2}
	first := p.Steps[0]
	swinging, _ := p.Blank.Middle(p.Blank.FaceIndex(first.Swinging), right)
	towards := swinging.Sub(first.NoseLine[0])
	towards = towards.Sub(right.Times(right.Dot(towards))) // to the operator
	side := "at your right"
	if right.Dot(f.at.Sub(middle)) < 0 {
		side = "at your left"
	}
	for _, g := range all {
		if g.kind != f.kind || g.at == f.at {
			continue
		}
		if f.at.Sub(g.at).Dot(towards.Unit()) > sameSpot {
			return "nearer to you and " + side
		}
		return "farther from you and " + side
	}
	return side
}

// unmatched lists the features without a mirror image about the line through
// the middle square to a direction.
func unmatched(all []feature, middle, across geom.Point2) []feature {
	var out []feature
	for _, f := range all {
		image := f.at.Sub(across.Times(2 * across.Dot(f.at.Sub(middle))))
		found := false
		for _, g := range all {
			found = found || g.kind == f.kind && g.at.Sub(image).Length() < sameSpot
		}
		if !found {
			out = append(out, f)
		}
	}
	return out
}

// features lists what can be pointed at, the plainest first: holes and cutouts,
// then bends, then corners of the outline.
func features(p *process.Plan) []feature {
	var out []feature
	for _, f := range p.Blank.Faces {
		for _, o := range f.Openings {
			out = append(out, openingFeature(o))
		}
	}
	for i, g := range p.Blank.Outline {
		if i == 0 || declared(p, g) {
			continue
		}
		area := fmt.Sprintf("opening %.0f", math.Abs(g.Area())/10)
		out = append(out, feature{"The opening in the sheet", area, g.Centroid()})
	}
	for i, j := range p.Blank.Joints {
		kind := fmt.Sprintf(bendKind+"%.0f %.1f %v", p.Bends[i].Angle, float64(j.Length()), lies(j))
		out = append(out, feature{"Bend line " + j.Word, kind, j.Line[0].Add(j.Line[1]).Times(0.5)})
	}
	for i, c := range p.Blank.Outline[0] {
		if onCurve(p.Blank, i) {
			continue
		}
		out = append(out, feature{"The corner or notch", "corner", c})
	}
	return out
}

// lies tells how a bend line lies, so that it is not taken for one square to it:
// the same about the x and the y axis.
func lies(j flat.Joint) unit.MM {
	v := j.Line[1].Sub(j.Line[0])
	return unit.MM(math.Round(math.Abs(v.X) + math.Abs(v.Y)))
}

func openingFeature(o flat.Opening) feature {
	if o.Radius > 0 {
		size := unit.MM(2 * o.Radius).Text(1)
		return feature{"The " + size + " mm hole", "hole " + size, o.Centre}
	}
	return feature{"The cutout", fmt.Sprintf("cutout %.0f", math.Abs(o.Outline.Area())/10), o.Outline.Centroid()}
}

// declared reports whether a ring of the outline is a hole or cutout of the part
// file.
func declared(p *process.Plan, g geom.Polygon) bool {
	for _, f := range p.Blank.Faces {
		for _, o := range f.Openings {
			if o.Outline[0] == g[0] && len(o.Outline) == len(g) {
				return true
			}
		}
	}
	return false
}

// onCurve reports whether a corner of the outer edge lies inside an arc.
func onCurve(b *flat.Blank, corner int) bool {
	n := len(b.Outline[0])
	for _, c := range b.Curves {
		if past := (corner - c.From + n) % n; c.Loop == 0 && past > 0 && past < c.Chords {
			return true
		}
	}
	return false
}
