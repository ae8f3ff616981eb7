package pdf

import (
	"fmt"
	"image"
	"math"
	"strings"
	"testing"

	"brakeside/traveler/draw"
	"brakeside/traveler/internal/raster"
	"brakeside/traveler/internal/sample"
	"brakeside/traveler/letter"
	"brakeside/traveler/qr"
)

// dpi is fine enough to tell tenths of a millimetre apart: 10 dots each.
const dpi = 254

func pictured(t testing.TB, marks ...draw.Mark) image.Image {
	t.Helper()
	return raster.Page(t, written(t, Document{Created: created, Pages: []*draw.Page{onePage(marks...)}}), 0, dpi)
}

// TestMarksLieWhereTheyShould looks at single places of the drawn page: first
// those that must be dark, then those that must be light.
func TestMarksLieWhereTheyShould(t *testing.T) {
	p := func(x, y float64) draw.Point { return draw.Point{X: x, Y: y} }
	for _, c := range []struct {
		name        string
		mark        draw.Mark
		dark, light []draw.Point
	}{
		{"line", draw.Line{X1: 10, Y1: 20, X2: 50, Y2: 20, Pen: draw.Heavy},
			[]draw.Point{p(9.7, 20), p(10.1, 20), p(30, 20), p(30, 20.35), p(49.9, 20)},
			[]draw.Point{p(30, 20.6), p(30, 19.4), p(51, 20), p(9.4, 20)}},
		{"no pen", draw.Line{X1: 10, Y1: 20, X2: 50, Y2: 20}, nil, []draw.Point{p(30, 20)}},
		{"long dashes", draw.Line{X1: 10, Y1: 20, X2: 50, Y2: 20, Pen: draw.BendDown},
			[]draw.Point{p(12, 20), p(17.9, 20), p(20, 20)}, []draw.Point{p(18.75, 20)}},
		{"head at the end", draw.Line{X1: 10, Y1: 20, X2: 50, Y2: 20, Pen: draw.Thin, Arrows: draw.AtEnd},
			[]draw.Point{p(47.8, 20.4), p(47.8, 19.6), p(49.5, 20), p(11, 20)}, []draw.Point{p(50.2, 20), p(12.2, 20.4)}},
		{"box filled", draw.Box(draw.NoPen, draw.Black, 10, 20, 5, 6), []draw.Point{p(10.1, 20.1), p(14.9, 25.9)},
			[]draw.Point{p(9.9, 20), p(15.1, 25), p(12, 26.2)}},
		{"box with an edge", draw.Box(draw.Outline, draw.NoFill, 10, 20, 5, 6),
			[]draw.Point{p(10, 23), p(15, 23), p(12, 20), p(12, 26)}, []draw.Point{p(12, 23)}},
		{"open path", draw.Path{Points: []draw.Point{p(10, 10), p(20, 10), p(20, 20)}, Pen: draw.Heavy},
			[]draw.Point{p(15, 10), p(20, 15)}, []draw.Point{p(15, 15)}},
		{"path of two points", draw.Path{Points: []draw.Point{p(10, 10), p(20, 10)}, Pen: draw.Heavy}, []draw.Point{p(15, 10)}, []draw.Point{p(15, 11), p(22, 10)}},
		{"quarter", draw.Arc{X: 50, Y: 40, Radius: 10, To: 90, Pen: draw.Heavy},
			[]draw.Point{p(57.07, 32.93), p(60, 39.9), p(50.1, 30)}, []draw.Point{p(42.93, 32.93), p(57.07, 47.07)}},
		{"over the axis", draw.Arc{X: 50, Y: 40, Radius: 10, From: 300, To: 30, Pen: draw.Heavy},
			[]draw.Point{p(60, 40), p(57.07, 47.07)}, []draw.Point{p(50, 30), p(40, 40), p(50, 50)}},
		{"disc", draw.Arc{X: 50, Y: 40, Radius: 10, To: 360, Fill: draw.Black}, []draw.Point{p(50, 40), p(43, 33.2), p(59.8, 40)},
			[]draw.Point{p(42, 32), p(60.3, 40)}},
		{"hatched box", draw.Box(draw.NoPen, draw.Hatched, 10, 10, 30, 30), []draw.Point{p(21.213, 21.213), p(30, 12.426)},
			[]draw.Point{p(21.743, 21.743), p(42, 0.426)}},
		{"striped box", draw.Box(draw.NoPen, draw.Striped, 10, 10, 30, 30), []draw.Point{p(20, 20), p(35, 35)},
			[]draw.Point{p(20, 21.06), p(42, 42)}},
		{"hatched disc", draw.Arc{X: 20, Y: 20, Radius: 8, To: 360, Fill: draw.Hatched}, []draw.Point{p(21.213, 21.213)},
			[]draw.Point{p(21.743, 21.743), p(28.2, 14.226)}},
		{"grey is 40 percent", draw.Box(draw.NoPen, draw.Grey, 10, 20, 5, 6), nil, []draw.Point{p(12, 23)}},
	} {
		t.Run(c.name, func(t *testing.T) {
			picture := pictured(t, c.mark)
			for _, at := range c.dark {
				if !raster.Dark(picture, dpi, at.X, at.Y) {
					t.Errorf("light at %v, want dark", at)
				}
			}
			for _, at := range c.light {
				if raster.Dark(picture, dpi, at.X, at.Y) {
					t.Errorf("dark at %v, want light", at)
				}
			}
		})
	}
}

