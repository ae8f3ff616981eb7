package layout

import (
	"testing"

	"brakeside/calc/unit"
	"brakeside/traveler"
	"brakeside/traveler/draw"
)

// bare is a blank with nothing on it but its size.
func bare(width, height unit.MM, running int) traveler.Blank {
	b := traveler.Blank{Width: unit.MM(width).Micron(), Height: unit.MM(height).Micron()}
	w, h := b.Width, b.Height
	b.Outline = []traveler.Point{{X: 0, Y: 0}, {X: w, Y: 0}, {X: w, Y: h}, {X: 0, Y: h}}
	for i := range running {
		b.RunningX = append(b.RunningX, w*unit.Micron(i)/unit.Micron(running-1))
		b.RunningY = append(b.RunningY, h*unit.Micron(i)/unit.Micron(running-1))
	}
	return b
}

// On a screen the type is never smaller than a fiftieth of the drawing, unless
// there is no room for so many figures; and no figure leaves the drawing.
func TestOnScreen(t *testing.T) {
	for name, b := range map[string]traveler.Blank{
		"plate": bare(400, 300, 4), "strip": bare(1200, 40, 3), "upright": bare(60, 900, 5), "many": bare(400, 300, 30), "small": bare(20, 15, 2),
	} {
		t.Run(name, func(t *testing.T) {
			page := OnScreen(b, traveler.Part{Number: "X"})
			if err := page.Check(); err != nil {
				t.Fatal(err)
			}
			texts := 0
			for _, m := range page.Marks {
				text, ok := m.(draw.Text)
				if !ok {
					continue
				}
				texts++
				if text.X < 0 || text.X > page.Width || text.Y < 0 || text.Y > page.Height {
					t.Errorf("%q lies off the page at (%.1f, %.1f) of %.1f by %.1f", text.Words, text.X, text.Y, page.Width, page.Height)
				}
				if name == "plate" && text.Size < page.Width/50 {
					t.Errorf("%q is %.1f high on a page %.1f wide", text.Words, text.Size, page.Width)
				}
			}
			if want := len(b.RunningX) + len(b.RunningY); texts != want {
				t.Errorf("%d figures, want %d", texts, want)
			}
		})
	}
}
