package chart

import (
	"math"
	"strings"
	"testing"

	"brakeside/calc/unit"
	"brakeside/traveler/draw"
)

func run(errors ...unit.Deg) Run {
	r := Run{Title: "304, 1.2 mm, wide", First: 1}
	var sum unit.Deg
	for _, e := range errors {
		r.Readings = append(r.Readings, Reading{Error: e, Tolerance: 1})
		sum += e
	}
	if len(errors) > 0 {
		r.Mean = sum / unit.Deg(len(errors))
	}
	return r
}

// marksOf counts the rings (in tolerance) and the black squares (outside).
func marksOf(page *draw.Page) (rings, squares int) {
	for _, m := range page.Marks {
		switch m := m.(type) {
		case draw.Arc:
			rings++
		case draw.Path:
			if m.Fill == draw.Black {
				squares++
			}
		}
	}
	return rings, squares
}

func wordsOf(page *draw.Page) string {
	var all []string
	for _, m := range page.Marks {
		if t, ok := m.(draw.Text); ok {
			all = append(all, t.Words)
		}
	}
	return strings.Join(all, "|")
}

func TestDrawMarksReadingsByShape(t *testing.T) {
	cases := []struct {
		name           string
		run            Run
		rings, squares int
	}{
		{"none", run(), 0, 0},
		{"one", run(0.4), 1, 0},
		{"exactly at the tolerance is inside", run(1.0, -1.0), 2, 0},
		{"just outside, both ways", run(1.01, -1.01, 0), 1, 2},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			rings, squares := marksOf(Draw(c.run))
			if rings != c.rings || squares != c.squares {
				t.Errorf("Draw has %d rings and %d squares, want %d and %d", rings, squares, c.rings, c.squares)
			}
		})
	}
}

func TestDrawKeepsOnThePage(t *testing.T) {
	many := make([]unit.Deg, 400)
	for i := range many {
		many[i] = unit.Deg(3 * math.Sin(float64(i)))
	}
	for name, r := range map[string]Run{
		"one": run(0.2), "huge": run(170, -170), "many": run(many...), "tiny": run(0.01, 0.02), "none": run(),
	} {
		page := Draw(r)
		if !page.Finite() {
			t.Errorf("%s: a number is not finite", name)
		}
		for _, m := range page.Marks {
			path, ok := m.(draw.Path)
			if !ok {
				continue
			}
			for _, p := range path.Points {
				if p.X < 0 || p.X > page.Width || p.Y < 0 || p.Y > page.Height {
					t.Errorf("%s: mark at %.1f, %.1f is off the page", name, p.X, p.Y)
				}
			}
		}
	}
}

// The higher the error, the higher the mark, and as far as the scale says.
func TestDrawIsToScale(t *testing.T) {
	page := Draw(run(-1, 0, 1))
	var line draw.Path
	for _, m := range page.Marks {
		if p, ok := m.(draw.Path); ok && p.Pen == draw.ChartLine {
			line = p
		}
	}
	if len(line.Points) != 3 {
		t.Fatalf("data line has %d points, want 3", len(line.Points))
	}
	up, down := line.Points[1].Y-line.Points[2].Y, line.Points[0].Y-line.Points[1].Y
	if up <= 0 || math.Abs(up-down) > 1e-9 {
		t.Errorf("one degree is %.3f up and %.3f down, want equal and positive", up, down)
	}
	if want := plotHeight / 2 / 2; math.Abs(up-want) > 1e-9 {
		t.Errorf("one degree is %.3f mm on a scale to 2, want %.3f", up, want)
	}
}

func TestToleranceStepsWhereItChanges(t *testing.T) {
	r := run(0, 0, 0)
	r.Readings[2].Tolerance = 0.5
	p := plot{run: r, limit: scaleFor(r)}
	points := p.tolerance(1).(draw.Path).Points
	if len(points) != 4 || points[0].Y >= points[3].Y {
		t.Errorf("tolerance drawn through %v, want four points stepping down", points)
	}
}

func TestScaleFor(t *testing.T) {
	cases := []struct{ most, want float64 }{
		{0.2, 2}, {1.4, 2}, {2.5, 3}, {3.5, 4}, {4.9, 6}, {9.4, 10}, {9.9, 20}, {28, 30}, {170, 200},
	}
	for _, c := range cases {
		if got := scaleFor(run(unit.Deg(c.most))); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("scaleFor(largest error %g, tolerance 1) = %g, want %g", c.most, got, c.want)
		}
	}
}

func TestWords(t *testing.T) {
	page := Draw(run(0.4, -1.6))
	for _, want := range []string{"+2.0", "-2.0", "mean", "tol. +", "tol. -", "reading, in the order made"} {
		if !strings.Contains(wordsOf(page), want) {
			t.Errorf("words %q lack %q", wordsOf(page), want)
		}
	}
	if want := "2 angle errors in degrees, oldest first: mean -0.6, 1 outside"; !strings.Contains(page.Description, want) {
		t.Errorf("description %q lacks %q", page.Description, want)
	}
	if words := wordsOf(Draw(run())); words != "No readings yet" {
		t.Errorf("an empty run says %q", words)
	}
}

func TestSigned(t *testing.T) {
	cases := []struct {
		angle unit.Deg
		want  string
	}{{0.6, "+0.6"}, {-0.6, "-0.6"}, {0, "0.0"}, {0.04, "0.0"}, {-0.04, "0.0"}, {0.05, "+0.1"}}
	for _, c := range cases {
		if got := Signed(c.angle); got != c.want {
			t.Errorf("Signed(%g) = %q, want %q", float64(c.angle), got, c.want)
		}
	}
}