// TestPaintingOrder: what comes later lies on top, and paper clears.
func TestPaintingOrder(t *testing.T) {
	picture := pictured(t, draw.Box(draw.NoPen, draw.Black, 10, 10, 30, 30), draw.Box(draw.NoPen, draw.Paper, 15, 15, 20, 20),
		draw.Box(draw.NoPen, draw.Black, 20, 20, 10, 10))
	for _, c := range []struct {
		at   float64
		dark bool
	}{{12, true}, {17, false}, {25, true}} {
		if got := raster.Dark(picture, dpi, c.at, c.at); got != c.dark {
			t.Errorf("dark at %g: %v, want %v", c.at, got, c.dark)
		}
	}
}

// TestPensOnTheNextPage: a page that goes on with the pen of the page before
// draws it as that did.
func TestPensOnTheNextPage(t *testing.T) {
	page := onePage(draw.Line{X1: 10, Y1: 20, X2: 50, Y2: 20, Pen: draw.BendDown}, draw.Line{X1: 10, Y1: 30, X2: 50, Y2: 30, Pen: draw.Heavy})
	out := written(t, Document{Pages: []*draw.Page{page, page, onePage(page.Marks[1])}})
	first := raster.Page(t, out, 0, dpi)
	for _, next := range []int{1, 2} {
		picture := raster.Page(t, out, next, dpi)
		for _, y := range []float64{29.4, 29.65, 30, 30.35, 30.6} {
			if got, want := raster.Dark(picture, dpi, 30, y), raster.Dark(first, dpi, 30, y); got != want {
				t.Errorf("page %d is dark at %g: %v, page 0: %v", next, y, got, want)
			}
		}
	}
}

// ink is the box around everything dark, in millimetres; empty when the page
// is blank.
type ink struct{ left, top, right, bottom float64 }

func inkOf(picture image.Image) ink {
	box := ink{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	dots := picture.(*image.RGBA)
	for i := 0; i < len(dots.Pix); i += 4 {
		if dots.Pix[i] < 0x80 {
			x, y := float64(i%dots.Stride/4)/10, float64(i/dots.Stride)/10
			box = ink{min(box.left, x), min(box.top, y), max(box.right, x+0.1), max(box.bottom, y+0.1)}
		}
	}
	return box
}

// TestWordsLieWhereTheyShould: H fills its width but for a little at the
// sides, and its height is about 0.72 of the size.
func TestWordsLieWhereTheyShould(t *testing.T) {
	width := letter.Width("HHH", draw.Regular, 8)
	for _, c := range []struct {
		name   string
		anchor draw.Anchor
		turn   float64
		want   ink
	}{
		{"left", draw.Left, 0, ink{50, 40 - 5.8, 50 + width, 40}},
		{"centre", draw.Centre, 0, ink{50 - width/2, 40 - 5.8, 50 + width/2, 40}},
		{"right", draw.Right, 0, ink{50 - width, 40 - 5.8, 50, 40}},
		{"upwards", draw.Left, 90, ink{50 - 5.8, 40 - width, 50, 40}},
		{"upwards, held in the middle", draw.Centre, 90, ink{50 - 5.8, 40 - width/2, 50, 40 + width/2}},
		{"upside down", draw.Left, 180, ink{50 - width, 40, 50, 40 + 5.8}},
		{"downwards", draw.Left, -90, ink{50, 40, 50 + 5.8, 40 + width}},
		{"a turn and a quarter", draw.Left, 450, ink{50 - 5.8, 40 - width, 50, 40}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := inkOf(pictured(t, draw.Text{X: 50, Y: 40, Size: 8, Words: "HHH", Anchor: c.anchor, Turn: c.turn}))
			for _, d := range []float64{got.left - c.want.left, got.top - c.want.top, c.want.right - got.right, c.want.bottom - got.bottom} {
				if d < -0.15 || d > 0.9 {
					t.Errorf("the ink is %.1f, want %.1f", got, c.want)
					break
				}
			}
		})
	}
}

