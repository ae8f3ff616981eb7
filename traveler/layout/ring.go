package layout

import (
	"math"

	"brakeside/traveler"
	"brakeside/traveler/draw"
)

// cuts draws the outline and the openings: arcs as arcs, the straight edges
// between them as one row each.
func (d drawing) cuts() {
	for i, ring := range d.blank.Rings() {
		d.ring(i, ring)
	}
}

func (d drawing) ring(number int, points []traveler.Point) {
	placed := d.placed(points)
	arcs := d.arcs(number, len(points))
	if len(arcs) == 0 {
		d.page.Add(draw.Polygon(draw.Outline, draw.NoFill, placed...))
		return
	}
	first := -1
	for i := range placed {
		if arcs[i] != nil {
			first = i
			break
		}
	}
	for i := 0; i < len(placed); {
		at := (first + i) % len(placed)
		if c := arcs[at]; c != nil {
			d.page.Add(d.arc(*c, placed))
			i += c.Chords
			continue
		}
		row := []draw.Point{placed[at]}
		for ; i < len(placed) && arcs[(first+i)%len(placed)] == nil; i++ {
			row = append(row, placed[(first+i+1)%len(placed)])
		}
		d.page.Add(draw.Path{Points: row, Pen: draw.Outline})
	}
}

// arcs finds the curves of a ring by the corner that they begin at.
func (d drawing) arcs(ring, corners int) map[int]*traveler.Curve {
	out := map[int]*traveler.Curve{}
	for i := range d.blank.Curves {
		if c := &d.blank.Curves[i]; c.Ring == ring && c.From < corners && c.Chords > 0 && c.Radius > 0 {
			out[c.From] = c
		}
	}
	return out
}

// arc draws a curve through the corners it stands for.
func (d drawing) arc(c traveler.Curve, placed []draw.Point) draw.Mark {
	centre := d.at(c.Centre)
	arc := draw.Arc{X: centre.X, Y: centre.Y, Radius: mm(c.Radius), To: 360, Pen: draw.Outline}
	if c.Chords >= len(placed) {
		return arc
	}
	angle := func(i int) float64 {
		p := placed[(c.From+i)%len(placed)]
		return math.Atan2(centre.Y-p.Y, p.X-centre.X) * 180 / math.Pi
	}
	arc.From, arc.To = angle(0), angle(c.Chords)
	if turn := math.Mod(angle(1)-angle(0)+540, 360) - 180; turn < 0 { // the ring runs clockwise along it
		arc.From, arc.To = arc.To, arc.From
	}
	return arc
}
