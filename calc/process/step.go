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
	NoseLine     [2]geom.Point2 // on the blank
	Stop         unit.Deg       // in the brake's own scale
	StopBend     unit.Deg
	Target       unit.Deg
	Springback   unit.Deg
	StopFrom     string
	Clearance    unit.MM   // least distance of the whole swing, between the two named
	Between      [2]string // empty when nothing comes near anything
	Tight        bool
	Flatten      string     // the second operation of a hem, in words; empty for other bends
	GaugeFrom    Touch      // what the nose line is measured from
	Gauge        unit.MM    // how far it lies from that; 0 for the pencilled line itself
	Checks       []Check    // the drawn sizes that can be measured from now on
	Leg          unit.MM    // the shorter drawn side of the angle; 0 if none is drawn
	Pose         geom.Frame // from the blank, as the clamped face lies in it, to the brake: x from the left end of its usable length
	ToolsAt      []ToolAt   // the bar, or the fingers from left to right
	Closes       []string   // what can no longer be done after this step, in words
	SlideOut     string     // left or right: the bar can only be slid out endwise; empty if it lifts out
	PackingStrip bool
	BarPlace     string    // where along the bend the brake ends and a slotted bar stands, in words; empty where it is not particular
	Hold         bend.Hold // of the magnet on the bar; all zero where no magnet holds it
	Cautions     []Caution
	Before       []Shape
	After        []Shape
}

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
