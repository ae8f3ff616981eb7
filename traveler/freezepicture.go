package traveler

import (
	"brakeside/calc/flat"
	"brakeside/calc/geom"
	"brakeside/calc/process"
	"brakeside/calc/scene"
	"brakeside/calc/unit"
)

// FreezePicture rounds a picture of a part of a blank.
func FreezePicture(b *flat.Blank, p scene.Picture) *Picture {
	out := &Picture{}
	for _, s := range p.Strokes {
		out.kind(string(s.Kind), frozenPoint(s.From), frozenPoint(s.To))
	}
	for _, s := range p.Spots {
		out.Spots = append(out.Spots, Spot{
			What: string(s.What), Name: b.Word(s.Name), At: frozenPoint(s.At), Room: unit.MM(s.Room).Micron(), Seen: s.Seen, Side: string(s.Side),
		})
	}
	return out
}

// kind adds a stroke to those of its kind.
func (p *Picture) kind(kind string, from, to Point) {
	line := [4]unit.Micron{from.X, from.Y, to.X, to.Y}
	for i := range p.Strokes {
		if p.Strokes[i].Kind == kind {
			p.Strokes[i].Lines = append(p.Strokes[i].Lines, line)
			return
		}
	}
	p.Strokes = append(p.Strokes, Strokes{kind, [][4]unit.Micron{line}})
}

// frozenFinished is the finished part, every bend with its step.
func frozenFinished(p *process.Plan, mirror *Point) *Picture {
	var mark *geom.Point2
	if mirror != nil {
		mark = &geom.Point2{X: float64(mirror.X.MM()), Y: float64(mirror.Y.MM())}
	}
	seen := scene.Finished(p.Blank, mark)
	out := FreezePicture(p.Blank, seen)
	for i, s := range seen.Spots {
		if s.What != scene.BendSpot {
			continue
		}
		for _, step := range p.Steps {
			for _, j := range step.Joints {
				if p.Blank.Joints[j].ID == s.Name {
					out.Spots[i].Step = step.Number
				}
			}
		}
	}
	return out
}
