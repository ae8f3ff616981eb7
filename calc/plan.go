// Package calc works one part, one sheet and one brake into a plan that a
// person can follow.
//
// Work is the only way in. It develops the blank, lists the bends, asks
// calc/order for the cheapest order in which calc/clash and calc/clamp find
// every bend possible, and words the result. It knows no clock, no disk and no
// network; equal input gives an equal plan.
package calc

import (
	"brakeside/calc/bend"
	"brakeside/calc/brake"
	"brakeside/calc/flat"
	"brakeside/calc/geom"
	"brakeside/calc/part"
	"brakeside/calc/tolerance"
	"brakeside/calc/unit"
)

// Plan is how a part is made on a brake, or why it cannot be.
type Plan struct {
	Blank          *flat.Blank
	Brake          *brake.Brake
	Quantity       int
	Run            Run
	Bends          []Bend
	Feasible       bool
	ProvenCheapest bool
	Undecided      bool    // no order was found, but that there is none is not proven
	Minutes        float64 // of handling a piece, set-up shared over the quantity
	// OtherRun is what the same part costs in the other order of the run, in
	// minutes a piece, and the bends in the order that is best for it. It is
	// empty for a single piece, which is made the same way in either.
	OtherRun RunCost
	Steps    []Step
	Blocked  []Blocked
	Cautions []Caution // of the whole part
	Weight   Weight
	Searched Searched

	unsettled bool              // the blank was worked out for other bars than the steps use
	notOver   map[string]string // why a bend is not made over the round bar of its radius, by bend
}

// Run is the order in which pieces and steps follow each other.
type Run string

// ByStep makes the first piece whole, then step 1 on all pieces, then step 2;
// ByPiece makes one piece after the other.
const (
	ByStep  Run = "by-step"
	ByPiece Run = "by-piece"
)

// RunCost is the cheapest order for one way of running a job.
type RunCost struct {
	Run     Run
	Minutes float64
	Bends   []string
}

// Bend is the arithmetic of one bend.
type Bend struct {
	ID    string
	Angle unit.Deg  // signed
	Bend  bend.Bend // what the leaf makes: all of it, or what a hem begins with
	// Finished is what the part ends up with: Bend, or the hem folded right over.
	Finished bend.Bend
	Hem      part.Hem
	Rule     string // how the K-factor of Finished was chosen
	// Deduction is what comes off the two sizes beside the bend, as the part
	// file gives them, to make the blank.
	Deduction      unit.MM
	Former         unit.MM // outside radius of the round bar it is bent over, 0 for none
	Springback     unit.Deg
	Spread         [2]unit.Deg // the usual least and most of it
	SpringbackFrom string
}

// OutsideSetback is how far the sizes beside the bend run past its tangents: to
// the apex of the outer faces, at a hem to its fold.
func (b Bend) OutsideSetback() unit.MM {
	if b.Hem != part.NoHem {
		return b.Finished.TangentReach()
	}
	return b.Finished.OutsideSetback()
}

// Step is one bend in the order it is made. Bends on one line that are made
// together are one step.
type Step struct {
	Number       int
	Bends        []string // the bends made, the first names the step
	Joints       []int
	TurnOver     bool
	Rotate       int // degrees anticlockwise seen from above, after turning over
	FaceUp       string
	Clamped      string
	Swinging     string
	Bar          brake.Bar
	Segments     []Segment
	Leaf         brake.Slimness
	Place        Place
	Length       unit.MM
	NoseSetback  unit.MM
	NoseLine     [2]geom.Point2 // on the blank, see LineSetback
	Stop         unit.Deg       // in the brake's own scale
	StopBend     unit.Deg
	Target       unit.Deg
	Springback   unit.Deg
	StopFrom     string
	Clearance    unit.MM   // least distance of the whole swing, between the two named
	Between      [2]string // empty when nothing comes near anything
	Tight        bool
	Flatten      string // the second operation of a hem, in words; empty for other bends
	GaugeEdge    string
	Gauge        unit.MM
	CheckSize    string
	Check        unit.MM
	Chain        tolerance.Chain // between the gauged edge and the checked size, see Likely
	Closes       []string        // what can no longer be done after this step, in words
	SlideOut     string          // left or right: the bar can only be slid out endwise; empty if it lifts out
	PackingStrip bool
	BarPlace     string    // where along the bend the brake ends and a slotted bar stands, in words; empty where it is not particular
	Hold         bend.Hold // of the magnet on the bar; all zero where no magnet holds it
	Cautions     []Caution
	Before       []Shape
	After        []Shape
}

// LineSetback is how far behind the hinge the line of the bar lies that is laid on
// the line of the blank, see brake.Gauged: both lie there when the bend begins.
func (s *Step) LineSetback() unit.MM { return s.NoseSetback + s.Bar.Gauged().Behind }

// Segment is one finger and where its left edge stands from the left end of
// the bend.
type Segment struct {
	Width, At unit.MM
}

// Place is where along the brake the bend is made.
type Place string

// The places: the middle, or hanging past one of the brake's open ends.
const (
	Middle    Place = "middle"
	PastLeft  Place = "past-left"
	PastRight Place = "past-right"
)

// Places lists them in order of preference.
var Places = []Place{Middle, PastLeft, PastRight}

// Role is what a Shape of an end view is.
type Role string

// The roles.
const (
	BedShape      Role = "bed"
	LeafShape     Role = "leaf"
	BarShape      Role = "bar"
	ClampedShape  Role = "clamped"
	SwingingShape Role = "swinging"
)

// Shape is one body of an end view, cut square to the bend: X from the hinge to
// the back, Y up from the bed.
type Shape struct {
	Role    Role
	Outline geom.Polygon
}

// Level is how bad a risk is, by the signal words of ANSI Z535.4; Notice is for
// damage to work and machine only.
type Level string

// The levels.
const (
	Warning Level = "warning"
	Care    Level = "caution"
	Notice  Level = "notice"
)

// Caution is a risk that the operator should know of.
type Caution struct {
	Level Level
	Text  string
}

// Blocked is a set of bends that stand in each other's way.
type Blocked struct {
	Bends   []string
	Why     []string
	Picture Picture
	Cures   []Cure
}

// Picture is an end view with what it shows; without shapes there is none.
type Picture struct {
	Words  string
	Shapes []Shape
}

// Cure is a change that would free a blocked set of bends.
type Cure struct {
	Change string
	Kind   CureKind
}

// CureKind tells who can make the change.
type CureKind string

// The kinds of cure, the easiest first.
const (
	SetupCure   CureKind = "setup"
	StockCure   CureKind = "stock"
	DrawingCure CureKind = "drawing"
	SplitCure   CureKind = "split"
)

// Searched tells how much the search looked at.
type Searched struct {
	States, Checks int
}
