package sheet

import (
	"math"
	"strings"
	"testing"

	"brakeside/calc/unit"
	"brakeside/traveler"
	"brakeside/traveler/canvas"
	marks "brakeside/traveler/draw"
	"brakeside/traveler/internal/fixture"
	"brakeside/traveler/internal/look"
	"brakeside/traveler/page"
	"brakeside/traveler/phrase"
	"brakeside/traveler/sign"
)

// prepared is a sheet ready to lay out.
func prepared(t testing.TB, from *traveler.Traveler) *page.Set {
	t.Helper()
	s, err := page.New(from)
	if err == nil {
		s.Codes, err = page.CodesOf(from)
	}
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func saidBefore(list todo) string {
	var words []string
	for _, a := range list {
		words = append(words, a.words)
	}
	return strings.Join(words, "; ")
}

func TestHandling(t *testing.T) {
	first := traveler.Step{FaceUp: "A", Bar: "wide", Leaf: traveler.FullLeaf, Place: traveler.Middle}
	change := func(f func(*traveler.Step)) traveler.Step { s := first; f(&s); return s }
	cases := []struct {
		name     string
		from, to traveler.Step
		want     string
	}{
		{"nothing", first, first, ""},
		{"turn over and rotate", first, change(func(s *traveler.Step) {
			s.TurnOver, s.Over, s.FaceUp, s.Rotate, s.Tip, s.Clamped = true, "front to back", "B", 270, true, "lip"
		}),
			"TURN OVER front to back: face B up; ROTATE 90 CLOCKWISE; TIP the part: lip lies on the bed"},
		{"bar", first, change(func(s *traveler.Step) { s.Bar = "narrow" }), "CHANGE BAR to narrow"},
		{"leaf", first, change(func(s *traveler.Step) { s.Leaf = traveler.SlimLeaf }), "TAKE THE LEAF EXTENSION OFF"},
		{"place", first, change(func(s *traveler.Step) { s.Place = traveler.PastLeft }), "MOVE the part past the LEFT end of the brake"},
		{"packing strip and a bar that slides out", first, change(func(s *traveler.Step) { s.Packing, s.SlideOut = true, "left" }),
			"PACKING STRIP 1.2 mm under the back of the bar, this step only; AFTER the bend slide the bar out to the LEFT"},
		{"leaf and place back", change(func(s *traveler.Step) { s.Leaf, s.Place = traveler.SlimLeaf, traveler.PastRight }), first,
			"PUT THE LEAF EXTENSION ON; MOVE the part back to the middle of the brake"},
		{
			"other fingers", change(func(s *traveler.Step) { s.Bar, s.Segments = "fingers", []traveler.Segment{{Width: fixture.MM(50)}} }),
			change(func(s *traveler.Step) { s.Bar, s.Segments = "fingers", []traveler.Segment{{Width: fixture.MM(68)}} }), "RESET fingers to 68",
		},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			s := &page.Set{Traveler: &traveler.Traveler{
				Part: traveler.Part{Thickness: fixture.MM(1.2)}, Steps: []traveler.Step{c.from, c.to},
			}}
			if got := saidBefore(handling(s, 1)); got != c.want {
				t.Errorf("handling() = %q, want %q", got, c.want)
			}
		})
	}
}

// Before the first step there is no bar to change, but the leaf may have to be.
func TestHandlingBeforeTheFirstStep(t *testing.T) {
	s := &page.Set{Traveler: &traveler.Traveler{Steps: []traveler.Step{{
		Bar: "narrow", Leaf: traveler.SlimLeaf, Place: traveler.Middle, Rotate: 180,
	}}}}
	if got, want := saidBefore(handling(s, 0)), "ROTATE 180; TAKE THE LEAF EXTENSION OFF"; got != want {
		t.Errorf("handling(0) = %q, want %q", got, want)
	}
}

// Actions go to a new line rather than be cut.
func TestHandlingBreaksLines(t *testing.T) {
	var list todo
	for range 5 {
		list = append(list, action{sign.Pointer, "MOVE the part past the LEFT end of the brake"})
	}
	lines := list.lines(190)
	sum := 0
	for _, line := range lines {
		wide := 0.0
		for _, a := range line {
			wide += a.width()
		}
		if wide > 190 {
			t.Errorf("a line of actions is %.1f mm wide, want 190 at most", wide)
		}
		sum += len(line)
	}
	if sum != 5 || len(lines) != 3 || math.Abs(list.height(190)-3*handlingHeight) > 1e-9 {
		t.Errorf("5 actions lie on %d lines, %d in all, want 3 lines and all", len(lines), sum)
	}
	if (todo{}).height(190) != 0 {
		t.Error("no action takes height")
	}
}

