package phrase

import (
	"strings"
	"testing"

	"brakeside/calc/unit"
	"brakeside/traveler"
	"brakeside/traveler/internal/fixture"
)

func TestRunWords(t *testing.T) {
	cases := []struct {
		name string
		of   traveler.Traveler
		want string
	}{
		{"by step", traveler.Traveler{Quantity: 5, Run: traveler.ByStep, Steps: make([]traveler.Step, 2)},
			"First piece whole and measured; then step 1 on all, then step 2 on all."},
		{"by piece", traveler.Traveler{Quantity: 5, Run: traveler.ByPiece, Steps: make([]traveler.Step, 2)},
			"First piece whole and measured; then each piece from the first step to the last."},
		{"one step", traveler.Traveler{Quantity: 5, Run: traveler.ByStep, Steps: make([]traveler.Step, 1)}, "First piece whole and measured; then the others."},
		{"one piece by step", traveler.Traveler{Quantity: 1, Run: traveler.ByStep}, "One piece: measure every angle and size as you go."},
	}
	for _, c := range cases {
		if got := Run(&c.of); got != c.want {
			t.Errorf("%s: runWords() = %q, want %q", c.name, got, c.want)
		}
	}
}

// faces is a traveler whose steps have these faces up.
func faces(up ...string) *traveler.Traveler {
	t := &traveler.Traveler{}
	for i, face := range up {
		t.Steps = append(t.Steps, traveler.Step{Number: i + 1, FaceUp: face})
	}
	return t
}

