package fitting

import (
	"strings"

	"brakeside/calc/brake"
	"brakeside/calc/clamp"
	"brakeside/calc/process"
)

// way is one way to make one bend.
type way struct {
	bar       int
	segments  []clamp.Segment
	leaf      brake.Slimness
	place     process.Place
	key       string // of the fingers
	slideOut  string
	bed       float64    // where the brake's usable length begins, from the left end of the bend
	lies      clamp.Span // a bar in one piece, from the left end of the bend
	inside    float64    // how far the brake ends inside the end of the bend that hangs past it, or below 0 outside
	play      float64    // by how much it may be placed off along the brake, either way, where only the eye places it
	gap       float64    // along the brake, between the end of what clamps or carries and what stands beside it
	at        float64    // of the left end of a slotted bar, from that of the bend
	slots     []int      // of a slotted bar that take a wall in, from 1 at its left
	clearance float64
	between   [2]string
	endwise   bool // the clearance lies along the bend
	curve     bool // and it is to the curve of a bend
}

// segmentKey tells finger sets apart.
func segmentKey(segments []clamp.Segment) string {
	if segments == nil {
		return ""
	}
	var b strings.Builder
	for i, s := range segments {
		if i > 0 {
			b.WriteByte('+')
		}
		b.WriteString(s.Width.Text(2))
	}
	return b.String()
}

// segmentCount counts the fingers of a key.
func segmentCount(key string) int {
	if key == "" {
		return 0
	}
	return strings.Count(key, "+") + 1
}
