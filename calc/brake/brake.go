// Package brake holds the folding brake: its bed, its leaf, its clamp bars and
// fingers, as sizes and as cross-sections, with the limits it is rated for.
//
// Axes: x along the brake, the operator's left at the lower end when facing
// the bed; y from the hinge to the back; z up from the bed. The hinge is the
// bed's top front edge, at y = 0 and z = 0. Lengths are millimetres. Everything
// that runs along the brake is given by its cross-section in the y-z plane.
package brake

import (
	"math"

	"brakeside/calc/geom"
	"brakeside/calc/notation"
	"brakeside/calc/stock"
	"brakeside/calc/unit"
)

// Brake is one machine.
type Brake struct {
	Name         string
	UsableLength unit.MM
	Bed          Bed
	Leaf         Leaf
	Bars         []Bar
	// RatingFactor gives, by material or else by family, how much thicker a
	// sheet of mild steel would be that bends as hard.
	RatingFactor map[string]float64
	RatingLength unit.MM // the length at which the ratings hold
	RatingCap    float64 // thickest sheet on a short bend, as a share of the rating
	NoseSetback  NoseSetback
	Clearance    Clearance
	// OverbendSwept is the least angle beyond the target that a swing is
	// tested to.
	OverbendSwept        unit.Deg
	LeastClampedStrip    unit.MM
	PartContactAllowance unit.MM
	Scale                Scale
	Minutes              Minutes
	Magnet               Magnet // zero pressure: the bars are clamped some other way
	Controls             Controls
	BackStop             BackStop // all zero: it has none
	Clamping             Clamping
	FingerHeight         unit.MM // of a top leaf's fingers
	BeamDepth            unit.MM // of the beam they hang from
	BeamHeight           unit.MM

	source source
}

// source is the file that a brake was read from.
type source struct {
	places notation.Places
	inch   bool
	bars   []string // names of the bars in it
}

// Bed is the fixed lower jaw, solid from the hinge line back and down, open
// beyond.
type Bed struct{ Depth, Height unit.MM }

// Leaf is the swinging lower jaw.
type Leaf struct {
	FullFace, SlimFace unit.MM // how far it reaches forward
	Thickness          unit.MM // how far it reaches down at rest
	MaxAngle           unit.Deg
	SlimRating         unit.MM // thickest mild steel on the slim face over the rating length
}

// Face is how far the leaf reaches forward in one of its two forms.
func (l Leaf) Face(slim Slimness) unit.MM {
	if slim == Slim {
		return l.SlimFace
	}
	return l.FullFace
}

// Slimness is the form of the leaf: with its extension on or off.
type Slimness string

// The forms of the leaf.
const (
	Full Slimness = "full"
	Slim Slimness = "slim"
)

// Kind is what sort of bar a bar is.
type Kind string

// The kinds of bar.
const (
	FullBar  Kind = "full"
	Slotted  Kind = "slotted"
	Segments Kind = "segments"
	Round    Kind = "round" // a tube or rod used as the nose
)

// Bar is one upper jaw, or one set of fingers.
type Bar struct {
	Name    string
	Kind    Kind
	Depth   unit.MM
	Height  unit.MM
	Section geom.Polygon // X is back from the nose, Y above the sheet
	// NoseRadius is how far the lower front edge is rounded; 0 is sharp.
	NoseRadius unit.MM
	Length     unit.MM  // of a bar in one piece
	Rating     unit.MM  // thickest mild steel over the rating length
	MaxAngle   unit.Deg // 0: no limit of its own
	// OutsideRadius is that of a round bar; the metal takes it as its inside
	// radius.
	OutsideRadius unit.MM
	Slots         Slots
	Widths        []unit.MM // fingers on the shelf, one of each entry
	JointGapMax   unit.MM
	// EndGap is the least between the last finger and the inside face of a wall,
	// and the most of flat sheet between it and the curve at the wall's foot.
	EndGap [2]unit.MM
	// UnsupportedEndMax and UnsupportedInsideMax are how much of the bend may
	// lie outside the nose.
	UnsupportedEndMax    unit.MM
	UnsupportedInsideMax unit.MM
}

