package sheet

import (
	"math"
	"strings"
	"testing"

	"brakeside/calc/unit"
	"brakeside/traveler"
	marks "brakeside/traveler/draw"
)

// prepared is a sheet ready to lay out.
func prepared(t testing.TB, from *traveler.Traveler) *sheet {
	t.Helper()
	s, err := newSheet(from)
	if err == nil {
		s.codes, err = codesOf(from)
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
		{"turn over and rotate", first, change(func(s *traveler.Step) { s.TurnOver, s.FaceUp, s.Rotate = true, "B", 90 }), "TURN OVER on the bend line: face B up; ROTATE 90° anticlockwise"},
		{"bar", first, change(func(s *traveler.Step) { s.Bar = "narrow" }), "CHANGE BAR to narrow"},
		{"leaf", first, change(func(s *traveler.Step) { s.Leaf = traveler.SlimLeaf }), "LEAF: take the extension off, slim face"},
		{"place", first, change(func(s *traveler.Step) { s.Place = traveler.PastLeft }), "MOVE the part past the LEFT end of the brake"},
		{"packing strip and a bar that slides out", first, change(func(s *traveler.Step) { s.Packing, s.SlideOut = true, "left" }), "PACKING STRIP under the back of the bar; AFTER the bend slide the bar out to the LEFT"},
		{"leaf and place back", change(func(s *traveler.Step) { s.Leaf, s.Place = traveler.SlimLeaf, traveler.PastRight }), first, "LEAF: put the extension on, full face; MOVE the part back to the middle of the brake"},
		{
			"other fingers", change(func(s *traveler.Step) { s.Bar, s.Segments = "fingers", []traveler.Segment{{Width: mm(50)}} }),
			change(func(s *traveler.Step) { s.Bar, s.Segments = "fingers", []traveler.Segment{{Width: mm(68)}} }), "RESET fingers to 68",
		},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			s := &sheet{Traveler: &traveler.Traveler{Steps: []traveler.Step{c.from, c.to}}}
			if got := saidBefore(s.handling(1)); got != c.want {
				t.Errorf("handling() = %q, want %q", got, c.want)
			}
		})
	}
}

// Before the first step there is no bar to change, but the leaf may have to be.
func TestHandlingBeforeTheFirstStep(t *testing.T) {
	s := &sheet{Traveler: &traveler.Traveler{Steps: []traveler.Step{{Bar: "narrow", Leaf: traveler.SlimLeaf, Place: traveler.Middle, Rotate: 180}}}}
	if got, want := saidBefore(s.handling(0)), "ROTATE 180°, end for end; LEAF: take the extension off, slim face"; got != want {
		t.Errorf("handling(0) = %q, want %q", got, want)
	}
}

