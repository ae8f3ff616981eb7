package finished

import (
	"math"
	"testing"

	"brakeside/traveler"
	"brakeside/traveler/canvas"
	"brakeside/traveler/draw"
	"brakeside/traveler/internal/fixture"
)

func nearPoint(a, b point3) bool {
	return math.Abs(a.x-b.x) < 1e-9 && math.Abs(a.y-b.y) < 1e-9 && math.Abs(a.z-b.z) < 1e-9
}

func TestBendAbout(t *testing.T) {
	cases := []struct {
		name     string
		on, away draw.Point
		degrees  float64
		from, to point3
	}{
		{"up about a level line", draw.Point{X: 0, Y: 30}, draw.Point{X: 0, Y: 1}, 90, point3{5, 40, 0}, point3{5, 30, 10}},
		{"down about a level line", draw.Point{X: 0, Y: 30}, draw.Point{X: 0, Y: 1}, -90, point3{5, 40, 0}, point3{5, 30, -10}},
		{"up on the near side", draw.Point{X: 0, Y: 30}, draw.Point{X: 0, Y: -1}, 90, point3{5, 20, 0}, point3{5, 30, 10}},
		{"up about an upright line", draw.Point{X: 50, Y: 0}, draw.Point{X: 1, Y: 0}, 90, point3{60, 7, 0}, point3{50, 7, 10}},
		{"half a right angle", draw.Point{X: 0, Y: 0}, draw.Point{X: 0, Y: 1}, 45, point3{0, math.Sqrt2, 0}, point3{0, 1, 1}},
		{"on the line nothing moves", draw.Point{X: 0, Y: 30}, draw.Point{X: 0, Y: 1}, 77, point3{9, 30, 0}, point3{9, 30, 0}},
		{"what stands on the panel leans back", draw.Point{X: 0, Y: 0}, draw.Point{X: 0, Y: 1}, 90, point3{0, 0, 5}, point3{0, -5, 0}},
	}
	for _, c := range cases {
		if got := bendAbout(c.on, c.away, c.degrees*math.Pi/180).of(c.from); !nearPoint(got, c.to) {
			t.Errorf("%s: %v goes to %v, want %v", c.name, c.from, got, c.to)
		}
	}
}

// A folded tray fills a box of its own base and wall height.
func TestFoldedTray(t *testing.T) {
	b := fixture.Tray().Blank
	panels := folded(b)
	if len(panels) != 5 {
		t.Fatalf("folded() = %d panels, want the base and four walls", len(panels))
	}
	low, high := point3{1e9, 1e9, 1e9}, point3{-1e9, -1e9, -1e9}
	sum := 0.0
	for _, p := range panels {
		sum += p.area()
		for _, q := range p.space(p.ring) {
			low = point3{min(low.x, q.x), min(low.y, q.y), min(low.z, q.z)}
			high = point3{max(high.x, q.x), max(high.y, q.y), max(high.z, q.z)}
		}
	}
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"length", high.x - low.x, 298.1}, {"width", high.y - low.y, 208.1}, {"height", high.z - low.z, 59},
		{"area of all panels", sum, panel{ring: InMM(b.Outline)}.area()},
	} {
		if math.Abs(c.got-c.want) > 0.01 {
			t.Errorf("%s of the folded tray = %.2f, want %.2f", c.name, c.got, c.want)
		}
	}
}

// Two bends of opposite sign make a Z: the outer legs lie in parallel planes a
// web apart.
func TestFoldedZ(t *testing.T) {
	b := fixture.Bracket().Blank
	panels := folded(b)
	if len(panels) != 3 {
		t.Fatalf("folded() = %d panels, want 3", len(panels))
	}
	web := float64((b.Lines[1].Line[0].Y - b.Lines[0].Line[0].Y).MM())
	legs := float64(b.Height.MM()) - web
	low, high := point3{y: math.Inf(1), z: math.Inf(1)}, point3{y: math.Inf(-1), z: math.Inf(-1)}
	for _, p := range panels {
		for _, q := range p.space(p.ring) {
			low, high = point3{y: min(low.y, q.y), z: min(low.z, q.z)}, point3{y: max(high.y, q.y), z: max(high.z, q.z)}
		}
	}
	if math.Abs(high.z-low.z-web) > 0.01 {
		t.Errorf("the Z is %.2f high, want the web of %.2f", high.z-low.z, web)
	}
	if math.Abs(high.y-low.y-legs) > 0.01 { // a U would lie over itself
		t.Errorf("the Z is %.2f across, want both legs: %.2f", high.y-low.y, legs)
	}
}

// A blank whose lines do not part it cannot be folded, and no picture is drawn.
func TestNotFolded(t *testing.T) {
	outside := fixture.Bracket().Blank
	outside.Lines = append([]traveler.BendLine(nil), outside.Lines...)
	outside.Lines[0].Line = [2]traveler.Point{fixture.At(0, 500), fixture.At(410, 500)}
	point := fixture.Bracket().Blank
	point.Lines = append([]traveler.BendLine(nil), point.Lines...)
	point.Lines[0].Line = [2]traveler.Point{fixture.At(10, 10), fixture.At(10, 10)}
	cases := []struct {
		name  string
		blank traveler.Blank
	}{
		{"a line outside the blank", outside}, {"a line without length", point}, {"no outline", traveler.Blank{Lines: outside.Lines}},
	}
	for _, c := range cases {
		if got := folded(c.blank); got != nil {
			t.Errorf("%s: folded() = %d panels, want none", c.name, len(got))
		}
		if !Of(c.blank).Empty() {
			t.Errorf("%s: finished() shows a picture", c.name)
		}
	}
	if !Of(traveler.Blank{Outline: outside.Outline}).Empty() {
		t.Error("a part without bends shows a picture of itself folded")
	}
}

// The farthest panel is painted first, so that near ones hide it.
func TestFinishedPaintsFromFarToNear(t *testing.T) {
	f := Of(fixture.Tray().Blank)
	for i := 1; i < len(f.panels); i++ {
		if f.panels[i].far > f.panels[i-1].far {
			t.Errorf("panel %d is farther than the one painted before it", i)
		}
	}
	if len(f.bends) != 4 {
		t.Errorf("%d bends are numbered, want 4", len(f.bends))
	}
}

func TestFinishedIsLeftOutWhereItIsTooSmall(t *testing.T) {
	f := Of(fixture.Tray().Blank)
	for _, c := range []struct {
		name string
		room canvas.Box
		want bool
	}{
		{"ample", canvas.Box{X: 0, Y: 0, W: 50, H: 40}, true},
		{"too low", canvas.Box{X: 0, Y: 0, W: 50, H: 12}, false},
		{"too narrow", canvas.Box{X: 0, Y: 0, W: 12, H: 50}, false},
	} {
		if got := f.Scale(c.room) > 0; got != c.want {
			t.Errorf("%s room: shown %v, want %v", c.name, got, c.want)
		}
	}
}
