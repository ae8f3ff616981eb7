package sign

import (
	"strings"
	"testing"

	"brakeside/traveler/canvas"
	marks "brakeside/traveler/draw"
	"brakeside/traveler/internal/look"
)

// The arrow of a rotation runs the way the part is turned: its head lies ahead
// of the end of the arc.
func TestRotationArrows(t *testing.T) {
	cases := []struct {
		name     string
		sweep    float64
		from, to float64 // of the arc
		tip      marks.Point
	}{
		{"three quarters anticlockwise end at the bottom, heading right", 270, 0, 270, marks.Point{X: 1.4, Y: 2}},
		{"three quarters clockwise end at the bottom, heading left", -270, -90, 180, marks.Point{X: -1.4, Y: 2}},
		{"half anticlockwise ends at the left, heading down", 180, 0, 180, marks.Point{X: -2, Y: 1.4}},
	}
	for _, k := range cases {
		c := canvas.Canvas{Page: &marks.Page{}}
		swirl(c, marks.Point{}, 2, k.sweep)
		arc, head := look.Each[marks.Arc](c.Page)[0], look.Each[marks.Path](c.Page)[0]
		if arc.From != k.from || arc.To != k.to {
			t.Errorf("%s: the arc runs from %g to %g, want %g to %g", k.name, arc.From, arc.To, k.from, k.to)
		}
		if canvas.Distance(head.Points[0], k.tip) > 1e-9 {
			t.Errorf("%s: the head points to %v, want %v", k.name, head.Points[0], k.tip)
		}
	}
}

// Every sign of the general cautions has its shape: a triangle warns, a ring
// forbids, a black disc commands (ISO 7010).
func TestSafetySigns(t *testing.T) {
	outline := func(sign string) string {
		c := canvas.Canvas{Page: &marks.Page{}}
		Safety(c, canvas.Box{X: 0, Y: 0, W: 12, H: 12}, sign)
		var shapes []string
		for _, p := range look.Each[marks.Path](c.Page) {
			if p.Pen == marks.Heavy && len(p.Points) == 3 {
				shapes = append(shapes, "triangle")
			}
		}
		for _, a := range look.Each[marks.Arc](c.Page) {
			switch {
			case a.Whole() && a.Pen == marks.Heavy:
				shapes = append(shapes, "ring")
			case a.Whole() && a.Fill == marks.Black:
				shapes = append(shapes, "disc")
			}
		}
		return strings.Join(shapes, " ")
	}
	for sign, want := range map[string]string{Crush: "triangle", Magnet: "triangle", Implant: "ring", Gloves: "disc", "": ""} {
		if got := outline(sign); got != want {
			t.Errorf("sign %q is a %q, want a %q", sign, got, want)
		}
	}
}
