package sheet

import (
	"testing"

	"brakeside/calc/unit"
	"brakeside/traveler"
)

func TestWords(t *testing.T) {
	step := traveler.Step{
		Bar: "fingers", Leaf: traveler.SlimLeaf, Place: traveler.PastLeft, Target: deg(45), Tolerance: deg(0.5), FaceUp: "B",
		Segments:  []traveler.Segment{{Width: mm(68)}, {Width: mm(22.5)}},
		GaugeEdge: "the sheared edge of base", Springback: deg(2.5), StopFrom: "6 readings", Stop: deg(137.5),
		Clamped: "base", Swinging: "lip", Clearance: mm(0.84),
	}
	tight := step
	tight.Tight = true
	cases := []struct{ name, got, want string }{
		{"target", targetWords(step), "→ part 45.0° ±0.5"},
		{"opening of the same", openingWords(step), "(opening 135.0°)"},
		{"springback", springbackWords(step), "springback 2.5°: 6 readings"},
		{"springback of unknown source", springbackWords(traveler.Step{Springback: deg(1)}), "springback 1.0°"},
		{"bar", barWords(step), "fingers 68 + 22.5, SLIM leaf face, past the LEFT end"},
		{"full bar", barWords(traveler.Step{Bar: "wide", Leaf: traveler.FullLeaf, Place: traveler.PastRight}), "wide, full leaf face, past the RIGHT end"},
		{"gauge", gaugeWords(step), "from the sheared edge of base"},
		{"clamped", clampedWords(step), "clamp base, swing lip"},
		{"tight", tightWords(tight), "TIGHT 0.8 mm"},
		{"turn over", turnOverWords(step), "TURN OVER on the bend line: face B up"},
		{"quarter turn", rotateWords(90), "ROTATE 90° anticlockwise"},
		{"quarter turn back", rotateWords(270), "ROTATE 90° clockwise"},
		{"half turn", rotateWords(180), "ROTATE 180°, end for end"},
		{"odd turn", rotateWords(45), "ROTATE 45° anticlockwise"},
		{"other bar", changeBarWords(traveler.Step{Bar: "wide"}, step), "CHANGE BAR to fingers"},
		{"other fingers", changeBarWords(traveler.Step{Bar: "fingers"}, step), "RESET fingers to 68 + 22.5"},
		{"slim leaf", changeLeafWords(step), "LEAF: take the extension off, slim face"},
		{"full leaf", changeLeafWords(traveler.Step{Leaf: traveler.FullLeaf}), "LEAF: put the extension on, full face"},
		{"past the left end", placeWords(traveler.PastLeft), "MOVE the part past the LEFT end of the brake"},
		{"past the right end", placeWords(traveler.PastRight), "MOVE the part past the RIGHT end of the brake"},
		{"middle again", placeWords(traveler.Middle), "MOVE the part back to the middle of the brake"},
		{"bend up", bendWords(traveler.BendLine{Up: true, Angle: deg(90)}), "UP 90°"},
		{"bend down", bendWords(traveler.BendLine{Angle: deg(22.5)}), "DOWN 22.5°"},
		{"nose", noseWords(3, mm(121.55)), "3: 121.6"},
		{"datum", sizeWords(0), "0"},
		{"size", sizeWords(mm(0.04)), "0.0"},
		{"scale", scaleWords(5), "scale 1:5"},
		{"half scale", scaleWords(2.5), "scale 1:2.5"},
		{"full size", scaleWords(1), "scale 1:1"},
		{"enlarged", scaleWords(0.5), "scale 2:1"},
		{"code", grouped("ABCDEFGHJKMN23456"), "ABCD EFGH JKMN 23456"},
		{"no code", grouped(""), ""},
		{"issued", issuedWords(&traveler.Traveler{Shop: "Drip & Rail", IssuedAt: "2026-05-04T09:30:00Z", IssuedBy: "RD"}), "Drip & Rail · issued 2026-05-04 09:30 UTC by RD"},
		{"job", jobWords(&traveler.Traveler{Job: "J-7", Quantity: 24}), "J-7 · 24 pieces"},
		{"one piece without a job", jobWords(&traveler.Traveler{Quantity: 1}), "1 piece"},
		{"issued without a service", issuedWords(&traveler.Traveler{IssuedAt: "2026-05-04T09:30:00Z"}), "issued 2026-05-04 09:30 UTC"},
		{"moment elsewhere", moment("2026-05-04T09:30:00+02:00"), "2026-05-04 07:30 UTC"},
		{"no moment", moment("soon"), "soon"},
		{"thickness of two decimals", thicknessWords(traveler.Part{Thickness: mm(1.25)}), "1.25 mm"},
		{"thickness of one", thicknessWords(traveler.Part{Thickness: mm(1.5)}), "1.5 mm"},
		{"magnet", magnetWords(traveler.Part{Magnetic: true}), "sticks"},
		{"no magnet", magnetWords(traveler.Part{}), "does not stick"},
		{"sizes", sizesWords(traveler.Part{Sizes: "inside", SizeTolerance: mm(0.3)}), "INSIDE, ±0.3 mm"},
		{"no sum", sumWords(traveler.Blank{}), ""},
		{"sum", sumWords(traveler.Blank{SumSizes: mm(86), Height: mm(83.13)}), "Outside sizes add up to 86.0, the blank is 83.1: it must be smaller."},
		{"marked below", faceWords(traveler.Part{MarkedFace: "B"}), "FACE A UP, marked face B DOWN"},
		{"bend scale", scaleReads("bend"), "bend"},
		{"opening scale", scaleReads("opening"), "opening"},
		{"plan", planWords(&traveler.Traveler{Minutes: 310, Proven: true}), "planned 3.1 minutes a piece"},
		{"plan not proven", planWords(&traveler.Traveler{Minutes: 310}), "planned 3.1 minutes a piece, order not proven the cheapest"},
		{"bookmark", stepBookmark(traveler.Step{Number: 2, Bend: "b4", Target: deg(90)}), "Step 2: bend b4, 90°"},
		{"one piece", runWords(&traveler.Traveler{Quantity: 1}), "One piece: measure every angle and size as you go."},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			if c.got != c.want {
				t.Errorf("got %q, want %q", c.got, c.want)
			}
		})
	}
}

