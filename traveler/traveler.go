// Package traveler holds a frozen plan: the sheet that goes to the brake. Once
// made it never changes.
//
// Freeze rounds every number once, to whole micrometres and hundredths of a
// degree. Encode writes the result with one fixed field order and Digest is the
// SHA-256 of those bytes, so that equal input gives equal bytes on every
// machine. The printed sheet and the operator's pages read only the Traveler,
// never the live part. Time, author, code and address are given by the caller.
package traveler

import (
	"cmp"

	"brakeside/calc/unit"
)

// Curve is a run of corners of the blank that stands for an arc: from corner
// From of a ring on, Chords edges. Ring 0 is the outline, ring n the n-th hole. A
// round hole is one curve all round. Radius 0 is a drawn curve that is no arc; its
// chords are cut as they are.
type Curve struct {
	Ring   int         `json:"ring"`
	From   int         `json:"from"`
	Chords int         `json:"chords"`
	Centre Point       `json:"centre"`
	Radius unit.Micron `json:"radius"`
}

// Form is the version of the encoding. A new form gets a new number, and the
// decoder of the old one stays for ever.
const Form = 1

// Traveler is one issued sheet.
type Traveler struct {
	Form     int    `json:"form"`
	Code     string `json:"code"`    // what the QR code ends in; see NewCode
	Address  string `json:"address"` // the whole address in the QR code
	Shop     string `json:"shop"`
	Job      string `json:"job"`
	Quantity int    `json:"quantity"`
	Run      string `json:"run"`       // by-step or by-piece
	IssuedAt string `json:"issued_at"` // RFC 3339, UTC
	IssuedBy string `json:"issued_by"`
	Paper    string `json:"paper"`              // a4 or letter
	Units    string `json:"units,omitempty"`    // in for a shop that reads inches; empty: millimetres
	Pack     string `json:"pack,omitempty"`     // the sheet it is cut from; empty: not said
	NewPack  bool   `json:"new_pack,omitempty"` // nothing was bent from it yet: an offcut is bent first

	Part     Part      `json:"part"`
	Brake    Brake     `json:"brake"`
	Blank    Blank     `json:"blank"`
	Steps    []Step    `json:"steps"`
	Cautions []Caution `json:"cautions"` // true of the whole part, not of one step
	Minutes  int64     `json:"minutes"`  // hundredths of a minute a piece, planned
	Proven   bool      `json:"proven"`   // the order is proven the cheapest
	// MirrorCheck names a feature that lies on one side, as it must lie when the
	// first bend comes up.
	MirrorCheck string   `json:"mirror_check,omitempty"`
	MirrorMark  *Point   `json:"mirror_mark,omitempty"` // where it lies on the blank; none for a bend line
	Finished    *Picture `json:"finished,omitempty"`    // none in older travelers
}

// In is the system of units that lengths are printed in.
func (t *Traveler) In() unit.System {
	if t.Units == unit.Inch.String() {
		return unit.Inch
	}
	return unit.Metric
}

// Part is what is made and from what.
type Part struct {
	Number         string        `json:"number"`
	Title          string        `json:"title"`
	Revision       string        `json:"revision"`
	MaterialID     string        `json:"material_id"`
	Material       string        `json:"material"` // in words
	Family         string        `json:"family"`   // mild-steel, stainless, aluminium, copper
	Magnetic       bool          `json:"magnetic"` // a magnet holds it
	Thickness      unit.Micron   `json:"thickness"`
	InsideRadius   unit.Micron   `json:"inside_radius"`
	AngleTolerance unit.CentiDeg `json:"angle_tolerance"`
	SizeTolerance  unit.Micron   `json:"size_tolerance"`
	Sizes          string        `json:"sizes"`                 // outside, inside, or blank for a part drawn as its blank
	PastSquare     string        `json:"past_square,omitempty"` // apex or tangent: where sizes end past 90 degrees, if bends go there
	MarkedFace     string        `json:"marked_face"`
	Grain          string        `json:"grain"` // x, y or empty
}