func TestWhiteWords(t *testing.T) {
	black := draw.Box(draw.NoPen, draw.Black, 10, 10, 60, 20)
	word := draw.Text{X: 15, Y: 25, Size: 15, Words: "H", Face: draw.Bold, White: true}
	with, without := pictured(t, black, word), pictured(t, black)
	light := 0
	for y := 100; y < 300; y++ {
		for x := 100; x < 700; x++ {
			a, _, _, _ := with.At(x, y).RGBA()
			b, _, _, _ := without.At(x, y).RGBA()
			if a > 0xC000 && b < 0x4000 {
				light++
			}
		}
	}
	if light < 1500 { // 15 mm2 of some 110 that the letter covers
		t.Errorf("a white H on black lights %d dots of 0.01 mm2, want at least 1500", light)
	}
}

// TestWordsStayInTheirWidth sets words of all sorts in a narrow place, held in
// each way, and looks for ink outside. A letter may lean out of its own width
// by a hair, which is let pass.
func TestWordsStayInTheirWidth(t *testing.T) {
	words := append([]string{strings.Repeat("W", 200), strings.Repeat("il", 100), "stop 92.0° and no more", strings.Repeat("e\u0301", 200),
		strings.Repeat("\U0001F600", 200), strings.Repeat("\u05E9", 200)}, sample.Strange...)
	for _, anchor := range []draw.Anchor{draw.Left, draw.Centre, draw.Right} {
		t.Run(fmt.Sprint(anchor), func(t *testing.T) {
			page := onePage()
			for i, w := range words {
				page.Add(draw.Text{X: 50, Y: 4 + 4.5*float64(i), Size: 3.3, Words: w, Anchor: anchor, MaxWidth: 25, Face: draw.Face(i % 3)})
			}
			got := inkOf(raster.Page(t, written(t, Document{Pages: []*draw.Page{page}}), 0, dpi))
			left := 50 - 12.5*float64(anchor)
			if got.left < left-0.15 || got.right > left+25+0.15 {
				t.Errorf("the ink runs from %.1f to %.1f, want within %.1f to %.1f", got.left, got.right, left, left+25)
			}
			if got.right-got.left < 20 {
				t.Errorf("the ink is only %.1f wide", got.right-got.left)
			}
		})
	}
}

// TestEveryLetterIsDrawn looks for ink in the place of every letter of the
// face, since a letter left out of the embedded font shows nothing or a box.
func TestEveryLetterIsDrawn(t *testing.T) {
	page := &draw.Page{Width: 300, Height: 280}
	var places []draw.Text
	for r := rune('!'); r < 0xD800; r++ {
		if words := string(r); letter.Clean(words) == words && strings.TrimSpace(words) != "" {
			i := float64(len(places))
			places = append(places, draw.Text{X: 5 + 9*math.Mod(i, 32), Y: 8 + 9*math.Floor(i/32), Size: 5, Words: words})
		}
	}
	if len(places) < 600 {
		t.Fatalf("only %d letters", len(places))
	}
	for _, place := range places {
		page.Add(place)
	}
	picture := raster.Page(t, written(t, Document{Pages: []*draw.Page{page}}), 0, dpi)
	for _, place := range places {
		if !anyInk(picture, place) {
			t.Errorf("%q (%U) shows nothing", place.Words, []rune(place.Words)[0])
		}
	}
}

func anyInk(picture image.Image, at draw.Text) bool {
	for y := at.Y - 6; y < at.Y+2.5; y += 0.1 {
		for x := at.X - 1; x < at.X+7; x += 0.1 {
			if raster.Dark(picture, dpi, x, y) {
				return true
			}
		}
	}
	return false
}

// TestQRIsRead prints the address of a sheet 30 mm wide on a page with other
// marks around it, and reads it off the picture at the resolution of an office
// printer's draft.
func TestQRIsRead(t *testing.T) {
	for _, level := range []qr.Level{qr.Q, qr.H} {
		cells, err := qr.Mark(sample.Address, level, 20, 20, 30)
		if err != nil {
			t.Fatal(err)
		}
		quiet := qr.QuietZone(cells)
		page := &draw.Page{Width: 210, Height: 297}
		page.Add(cells,
			draw.Box(draw.Heavy, draw.NoFill, 20-quiet-0.5, 20-quiet-0.5, 30+2*quiet+1, 30+2*quiet+1),
			draw.Text{X: 20, Y: 20 - quiet - 2, Size: 5, Words: sample.Address},
			draw.Box(draw.Outline, draw.Hatched, 100, 20, 60, 40))
		picture := raster.Page(t, written(t, Document{Pages: []*draw.Page{page}}), 0, 150)
		if got, err := raster.QR(t, picture); err != nil || got != sample.Address {
			t.Errorf("level %v: read %q, %v, want %q", level, got, err, sample.Address)
		}
	}
}

// TestQRIsNotSeenInABlankPage shows that the reader of the tests can fail.
func TestQRIsNotSeenInABlankPage(t *testing.T) {
	if got, err := raster.QR(t, pictured(t)); err == nil {
		t.Errorf("a blank page was read as %q", got)
	}
}