// The leaf lies flat at a bend of 0, which an opening scale shows as 180.
func TestZeroReading(t *testing.T) {
	cases := []struct {
		name  string
		brake traveler.Brake
		want  unit.CentiDeg
	}{
		{"bend scale", traveler.Brake{Reads: "bend"}, 0},
		{"bend scale off by one", traveler.Brake{Reads: "bend", Zero: deg(1)}, deg(1)},
		{"opening scale", traveler.Brake{Reads: "opening"}, deg(180)},
		{"opening scale off by half", traveler.Brake{Reads: "opening", Zero: deg(-0.5)}, deg(179.5)},
	}
	for _, c := range cases {
		if got := zeroReading(c.brake); got != c.want {
			t.Errorf("%s: zeroReading() = %v, want %v", c.name, got, c.want)
		}
	}
}

// The metal must shrink by each bend: the side of the blank that is compared is
// the one square to the bend lines.
func TestAcross(t *testing.T) {
	level := traveler.Blank{Width: mm(640), Height: mm(83), Lines: []traveler.BendLine{{Line: [2]traveler.Point{at(0, 30), at(640, 30)}}}}
	upright := traveler.Blank{Width: mm(83), Height: mm(640), Lines: []traveler.BendLine{{Line: [2]traveler.Point{at(30, 0), at(30, 640)}}}}
	for _, b := range []traveler.Blank{level, upright} {
		if got := across(b); got != mm(83) {
			t.Errorf("across(%v x %v) = %v, want 83", b.Width.MM(), b.Height.MM(), got.MM())
		}
	}
}
