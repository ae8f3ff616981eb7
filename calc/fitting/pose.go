package fitting

import (
	"strconv"

	"brakeside/calc/fold"
	"brakeside/calc/geom"
	"brakeside/calc/process"
	"brakeside/calc/unit"
)

// Pose takes the blank, as the clamped face lies in it, to the brake when the
// bend begins: x from the left end of the brake's usable length.
func (c *Chosen) Pose() geom.Frame {
	return c.Bench.OnBrake().Then(geom.Shift(geom.Point3{X: -c.Bed}))
}

// ToolsAt says where the bar lies, or every finger, from the left end of the
// brake's usable length.
func (c *Chosen) ToolsAt() []process.ToolAt {
	if c.Segments == nil {
		return []process.ToolAt{{Tool: c.Bar.Name, From: unit.MM(c.Lies.Low - c.Bed), To: unit.MM(c.Lies.High - c.Bed)}}
	}
	var out []process.ToolAt
	for _, s := range c.Segments {
		at := unit.MM(s.At - c.Bed)
		out = append(out, process.ToolAt{Tool: fingerName(s.Width), From: at, To: at + s.Width})
	}
	return out
}

// fingerName is the width of a finger, which is marked on it.
func fingerName(width unit.MM) string {
	return strconv.FormatFloat(float64(width.Micron())/1000, 'f', -1, 64)
}

// Stands reports whether a face stands up, or lies upside down, while another one
// lies on the bed.
func (c *Chosen) Stands(face, lies string) bool {
	blank := c.Bench.Blank
	at := fold.NewTree(blank, blank.FaceIndex(lies)).Place(c.Made)[blank.FaceIndex(face)]
	return at.Turn(geom.Point3{Z: 1}).Z < level
}

// level is the least cosine at which a face counts as lying flat.
const level = 0.999
