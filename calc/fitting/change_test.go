package fitting

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"brakeside/calc/order"
	"brakeside/calc/process"
)

// spun is a direction of the brake's plane after a rotation.
func spun(v [2]float64, degrees float64) [2]float64 {
	s, c := math.Sincos(degrees * math.Pi / 180)
	return [2]float64{c*v[0] - s*v[1], s*v[0] + c*v[1]}
}

// lies is where the directions x and y of the blank point in a setup: with face
// A up they are turned by the heading, with face B up they are mirrored first.
func lies(s order.Setup) (x, y [2]float64) {
	x, y = [2]float64{1, 0}, [2]float64{0, 1}
	if s.FaceUp == "B" {
		x[1], y[1] = -x[1], -y[1]
	}
	return spun(x, float64(s.Heading)), spun(y, float64(s.Heading))
}

// What a person is told brings the part from any setup into any other: turned
// over about the line along or across the brake, then rotated. Plane geometry of
// its own; both setups may lie askew.
func TestTurnedBringsThePart(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		setup := func(name string) order.Setup {
			return order.Setup{FaceUp: rapid.SampledFrom([]string{"A", "B"}).Draw(r, name), Heading: rapid.IntRange(0, 359).Draw(r, name)}
		}
		from, to := setup("from"), setup("to")
		over, by := Turned(from, to)
		if (over != "") != (from.FaceUp != to.FaceUp) || by <= -180 || by > 180 {
			r.Fatalf("Turned(%v, %v) = %q, %d", from, to, over, by)
		}
		x, y := lies(from)
		for _, v := range []*[2]float64{&x, &y} {
			switch over {
			case process.FrontToBack:
				v[1] = -v[1]
			case process.LeftToRight:
				v[0] = -v[0]
			}
			*v = spun(*v, float64(by))
		}
		wantX, wantY := lies(to)
		if math.Hypot(x[0]-wantX[0], x[1]-wantX[1]) > 1e-9 || math.Hypot(y[0]-wantY[0], y[1]-wantY[1]) > 1e-9 {
			r.Fatalf("Turned(%v, %v) = %q, %d brings x to %v, y to %v, want %v, %v", from, to, over, by, x, y, wantX, wantY)
		}
		if quarter, rotate := Handling(from, to); quarter != (over != "") || nearestQuarter(wrap(by)) != rotate && (from.Heading-to.Heading)%90 == 0 {
			r.Fatalf("Handling(%v, %v) = %v, %d, Turned %q, %d", from, to, quarter, rotate, over, by)
		}
	})
}

// A part is turned over about the line along the brake when the next bend lies
// along it, and across the brake when it runs away from the operator.
func TestTurnedOver(t *testing.T) {
	cases := []struct {
		name     string
		from, to order.Setup
		over     process.Over
		by       int
	}{
		{"the line lies along the brake", order.Setup{FaceUp: "A"}, order.Setup{FaceUp: "B"}, process.FrontToBack, 0},
		{"the same, other side clamped", order.Setup{FaceUp: "A"}, order.Setup{FaceUp: "B", Heading: 180}, process.FrontToBack, 180},
		{"the line runs away from the operator", order.Setup{FaceUp: "A"}, order.Setup{FaceUp: "B", Heading: 90}, process.LeftToRight, -90},
		{"not turned over", order.Setup{FaceUp: "A"}, order.Setup{FaceUp: "A", Heading: 270}, "", -90},
		{"askew", order.Setup{FaceUp: "A"}, order.Setup{FaceUp: "A", Heading: 27}, "", 27},
	}
	for _, c := range cases {
		if over, by := Turned(c.from, c.to); over != c.over || by != c.by {
			t.Errorf("%s: Turned() = %q, %d, want %q, %d", c.name, over, by, c.over, c.by)
		}
	}
}
