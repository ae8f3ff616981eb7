package canvas

import (
	"strings"
	"testing"

	marks "brakeside/traveler/draw"
)

// written gives what Write makes of words in a box.
func written(b Box, l Lettering, words string) (said string, size float64, lines int) {
	c := Canvas{&marks.Page{}}
	c.Write(b, l, words)
	for _, m := range c.Page.Marks {
		text := m.(marks.Text)
		said, size, lines = strings.TrimSpace(said+" "+text.Words), text.Size, lines+1
	}
	return said, size, lines
}

// Words are shrunk, then broken into lines, then set finer, and cut only where
// nobody could read them.
func TestWrittenTextIsNotCut(t *testing.T) {
	l := Lettering{Face: marks.Regular, Size: Strong, Least: Smallest}
	words := "clamp the long side, swing the short one"
	wide := l.Width(words)
	oneLine, twoLines := LineStep*Smallest*1.01, 2*LineStep*Smallest*1.01
	cases := []struct {
		name       string
		b          Box
		lines      int
		from, upTo float64
	}{
		{"there is room", Box{W: wide, H: oneLine}, 1, Strong, Strong},
		{"shrunk", Box{W: 0.9 * wide, H: oneLine}, 1, Smallest, 0.95 * Strong},
		{"no second line: finer", Box{W: 0.6 * wide, H: oneLine}, 1, Finest, 0.99 * Smallest},
		{"a second line", Box{W: 0.6 * wide, H: twoLines}, 2, Smallest, Strong},
	}
	for _, k := range cases {
		said, size, lines := written(k.b, l, words)
		if said != words || lines != k.lines || size < k.from || size > k.upTo {
			t.Errorf("%s: Write() says %q on %d lines at %.2f, want all on %d at %.2f to %.2f", k.name, said, lines, size, k.lines, k.from, k.upTo)
		}
	}
	if said, size, _ := written(Box{W: 20, H: oneLine}, l, strings.Repeat("m", 90)); size != Finest || !strings.HasSuffix(said, "…") {
		t.Errorf("words that have no room at all = %q at %.2f, want them cut at %.2f", said, size, Finest)
	}
}

// A name too long for a line is broken where it has a seam, and words are not
// broken to be larger.
func TestNamesAreBrokenAtTheirSeams(t *testing.T) {
	l := Lettering{Face: marks.Bold, Size: Strong, Least: Smallest}
	said, _, lines := written(Box{W: 18, H: 9}, l, "front.tab.left")
	if said != "front.tab. left" || lines != 2 {
		t.Errorf("Write() says %q on %d lines", said, lines)
	}
	if said, size, _ := written(Box{W: l.Of(10.5 * MillimetresPerPoint).Width("instrument"), H: 12}, l, "instrument panel"); said != "instrument panel" || size > 10.5*MillimetresPerPoint {
		t.Errorf("Write() says %q at %.2f", said, size)
	}
}

// picture moves every kind of mark, or a drawing would fall apart.
func TestPictureMovesEveryKindOfMark(t *testing.T) {
	from := &marks.Page{Width: 50, Height: 50}
	from.Add(
		marks.Line{X1: 1, Y1: 2, X2: 3, Y2: 4}, marks.Path{Points: []marks.Point{{X: 1, Y: 2}}}, marks.Arc{X: 1, Y: 2, Radius: 1},
		marks.Text{X: 1, Y: 2}, marks.Cells{X: 1, Y: 2}, marks.Link{X: 1, Y: 2}, marks.Bookmark{Y: 2},
	)
	c := Canvas{&marks.Page{}}
	c.Picture(from, 10, 20)
	to := c.Page.Marks
	ok := to[0] == marks.Mark(marks.Line{X1: 11, Y1: 22, X2: 13, Y2: 24}) && to[1].(marks.Path).Points[0] == marks.Point{X: 11, Y: 22} &&
		to[2] == marks.Mark(marks.Arc{X: 11, Y: 22, Radius: 1}) && to[3] == marks.Mark(marks.Text{X: 11, Y: 22}) &&
		to[4].(marks.Cells).X == 11 && to[5] == marks.Mark(marks.Link{X: 11, Y: 22}) && to[6] == marks.Mark(marks.Bookmark{Y: 22})
	if !ok || from.Marks[1].(marks.Path).Points[0].X != 1 {
		t.Errorf("picture moved the marks to %+v", to)
	}
}
