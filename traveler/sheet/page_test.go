package sheet

import (
	"math/rand"
	"slices"
	"testing"

	"brakeside/traveler/draw"
)

// stack makes blocks of the given least heights; a negative one is a row.
func stack(heights ...float64) []block {
	var blocks []block
	for _, h := range heights {
		blocks = append(blocks, block{least: max(h, -h), most: max(h, -h), row: h < 0})
	}
	return blocks
}

func TestBreaks(t *testing.T) {
	room := func(page int) float64 {
		if page == 0 {
			return 100
		}
		return 80
	}
	cases := []struct {
		name   string
		blocks []block
		want   []int
	}{
		{"all on one page", stack(40, -20, -20), []int{3}},
		{"to the last millimetre", stack(49.25, 49.25), []int{2}},
		{"a hair too high", stack(49.25, 49.3), []int{1, 1}},
		{"rows keep together when that costs no page", stack(40, -25, -25, 50), []int{3, 1}},
		{"pages are filled alike", stack(30, 30, 30, 30), []int{2, 2}},
		{"fewest pages before few pages of rows", stack(60, -60, 60), []int{1, 1, 1}},
		{"higher than a page stands alone", stack(30, 150, 30), []int{1, 1, 1}},
		{"nothing", nil, []int{}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			if got := breaks(c.blocks, room); !slices.Equal(got, c.want) {
				t.Errorf("breaks() = %v, want %v", got, c.want)
			}
		})
	}
}

// greedy is the plain way to fill pages; it needs the fewest.
func greedy(blocks []block, room func(int) float64) int {
	pages, used := 1, 0.0
	for i, k := range blocks {
		if used+k.least > room(pages-1)+1e-9 && i > 0 {
			pages, used = pages+1, 0
		}
		used += k.least + gap
	}
	return pages
}

func TestBreaksNeedsNoMorePagesThanFilling(t *testing.T) {
	random := rand.New(rand.NewSource(2))
	room := func(page int) float64 { return 260 - 30*min(1, float64(page)) }
	for range 2000 {
		var heights []float64
		for range 1 + random.Intn(14) {
			heights = append(heights, 6+random.Float64()*90)
		}
		blocks := stack(heights...)
		counts, sum, page := breaks(blocks, room), 0, 0
		for i, n := range counts {
			height := -gap
			for _, k := range blocks[page : page+n] {
				height += k.least + gap
			}
			if n == 0 || height > room(i)+1e-6 {
				t.Fatalf("breaks(%v) = %v: page %d holds %.1f, room %.1f", heights, counts, i, height, room(i))
			}
			sum, page = sum+n, page+n
		}
		if sum != len(blocks) || len(counts) != greedy(blocks, room) {
			t.Fatalf("breaks(%v) = %v, want %d blocks on %d pages", heights, counts, len(blocks), greedy(blocks, room))
		}
	}
}

// What is free goes to the eager block first, then to the others by their wish.
func TestPlaceStretches(t *testing.T) {
	heights := map[string]float64{}
	named := func(name string, least, most float64, eager bool) block {
		return block{least: least, most: most, eager: eager, draw: func(_ canvas, b box) { heights[name] = b.h }}
	}
	c := canvas{&draw.Page{}}
	blocks := []block{named("fixed", 20, 20, false), named("eager", 20, 30, true), named("one", 10, 20, false), named("two", 10, 40, false)}
	rest := place(c, box{0, 0, 100, 60 + 3*gap + 10 + 20}, blocks)
	want := map[string]float64{"fixed": 20, "eager": 30, "one": 15, "two": 25}
	for name, h := range want {
		if got := heights[name]; got < h-1e-9 || got > h+1e-9 {
			t.Errorf("block %s is %.2f high, want %.2f", name, got, h)
		}
	}
	if rest.h > 1e-9 {
		t.Errorf("%.2f mm are left, want none", rest.h)
	}
}

func TestBoxCuts(t *testing.T) {
	b := box{10, 20, 100, 50}
	top, below := b.cutTop(10)
	foot, above := b.cutBottom(10)
	left, right := b.cutLeft(30)
	end, start := b.cutRight(30)
	cases := []struct {
		name      string
		got, want box
	}{
		{"top", top, box{10, 20, 100, 10}}, {"below", below, box{10, 30, 100, 40}},
		{"foot", foot, box{10, 60, 100, 10}}, {"above", above, box{10, 20, 100, 40}},
		{"left", left, box{10, 20, 30, 50}}, {"right", right, box{40, 20, 70, 50}},
		{"end", end, box{80, 20, 30, 50}}, {"start", start, box{10, 20, 70, 50}},
		{"inset", b.inset(5), box{15, 25, 90, 40}}, {"grown", b.grown(5), box{5, 15, 110, 60}},
		{"middle", b.middle(20, 10), box{50, 40, 20, 10}},
		{"third column of 1:1:2", b.columns(1, 1, 2)[2], box{60, 20, 50, 50}},
		{"second row of 5", b.rows(5)[1], box{10, 30, 100, 10}},
	}
	for _, c := range cases {
		if c.got != c.want {
			t.Errorf("%s = %v, want %v", c.name, c.got, c.want)
		}
	}
	if top.meets(below) || left.meets(right) || !b.meets(top) {
		t.Error("parts cut from one box must not meet each other, and must meet the box")
	}
}