// Actions go to a new line rather than be cut.
func TestHandlingBreaksLines(t *testing.T) {
	var list todo
	for range 5 {
		list = append(list, action{canvas.pointSign, "MOVE the part past the LEFT end of the brake"})
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
	if sum != 5 || len(lines) != 3 || list.height(190) != 3*handlingHeight {
		t.Errorf("5 actions lie on %d lines, %d in all, want 3 lines and all", len(lines), sum)
	}
	if (todo{}).height(190) != 0 {
		t.Error("no action takes height")
	}
}

func TestWorst(t *testing.T) {
	c := func(level, text string) traveler.Caution { return traveler.Caution{Level: level, Text: text} }
	cases := []struct {
		name string
		of   []traveler.Caution
		want string
	}{
		{"the gravest", []traveler.Caution{c(traveler.Notice, "n"), c(traveler.Care, "c"), c(traveler.Warning, "w")}, "w"},
		{"danger over all", []traveler.Caution{c(traveler.Warning, "w"), c(traveler.Danger, "d")}, "d"},
		{"the first of equals", []traveler.Caution{c(traveler.Care, "one"), c(traveler.Care, "two")}, "one"},
		{"a level nobody knows", []traveler.Caution{c("odd", "odd")}, "odd"},
	}
	for _, k := range cases {
		if got, ok := worst(k.of); !ok || got.Text != k.want {
			t.Errorf("%s: worst() = %q, %v, want %q", k.name, got.Text, ok, k.want)
		}
	}
	if _, ok := worst(nil); ok {
		t.Error("worst(nil) found a caution")
	}
}

// ANSI Z535.4-2007, 4.14: danger, warning and caution are for harm to people and carry
// the alert sign in their panel; notice is not and does not.
func TestSignalPanels(t *testing.T) {
	cases := []struct {
		level, word string
		alert       bool
	}{
		{traveler.Danger, "DANGER", true}, {traveler.Warning, "WARNING", true}, {traveler.Care, "CAUTION", true}, {traveler.Notice, "NOTICE", false},
		{"never heard of", "WARNING", true}, // doubt is never safety
	}
	for _, k := range cases {
		c := canvas{&marks.Page{Width: 210, Height: 297}}
		c.panel(box{20, 30, panelWidth, 6}, k.level)
		texts, dots := each[marks.Text](c.page), each[marks.Arc](c.page)
		if len(texts) != 1 || texts[0].Words != k.word || !texts[0].White {
			t.Errorf("panel(%q) says %v, want white %s", k.level, texts, k.word)
		}
		if (len(dots) == 1) != k.alert {
			t.Errorf("panel(%q) has an alert sign: %v, want %v", k.level, len(dots) == 1, k.alert)
		}
	}
}

// A long caution takes more lines; it is not cut.
func TestLongCautionsAreWhole(t *testing.T) {
	made := bracket()
	long := "The magnet may not hold the bar down (estimate: the bend lifts the nose with 6.8 N per mm, the magnet holds 12.9, margin 2.0 asked): watch for the bar lifting."
	made.Steps[0].Cautions = []traveler.Caution{{Level: traveler.Notice, Text: long}}
	made.Cautions = []traveler.Caution{{Level: traveler.Care, Text: long}}
	words := strings.ReplaceAll(said(pagesOf(t, made)), "\n", " ")
	if got := strings.Count(words, long); got != 2 {
		t.Errorf("the long caution is printed whole %d times, want for the part and for its step", got)
	}
}

// barOf draws a step's bar on a page of its own.
func barOf(step traveler.Step) *marks.Page {
	c := canvas{&marks.Page{Width: 210, Height: 297}}
	c.bar(box{20, 40, 80, barHeight}, step, 0)
	return c.page
}

// Fingers stand to scale, left to right, with the gaps under them.
func TestFingersToScale(t *testing.T) {
	step := tray().Steps[2]
	page := barOf(step)
	var fingers []box
	for _, p := range each[marks.Path](page) {
		fingers = append(fingers, around(p.Points))
	}
	if len(fingers) != len(step.Segments) {
		t.Fatalf("%d fingers are drawn, want %d", len(fingers), len(step.Segments))
	}
	var bend marks.Line
	for _, l := range each[marks.Line](page) {
		if l.Pen == marks.NoseLine && l.Y1 == l.Y2 {
			bend = l
		}
	}
	scale := (bend.X2 - bend.X1) / float64(step.Length.MM())
	for i, s := range step.Segments {
		if got, want := fingers[i].x-bend.X1, float64(s.At.MM())*scale; math.Abs(got-want) > 0.01 {
			t.Errorf("finger %d begins at %.2f, want %.2f", i, got, want)
		}
		if got, want := fingers[i].w, float64(s.Width.MM())*scale; math.Abs(got-want) > 0.01 {
			t.Errorf("finger %d is %.2f wide, want %.2f", i, got, want)
		}
	}
	words := said([]*marks.Page{page})
	for _, want := range []string{"68", "124", "91", "gap 2.2", "0.7", "0.5", "8.5"} {
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
		page := barOf(traveler.Step{Bar: "wide", Leaf: traveler.FullLeaf, Place: k.place, Length: mm(300)})
		bar := around(each[marks.Path](page)[0].Points)
		ends := 0
		from, to := 0.0, 0.0
		for _, l := range each[marks.Line](page) {
			if l.Pen == marks.Heavy {
				ends++
			}
			if l.Pen == marks.NoseLine && l.Y1 == l.Y2 {
				from, to = l.X1, l.X2
			}
		}
		if (bar.x < from-1) != k.left || (bar.right() > to+1) != k.right || ends != k.ends {
			t.Errorf("%s: bar from %.1f to %.1f, bend from %.1f to %.1f, %d ends of the brake", k.place, bar.x, bar.right(), from, to, ends)
		}
	}
}

// Where the springback comes from is told when the row is high enough, and
// nothing else changes.
func TestSpringbackNeedsRoom(t *testing.T) {
	s := prepared(t, tray())
	row := func(height float64) string {
		c := canvas{&marks.Page{Width: 210, Height: 297}}
		s.bend(c, box{28, 30, 172, height}, 0)
		return said([]*marks.Page{c.page})
	}
	low, high := row(leastRow), row(mostRow)
	if strings.Contains(low, "springback") || !strings.Contains(high, "springback 2.5°: 6 readings of this material") {
		t.Error("the springback belongs to high rows alone")
	}
	for _, want := range []string{"92.5°", "wide, full leaf face", "60.5", "OUTSIDE height of wall left"} {
		if !strings.Contains(low, want) {
			t.Errorf("a low row does not say %q", want)
		}
	}
}

// An address too long for a step's code leaves the codes of the pages.
func TestLongAddressKeepsThePageCode(t *testing.T) {
	made := tray()
	made.Address = "https://" + strings.Repeat("long-name.", 14) + "example/t/" + made.Code
	for i, page := range pagesOf(t, made) {
		if got := len(each[marks.Cells](page)); got != 1 {
			t.Errorf("page %d carries %d codes, want the page's alone", i+1, got)
		}
		for _, fault := range crowded(page) {
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
		{"many steps", 23, 5, 3, 5}, {"no steps", 0, 5, 0, 0}, {"no quantity", 1, 0, 1, 1},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			made := tray()
			made.Quantity, made.Steps = c.quantity, nil
			for n := range c.steps {
				made.Steps = append(made.Steps, traveler.Step{Number: n + 1, Target: deg(90), Stop: deg(92)})
			}
			s := prepared(t, made)
			s.grid()
			pages := s.finish()
			if len(pages) != c.pages {
				t.Fatalf("%d pages, want %d", len(pages), c.pages)
			}
			stops := 0
			for _, page := range pages {
				stops += strings.Count(said([]*marks.Page{page}), gridStop(traveler.Step{Stop: deg(92)}))
				rows := 0
				for _, m := range each[marks.Text](page) {
					if m.Anchor == marks.Centre && m.Size == large {
						rows++
					}
				}
				if rows != c.pieces {
					t.Errorf("%d pieces have a row, want %d", rows, c.pieces)
				}
			}
			if stops != c.steps {
				t.Errorf("%d steps have a column, want %d", stops, c.steps)
			}
		})
	}
}