// Brake is the machine the sheet was planned for.
type Brake struct {
	Name      string        `json:"name"`
	Reads     string        `json:"reads"` // bend or opening: what the stop's scale shows
	Zero      unit.CentiDeg `json:"zero"`
	MaxAngle  unit.CentiDeg `json:"max_angle"`              // most bend angle the leaf reaches
	Magnet    bool          `json:"magnet"`                 // bars are held by a magnet
	Foot      bool          `json:"foot_control,omitempty"` // a foot control moves the leaf
	TwoHand   bool          `json:"two_hand,omitempty"`     // the clamp is switched on with both hands
	FullFace  unit.Micron   `json:"full_face"`
	SlimFace  unit.Micron   `json:"slim_face"`
	LeafDepth unit.Micron   `json:"leaf_depth"`
}

// Blank is the flat piece to cut: x to the right, y up, the origin at the
// datum corner (left, lower), seen from face A.
type Blank struct {
	Width    unit.Micron   `json:"width"`
	Height   unit.Micron   `json:"height"`
	Diagonal unit.Micron   `json:"diagonal"` // of the bounding rectangle: measure both
	Area     int64         `json:"area"`     // mm2
	Grams    int64         `json:"grams"`
	SumSizes unit.Micron   `json:"sum_sizes"` // outside sizes added up, for profiles: the blank must be smaller; 0 if unknown
	Outline  []Point       `json:"outline"`
	Holes    [][]Point     `json:"holes"`
	Curves   []Curve       `json:"curves,omitempty"` // which corners of these stand for arcs
	Lines    []BendLine    `json:"lines"`
	Faces    []Face        `json:"faces,omitempty"` // none in older travelers
	RunningX []unit.Micron `json:"running_x"`       // from the left datum edge: cuts, tangents, nose lines
	RunningY []unit.Micron `json:"running_y"`       // from the lower datum edge
}

// Face is one face between the bends: its name, its largest piece without dents,
// and its outside sizes square to its bends.
type Face struct {
	Name  string        `json:"name"`
	Piece []Point       `json:"piece"`
	Sizes []unit.Micron `json:"sizes"`
}

// BendLine is one bend on the blank. Up means folding towards face A.
type BendLine struct {
	Bend      string        `json:"bend"`
	Word      string        `json:"word,omitempty"` // what people read for Bend
	Step      int           `json:"step"`           // the step that makes it
	Up        bool          `json:"up"`
	Angle     unit.CentiDeg `json:"angle"`
	Radius    unit.Micron   `json:"radius"`
	Allowance unit.Micron   `json:"allowance"`
	Deduction unit.Micron   `json:"deduction"`
	KFactor   int64         `json:"k"` // thousandths
	KRule     string        `json:"k_rule"`
	Line      [2]Point      `json:"line"`     // middle of the bend zone
	Tangents  [2][2]Point   `json:"tangents"` // where the bend zone begins and ends
	Nose      [2]Point      `json:"nose"`     // where the bar's nose edge is laid
}

// BendWord is what people read for the bend.
func (l BendLine) BendWord() string { return cmp.Or(l.Word, l.Bend) }

// Leaf modes and places, as they are worded in plans.
const (
	FullLeaf  = "full"
	SlimLeaf  = "slim"
	Middle    = "middle"
	PastLeft  = "past-left"
	PastRight = "past-right"
	ByStep    = "by-step"
	ByPiece   = "by-piece"
)

