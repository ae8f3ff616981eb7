package drawing

import (
	"brakeside/calc/fault"
	"brakeside/calc/geom"
)

// Snap is how far apart two places of a drawing may lie and still be meant as
// one, in millimetres (common practice, no source).
const Snap = 0.05

// Line is a straight line of a drawing.
type Line [2]geom.Point2

// Blank is a drawn blank. Either way round, the rings must not cross
// themselves or each other.
type Blank struct {
	Outline  geom.Polygon
	Openings []geom.Polygon
	Bends    []Line
}

// Face is one flat piece: its outline, anticlockwise, and the openings that lie
// wholly inside it, by number.
type Face struct {
	Outline  geom.Polygon
	Openings []int
}

// Piece is a stretch of a bend line between two faces: Faces[0] lies to the
// left of the line, Faces[1] to the right.
type Piece struct {
	Bend  int
	Line  Line
	Faces [2]int
}

// Cut is a blank cut along its bend lines.
type Cut struct {
	Faces  []Face
	Pieces []Piece
}

// cutter is a cut under way. Edges run so that the sheet lies at their left;
// a piece of a bend line is two edges, there and back.
type cutter struct {
	rings  []geom.Polygon
	edges  []edge // of all rings
	pieces []Piece
	stops  [][]stop // by edge of a ring, where pieces end on it
	half   []halfEdge
	loops  []geom.Polygon // the boundaries of faces, and of openings that no bend touches
	err    error
}

// edge is one edge of a ring.
type edge struct{ from, to geom.Point2 }

// stop is the end of a piece on an edge, at a share of its length.
type stop struct {
	at float64
	p  geom.Point2
}

// halfEdge is an edge with the sheet at its left.
type halfEdge struct {
	from, to geom.Point2
	piece    int // -1 for a piece of a ring
	forward  bool
	loop     int // -1 before it is walked
}

func (c *cutter) refuse(format string, values ...any) {
	if c.err == nil {
		c.err = fault.New(fault.Invalid, "", format, values...)
	}
}
