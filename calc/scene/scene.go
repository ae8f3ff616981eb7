// Package scene tells what is seen of a part in space, finished or half bent, alone
// or in the brake: every line with the stretches that nothing hides, and where a name
// stands on what is seen.
//
// The sheet has its real thickness and its bends their real radius. Every edge is
// cut where a surface that lies nearer to the viewer begins and ceases to cover it,
// and only what is left is a stroke; so a picture is right whatever the order of
// painting, and it can be plotted. Paper and screens only place the strokes.
package scene

import "brakeside/calc/geom"

// Picture is what is seen of a scene from one side, in millimetres of the part, y
// up. The origin means nothing.
type Picture struct {
	Strokes []Stroke
	Spots   []Spot
}

// Stroke is a straight line of which all is seen.
type Stroke struct {
	From, To geom.Point2
	Kind     Kind
}

// Kind is what a stroke is a line of.
type Kind string

// The kinds: metal that stays; metal that swings; a bar or finger, and lines that make
// its surface grey; bed and leaf; the way along which the metal swings; the line that
// the bar is laid on; the edge that this line is measured from. The last three lie
// over all else.
const (
	Metal Kind = "metal"
	Swing Kind = "swing"
	Tool  Kind = "tool"
	Shade Kind = "shade"
	Brake Kind = "brake"
	Way   Kind = "way"
	Nose  Kind = "nose"
	Gauge Kind = "gauge"
)

// Spot is a place in a picture that something is said of.
type Spot struct {
	What SpotKind
	Name string // of the face, or the bend, by the id of the part file
	At   geom.Point2
	Room float64 // half the height of the widest box around it that nothing else comes into
	Seen bool
	Side Side // of a face that stands while another one swings; else empty
}

// Side is where a face stands, as the operator sees it.
type Side string

// The sides.
const (
	AtLeft  Side = "left"
	AtRight Side = "right"
	Behind  Side = "behind"
	InFront Side = "front"
)

// SpotKind is what a spot is.
type SpotKind string

// The kinds: a face, the middle of a bend, the feature of the mirror check, the two
// ends of the distance that a nose line is measured by.
const (
	FaceSpot   SpotKind = "face"
	BendSpot   SpotKind = "bend"
	MirrorSpot SpotKind = "mirror"
	GaugeSpot  SpotKind = "gauge"
	NoseSpot   SpotKind = "nose"
)