// A long caution takes more lines; it is not cut.
func TestLongCautionsAreWhole(t *testing.T) {
	made := fixture.Bracket()
	long := "The magnet may not hold the bar down (estimate: the bend lifts the nose with 6.8 N per mm, the magnet holds 12.9, " +
		"margin 2.0 asked): watch for the bar lifting."
	made.Steps[0].Cautions = []traveler.Caution{{Level: traveler.Notice, Text: long}}
	made.Cautions = []traveler.Caution{{Level: traveler.Care, Text: long}}
	words := strings.ReplaceAll(look.Said(pagesOf(t, made)), "\n", " ")
	if got := strings.Count(words, long); got != 2 {
		t.Errorf("the long caution is printed whole %d times, want for the part and for its step", got)
	}
}

// barOf draws a step's bar on a page of its own.
func barOf(step traveler.Step) *marks.Page {
	c := canvas.Canvas{Page: &marks.Page{Width: 210, Height: 297}}
	drawBar(unit.Metric, c, canvas.Box{X: 20, Y: 40, W: 80, H: barHeight}, step, barRoom{step.Bar, barName, barGapLine}, 0)
	return c.Page
}

// Fingers stand to scale, left to right, with the gaps under them.
func TestFingersToScale(t *testing.T) {
	step := fixture.Tray().Steps[2]
	page := barOf(step)
	var fingers []canvas.Box
	for _, p := range look.Each[marks.Path](page) {
		fingers = append(fingers, canvas.Around(p.Points))
	}
	if len(fingers) != len(step.Segments) {
		t.Fatalf("%d fingers are drawn, want %d", len(fingers), len(step.Segments))
	}
	var bend marks.Line
	for _, l := range look.Each[marks.Line](page) {
		if l.Pen == marks.NoseLine && l.Y1 == l.Y2 {
			bend = l
		}
	}
	scale := (bend.X2 - bend.X1) / float64(step.Length.MM())
	for i, s := range step.Segments {
		if got, want := fingers[i].X-bend.X1, float64(s.At.MM())*scale; math.Abs(got-want) > 0.01 {
			t.Errorf("finger %d begins at %.2f, want %.2f", i, got, want)
		}
		if got, want := fingers[i].W, float64(s.Width.MM())*scale; math.Abs(got-want) > 0.01 {
			t.Errorf("finger %d is %.2f wide, want %.2f", i, got, want)
		}
	}
	words := look.Said([]*marks.Page{page})
	for _, want := range []string{"68", "124", "91", "no bar 2.2", "0.7", "0.5", "8.5"} {
		if !strings.Contains(words, want) {
			t.Errorf("the plan of the fingers does not say %q:\n%s", want, words)
		}
	}
}

// A full bar runs past both ends of the bend, but not past the end of the brake
// that the part hangs over.
func TestFullBarAndTheEndsOfTheBrake(t *testing.T) {
	cases := []struct {
		place       string
		left, right bool // the bar runs on past that end of the bend
		ends        int
	}{
		{traveler.Middle, true, true, 0}, {traveler.PastLeft, false, true, 1}, {traveler.PastRight, true, false, 1},
	}
	for _, k := range cases {
		page := barOf(traveler.Step{Bar: "wide", Leaf: traveler.FullLeaf, Place: k.place, Length: fixture.MM(300)})
		bar := canvas.Around(look.Each[marks.Path](page)[0].Points)
		ends := 0
		from, to := 0.0, 0.0
		for _, l := range look.Each[marks.Line](page) {
			if l.Pen == marks.Heavy {
				ends++
			}
			if l.Pen == marks.NoseLine && l.Y1 == l.Y2 {
				from, to = l.X1, l.X2
			}
		}
		if (bar.X < from-1) != k.left || (bar.Right() > to+1) != k.right || ends != k.ends {
			t.Errorf("%s: bar from %.1f to %.1f, bend from %.1f to %.1f, %d ends of the brake", k.place, bar.X, bar.Right(), from, to, ends)
		}
	}
}

// Where the springback comes from is told when the row is high enough, and
// nothing else changes.
func TestSpringbackNeedsRoom(t *testing.T) {
	s := prepared(t, fixture.Tray())
	row := func(height float64) string {
		c := canvas.Canvas{Page: &marks.Page{Width: 210, Height: 297}}
		drawBend(s, c, canvas.Box{X: 28, Y: 30, W: 172, H: height}, 0)
		return look.Said([]*marks.Page{c.Page})
	}
	low, high := row(leastRow), row(mostRow)
	if strings.Contains(low, "springback") || !strings.Contains(high, "springback 2.5°: 6 readings of this material") {
		t.Error("the springback belongs to high rows alone")
	}
	for _, want := range []string{"92.5°", "wide", "60.5", "OUTSIDE height of wall left"} {
		if !strings.Contains(low, want) {
			t.Errorf("a low row does not say %q", want)
		}
	}
}

