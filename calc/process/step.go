package process

import (
	"brakeside/calc/bend"
	"brakeside/calc/brake"
	"brakeside/calc/geom"
	"brakeside/calc/tolerance"
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
	NoseLine     [2]geom.Point2 // on the blank
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
