package traveler

import (
	"slices"

	"brakeside/calc/flat"
	"brakeside/calc/measure"
	"brakeside/calc/process"
)

func frozenTouch(p *process.Plan, t process.Touch) Touch {
	out := Touch{Kind: string(t.Kind), Face: p.Blank.Word(t.Face), Bend: t.Bend}
	for _, s := range p.Steps {
		if t.Bend != "" && slices.Contains(s.Bends, t.Bend) {
			out.Step = s.Number
		}
	}
	return out
}

func frozenChecks(p *process.Plan, checks []process.Check) []Check {
	var out []Check
	for _, c := range checks {
		out = append(out, Check{Size: c.Size.Micron(), Kind: string(c.Kind), Face: p.Blank.Word(c.Face), To: frozenTouch(p, c.To)})
	}
	return out
}

func frozenTools(tools []process.ToolAt) []ToolAt {
	var out []ToolAt
	for _, t := range tools {
		out = append(out, ToolAt{t.Tool, t.From.Micron(), t.To.Micron()})
	}
	return out
}

func frozenGaps(gaps []process.Gap) []Gap {
	var out []Gap
	for _, g := range gaps {
		out = append(out, Gap{g.Side, g.Word, g.Wide.Micron()})
	}
	return out
}

// frozenFaces names the faces, each with its largest convex piece.
func frozenFaces(b *flat.Blank) []Face {
	legs := measure.Legs(b)
	var out []Face
	for i, f := range b.Faces {
		largest := f.Solid[0]
		for _, g := range f.Solid[1:] {
			if g.Area() > largest.Area() {
				largest = g
			}
		}
		face := Face{Name: f.Word, Piece: frozenPoints(largest)}
		for _, l := range legs {
			if l.Face == i {
				face.Sizes = append(face.Sizes, l.Size.Micron())
			}
		}
		out = append(out, face)
	}
	return out
}
