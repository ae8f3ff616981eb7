package wording

import (
	"brakeside/calc/process"
	"brakeside/calc/unit"
)

// springback cautions where the handbook table that the springback comes from ends
// before the radius of the bend, so that nobody has measured it.
func (s *said) springback(p *process.Plan, joint int) {
	b := p.Bends[joint]
	if !b.BeyondTable || b.Bend.Thickness <= 0 {
		return
	}
	times := unit.MM(b.Bend.Radius / b.Bend.Thickness)
	s.add(process.Notice, b.ID,
		"a radius of %s times the sheet is past the end of the springback tables, which were carried on: it may come to %s° to %s°. Bend a strip first.",
		times.Text(0), b.Spread[0].Text(1), b.Spread[1].Text(1))
}
