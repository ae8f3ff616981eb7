package bend

import (
	"fmt"
	"math"

	"brakeside/calc/stock"
	"brakeside/calc/unit"
)

// Practice is how one shop reckons its bends: the rule it goes by where it has
// measured nothing, and what it has measured. The zero Practice goes by the
// textbook and by what the trade remembers.
type Practice struct {
	Rule         Rule           // the zero rule means Textbook
	RuleFor      []MaterialRule // for some materials, before Rule
	Calibrations []Calibration  // what was measured, the oldest first
	Radii        []UsualRadius  // what bends come out with where the drawing gives none
	// Learned, if set, is asked first for the springback of a bend; it answers
	// false where it knows nothing.
	Learned func(Making) (Expected, bool)
}

// MaterialRule is the rule a shop goes by for one material or family.
type MaterialRule struct {
	Material string // the id of a material, or a family
	Rule     Rule
}

// UsualRadius is the inside radius that a bar leaves in a shop. The nose of a bar
// that has worn, or was made round, decides it rather than the sheet.
type UsualRadius struct {
	Material string // the id of a material, or a family; empty holds for all
	Bar      string // empty holds for every bar
	Radius   unit.MM
}

// NoseReaches is up to how many thicknesses of inside radius the edge of a bar
// and its nose setback make a true radius (common practice, no source).
const NoseReaches = 4.0

// RadiusUnder is the inside radius that a bend comes out with, drawn with a
// radius or, at 0, with none. A bar that is no round one leaves its usual radius
// where the drawn one is more than its nose reaches; what is made over a round
// bar, or under a bar not chosen yet, is as drawn.
func (p Practice) RadiusUnder(s stock.Sheet, drawn unit.MM, tool Tool) unit.MM {
	beyond := tool.Bar != "" && tool.Former == 0 && drawn > NoseReaches*s.Thickness
	if drawn == 0 || beyond {
		return p.RadiusFor(s, tool.Bar)
	}
	return drawn
}

// RadiusFor is the inside radius of a bend whose drawing gives none: the last of
// the shop's own that speaks of the material and the bar, or else what is usual
// for the sheet. While the bar is not known only what holds for every bar counts.
func (p Practice) RadiusFor(s stock.Sheet, bar string) unit.MM {
	for i := len(p.Radii) - 1; i >= 0; i-- {
		own := p.Radii[i]
		if (own.Material == "" || own.Material == s.Material.ID || own.Material == s.Material.Family) && (own.Bar == "" || own.Bar == bar) {
			return own.Radius
		}
	}
	return s.UsualRadius()
}

// Calibration is what a shop measured once and goes by since: of one material,
// in one thickness, within a band of inside radii, under one bar.
type Calibration struct {
	Material  string
	Thickness unit.MM
	// Radius is the least and the greatest inside radius it holds for; over a
	// former, of the former.
	Radius [2]unit.MM
	Bar    string  // empty holds for every bar
	K      float64 // 0 when it was not measured
	// Angle is the bend angle at which Springback was measured; 0 when it was
	// not. For other angles it is taken in proportion.
	Angle      unit.Deg
	Springback unit.Deg
	By         string // initials
	At         string // RFC 3339, UTC
	Source     string // how it was measured
}

// Tool is what a bend is made with, as far as its arithmetic goes.
type Tool struct {
	Bar    string  // name of the bar or of the set of fingers; empty while it is not known
	Former unit.MM // outside radius of the tube or rod used as the nose; 0 for a bar with an edge
}

// Making is one bend as it is to be made.
type Making struct {
	Sheet  stock.Sheet
	Bend   Bend    // angle, radius and thickness as drawn; its K is not looked at
	Pinned float64 // K-factor pinned by the part file, 0 for none
	Tool   Tool
}

// sameThickness is how far a sheet may be off the one that was measured: past
// it a sheet is another one. Common practice, no source.
const sameThickness unit.MM = 0.05

// radiusHair lets a radius converted from inches meet the end of its band.
const radiusHair unit.MM = 0.01

// fits reports whether a calibration speaks of this bend. While the bar is not
// known, one for any bar will do.
func (c Calibration) fits(m Making) bool {
	radius := m.Bend.Radius
	if m.Tool.Former > 0 {
		radius = m.Tool.Former
	}
	return c.Material == m.Sheet.Material.ID &&
		math.Abs(float64(c.Thickness-m.Sheet.Thickness)) <= float64(sameThickness)+1e-9 &&
		radius >= c.Radius[0]-radiusHair && radius <= c.Radius[1]+radiusHair &&
		(c.Bar == "" || m.Tool.Bar == "" || c.Bar == m.Tool.Bar)
}

