// Package scene tells what is seen of a part in space, finished or half bent, alone
// or in the brake: every line with the stretches that nothing hides, and where a name
// stands on what is seen.
//
// The sheet has its real thickness and its bends their real radius. Every edge is
// cut where a surface that lies nearer to the viewer begins and ceases to cover it,
// and only what is left is a stroke; so a picture is right whatever the order of
// painting, and it can be plotted. Paper and screens only place the strokes.
package scene

import (
	"math"

	"brakeside/calc/flat"
	"brakeside/calc/fold"
	"brakeside/calc/geom"
)

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
	Room float64 // radius around it in which nothing hides what it stands on
	Seen bool
}

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

// nominal is the size on paper, in millimetres, that a picture is made for: what
// would be closer together there than two lines is drawn as one.
const nominal = 45.0

// What must be so far apart on paper, in millimetres, to be drawn as two lines: the
// two ends of a bend, and the two faces of the sheet.
const (
	twoEnds  = 1.2
	twoFaces = 0.7
)

// stage is a part at one moment.
type stage struct {
	blank  *flat.Blank
	tree   *fold.Tree
	shares []float64  // by joint: 0 is flat, 1 is made
	pose   geom.Frame // from the blank, as the root of the tree lies in it, into the scene
	moving fold.Made  // the joints that are being bent
}

// swings reports whether a face moves.
func (s *stage) swings(face int) bool { return s.tree.Path[face]&s.moving != 0 }

// settled is a stage with some joints made, the root lying as in the blank.
func settled(b *flat.Blank, root int, made fold.Made) *stage {
	s := &stage{blank: b, tree: fold.NewTree(b, root), shares: make([]float64, len(b.Joints)), pose: geom.Fixed}
	for i := range s.shares {
		if made.Has(i) {
			s.shares[i] = 1
		}
	}
	return s
}

// largest is the face of the largest area.
func largest(b *flat.Blank) int {
	best, most := 0, 0.0
	for i, f := range b.Faces {
		sum := 0.0
		for _, g := range f.Solid {
			sum += g.Area()
		}
		if sum > most+geom.Near {
			best, most = i, sum
		}
	}
	return best
}

// scale is how large the picture of some surfaces comes out on paper.
func (c *scene) scale() float64 {
	var all []geom.Point2
	for _, s := range c.segments {
		a, _ := c.camera.see(s.from)
		b, _ := c.camera.see(s.to)
		all = append(all, a, b)
	}
	low, high := geom.Bounds(all...)
	size := high.Sub(low)
	return nominal / math.Max(math.Max(size.X, size.Y), 1e-6)
}