// Step is one bend in the order it is made.
type Step struct {
	Number      int           `json:"number"`
	Bend        string        `json:"bend"`
	Word        string        `json:"word,omitempty"`      // what people read for Bend; see BendWord
	TurnOver    bool          `json:"turn_over"`           // about the bend line, before this step
	Over        string        `json:"over,omitempty"`      // how that is done: front to back, or left to right
	Rotate      int           `json:"rotate"`              // degrees anticlockwise seen from above, after turning over, to the nearest quarter
	RotateBy    int           `json:"rotate_by,omitempty"` // the same as it is, where a bend lies askew; see Turned
	Tip         bool          `json:"tip,omitempty"`       // until Clamped, which stands up, lies on the bed
	FaceUp      string        `json:"face_up"`             // A or B
	Clamped     string        `json:"clamped"`             // the face under the bar
	Swinging    string        `json:"swinging"`            // the face that is bent up
	Bar         string        `json:"bar"`
	BarGrams    int64         `json:"bar_grams"`           // weight of a full bar, 0 if not known
	Segments    []Segment     `json:"segments"`            // left to right; empty for a full bar
	Leaf        string        `json:"leaf"`                // full or slim
	Place       string        `json:"place"`               // middle, past-left, past-right
	SlideOut    string        `json:"slide_out"`           // left or right: the only way out after the bend; empty if it lifts out
	Packing     bool          `json:"packing"`             // a strip of the same gauge goes under the back of the bar
	BarPlace    string        `json:"bar_place,omitempty"` // where along the bend the brake ends and a slotted bar stands, in words
	Gaps        []Gap         `json:"gaps,omitempty"`      // from the ends of a set of fingers to what stands there
	Length      unit.Micron   `json:"length"`              // of the bend
	NoseSetback unit.Micron   `json:"nose_setback"`
	ContactLine unit.Micron   `json:"contact_line,omitempty"` // of a round bar, behind the hinge: what is laid on the nose line
	Stop        unit.CentiDeg `json:"stop"`                   // in the brake's own scale
	StopBend    unit.CentiDeg `json:"stop_bend"`              // the same as a bend angle
	Springback  unit.CentiDeg `json:"springback"`             // expected, degrees
	StopFrom    string        `json:"stop_from"`              // where the springback figure comes from
	Target      unit.CentiDeg `json:"target"`                 // bend angle, always positive
	Flatten     string        `json:"flatten,omitempty"`      // the second doing of a hem in words; only in travelers that have no Flattening
	Flattening  *Flattening   `json:"flattening,omitempty"`
	Tolerance   unit.CentiDeg `json:"tolerance"`
	GaugeEdge   string        `json:"gauge_edge"` // only in older travelers: GaugeFrom in words
	GaugeFrom   *Touch        `json:"gauge_from,omitempty"`
	Gauge       unit.Micron   `json:"gauge"`               // distance from that to the nose line; 0 for the pencilled line itself
	BackStop    unit.Micron   `json:"back_stop,omitempty"` // where the back stop is set against it, behind the hinge line; 0: it is not used
	CheckSize   string        `json:"check_size"`          // only in older travelers: the one size to check, in words
	Check       unit.Micron   `json:"check"`
	Checks      []Check       `json:"checks,omitempty"`   // the drawn sizes to check after this step
	Leg         unit.Micron   `json:"leg,omitempty"`      // the shorter drawn side of the angle
	ToolsAt     []ToolAt      `json:"tools_at,omitempty"` // from the left end of the brake's usable length
	Clearance   unit.Micron   `json:"clearance"`          // least distance in the whole swing
	Between     [2]string     `json:"between"`            // the two things it is between
	Tight       bool          `json:"tight"`
	Before      []Shape       `json:"before"` // end views, seen from the operator's right
	After       []Shape       `json:"after"`
	Bench       *Picture      `json:"bench,omitempty"` // the part half bent in the brake; none in older travelers
	Lay         *Picture      `json:"lay,omitempty"`   // the part as it is laid there, from above
	Cautions    []Caution     `json:"cautions"`
}

// BendWord is what people read for the bend of the step. Older travelers have no
// word beside the id.
func (s Step) BendWord() string { return cmp.Or(s.Word, s.Bend) }

