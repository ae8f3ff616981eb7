package dxf

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"brakeside/calc/geom"
)

// cutsNothing says of what is no line of a part why it is left out.
var cutsNothing = map[string]string{
	"TEXT": writing, "MTEXT": writing, "ATTDEF": writing, "ATTRIB": writing, "ACAD_TABLE": writing, "TABLE": writing,
	"DIMENSION": measures, "ARC_DIMENSION": measures, "LARGE_RADIAL_DIMENSION": measures, "LEADER": measures, "MLEADER": measures,
	"MULTILEADER": measures, "TOLERANCE": measures,
	"HATCH": filling, "SOLID": filling, "TRACE": filling, "WIPEOUT": filling, "IMAGE": filling, "OLE2FRAME": filling,
	"POINT": helping, "XLINE": helping, "RAY": helping, "VIEWPORT": helping, "SEQEND": helping, "VERTEX": helping,
}

// Why entities are left out, in words.
const (
	writing  = "writing cuts nothing"
	measures = "dimensions cut nothing"
	filling  = "fillings and pictures cut nothing"
	helping  = "points and lines without end cut nothing"
	onPaper  = "it lies on the paper, not in the drawing"
	unseen   = "it is hidden in the drawing"
	notAsked = "its layer was not asked for"
)

// aside says why an entity cuts nothing; empty for one that may.
func (r *reader) aside(e entityTags) string {
	switch {
	case cutsNothing[e.value] != "":
		return cutsNothing[e.value]
	case r.number(e.tags, 67) == 1:
		return onPaper
	case r.number(e.tags, 60) == 1:
		return unseen
	}
	return ""
}

// Kind is what an entity is, in words of the trade.
type Kind struct{ One, Many string }

// Of words a count of them.
func (k Kind) Of(count int) string {
	if count == 1 {
		return "1 " + k.One
	}
	return fmt.Sprint(count, " ", k.Many)
}

var kinds = map[string]Kind{
	"LINE": {"line", "lines"}, "ARC": {"arc", "arcs"}, "CIRCLE": {"circle", "circles"}, "LWPOLYLINE": polylines, "POLYLINE": polylines,
	"ELLIPSE": {"ellipse", "ellipses"}, "SPLINE": {"spline", "splines"}, "INSERT": {"block", "blocks"},
	"TEXT": texts, "MTEXT": texts, "ATTDEF": texts, "ATTRIB": texts, "DIMENSION": {"dimension", "dimensions"},
	"HATCH": {"hatching", "hatchings"}, "SOLID": {"filled patch", "filled patches"}, "POINT": {"point", "points"},
}

var polylines, texts = Kind{"polyline", "polylines"}, Kind{"text", "texts"}

// Tally is how many entities of a kind were used or left out, and why.
type Tally struct {
	Kind  Kind // as the file calls it where there is no word for it
	Count int
	Layer string      // of what was left out
	Why   string      // in words; empty for what was used
	At    geom.Point2 // the first of them, in millimetres
}

// Account tells what became of all that a drawing holds: what was used of it, by
// kind, and what was left out, by layer, kind and reason, in the order of the file.
func (s Sorted) Account() (used, left []Tally) {
	asked := slices.Concat(s.Outline, s.Up, s.Down)
	for _, shape := range s.Drawing.Shapes {
		if slices.ContainsFunc(asked, func(layer string) bool { return strings.EqualFold(layer, shape.Layer) }) {
			used = tallied(used, shape.tally("", ""))
			continue
		}
		left = tallied(left, shape.tally(shape.Layer, cmp.Or(shape.Unread, notAsked)))
	}
	for _, shape := range s.Drawing.Aside {
		left = tallied(left, shape.tally(shape.Layer, shape.Unread))
	}
	return used, left
}

func (s Shape) tally(layer, why string) Tally {
	t := Tally{Kind: cmp.Or(kinds[s.Kind], Kind{s.Kind, s.Kind}), Count: 1, Layer: layer, Why: why}
	switch {
	case s.Radius > 0:
		t.At = s.Centre
	case len(s.Points) > 0:
		t.At = s.Points[0]
	}
	return t
}

// tallied adds one to its kind.
func tallied(all []Tally, one Tally) []Tally {
	for i := range all {
		if t := &all[i]; t.Kind == one.Kind && t.Why == one.Why && strings.EqualFold(t.Layer, one.Layer) {
			t.Count++
			return all
		}
	}
	return append(all, one)
}
