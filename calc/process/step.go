package process

import (
	"brakeside/calc/bend"
	"brakeside/calc/brake"
	"brakeside/calc/geom"
	"brakeside/calc/unit"
)

// Step is one bend in the order it is made. Bends on one line that are made
// together are one step.
type Step struct {
	Number       int
	Bends        []string // the bends made, the first names the step
	Joints       []int
	TurnOver     bool
	Over         Over // how that is done at the brake
	Rotate       int  // degrees anticlockwise seen from above, after turning over, to the nearest quarter
	RotateBy     int  // the same as it is, more than -180 to 180
	Tip          bool // until Clamped, which stands up from what was clamped before, lies on the bed
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
	Flatten      *Flatten   // the second doing of a hem; nil for other bends
	GaugeFrom    Touch      // what the nose line is measured from
	Gauge        unit.MM    // how far it lies from that; 0 for the pencilled line itself
	BackStop     unit.MM    // behind the hinge line, where the back stop is set against GaugeFrom; 0 where none is used
	Checks       []Check    // the drawn sizes that can be measured from now on
	Leg          unit.MM    // the shorter drawn side of the angle; 0 if none is drawn
	Pose         geom.Frame // from the blank, as the clamped face lies in it, to the brake: x from the left end of its usable length
	ToolsAt      []ToolAt   // the bar, or the fingers from left to right
	Closes       []string   // what can no longer be done after this step, in words
	SlideOut     string     // left or right: the bar can only be slid out endwise; empty if it lifts out
	PackingStrip bool
	Gaps         []Gap     // from the ends of a set of fingers to what stands there
	BarPlace     string    // where along the bend the brake ends and a slotted bar stands, in words; empty where it is not particular
	Hold         bend.Hold // of the magnet on the bar; all zero where no magnet holds it
	WouldHold    string    // what would hold a bar that lifts, in words; empty where it holds or nothing is known that would
	Cautions     []Caution
	Before       []Shape
	After        []Shape
}

// LineSetback is how far behind the hinge the line of the bar lies that is laid on
// the line of the blank, see brake.Gauged: both lie there when the bend begins.
func (s *Step) LineSetback() unit.MM { return s.NoseSetback + s.Bar.Gauged().Behind }

// Flatten is how the edge that was turned up is pressed flat under the same bar:
// the part is pushed back until the fold lies under the nose, the strips are laid,
// the bar comes straight down (common practice, no source). All lengths are
// millimetres.
type Flatten struct {
	Face         string  // the edge that is laid over
	Onto         string  // the face that it is laid onto
	Back         unit.MM // by which the part is pushed back from where it was bent
	Strip        unit.MM // thickness of the strip in the hem, 0: onto itself
	Packing      unit.MM // thickness of the strip under the back of the bar, 0 for none
	PackingOnBed bool    // it lies on the bed, no sheet reaches there
	Width        unit.MM // of the flat hem, from its fold to the sheared edge
	Mallet       bool    // a magnet holds the bar, which may not press it quite shut
	Before       []Shape // begun, with the bar above it
	After        []Shape // flat under the bar
}

// Over is how a part is turned over, as the operator sees it.
type Over string

// The ways: about a line along the brake, or across it.
const (
	FrontToBack Over = "front to back"
	LeftToRight Over = "left to right"
)

// Segment is one finger and where its left edge stands from the left end of
// the bend.
type Segment struct {
	Width, At unit.MM
}

// ToolAt is where a bar or a finger lies along the brake, from the left end of
// its usable length. A finger is named by its width.
type ToolAt struct {
	Tool     string
	From, To unit.MM
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

// Gap is how far a face that stands beside a set of fingers is from its end; Word names
// the face.
type Gap struct {
	Side string // left or right
	Word string
	Wide unit.MM
}
