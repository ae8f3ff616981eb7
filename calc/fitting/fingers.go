package fitting

import (
	"brakeside/calc/brake"
	"brakeside/calc/clamp"
	"brakeside/calc/clash"
)

// fingers chooses fingers that stand clear and can all be put in and taken out
// again; it returns why there are none, or nothing.
func (t *trial) fingers(w *way, bar *brake.Bar, swing *gathered) string {
	reachable := func(group []clamp.Segment, room clamp.Span) bool {
		return t.lifted(w, group, room, clash.LiftIn) &&
			t.lifted(w, group, room, clash.LiftOut)
	}
	walls := swing.walls()
	segments, found := t.shelves[w.bar]().Fingers(float64(t.bench.Length), walls, reachable)
	switch {
	case segments == nil && found:
		return "trapped, no set can be put in and taken out again"
	case segments == nil:
		return "no set on the shelf fits beside what stands"
	}
	w.segments, w.key = segments, segmentKey(segments)
	for _, g := range segments {
		span := clamp.Span{Low: g.At, High: g.At + float64(g.Width)}
		t.note(w, &body{name: "finger " + g.Width.Text(0), span: span, finger: true, met: swing}, clamp.ToFace(span, walls))
	}
	return ""
}