// Turned is how far the part is rotated before the step, anticlockwise seen from
// above, more than -180 to 180 degrees.
func (s Step) Turned() int {
	switch {
	case s.RotateBy != 0:
		return s.RotateBy
	case s.Rotate > 180:
		return s.Rotate - 360
	}
	return s.Rotate
}

// Flattening is the second doing of a hem: the edge that the leaf turned up is
// pressed flat under the same bar.
type Flattening struct {
	Face    string      `json:"face"`              // the edge that is laid over
	Onto    string      `json:"onto"`              // the face that it is laid onto
	Back    unit.Micron `json:"back"`              // by which the part is pushed back, so that the fold lies under the nose
	Strip   unit.Micron `json:"strip,omitempty"`   // thickness of the strip in the hem; 0: onto itself
	Packing unit.Micron `json:"packing,omitempty"` // thickness of the strip under the back of the bar; 0: none
	OnBed   bool        `json:"on_bed,omitempty"`  // that strip lies on the bed, no sheet reaches there
	Width   unit.Micron `json:"width"`             // of the flat hem, from its fold to the sheared edge
	Mallet  bool        `json:"mallet,omitempty"`  // a magnet holds the bar, which may not press it quite shut
	Before  []Shape     `json:"before"`            // end views: begun with the bar above it, and flat under the bar
	After   []Shape     `json:"after"`
}

// Touch is what a rule or a caliper is laid on. The bend is the one whose outside
// it is, with the step that makes it.
type Touch struct {
	Kind string `json:"kind"` // one of the kinds below
	Face string `json:"face,omitempty"`
	Bend string `json:"bend,omitempty"`
	Step int    `json:"step,omitempty"`
}

// What is touched.
const (
	ShearedEdge   = "sheared-edge"
	OutsideOfBend = "bend"
	PencilledLine = "line"
)

// Check is a drawn size that can be measured once a step is made.
type Check struct {
	Size unit.Micron `json:"size"`
	Kind string      `json:"kind"` // one of the kinds below
	Face string      `json:"face"`
	To   Touch       `json:"to"` // its far end
}

// Which size of a face is checked.
const (
	LegCheck     = "leg"
	OverallCheck = "overall"
	HemCheck     = "hem"
)

// ShorterLeg is the shorter side of the angle that a step bends, 0 where it is
// not known; older travelers have the size that is checked.
func (s Step) ShorterLeg() unit.Micron {
	if s.Leg > 0 {
		return s.Leg
	}
	return s.Check
}

// ToolAt is where a bar or a finger lies along the brake.
type ToolAt struct {
	Tool string      `json:"tool"`
	From unit.Micron `json:"from"`
	To   unit.Micron `json:"to"`
}

// Segment is one finger of a segmented bar: its width and where its left edge
// stands, from the left end of the bend.
type Segment struct {
	Width unit.Micron `json:"width"`
	At    unit.Micron `json:"at"`
}

// Gap is how far what stands beside a set of fingers is from its end.
type Gap struct {
	Side string      `json:"side"` // left or right
	Face string      `json:"face"` // that stands there
	Wide unit.Micron `json:"wide"`
}

// Shape is one body of an end view, cut square to the bend. X runs from the
// hinge to the back, away from the operator; Y runs up from the bed.
type Shape struct {
	Role   string  `json:"role"` // one of the Role words
	Points []Point `json:"points"`
}

// What a Shape is.
const (
	RoleBed      = "bed"
	RoleLeaf     = "leaf"
	RoleBar      = "bar"
	RoleClamped  = "clamped"
	RoleSwinging = "swinging"
	RoleStrip    = "strip" // laid into a hem or under the back of a bar
)

// Caution is a risk the operator should know of. Level is one of the signal
// words of ANSI Z535.4, or notice for damage to work and machine only.
type Caution struct {
	Level string `json:"level"` // danger, warning, caution, notice
	Text  string `json:"text"`
}

// The levels of a Caution.
const (
	Danger  = "danger"
	Warning = "warning"
	Care    = "caution"
	Notice  = "notice"
)
