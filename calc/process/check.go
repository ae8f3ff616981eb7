package process

import (
	"brakeside/calc/flat"
	"brakeside/calc/tolerance"
	"brakeside/calc/unit"
)

// Touch is something that a rule, a caliper or a square is laid on.
type Touch struct {
	Kind TouchKind
	Face string // whose edge or outer face it is; empty for the pencilled line
	Bend string // of OutsideOfBend
}

// TouchKind is one of the things that can be touched.
type TouchKind string

// A sheared edge; the outer face beyond a made bend, which stands square to what
// is measured; the nose line as it was pencilled on the flat blank.
const (
	ShearedEdge   TouchKind = "sheared-edge"
	OutsideOfBend TouchKind = "bend"
	PencilledLine TouchKind = "line"
)

// Words names it, by the names of the part file.
func (t Touch) Words(b *flat.Blank) string {
	switch t.Kind {
	case ShearedEdge:
		return "the sheared edge of " + b.Word(t.Face)
	case OutsideOfBend:
		return "the outside of bend " + b.Word(t.Bend)
	}
	return "the pencilled line"
}

// Check is one size to measure once a step is made, as the part file draws it.
type Check struct {
	Size  unit.MM
	Kind  CheckKind
	Face  string
	To    Touch           // the far end; the near one is the bend of the step
	Chain tolerance.Chain // between what the step is gauged from and the size, see Likely
}

// CheckKind tells which size of a face is measured.
type CheckKind string

// The drawn leg of a face; the base of a tray over its walls; the width of a hem
// when it is flat.
const (
	LegCheck     CheckKind = "leg"
	OverallCheck CheckKind = "overall"
	HemCheck     CheckKind = "hem"
)

// Words names the size.
func (c Check) Words(b *flat.Blank) string {
	switch c.Kind {
	case OverallCheck:
		return b.Word(c.Face) + " overall, to " + c.To.Words(b)
	case HemCheck:
		return "width of the " + b.Word(c.Face) + " when it is flat"
	}
	return b.Word(c.Face) + " as drawn, to " + c.To.Words(b)
}
