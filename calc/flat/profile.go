package flat

import (
	"fmt"

	"brakeside/calc/geom"
	"brakeside/calc/part"
)

// profile develops a strip: x along the bends, y across them, the first leg at
// the lower edge.
func (d *developer) profile(p *part.Profile) {
	bends := make([]*signedBend, len(p.Bends))
	for i, angle := range p.Bends {
		bends[i] = d.signed(bendID(i), angle, 0)
	}
	end := func(i int) *signedBend {
		if i < 0 || i >= len(bends) {
			return nil
		}
		return bends[i]
	}
	y, length := 0.0, float64(p.Length)
	for i, leg := range p.Legs {
		ends := [2]*signedBend{end(i - 1), end(i)}
		d.blank.SumSizes += d.outsideSize(leg, ends)
		low := y - halfOf(ends[0])
		long, least := d.flatLength(leg, ends)
		if least > 0 {
			d.usedUp(fmt.Sprintf("/profile/legs/%d", i), leg, least)
		}
		y += float64(long)
		high := y + halfOf(ends[1])
		d.blank.Faces = append(d.blank.Faces, Face{
			ID:     fmt.Sprintf("p%d", i),
			Word:   legWord(i),
			Pieces: []geom.Polygon{{{X: 0, Y: low}, {X: length, Y: low}, {X: length, Y: high}, {X: 0, Y: high}}},
		})
		bottom := low
		if ends[0] != nil {
			bottom += halfOf(ends[0]) - float64(d.takeOff(ends[0].Bend))
		}
		d.spots = append(d.spots, func(x, y float64) geom.Point2 { return geom.Point2{X: x, Y: bottom + y} })
		if ends[1] != nil {
			line := [2]geom.Point2{{X: 0, Y: high}, {X: length, Y: high}}
			d.joint(bendID(i), legsWord(i), [2]int{i, i + 1}, line, ends[1])
			y += float64(ends[1].Allowance())
		}
	}
}

// halfOf is half the allowance of a bend, 0 for none.
func halfOf(s *signedBend) float64 {
	if s == nil {
		return 0
	}
	return float64(s.Allowance()) / 2
}

// bendID names the bends of a profile: b1, b2.
func bendID(i int) string { return fmt.Sprintf("b%d", i+1) }
