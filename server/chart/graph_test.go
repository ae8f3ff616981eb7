package chart

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"brakeside/traveler/draw"
	"brakeside/traveler/svg"
)

func sample() Graph {
	return Graph{
		Title: "Weekly mean error", Description: "Four weeks.", Axis: "week", First: "May", Last: "June",
		Series: []Series{
			{Name: "mean", Values: []float64{0.5, math.NaN(), -1, 0.2}, Look: Rings, Marked: []bool{false, false, true, false}},
			{Name: "limit", Values: []float64{1, 1, 1.5, 1.5}, Look: Limit},
		},
		Levels: []Level{{"zero", 0, Dotted}},
	}
}

func of[T draw.Mark](p *draw.Page) []T {
	var out []T
	for _, m := range p.Marks {
		if x, is := m.(T); is {
			out = append(out, x)
		}
	}
	return out
}

func TestDrawGraph(t *testing.T) {
	p := DrawGraph(sample())
	if rings := of[draw.Arc](p); len(rings) != 2 {
		t.Errorf("%d rings, want 2: one value is missing, one marked", len(rings))
	}
	black := 0
	for _, path := range of[draw.Path](p) {
		if path.Fill == draw.Black {
			black++
		}
	}
	if black != 1 {
		t.Errorf("%d black squares, want the marked value", black)
	}
	// The mean has a gap: its first value has no line, the last two have one.
	var lines [][]draw.Point
	for _, path := range of[draw.Path](p) {
		if path.Pen == draw.ChartLine {
			lines = append(lines, path.Points)
		}
	}
	if len(lines) != 1 || len(lines[0]) != 2 {
		t.Errorf("lines %v, want one of two points", lines)
	}
	var words []string
	for _, text := range of[draw.Text](p) {
		words = append(words, text.Words)
	}
	all := strings.Join(words, "|")
	for _, want := range []string{"+2", "+1", "0", "-1", "-2", "May", "June", "week", "mean", "limit", "zero"} {
		if !strings.Contains("|"+all+"|", "|"+want) {
			t.Errorf("the graph lacks %q: %s", want, all)
		}
	}
}

func TestDrawGraphNothing(t *testing.T) {
	for _, p := range []*draw.Page{DrawGraph(Graph{Title: "x"}), DrawHistogram(Histogram{Title: "x"})} {
		if texts := of[draw.Text](p); len(texts) != 1 || texts[0].Words != "Nothing to draw yet" {
			t.Errorf("an empty page says %v", texts)
		}
	}
}

// Every value, whatever it is, lies inside the frame; names do not overlap and
// stay on the page; the page can be written.
func TestGraphStaysInside(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := Graph{Title: "t", Description: "d", FromZero: rapid.Bool().Draw(t, "from zero")}
		low := -1e4
		if g.FromZero {
			low = 0
		}
		for range rapid.IntRange(1, 3).Draw(t, "series") {
			values := rapid.SliceOfN(rapid.Float64Range(low, 1e4), 1, 120).Draw(t, "values")
			g.Series = append(g.Series, Series{Name: "name", Values: values, Look: Look(rapid.IntRange(0, 5).Draw(t, "look"))})
		}
		p := DrawGraph(g)
		for _, path := range of[draw.Path](p) {
			for _, point := range path.Points {
				if point.X < leftRoom-3 || point.X > plotRight+3 || point.Y < topRoom-3 || point.Y > plotBottom+3 {
					t.Fatalf("%v lies outside", point)
				}
			}
		}
		last := math.Inf(-1)
		for _, text := range of[draw.Text](p) {
			if text.X > plotRight {
				if text.Y < last+letters-1e-9 || text.Y > height {
					t.Fatalf("name at %v after %v", text.Y, last)
				}
				last = text.Y
			}
		}
		if err := svg.Write(new(bytes.Buffer), p); err != nil {
			t.Fatal(err)
		}
	})
}

func TestDrawHistogram(t *testing.T) {
	p := DrawHistogram(Histogram{
		Title: "Errors", First: -1, Step: 0.5, Counts: []int{1, 0, 4, 2}, Expected: []float64{0.5, 1.5, 3, 2}, Limits: []float64{-1, 9},
	})
	bars := 0
	for _, path := range of[draw.Path](p) {
		if path.Fill == draw.Hatched {
			bars++
		}
	}
	dashed := 0
	for _, l := range of[draw.Line](p) {
		if l.Pen == draw.Hidden {
			dashed++
		}
	}
	if bars != 3 || dashed != 1 {
		t.Errorf("%d bars and %d limits, want 3 and the one that lies inside", bars, dashed)
	}
	if want := "How often each value came. -1.0: 1; 0.0: 4; +0.5: 2."; p.Description != want {
		t.Errorf("described as %q, want %q", p.Description, want)
	}
	if err := svg.Write(new(bytes.Buffer), p); err != nil {
		t.Error(err)
	}
}

func TestRounded(t *testing.T) {
	for v, want := range map[float64]float64{0.1: 0.2, 0.9: 1, 0.96: 2, 1: 2, 2.9: 4, 57: 60, 58: 100, 99: 200} {
		if got := rounded(v); math.Abs(got-want) > 1e-9 {
			t.Errorf("rounded(%v) = %v, want %v", v, got, want)
		}
	}
}