func TestWords(t *testing.T) {
	step := traveler.Step{
		Bar: "fingers", Leaf: traveler.SlimLeaf, Place: traveler.PastLeft, Target: fixture.Deg(45), Tolerance: fixture.Deg(0.5), FaceUp: "B",
		Segments:  []traveler.Segment{{Width: fixture.MM(68)}, {Width: fixture.MM(22.5)}},
		GaugeEdge: "the sheared edge of base", Springback: fixture.Deg(2.5), StopFrom: "6 readings", Stop: fixture.Deg(137.5),
		Clamped: "base", Swinging: "lip", Clearance: fixture.MM(0.84),
	}
	tight := step
	tight.Tight = true
	cases := []struct{ name, got, want string }{
		{"target", Target(step), "→ part 45.0° ±0.5"},
		{"opening of the same", Opening(step), "(opening 135.0°)"},
		{"springback", Springback(traveler.Brake{}, step), "springback 2.5°: 6 readings"},
		{"springback of unknown source", Springback(traveler.Brake{}, traveler.Step{Springback: fixture.Deg(1)}), "springback 1.0°"},
		{"bar", Bar(step, true), "fingers 68 + 22.5, leaf extension OFF, past the LEFT end"},
		{"full bar", Bar(traveler.Step{Bar: "wide", Leaf: traveler.FullLeaf, Place: traveler.PastRight}, false),
			"wide, past the RIGHT end"},
		{"gauge", Gauge(unit.Metric, traveler.Blank{}, step), "from the sheared edge of base"},
		{"clamped", Clamped(step), "clamp base, swing lip"},
		{"tight", Tight(unit.Metric, tight), "TIGHT 0.8 mm"},
		{"turn over, as sheets of old say it", TurnOver(step), "TURN OVER on the bend line: face B up"},
		{"turn over", TurnOver(traveler.Step{Over: "left to right", FaceUp: "A"}), "TURN OVER left to right: face A up"},
		{"quarter turn", Rotate(90), "ROTATE 90 ANTICLOCKWISE"},
		{"quarter turn back", Rotate(-90), "ROTATE 90 CLOCKWISE"},
		{"half turn", Rotate(180), "ROTATE 180"},
		{"odd turn", Rotate(-27), "ROTATE 27 CLOCKWISE"},
		{"all of it", strings.Join(Turns(traveler.Step{TurnOver: true, Over: "front to back", FaceUp: "B", Rotate: 270, Tip: true, Clamped: "lip"}), "; "),
			"TURN OVER front to back: face B up; ROTATE 90 CLOCKWISE; TIP the part: lip lies on the bed"},
		{"nothing of it", strings.Join(Turns(traveler.Step{}), "; "), ""},
		{"lines on face A", Pencil(faces("A", "A")), "Pencil all nose lines on the flat blank now, on face A."},
		{"lines on face B", Pencil(faces("B", "B")), "Pencil all nose lines on the flat blank now, on face B, each by its figure from the same edge of the metal."},
		{"one line on face B", Pencil(faces("A", "B")), "Pencil the nose lines on the flat blank now. Face A: line 1. Turn it over. Face B: line 2, from the same edges of the metal."},
		{"two lines on face B", Pencil(faces("B", "A", "B")), "Pencil the nose lines on the flat blank now. Face A: line 2. Turn it over. Face B: lines 1, 3, from the same edges of the metal."},
		{"other bar", ChangeBar(traveler.Step{Bar: "wide"}, step), "CHANGE BAR to fingers"},
		{"other fingers", ChangeBar(traveler.Step{Bar: "fingers"}, step), "RESET fingers to 68 + 22.5"},
		{"slim leaf", ChangeLeaf(step), "TAKE THE LEAF EXTENSION OFF"},
		{"full leaf", ChangeLeaf(traveler.Step{Leaf: traveler.FullLeaf}), "PUT THE LEAF EXTENSION ON"},
		{"past the left end", Place(traveler.PastLeft), "MOVE the part past the LEFT end of the brake"},
		{"past the right end", Place(traveler.PastRight), "MOVE the part past the RIGHT end of the brake"},
		{"middle again", Place(traveler.Middle), "MOVE the part back to the middle of the brake"},
		{"bend up", BendLine(traveler.BendLine{Up: true, Angle: fixture.Deg(90)}), "UP 90°"},
		{"bend down", BendLine(traveler.BendLine{Angle: fixture.Deg(22.5)}), "DOWN 22.5°"},
		{"nose", NoseSize(3, unit.Metric.Bare(fixture.MM(121.55))), "3: 121.6"},
		{"datum", RunningSize(unit.Metric, 0), "0"},
		{"size", RunningSize(unit.Metric, fixture.MM(0.04)), "0.0"},
		{"scale", Scale(5), "scale 1:5"},
		{"half scale", Scale(2.5), "scale 1:2.5"},
		{"full size", Scale(1), "scale 1:1"},
		{"enlarged", Scale(0.5), "scale 2:1"},
		{"code", Code("ABCDEFGHJKMN23456"), "ABCD EFGH JKMN 23456"},
		{"no code", Code(""), ""},
		{"issued", Issued(&traveler.Traveler{Shop: "Drip & Rail", IssuedAt: "2026-05-04T09:30:00Z", IssuedBy: "RD"}),
			"Drip & Rail · issued 2026-05-04 09:30 UTC by RD"},
		{"job", Job(&traveler.Traveler{Job: "J-7", Quantity: 24}), "J-7 · 24 pieces"},
		{"one piece without a job", Job(&traveler.Traveler{Quantity: 1}), "1 piece"},
		{"issued without a service", Issued(&traveler.Traveler{IssuedAt: "2026-05-04T09:30:00Z"}), "issued 2026-05-04 09:30 UTC"},
		{"moment elsewhere", moment("2026-05-04T09:30:00+02:00"), "2026-05-04 07:30 UTC"},
		{"no moment", moment("soon"), "soon"},
		{"thickness of two decimals", Thickness(unit.Metric, traveler.Part{Thickness: fixture.MM(1.25)}), "1.25 mm"},
		{"thickness of one", Thickness(unit.Metric, traveler.Part{Thickness: fixture.MM(1.5)}), "1.5 mm"},
		{"magnet", Magnet(traveler.Part{Magnetic: true}), "sticks"},
		{"no magnet", Magnet(traveler.Part{}), "does not stick"},
		{"sizes", Sizes(unit.Metric, traveler.Part{Sizes: "inside", SizeTolerance: fixture.MM(0.3)}), "INSIDE, ±0.3 mm"},
		{"no sum", Sum(unit.Metric, traveler.Blank{}), ""},
		{"sum", Sum(unit.Metric, traveler.Blank{SumSizes: fixture.MM(86), Height: fixture.MM(83.13)}),
			"Outside sizes add up to 86.0, the blank is 83.1: it must be smaller."},
		{"marked below", Face(traveler.Part{MarkedFace: "B"}), "FACE A UP, marked face B DOWN"},
		{"bend scale", ScaleReads("bend"), "bend"},
		{"opening scale", ScaleReads("opening"), "opening"},
		{"plan", Plan(&traveler.Traveler{Minutes: 310, Proven: true}), "planned 3.1 minutes a piece"},
		{"plan not proven", Plan(&traveler.Traveler{Minutes: 310}), "planned 3.1 minutes a piece, order not proven the cheapest"},
		{"bookmark", Bookmark(traveler.Step{Number: 2, Bend: "b4", Target: fixture.Deg(90)}), "Step 2: bend b4, 90°"},
		{"one piece", Run(&traveler.Traveler{Quantity: 1}), "One piece: measure every angle and size as you go."},
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
		{"bend scale off by one", traveler.Brake{Reads: "bend", Zero: fixture.Deg(1)}, fixture.Deg(1)},
		{"opening scale", traveler.Brake{Reads: "opening"}, fixture.Deg(180)},
		{"opening scale off by half", traveler.Brake{Reads: "opening", Zero: fixture.Deg(-0.5)}, fixture.Deg(179.5)},
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
	level := traveler.Blank{
		Width: fixture.MM(640), Height: fixture.MM(83), Lines: []traveler.BendLine{{Line: [2]traveler.Point{
			fixture.At(0, 30), fixture.At(640, 30),
		}}},
	}
	upright := traveler.Blank{
		Width: fixture.MM(83), Height: fixture.MM(640), Lines: []traveler.BendLine{{Line: [2]traveler.Point{
			fixture.At(30, 0), fixture.At(30, 640),
		}}},
	}
	for _, b := range []traveler.Blank{level, upright} {
		if got := across(b); got != fixture.MM(83) {
			t.Errorf("across(%v x %v) = %v, want 83", b.Width.MM(), b.Height.MM(), got.MM())
		}
	}
}

// Diagonals are measured while their corners exist.
func TestDiagonals(t *testing.T) {
	at := func(x, y unit.Micron) traveler.Point { return traveler.Point{X: x, Y: y} }
	b := traveler.Blank{Width: 400_000, Height: 300_000, Diagonal: 500_000}
	b.Outline = []traveler.Point{at(0, 0), at(400_000, 0), at(400_000, 300_000), at(0, 300_000)}
	if got := Diagonals(unit.Metric, b); got != "both diagonals 500.0" {
		t.Errorf("a whole sheet: %q", got)
	}
	b.Outline = []traveler.Point{at(0, 9_000), at(9_000, 9_000), at(9_000, 0), at(400_000, 0), at(400_000, 300_000), at(0, 300_000)}
	if got := Diagonals(unit.Metric, b); got != "both diagonals 500.0, before the corners are cut" {
		t.Errorf("a corner cut away: %q", got)
	}
}