// surest picks the calibration to go by: of those that fit and tell what is
// asked, one of this very bar before one of every bar before one of some bar
// while the bar is not known; then the nearest thickness; then the newest.
func (p Practice) surest(m Making, tells func(Calibration) bool) (Calibration, bool) {
	best, found := Calibration{}, false
	for _, c := range p.Calibrations {
		if !c.fits(m) || !tells(c) {
			continue
		}
		if !found || !better(best, c, m) {
			best, found = c, true
		}
	}
	return best, found
}

// better reports whether a is surely the better of two that fit; of equal ones
// the later in the list wins.
func better(a, b Calibration, m Making) bool {
	if x, y := a.rank(m), b.rank(m); x != y {
		return x > y
	}
	x, y := a.off(m), b.off(m)
	if math.Abs(float64(x-y)) > 1e-9 {
		return x < y
	}
	return a.At > b.At
}

func (c Calibration) rank(m Making) int {
	switch {
	case c.Bar == "":
		return 1
	case c.Bar == m.Tool.Bar:
		return 2
	}
	return 0
}

func (c Calibration) off(m Making) unit.MM {
	return unit.MM(math.Abs(float64(c.Thickness - m.Sheet.Thickness)))
}

// words tell where a figure came from, as a plan prints it.
func (c Calibration) words() string {
	text := "measured in this shop"
	if c.Bar != "" {
		text += " under " + c.Bar
	}
	if c.By != "" || c.At != "" {
		text += fmt.Sprintf(" (%s %.10s)", c.By, c.At)
	}
	return text
}

// Reckon gives the bend with its K-factor, and how that was chosen: the K the
// part file pins, then the shop's own, then the shop's rule. Over a former the
// inside radius is the one the bend keeps after springback, see OverFormer.
func (p Practice) Reckon(m Making) (Bend, string) {
	b := m.Bend
	if m.Tool.Former > 0 {
		b.Radius = Relaxed(loaded(m), p.Expect(m).Degrees)
	}
	if m.Pinned > 0 {
		b.K = m.Pinned
		return b, "given in the part file"
	}
	if c, found := p.surest(m, func(c Calibration) bool { return c.K > 0 }); found {
		b.K = c.K
		return b, c.words()
	}
	rule := p.ruleFor(m.Sheet.Material)
	b.K = rule.K(b)
	return b, rule.Name
}

// ruleFor is the rule the shop goes by for a material.
func (p Practice) ruleFor(m stock.Material) Rule {
	for _, key := range []string{m.ID, m.Family} {
		for _, r := range p.RuleFor {
			if r.Material == key {
				return r.Rule
			}
		}
	}
	if p.Rule.length == nil {
		return Textbook
	}
	return p.Rule
}

// Expect gives the springback expected of a bend: what the shop has learned,
// then what it measured on a strip, then what practice knows, see Springback.
// Over a former it is that of the former's radius.
func (p Practice) Expect(m Making) Expected {
	if p.Learned != nil {
		if learned, known := p.Learned(m); known {
			return learned
		}
	}
	b := m.Bend
	if m.Tool.Former > 0 {
		b = loaded(m)
	}
	prior := Springback(m.Sheet, b)
	degrees, words, found := p.Strip(m)
	if !found {
		return prior
	}
	half := prior.SD() / 2 // one strip says more than the trade at large
	return Expected{Degrees: degrees, Low: degrees - half, High: degrees + half, From: words}
}

// Strip is the springback that the shop measured on a trial strip of such a
// bend, in proportion to its angle, and in words where that comes from; false
// where it measured none.
func (p Practice) Strip(m Making) (degrees unit.Deg, from string, found bool) {
	c, found := p.surest(m, func(c Calibration) bool { return c.Angle > 0 })
	if !found {
		return 0, "", false
	}
	return c.Springback * (m.Bend.Angle / c.Angle), c.words(), true
}

// loaded is the bend as it lies on the former under load.
func loaded(m Making) Bend {
	return Bend{Angle: m.Bend.Angle, Radius: m.Tool.Former, Thickness: m.Sheet.Thickness}
}

// OverFormer is the bend that comes of folding over a steel tube or rod used as
// the nose: its inside radius under load is the former's, and after springback
// it is larger, see Relaxed.
func OverFormer(s stock.Sheet, target unit.Deg, former unit.MM) (Bend, Expected) {
	making := Making{Sheet: s, Bend: Bend{Angle: target, Thickness: s.Thickness}, Tool: Tool{Former: former}}
	made, _ := Practice{}.Reckon(making)
	return made, Practice{}.Expect(making)
}