// Slots are the openings of a slotted bar that walls may stand in.
type Slots struct {
	First     unit.MM // centre of the first from the bar's left end
	Pitch     unit.MM
	Count     int
	Width     unit.MM
	Height    unit.MM
	Clearance unit.MM
}

// Takes reports whether a wall that stands so high above the sheet finds room.
func (s Slots) Takes(high unit.MM) bool { return high <= s.Height-s.Clearance }

// NoseSetback is how far the bar's nose stands behind the hinge line.
type NoseSetback struct{ Add, TimesT, TimesRMinusT float64 }

// Clearance is the least distance that must stay, by what is passed.
type Clearance struct{ Bar, Nose, BedAndLeaf unit.MM }

// Scale is what is painted at the stop of the leaf.
type Scale struct {
	Opening bool // it shows the opening between the flanges, not the bend angle
	Zero    unit.Deg
}

// Magnet is what holds the bars down.
type Magnet struct {
	Pressure float64 // N/mm2 under the bar
	Margin   float64
}

// Controls are what a brake is worked by, as far as its file states it: cautions
// assert no other.
type Controls struct {
	Foot    bool // a foot control moves the leaf
	TwoHand bool // the magnet or the clamp is switched on with both hands
}

// BackStop is what the edge at the back of the part is pushed against: from where
// to where behind the hinge line its face can be set.
type BackStop struct {
	From, To unit.MM
	Height   unit.MM // above the bed; 0: not stated
}

// Reaches reports whether the stop can be set so far behind the hinge line, to
// the micrometre.
func (s BackStop) Reaches(behind unit.MM) bool {
	at := behind.Micron()
	return s.To > 0 && at >= s.From.Micron() && at <= s.To.Micron()
}

// Clamping tells loose bars on an open bed from fingers under a beam.
type Clamping string

// The ways of clamping.
const (
	LooseBar Clamping = "loose-bar"
	TopLeaf  Clamping = "top-leaf"
)

// Stop writes a bend angle in the scale painted on the brake.
func (s Scale) Stop(bend unit.Deg) unit.Deg {
	if s.Opening {
		return unit.Opening(bend) + s.Zero
	}
	return bend + s.Zero
}

// Bend reads a bend angle off the scale painted on the brake.
//
//	s.Bend(s.Stop(a)) == a
func (s Scale) Bend(stop unit.Deg) unit.Deg {
	if s.Opening {
		return unit.Opening(stop - s.Zero)
	}
	return stop - s.Zero
}

// EquivalentThickness is the thickness of mild steel that bends as hard as
// this sheet: the thickness times the brake's own factor for the material, or
// for its family, or the factor from its strength where the brake names none.
func (b *Brake) EquivalentThickness(s stock.Sheet) unit.MM {
	for _, key := range []string{s.Material.ID, s.Material.Family} {
		if factor, ok := b.RatingFactor[key]; ok {
			return s.Thickness * unit.MM(factor)
		}
	}
	return s.Thickness * unit.MM(s.RatingFactor())
}

// Wedge is the part of the bar's section in front of its highest front corner,
// behind the sheet's swing; Body is the rest. Both are convex. They keep
// different clearances, see Clearance.
func (b Bar) Wedge() geom.Polygon {
	return b.Section.Clip(geom.Point2{X: b.Crest()}, geom.Point2{Y: 1})
}

// Body is the bar's section behind its highest front corner.
func (b Bar) Body() geom.Polygon {
	return b.Section.Clip(geom.Point2{X: b.Crest()}, geom.Point2{Y: -1})
}

// steel is the density of steel, in kilograms per cubic millimetre.
const steel = 7.85e-6

// Weight is the weight of a bar in one piece, in kilograms, taken as solid
// steel; 0 for fingers.
func (b Bar) Weight() float64 { return math.Abs(b.Section.Area()) * float64(b.Length) * steel }

// Crest is how far behind the nose, in millimetres, the bar reaches its full
// height.
func (b Bar) Crest() float64 {
	_, high := geom.Bounds(b.Section...)
	first := high.X
	for _, p := range b.Section {
		if p.Y > high.Y-geom.Near && p.X < first {
			first = p.X
		}
	}
	return first
}
