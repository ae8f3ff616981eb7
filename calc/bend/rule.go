package bend

import (
	"math"

	"brakeside/calc/unit"
)

// Rule is a named way to find the allowance of a bend without a K-factor of
// the shop's own.
type Rule struct {
	ID     string // as written in shop files and on the command line
	Name   string // as printed on a plan
	Source string
	length func(Bend) unit.MM
	factor func(Bend) float64 // where the rule is a K-factor
}

// Allowance is the metal the bend uses by this rule. The K of the bend is not
// looked at, except by the rule of the bend's own K.
func (r Rule) Allowance(b Bend) unit.MM { return r.length(b) }

// K is the K-factor that gives the rule's allowance: (allowance / A - r) / t.
// It may leave 0 to 1 where an empirical rule is used far from the radii it was
// made for.
func (r Rule) K(b Bend) float64 {
	if r.factor != nil {
		return r.factor(b)
	}
	return float64((r.length(b)/unit.MM(b.Angle.Rad()) - b.Radius) / b.Thickness)
}

// Textbook is the default rule, see KFactor.
var Textbook = Rule{
	ID:     "textbook",
	Name:   "K 0.33 below r = 2t, 0.5 from 2t",
	Source: "textbook pair (Kalpakjian and Schmid, Groover), from memory",
	length: withK(textbookK), factor: textbookK,
}

// DIN6935 is the correction of DIN 6935, see DINCorrection.
var DIN6935 = Rule{
	ID:     "din-6935",
	Name:   "DIN 6935",
	Source: "DIN 6935: k = 0.65 + 0.5 log10(r/t) up to r/t = 5, then 1, as printed in a German trade table book",
	length: withK(halfDIN), factor: halfDIN,
}

// The empirical rules of the handbooks. The three by metal are
// (1.57 r + y t) A/90.
var (
	SoftBrass = Rule{
		ID:     "soft-0.55",
		Name:   "0.55 T + 1.57 R, soft brass and copper",
		Source: "Machinery's Handbook, three tables for 90 degree bends", length: byMetal(0.55),
	}
	HalfHard = Rule{
		ID:     "half-hard-0.64",
		Name:   "0.64 T + 1.57 R, soft steel, half-hard copper and brass, aluminium",
		Source: "Machinery's Handbook, three tables for 90 degree bends; this one from memory", length: byMetal(0.64),
	}
	Hard = Rule{
		ID:     "hard-0.71",
		Name:   "0.71 T + 1.57 R, hard copper, bronze, cold-rolled and spring steel",
		Source: "Machinery's Handbook, three tables for 90 degree bends", length: byMetal(0.71),
	}
	PerDegree = Rule{
		ID:     "per-degree",
		Name:   "0.01743 R + 0.0078 T per degree",
		Source: "FAA-H-8083-31 volume 1 chapter 4; the coefficient 0.01743 from memory",
		length: func(b Bend) unit.MM {
			return unit.MM(b.Angle) * (0.01743*b.Radius + 0.0078*b.Thickness)
		},
	}
)

// Rules lists every rule, the default first.
func Rules() []Rule {
	return []Rule{Textbook, DIN6935, SoftBrass, HalfHard, Hard, PerDegree}
}

// FindRule finds a rule by its id or its name.
func FindRule(name string) (Rule, bool) {
	for _, r := range Rules() {
		if r.ID == name || r.Name == name {
			return r, true
		}
	}
	return Rule{}, false
}

// withK makes a rule out of a K-factor.
func withK(factor func(Bend) float64) func(Bend) unit.MM {
	return func(b Bend) unit.MM {
		b.K = factor(b)
		return b.Allowance()
	}
}

// byMetal is the handbook form (pi/2 r + y t) A/90; the handbook rounds pi/2 to
// 1.57, here it is exact.
func byMetal(y unit.MM) func(Bend) unit.MM {
	return func(b Bend) unit.MM {
		return (math.Pi/2*b.Radius + y*b.Thickness) * unit.MM(b.Angle) / 90
	}
}

// KFactor is the K of the default rule and the rule in words as a plan prints
// it: 0.33 for an inside radius below two thicknesses, 0.5 from there.
// Source: textbook pair (Kalpakjian and Schmid, Groover), from memory.
func KFactor(radius, thickness unit.MM) (k float64, rule string) {
	return textbookK(Bend{Radius: radius, Thickness: thickness}), Textbook.Name
}

func textbookK(b Bend) float64 {
	if b.Radius < 2*b.Thickness {
		return 0.33
	}
	return 0.5
}

// DINCorrection is the k of DIN 6935: 0.65 + 0.5 log10(r/t), at most 1 and at
// least 0, and 1 above r/t = 5. It multiplies half the thickness; the K-factor is
// half of it.
func DINCorrection(radius, thickness unit.MM) float64 {
	ratio := float64(radius / thickness)
	if ratio > 5 {
		return 1
	}
	return min(1, max(0, 0.65+0.5*math.Log10(ratio)))
}

func halfDIN(b Bend) float64 { return DINCorrection(b.Radius, b.Thickness) / 2 }

// Compared is what one rule gives for a bend.
type Compared struct {
	Rule      Rule
	K         float64
	Allowance unit.MM
	Deduction unit.MM // to the apex
}

// Compare works the bend out by every rule, side by side, after a first line
// with the bend's own K.
func Compare(b Bend) []Compared {
	own := Rule{ID: "own", Name: "this bend's K", Source: "as planned", length: Bend.Allowance}
	var lines []Compared
	for _, r := range append([]Rule{own}, Rules()...) {
		length := r.Allowance(b)
		lines = append(lines, Compared{r, r.K(b), length, 2*b.OutsideSetback() - length})
	}
	return lines
}
