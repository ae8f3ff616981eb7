package entry

import (
	"math"

	"brakeside/calc/stock"
	"brakeside/calc/unit"
)

// JogKind is a Z whose feet are typed with the distance between their planes.
const JogKind = "jog"

// The fields of a jog besides its two feet, profile.legs[0] and profile.legs[1].
const (
	JogOffset = "jog.offset"
	JogAngle  = "jog.angle"
)

// jogged reads a jog into a profile.
func (t *typed) jogged(p *profile, f *file) *profile {
	j := jog{offset: t.must(JogOffset)}
	if a := t.angle(JogAngle); a != nil {
		j.angle = *a
	} else {
		t.refuse(JogAngle, "This angle is missing.")
	}
	if a := math.Abs(j.angle); a == 0 || a > 90 {
		t.refuse(JogAngle, "A jog is bent up to 90°; draw a Z for more.")
	}
	feet := [2]float64{t.must("profile.legs[0]"), t.must("profile.legs[1]")}
	if t.faults != nil {
		return p
	}
	if j.thickness = thicknessOf(f); j.thickness <= 0 {
		t.refuse("thickness", "A jog needs the thickness of its sheet, or a gauge that its material comes in.")
		return p
	}
	p.Legs, p.Bends = []float64{feet[0], j.leg(f.Sizes == "inside"), feet[1]}, []float64{j.angle, -j.angle}
	return p
}

// jogShown fills the fields of a jog, where a profile is one.
func (s shown) jogShown(p *profile, f *file) bool {
	j, is := jogOf(p, thicknessOf(f), f.Sizes == "inside")
	if !is {
		return false
	}
	s.Set("kind", JogKind)
	s.number("profile.legs[0]", &p.Legs[0]).number("profile.legs[1]", &p.Legs[2]).number(JogOffset, &j.offset).angle(JogAngle, j.angle)
	return true
}

// thicknessOf is the thickness of the sheet of a part in the units of its file, also
// where a gauge is given; 0 where no sheet is known by it. A material of the shop's own
// has no gauges.
func thicknessOf(f *file) float64 {
	if f.Thickness != nil {
		return *f.Thickness
	}
	m, err := stock.Find(f.Material)
	if err != nil {
		return 0
	}
	thickness, err := m.Thickness(f.Gauge)
	if err != nil {
		return 0
	}
	if f.Units == "in" {
		thickness /= unit.Inch.PerUnit()
	}
	return float64(thickness)
}

// jog is a profile of two feet whose planes are some distance apart.
//
// Its middle leg is as long as the distance asks: between the faces of one side the
// leg is distance / sin(angle), by plain geometry, and outside it is longer by what
// the corner of a bend adds, thickness * tan(angle / 2).
type jog struct{ offset, angle, thickness float64 }

// leg is the middle leg, outside or inside.
func (j jog) leg(inside bool) float64 {
	bend := math.Abs(j.angle) * math.Pi / 180
	leg := j.offset / math.Sin(bend)
	if !inside {
		leg += j.thickness * math.Tan(bend/2)
	}
	return math.Round(leg*1e6) / 1e6
}

// jogOf gives the jog that a profile is, if it is one that was typed as such: the
// distance comes out to the hundredth.
func jogOf(p *profile, thickness float64, inside bool) (jog, bool) {
	if len(p.Legs) != 3 || len(p.Bends) != 2 || p.Bends[0] != -p.Bends[1] || math.Abs(p.Bends[0]) >= 90 || thickness <= 0 {
		return jog{}, false
	}
	bend := math.Abs(p.Bends[0]) * math.Pi / 180
	leg := p.Legs[1]
	if !inside {
		leg -= thickness * math.Tan(bend/2)
	}
	offset := leg * math.Sin(bend)
	j := jog{math.Round(offset*100) / 100, p.Bends[0], thickness}
	return j, offset > 0 && math.Abs(j.offset-offset) < 1e-5
}