func TestWrittenTextIsShrunkThenCut(t *testing.T) {
	l := lettering{face: marks.Regular, size: strong, least: smallest}
	short, middling, long := "stop", strings.Repeat("m", 12), strings.Repeat("m", 60)
	if got, words := l.fitted(short, 40); got.size != strong || words != short {
		t.Errorf("fitted(%q) = %q at %.2f, want it as it is", short, words, got.size)
	}
	if got, words := l.fitted(middling, l.width(middling)*0.9); got.size >= strong || got.size < smallest || words != middling {
		t.Errorf("fitted(%q) = %q at %.2f, want it shrunk and whole", middling, words, got.size)
	}
	if got, words := l.fitted(long, 40); got.size != smallest || !strings.HasSuffix(words, "…") {
		t.Errorf("fitted(%q) = %q at %.2f, want it cut at 9 points", long, words, got.size)
	}
}

// picture moves every kind of mark, or a drawing would fall apart.
func TestPictureMovesEveryKindOfMark(t *testing.T) {
	from := &marks.Page{Width: 50, Height: 50}
	from.Add(
		marks.Line{X1: 1, Y1: 2, X2: 3, Y2: 4}, marks.Path{Points: []marks.Point{{X: 1, Y: 2}}}, marks.Arc{X: 1, Y: 2, Radius: 1},
		marks.Text{X: 1, Y: 2}, marks.Cells{X: 1, Y: 2}, marks.Link{X: 1, Y: 2}, marks.Bookmark{Y: 2},
	)
	c := canvas{&marks.Page{}}
	c.picture(from, 10, 20)
	to := c.page.Marks
	ok := to[0] == marks.Mark(marks.Line{X1: 11, Y1: 22, X2: 13, Y2: 24}) && to[1].(marks.Path).Points[0] == marks.Point{X: 11, Y: 22} &&
		to[2] == marks.Mark(marks.Arc{X: 11, Y: 22, Radius: 1}) && to[3] == marks.Mark(marks.Text{X: 11, Y: 22}) &&
		to[4].(marks.Cells).X == 11 && to[5] == marks.Mark(marks.Link{X: 11, Y: 22}) && to[6] == marks.Mark(marks.Bookmark{Y: 22})
	if !ok || from.Marks[1].(marks.Path).Points[0].X != 1 {
		t.Errorf("picture moved the marks to %+v", to)
	}
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
	made := cover()
	s := prepared(t, made)
	row := func(height float64, step int) string {
		c := canvas{&marks.Page{Width: 210, Height: 297}}
		s.bend(c, box{28, 30, 172, height}, step)
		for _, fault := range crowded(c.page) {
			if strings.Contains(fault, "overlaps") {
				t.Errorf("step %d, %.0f mm high: %s", step+1, height, fault)
			}
		}
		return strings.ReplaceAll(said([]*marks.Page{c.page}), "\n", " ")
	}
	for i, step := range made.Steps {
		want, not := wordsNoseShows, wordsNoseUnder
		if step.FaceUp == "B" {
			want, not = not, want
		}
		if words := row(mostRow, i); !strings.Contains(words, want) || strings.Contains(words, not) {
			t.Errorf("step %d with face %s up says %q, want %q", step.Number, step.FaceUp, words, want)
		}
		if words := row(leastRow, i); strings.Contains(words, wordsNoseShows) || strings.Contains(words, wordsNoseUnder) {
			t.Errorf("step %d has no room for the sketch and draws it", step.Number)
		}
	}
}

// Handling of every kind before every step still leaves rows whole.
func TestMostHandlingFits(t *testing.T) {
	made := four()
	for i := range made.Steps {
		made.Steps[i].Packing, made.Steps[i].SlideOut = true, "right"
	}
	pages := pagesOf(t, made)
	for i, page := range pages {
		for _, fault := range crowded(page) {
			t.Errorf("page %d: %s", i+1, fault)
		}
	}
	words := said(pages)
	for _, want := range []string{wordsPacking, slideOutWords("right")} {
		if got := strings.Count(words, want); got != len(made.Steps) {
			t.Errorf("%q is printed %d times, want before each of %d steps", want, got, len(made.Steps))
		}
	}
}
