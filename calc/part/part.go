// Package part holds a part as it is drawn: its number, its material and its
// shape in one of three forms.
//
// A Profile has all its bends parallel and the same length, a Tray is a base
// with walls, and a Flat is the blank itself with its bend lines. Only Read
// makes a Part; what it returns has sensible sizes, so later code need not ask
// again. Lengths are millimetres whatever the file was written in. How much
// metal a bend uses, and whether a brake can make it, is not known here.
package part

import (
	"brakeside/calc/fault"
	"brakeside/calc/notation"
	"brakeside/calc/unit"
)

// Part is one part at one revision.
type Part struct {
	Number    string
	Title     string
	Revision  string
	Inch      bool // the file was written in inches
	Material  string
	Thickness unit.MM // 0 when a gauge is given
	Gauge     string

	InsideRadius unit.MM // of every bend that names no other; 0 leaves it to the shop
	K            float64 // pinned K-factor; 0 leaves it to the rule
	Sizes        Sizes
	Over90       Over90
	Tolerance    Tolerance
	Grain        string // x, y or empty
	MarkedFace   string // A or B

	Profile *Profile // exactly one of the three is set
	Tray    *Tray
	Flat    *Flat

	Holes   []Hole
	Cutouts []Cutout

	places notation.Places
}

// Units is the system of units that the part is drawn in.
func (p Part) Units() unit.System {
	if p.Inch {
		return unit.Inch
	}
	return unit.Metric
}

// Refuse makes the refusal of the value at a JSON pointer of the part's file,
// such as /profile/legs/1, with its line and column, for what only later
// packages can tell.
func (p Part) Refuse(pointer, format string, values ...any) *fault.Refusal {
	return p.places.Refuse(pointer, format, values...)
}

// Form is one of the three forms a part is drawn in.
type Form string

// The forms.
const (
	ProfileForm Form = "profile"
	TrayForm    Form = "tray"
	FlatForm    Form = "flat"
)

// Form tells in which form the part is drawn.
func (p Part) Form() Form {
	switch {
	case p.Profile != nil:
		return ProfileForm
	case p.Tray != nil:
		return TrayForm
	}
	return FlatForm
}

// Sizes tells over which faces the sizes are measured.
type Sizes string

// The ways of measuring a size.
const (
	Outside Sizes = "outside"
	Inside  Sizes = "inside"
)

// Over90 tells to where sizes run at bends of more than a right angle.
type Over90 string

// Apex is the crossing of the two outer faces, Tangent the outermost point of
// the rounded corner.
const (
	Apex    Over90 = "apex"
	Tangent Over90 = "tangent"
)

// Tolerance is how far an angle and a size may be off.
type Tolerance struct {
	Angle  unit.Deg
	Length unit.MM
	// AngleAsked and LengthAsked tell whether the part file asks for them; the usual
	// ones stand where it does not.
	AngleAsked, LengthAsked bool
}

// Profile is a strip with parallel bends: n+1 legs and n bends, + towards
// face A.
type Profile struct {
	Length unit.MM
	Legs   []unit.MM
	Bends  []unit.Deg
}

// Side names an edge of a tray's base as seen from face A with the front
// towards the reader.
type Side string

// The four sides, in the order in which they are listed everywhere.
const (
	Left  Side = "left"
	Right Side = "right"
	Front Side = "front"
	Back  Side = "back"
)

// SidesInOrder lists the sides of a base.
var SidesInOrder = []Side{Left, Right, Front, Back}

// Tray is a base with a chain of walls on each side.
type Tray struct {
	BaseX, BaseY unit.MM
	Walls        map[Side][]Wall
	Corners      Corners
}

// Wall is one leg of a chain, from the base outwards: a wall, then a lip.
type Wall struct {
	Leg   unit.MM
	Angle unit.Deg   // 180 or -180 for a hem
	Mitre unit.Deg   // cut back of both ends from square; 0 leaves it to the blank: square where that fits
	Hem   Hem        // empty for an ordinary bend
	Span  [2]unit.MM // of a tab of part of the length, see Hole for the coordinates; zero for the whole length
}

// Hem is a way of folding an edge right over.
type Hem string

// The hems: open leaves a gap of one thickness, closed leaves none.
const (
	NoHem     Hem = ""
	OpenHem   Hem = "open"
	ClosedHem Hem = "closed"
)

// Relief is the shape of the corner cut.
type Relief string

// The shapes of a corner cut.
const (
	Square   Relief = "square"
	Round    Relief = "round"
	Vee      Relief = "vee"
	NoRelief Relief = "none"
)

// Tabs tells on which face of the neighbouring wall the corner tabs lie.
type Tabs string

// The ways of lapping a corner.
const (
	NoTabs      Tabs = "none"
	InsideTabs  Tabs = "inside"
	OutsideTabs Tabs = "outside"
)

// Corners tells how two neighbouring walls meet. Tabs grow from the ends of the
// front and the back wall, to be welded or riveted to the left and the right
// one.
type Corners struct {
	Relief   Relief
	Size     unit.MM // width or diameter of the relief
	Gap      unit.MM // opening between neighbouring walls after folding
	Tabs     Tabs
	TabWidth unit.MM // outside size of a tab along the neighbouring wall
}

// Flat is the blank itself.
type Flat struct {
	Faces  []Face
	Bends  []FlatBend
	Joined [][2]string // faces that are pieces of one flat face
}

// Face is one flat piece; neighbouring outlines meet on the middle of the bend
// zone between them.
type Face struct {
	ID      string
	Outline [][2]unit.MM
}

// FlatBend is a bend of a Flat. Radius 0 leaves it to the part or the shop.
type FlatBend struct {
	ID      string
	Between [2]string
	Line    [2][2]unit.MM
	Angle   unit.Deg // + folds towards the viewer of the blank; 180 or -180 for a hem
	Radius  unit.MM
	Hem     Hem
}

// Hole is a round hole in a face, seen from face A before bending.
//
// In a profile x runs along the bends and y across them as the blank lies, from
// the lower left corner of the face's outside size. On the base of a tray they
// run as in the blank, from the lower left corner of its outside size. On a wall
// or lip x runs along its bend and y away from the base, from the left end of
// the base's outside size as seen with the base below, and from the outside of
// the bend; on a corner tab x runs from the outside of its bend outwards, y from
// the outside of the wall's bend. In a flat they are places of the blank as
// drawn.
type Hole struct {
	Face     string
	At       [2]unit.MM
	Diameter unit.MM
}

// Cutout is a straight-sided opening in a face, placed as a Hole is.
type Cutout struct {
	Face    string
	Outline [][2]unit.MM
}
