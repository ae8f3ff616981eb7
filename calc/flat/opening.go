package flat

import (
	"fmt"
	"math"

	"brakeside/calc/geom"
	"brakeside/calc/unit"
)

// openings puts the holes and cutouts of the part file into their faces, in
// places of the blank. Whether they lie well is asked when the outline is known.
func (d *developer) openings() {
	for i, h := range d.part.Holes {
		pointer := "/holes/" + itoa(i)
		centre := geom.Point2{X: float64(h.At[0]), Y: float64(h.At[1])}
		d.opening(pointer, h.Face, func(place func(geom.Point2) geom.Point2) Opening {
			r := float64(h.Diameter) / 2
			return Opening{Outline: circle(place(centre), r), Centre: place(centre), Radius: r}
		})
	}
	for i, c := range d.part.Cutouts {
		pointer := "/cutouts/" + itoa(i)
		g, at := newCorners(len(c.Outline)).outline(c.Outline)
		if k, message := mistake(g); message != "" {
			d.refuse(fmt.Sprintf("%s/outline/%d", pointer, at[k]), "%s", message)
		}
		d.opening(pointer, c.Face, func(place func(geom.Point2) geom.Point2) Opening {
			for i := range g {
				g[i] = place(g[i])
			}
			return Opening{Outline: anticlockwise(g).Reversed()}
		})
	}
}

// opening adds what make makes of the places of a face.
func (d *developer) opening(pointer, face string, make func(place func(geom.Point2) geom.Point2) Opening) {
	f := d.blank.FaceIndex(face)
	if f < 0 {
		d.refuse(pointer+"/face", "there is no face %q; the faces are %s", face, d.faceNames())
		return
	}
	place := func(p geom.Point2) geom.Point2 { return p }
	if d.spots != nil {
		place = func(p geom.Point2) geom.Point2 { return d.spots[f](p.X, p.Y) }
	}
	o := make(place)
	o.pointer = pointer
	d.blank.Faces[f].Openings = append(d.blank.Faces[f].Openings, o)
}

// faceNames lists the faces for a message, the first dozen of them.
func (d *developer) faceNames() string {
	text := ""
	for i, f := range d.blank.Faces {
		if i == 12 {
			return text + " ..."
		}
		if i > 0 {
			text += ", "
		}
		text += f.ID
	}
	return text
}

// chordError is how far the chords that stand for a circle may lie inside it,
// in millimetres.
const chordError = 0.01

// circle draws a round hole, clockwise, with its corners on the circle.
func circle(centre geom.Point2, radius float64) geom.Polygon {
	n := 24
	if radius > chordError {
		n = int(math.Ceil(math.Pi / math.Acos(1-chordError/radius)))
	}
	n = 4 * ((min(max(n, 24), 360) + 3) / 4)
	g := make(geom.Polygon, n)
	for i := range g {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		g[i] = centre.Add(geom.Point2{X: radius * cos, Y: -radius * sin})
	}
	return g
}

// words names an opening by what and where it is.
func (o Opening) words() string {
	if o.Radius > 0 {
		return fmt.Sprintf("the hole of %s mm at (%s, %s) of the blank", mm(2*o.Radius).Text(1), mm(o.Centre.X).Text(1), mm(o.Centre.Y).Text(1))
	}
	low, _ := geom.Bounds(o.Outline...)
	return fmt.Sprintf("the cutout at (%s, %s) of the blank", mm(low.X).Text(1), mm(low.Y).Text(1))
}

// span is the smallest box around an opening.
func (o Opening) span() (low, high geom.Point2) {
	if o.Radius > 0 {
		r := geom.Point2{X: o.Radius, Y: o.Radius}
		return o.Centre.Sub(r), o.Centre.Add(r)
	}
	return geom.Bounds(o.Outline...)
}

// hull is the convex polygon around an opening, and how much is to be added
// all round: a round hole is its centre and its radius.
func (o Opening) hull() (geom.Polygon, float64) {
	if o.Radius > 0 {
		return geom.Polygon{o.Centre}, o.Radius
	}
	return geom.Hull(o.Outline), 0
}

// from gives the distance of a convex polygon from the opening; a cutout counts
// with the hull around it.
func (o Opening) from(g geom.Polygon) float64 {
	hull, grown := o.hull()
	return geom.Apart(hull, g) - grown
}

// openingsLieWell refuses openings that reach out of their face, into a bend
// zone or into each other, and notes those that a bend will draw out of shape.
func (d *developer) openingsLieWell() {
	var all []Opening
	for i, f := range d.blank.Faces {
		for _, o := range f.Openings {
			d.withinFace(i, o)
			d.offBends(i, o)
			all = append(all, o)
		}
	}
	for i, o := range all {
		low, high := o.span()
		for _, q := range all[i+1:] {
			l, h := q.span()
			if l.X > high.X || low.X > h.X || l.Y > high.Y || low.Y > h.Y {
				continue
			}
			if hull, grown := q.hull(); o.from(hull)-grown <= 0 && ringsMeet(o.Outline, q.Outline) {
				d.refuse(q.pointer, "%s and %s run into each other; draw them as one", o.words(), q.words())
			}
		}
	}
}

// withinFace refuses an opening that is not all inside its face.
func (d *developer) withinFace(face int, o Opening) {
	f := d.blank.Faces[face]
	for _, p := range o.Outline {
		if !f.holds(p) {
			d.refuse(o.pointer, "%s reaches out of face %s at (%s, %s); move it in or make it smaller",
				o.words(), f.ID, mm(p.X).Text(1), mm(p.Y).Text(1))
			return
		}
	}
	for _, loop := range d.blank.Outline {
		if ringsMeet(o.Outline, loop) {
			d.refuse(o.pointer, "%s cuts into an edge of face %s; move it in, or draw the notch in the outline", o.words(), f.ID)
			return
		}
	}
}

// holds reports whether a point lies in one of the face's pieces.
func (f *Face) holds(p geom.Point2) bool {
	for _, g := range f.Pieces {
		if g.Holds(p) {
			return true
		}
	}
	return false
}

// offBends refuses an opening in a bend zone, and notes one that is nearer to a
// bend line than holes stay round.
func (d *developer) offBends(face int, o Opening) {
	for _, j := range d.blank.Joints {
		if j.Faces[0] != face && j.Faces[1] != face {
			continue
		}
		least := j.Bend.LeastHoleDistance()
		away := unit.MM(o.from(geom.Polygon(j.Line[:])))
		switch {
		case o.from(j.Zone) <= 0:
			d.refuse(o.pointer,
				"%s of face %s lies in bend %s and would be bent with it; move it %s mm away, so that its edge is %s mm from the bend line",
				o.words(), d.blank.Faces[face].ID, j.ID, (least - away).Text(1), least.Text(1))
		case away < least-Snap:
			d.caution("%s of face %s is %s mm from bend line %s and may be drawn out of shape; %s mm or more keeps it round.",
				o.words(), d.blank.Faces[face].ID, away.Text(1), j.ID, least.Text(1))
		}
	}
}

// caution notes what can be made but may not come out well.
func (d *developer) caution(format string, values ...any) {
	text := fmt.Sprintf(format, values...)
	d.blank.Cautions = append(d.blank.Cautions, sentence(text))
}

func ringsMeet(a, b geom.Polygon) bool {
	_, meet := a.Meets(b)
	return meet
}
