package traveler

import (
	"brakeside/calc/scene"
	"brakeside/calc/unit"
)

// Picture is what is seen of the part, alone or in the brake: every stroke is in
// sight from end to end. X runs to the right, Y up; the origin means nothing, and
// along the brake a long part may be shortened.
type Picture struct {
	Strokes []Strokes `json:"strokes"`
	Spots   []Spot    `json:"spots"`
}

// Strokes are the straight lines of one kind: x and y of one end and of the other.
type Strokes struct {
	Kind  string           `json:"kind"` // one of the Stroke words
	Lines [][4]unit.Micron `json:"lines"`
}

// What a stroke is a line of.
const (
	StrokeMetal = string(scene.Metal)
	StrokeSwing = string(scene.Swing) // metal that swings
	StrokeTool  = string(scene.Tool)  // a bar or a finger
	StrokeShade = string(scene.Shade) // across it, to make it grey
	StrokeBrake = string(scene.Brake) // bed and leaf
	StrokeWay   = string(scene.Way)   // of what swings
	StrokeNose  = string(scene.Nose)  // the line the bar is laid on
	StrokeGauge = string(scene.Gauge) // what that line is measured from
)

// Spot is a place in a picture that something is said of.
type Spot struct {
	What string      `json:"what"` // one of the Spot words
	Name string      `json:"name,omitempty"`
	Step int         `json:"step,omitempty"` // that makes the bend
	At   Point       `json:"at"`
	Room unit.Micron `json:"room,omitempty"` // half the height that a name has there
	Seen bool        `json:"seen"`
	Side string      `json:"side,omitempty"` // where a face stands: left, right, behind or front, as the operator sees it
}

// What a spot is.
const (
	SpotFace   = string(scene.FaceSpot)
	SpotBend   = string(scene.BendSpot)
	SpotMirror = string(scene.MirrorSpot)
	SpotGauge  = string(scene.GaugeSpot)
	SpotNose   = string(scene.NoseSpot)
)
