package canvas

import (
	"strings"
	"testing"

	marks "brakeside/traveler/draw"
)

func TestWrittenTextIsShrunkThenCut(t *testing.T) {
	l := Lettering{Face: marks.Regular, Size: Strong, Least: Smallest}
	short, middling, long := "stop", strings.Repeat("m", 12), strings.Repeat("m", 60)
	if got, words := l.Fitted(short, 40); got.Size != Strong || words != short {
		t.Errorf("fitted(%q) = %q at %.2f, want it as it is", short, words, got.Size)
	}
	if got, words := l.Fitted(middling, l.Width(middling)*0.9); got.Size >= Strong || got.Size < Smallest || words != middling {
		t.Errorf("fitted(%q) = %q at %.2f, want it shrunk and whole", middling, words, got.Size)
	}
	if got, words := l.Fitted(long, 40); got.Size != Smallest || !strings.HasSuffix(words, "…") {
		t.Errorf("fitted(%q) = %q at %.2f, want it cut at 9 points", long, words, got.Size)
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
