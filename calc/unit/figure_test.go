package unit

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// Lengths on paper: an inch is 25.4 mm by definition (international yard and pound
// agreement of 1959), so 38.1 mm are 1.500 in.
func TestFigure(t *testing.T) {
	for _, c := range []struct {
		system     System
		length     Micron
		bare, both string
		sized      string
	}{
		{Metric, 38_100, "38.1", "38.1", "38.1 mm"},
		{Metric, 38_149, "38.1", "38.1", "38.1 mm"},
		{Metric, 38_151, "38.2", "38.2", "38.2 mm"},
		{Inch, 38_100, "1.500", "1.500 (38.1)", "1.500 in (38.1 mm)"},
		{Inch, 38_112, "1.500", "1.500 (38.1)", "1.500 in (38.1 mm)"},
		{Inch, 38_113, "1.501", "1.501 (38.1)", "1.501 in (38.1 mm)"},
		{Inch, 0, "0.000", "0.000 (0.0)", "0.000 in (0.0 mm)"},
	} {
		if bare, both := c.system.Bare(c.length), c.system.Figure(c.length); bare != c.bare || both != c.both {
			t.Errorf("%d micrometres in %s: %q and %q, want %q and %q", c.length, c.system, bare, both, c.bare, c.both)
		}
		if sized := c.system.Sized(c.length); sized != c.sized {
			t.Errorf("%d micrometres in %s: %q in a sentence, want %q", c.length, c.system, sized, c.sized)
		}
	}
}

func TestSaid(t *testing.T) {
	for _, c := range []struct{ words, want string }{
		{"Tight: 1.7 mm between leg 2 and wide bar.", "Tight: 0.067 in (1.7 mm) between leg 2 and wide bar."},
		{"8.9 N/mm lift the bar", "8.9 N/mm lift the bar"},
		{"The part swings out 254 mm.", "The part swings out 10.000 in (254 mm)."},
		{"2 mmm", "2 mmm"},
	} {
		if got := Inch.Said(c.words); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
		if got := Metric.Said(c.words); got != c.words {
			t.Errorf("in millimetres: %q", got)
		}
	}
}

// Whoever adds a printed distance to the printed figure of its lower end finds the
// printed figure of its upper one, in both systems.
func TestApartAddsUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		less := Micron(rapid.Int64Range(0, 3_000_000).Draw(t, "less"))
		more := less + Micron(rapid.Int64Range(0, 3_000_000).Draw(t, "apart"))
		for _, s := range []System{Metric, Inch} {
			apart, _, _ := strings.Cut(s.Apart(more, less), " ")
			sum := number(t, s.Bare(less)) + number(t, apart)
			if math.Abs(sum-number(t, s.Bare(more))) > 1e-9 {
				t.Fatalf("%s and %s are not %s", s.Bare(less), apart, s.Bare(more))
			}
		}
	})
}

func number(t *rapid.T, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}
