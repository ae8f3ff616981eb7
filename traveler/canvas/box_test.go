package canvas

import (
	"testing"
)

func TestBoxCuts(t *testing.T) {
	b := Box{10, 20, 100, 50}
	top, below := b.CutTop(10)
	foot, above := b.CutBottom(10)
	left, right := b.CutLeft(30)
	end, start := b.CutRight(30)
	cases := []struct {
		name      string
		got, want Box
	}{
		{"top", top, Box{10, 20, 100, 10}}, {"below", below, Box{10, 30, 100, 40}},
		{"foot", foot, Box{10, 60, 100, 10}}, {"above", above, Box{10, 20, 100, 40}},
		{"left", left, Box{10, 20, 30, 50}}, {"right", right, Box{40, 20, 70, 50}},
		{"end", end, Box{80, 20, 30, 50}}, {"start", start, Box{10, 20, 70, 50}},
		{"inset", b.Inset(5), Box{15, 25, 90, 40}}, {"grown", b.Grown(5), Box{5, 15, 110, 60}},
		{"middle", b.Middle(20, 10), Box{50, 40, 20, 10}},
		{"third column of 1:1:2", b.Columns(1, 1, 2)[2], Box{60, 20, 50, 50}},
		{"second row of 5", b.Rows(5)[1], Box{10, 30, 100, 10}},
	}
	for _, c := range cases {
		if c.got != c.want {
			t.Errorf("%s = %v, want %v", c.name, c.got, c.want)
		}
	}
	if top.Meets(below) || left.Meets(right) || !b.Meets(top) {
		t.Error("parts cut from one box must not meet each other, and must meet the box")
	}
}