// An address too long for a step's code leaves the codes of the pages.
func TestLongAddressKeepsThePageCode(t *testing.T) {
	made := fixture.Tray()
	made.Address = "https://" + strings.Repeat("long-name.", 14) + "example/t/" + made.Code
	for i, page := range pagesOf(t, made) {
		if got := len(look.Each[marks.Cells](page)); got != 1 {
			t.Errorf("page %d carries %d codes, want the page's alone", i+1, got)
		}
		for _, fault := range look.Crowded(page) {
			t.Errorf("page %d: %s", i+1, fault)
		}
	}
}

func TestGridPages(t *testing.T) {
	cases := []struct {
		name            string
		steps, quantity int
		pages, pieces   int
	}{
		{"few", 2, 3, 1, 3}, {"twenty pieces", 4, 20, 1, 20}, {"more than twenty", 4, 300, 1, 20},
		{"many steps", 29, 20, 3, 20}, {"no steps", 0, 5, 0, 0}, {"no quantity", 1, 0, 1, 1},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			made := fixture.Tray()
			made.Quantity, made.Steps = c.quantity, nil
			for n := range c.steps {
				made.Steps = append(made.Steps, traveler.Step{Number: n + 1, Target: fixture.Deg(90), Stop: fixture.Deg(92)})
			}
			s := prepared(t, made)
			s.Fill(grids(s))
			pages := s.Finish()
			if len(pages) != c.pages {
				t.Fatalf("%d pages, want %d", len(pages), c.pages)
			}
			stops := 0
			for _, page := range pages {
				stops += stopsInTheirRow(page, gridStop(traveler.Step{Stop: fixture.Deg(92)}))
				rows := 0
				for _, m := range look.Each[marks.Text](page) {
					if m.Anchor == marks.Centre && m.Size == canvas.Large {
						rows++
					}
				}
				if rows != c.pieces {
					t.Errorf("%d pieces have a row, want %d", rows, c.pieces)
				}
			}
			if stops != c.steps {
				t.Errorf("%d steps have a column with its stop filled in, want %d", stops, c.steps)
			}
		})
	}
}

// stopsInTheirRow counts the stops that are filled in beside "stop used", small enough
// that another can be written there.
func stopsInTheirRow(page *marks.Page, stop string) (n int) {
	row := 0.0
	for _, m := range look.Each[marks.Text](page) {
		if m.Words == wordsGridStopUsed {
			row = m.Y
		}
	}
	for _, m := range look.Each[marks.Text](page) {
		if m.Words == stop && math.Abs(m.Y-row) < mostGridRow/2 && m.Size <= canvas.Smallest {
			n++
		}
	}
	return n
}

func TestZeroLengthBendStays(t *testing.T) {
	p := barPlan{step: traveler.Step{}, left: 7, right: 60}
	if got := p.x(unit.Micron(5000)); got != 7 {
		t.Errorf("x on a bend without length = %g, want its left end", got)
	}
}

// The bar's edge on the line is drawn in high rows alone, and a line that lies
// underneath is not said to show.
func TestNoseLineEnlarged(t *testing.T) {
	made := fixture.Cover()
	s := prepared(t, made)
	row := func(height float64, step int) string {
		c := canvas.Canvas{Page: &marks.Page{Width: 210, Height: 297}}
		drawBend(s, c, canvas.Box{X: 28, Y: 30, W: 172, H: height}, step)
		for _, fault := range look.Crowded(c.Page) {
			if strings.Contains(fault, "overlaps") {
				t.Errorf("step %d, %.0f mm high: %s", step+1, height, fault)
			}
		}
		return strings.ReplaceAll(look.Said([]*marks.Page{c.Page}), "\n", " ")
	}
	for i, step := range made.Steps {
		want, not := wordsNoseShows, wordsNoseFaceB
		if step.FaceUp == "B" {
			want, not = not, want
		}
		if words := row(mostRow, i); !strings.Contains(words, want) || strings.Contains(words, not) {
			t.Errorf("step %d with face %s up says %q, want %q", step.Number, step.FaceUp, words, want)
		}
		if words := row(leastRow, i); strings.Contains(words, wordsNoseShows) || strings.Contains(words, wordsNoseFaceB) {
			t.Errorf("step %d has no room for the sketch and draws it", step.Number)
		}
	}
}

// Handling of every kind before every step still leaves rows whole.
func TestMostHandlingFits(t *testing.T) {
	made := fixture.Four()
	for i := range made.Steps {
		made.Steps[i].Packing, made.Steps[i].SlideOut = true, "right"
	}
	pages := pagesOf(t, made)
	for i, page := range pages {
		for _, fault := range look.Crowded(page) {
			t.Errorf("page %d: %s", i+1, fault)
		}
	}
	words := look.Said(pages)
	for _, want := range []string{phrase.Packing(unit.Metric, made.Part), phrase.SlideOut("right")} {
		if got := strings.Count(words, want); got != len(made.Steps) {
			t.Errorf("%q is printed %d times, want before each of %d steps", want, got, len(made.Steps))
		}
	}
}
