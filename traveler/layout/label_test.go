package layout

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"brakeside/calc/figures"
	"brakeside/calc/part"
	"brakeside/testdata/suite"
	"brakeside/traveler/canvas"
	"brakeside/traveler/draw"
)

// smallOrLong is a part whose blank has little room for words: a few bends on a piece
// of a thumb's size, a narrow strip, or one of metres, with holes in it.
func smallOrLong(t *rapid.T) part.Part {
	size := func(name string, low, high int) int { return rapid.IntRange(low, high).Draw(t, name) }
	var holes []string
	hole := func(face string, wide, high int) {
		if rapid.Bool().Draw(t, "hole") {
			holes = append(holes, fmt.Sprintf(`{"face":"%s","at":[%d,%d],"diameter":%d}`, face, wide, high, size("diameter", 2, 4)))
		}
	}
	shape := ""
	switch rapid.IntRange(0, 2).Draw(t, "shape") {
	case 0:
		x, y := size("x", 20, 60), size("y", 20, 2500)
		hole("base", x/2, y/2)
		shape = fmt.Sprintf(`"tray":{"base":[%d,%d],"walls":{"left":[{"leg":%d,"angle":90}],"front":[{"leg":%d,"angle":90},{"leg":8,"angle":-90}]}}`,
			x, y, size("wall", 8, 30), size("wall", 8, 30))
	default:
		length := rapid.SampledFrom([]int{12, 25, 60, 900, 2500}).Draw(t, "length")
		legs, angles := []string{"14"}, []string{}
		for i := range size("bends", 1, 5) {
			legs = append(legs, fmt.Sprint(size("leg", 8, 40)))
			angles = append(angles, rapid.SampledFrom([]string{"90", "-90", "45"}).Draw(t, "angle"))
			hole(fmt.Sprintf("p%d", i), length/2, 6)
			hole(fmt.Sprintf("p%d", i), length-5, 6)
		}
		shape = fmt.Sprintf(`"profile":{"length":%d,"legs":[%s],"bends":[%s]}`, length, strings.Join(legs, ","), strings.Join(angles, ","))
	}
	return suite.Read(t, []byte(fmt.Sprintf(
		`{"number":"SM-1","title":"Clip","revision":"A","material":"mild-steel","thickness":1,"inside_radius":1,%s,"holes":[%s]}`, shape, strings.Join(holes, ","))))
}

// However little room a blank has, on paper every bend, hole and running size is
// named, no two words lie over each other, and none over the edge of the page.
func TestEveryNameHasRoom(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, err := figures.Shop{}.Draft(smallOrLong(t))
		if err != nil {
			return // no such part: a hole in a bend
		}
		blank, page := p.Blank, dimensioned(p)
		words := " " + strings.Join(written(page), " ") + " "
		for _, j := range blank.Joints {
			if !strings.Contains(words, " "+j.Word+" ") {
				t.Errorf("bend %s is not named: %s", j.Word, words)
			}
		}
		if got, want := strings.Count(words, "Ø"), len(blank.Outline)-1; got != want {
			t.Errorf("%d holes have a diameter, want %d", got, want)
		}
		apart(t, page)
	})
}

// apart fails a test where words meet, or leave the page.
func apart(t suite.Failer, page *draw.Page) {
	t.Helper()
	var boxes []canvas.Box
	var texts []draw.Text
	for _, m := range page.Marks {
		text, ok := m.(draw.Text)
		if !ok {
			continue
		}
		b := covered(text).Inset(0.02)
		if b.X < 0 || b.Y < 0 || b.Right() > page.Width || b.Bottom() > page.Height {
			t.Errorf("%q leaves the page of %.0f x %.0f: %+v", text.Words, page.Width, page.Height, b)
		}
		for i, other := range boxes {
			if b.Meets(other) && math.Mod(text.Turn, 90) == 0 && math.Mod(texts[i].Turn, 90) == 0 {
				t.Errorf("%q lies over %q", text.Words, texts[i].Words)
			}
		}
		boxes, texts = append(boxes, b), append(texts, text)
	}
}
