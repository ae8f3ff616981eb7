package scene

import (
	"math"

	"brakeside/calc/flat"
	"brakeside/calc/geom"
)

// nominal is the size on paper, in millimetres, that a picture is made for: what
// would be closer together there than two lines is drawn as one.
const nominal = 45.0

// What must be so far apart on paper, in millimetres, to be drawn as two lines: the
// two ends of a bend, and the two faces of the sheet.
const (
	twoEnds  = 1.2
	twoFaces = 0.7
)

// scale is how large the picture of some surfaces comes out on paper.
func (c *scene) scale() float64 {
	var all []geom.Point2
	for _, s := range c.segments {
		a, _ := c.camera.see(s.from)
		b, _ := c.camera.see(s.to)
		all = append(all, a, b)
	}
	low, high := geom.Bounds(all...)
	size := high.Sub(low)
	return nominal / math.Max(math.Max(size.X, size.Y), 1e-6)
}

// looked looks at a part alone: with the thickness of its sheet where paper shows
// both faces.
func looked(c camera, s *stage) *mesh {
	thin := &scene{camera: c}
	m := thin.add(s, paper(s.blank))
	if levels := thin.levels(s.blank); len(levels) > 1 {
		m = (&scene{camera: c}).add(s, levels)
	}
	m.close()
	return m
}

// levels are those at which a sheet is drawn beside what is in the scene: both its
// faces where paper shows them apart, else its middle.
func (c *scene) levels(b *flat.Blank) []float64 {
	if c.scale()*float64(b.Sheet.Thickness) > twoFaces {
		return real(b)
	}
	return paper(b)
}

// strokes lists what is seen, one stroke for what goes straight on.
func (c *scene) strokes() []Stroke {
	scale := c.scale()
	var out []Stroke
	for _, v := range c.visible() {
		if v.drawn(scale) {
			out = extended(out, Stroke{v.at[0], v.at[1], v.kind})
		}
	}
	return out
}

// drawn tells whether a line is drawn where paper shows the part at some scale: of a
// bend its two ends, or its middle where they would be one line.
func (s segment) drawn(scale float64) bool {
	apart := scale*s.wide > twoEnds
	return !(s.what == creaseLine && apart || s.what == tangentLine && !apart)
}

// touching is how near two strokes end that are one, in millimetres of the part.
const touching = 0.01

// extended adds a stroke, or lengthens the last one by it.
func extended(out []Stroke, s Stroke) []Stroke {
	if n := len(out) - 1; n >= 0 && out[n].Kind == s.Kind && out[n].To.Sub(s.From).Length() < touching {
		before, on := out[n].To.Sub(out[n].From), s.To.Sub(s.From)
		if off := math.Abs(before.Unit().Cross(on)); off < touching && before.Dot(on) > 0 {
			out[n].To = s.To
			return out
		}
	}
	return append(out, s)
}
