package page

import (
	"math/rand"
	"slices"
	"testing"

	"brakeside/traveler/canvas"
	"brakeside/traveler/draw"
)

// stack makes blocks of the given least heights; a negative one is a row.
func stack(heights ...float64) []Block {
	var blocks []Block
	for _, h := range heights {
		blocks = append(blocks, Block{Least: max(h, -h), Most: max(h, -h), Row: h < 0})
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
		blocks []Block
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
func greedy(blocks []Block, room func(int) float64) int {
	pages, used := 1, 0.0
	for i, k := range blocks {
		if used+k.Least > room(pages-1)+1e-9 && i > 0 {
			pages, used = pages+1, 0
		}
		used += k.Least + gap
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
				height += k.Least + gap
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
	named := func(name string, least, most float64, eager bool) Block {
		return Block{Least: least, Most: most, Eager: eager, Draw: func(_ canvas.Canvas, b canvas.Box) { heights[name] = b.H }}
	}
	c := canvas.Canvas{Page: &draw.Page{}}
	blocks := []Block{named("fixed", 20, 20, false), named("eager", 20, 30, true), named("one", 10, 20, false), named("two", 10, 40, false)}
	rest := Place(c, canvas.Box{X: 0, Y: 0, W: 100, H: 60 + 3*gap + 10 + 20}, blocks)
	want := map[string]float64{"fixed": 20, "eager": 30, "one": 15, "two": 25}
	for name, h := range want {
		if got := heights[name]; got < h-1e-9 || got > h+1e-9 {
			t.Errorf("block %s is %.2f high, want %.2f", name, got, h)
		}
	}
	if rest.H > 1e-9 {
		t.Errorf("%.2f mm are left, want none", rest.H)
	}
}
