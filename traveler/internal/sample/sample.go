// Package sample holds pages that use every kind of mark in every way, for the
// tests of all writers. Only tests import it.
package sample

import "brakeside/traveler/draw"

// Case is one sample page.
type Case struct {
	Name string // fit for a file name
	Page *draw.Page
}

// Address stands for the address on a sheet.
const Address = "http://192.168.100.200:8080/t/abcdefgh23456789z"

// Cases gives all sample pages, new each time.
func Cases() []Case {
	var cases []Case
	for _, c := range []struct {
		name  string
		marks []draw.Mark
	}{
		{"nothing", nil},
		{"pens", pens()},
		{"fills", fills()},
		{"arrows", arrows()},
		{"strokes", strokes()},
		{"paths", paths()},
		{"arcs", arcs()},
		{"faces", faces()},
		{"turned-words", turnedWords()},
		{"fitted-words", fittedWords()},
		{"strange-words", strangeWords()},
		{"cells", cells()},
		{"links", links()},
	} {
		page := &draw.Page{Title: "Sample: " + c.name, Description: "Marks to try a writer with.", Width: 100, Height: 70}
		page.Add(c.marks...)
		cases = append(cases, Case{c.name, page})
	}
	return cases
}

// Pages gives the pages of all cases.
func Pages() []*draw.Page {
	var pages []*draw.Page
	for _, c := range Cases() {
		pages = append(pages, c.Page)
	}
	return pages
}

// strokes are a triangle of one row of strokes, two strokes apart, a point, and none.
func strokes() []draw.Mark {
	a, b, c := draw.Point{X: 10, Y: 10}, draw.Point{X: 60, Y: 10}, draw.Point{X: 35, Y: 40}
	return []draw.Mark{
		draw.Strokes{Lines: [][2]draw.Point{{a, b}, {b, c}, {c, a}}, Pen: draw.Outline},
		draw.Strokes{Pen: draw.Heavy, Lines: [][2]draw.Point{
			{{X: 70, Y: 10}, {X: 90, Y: 10}}, {{X: 70, Y: 20}, {X: 90, Y: 30}}, {{X: 80, Y: 50}, {X: 80, Y: 50}},
		}},
		draw.Strokes{Pen: draw.Thin},
		draw.Strokes{Lines: [][2]draw.Point{{a, c}}},
	}
}

func pens() []draw.Mark {
	var marks []draw.Mark
	for pen := draw.NoPen; pen <= draw.ChartRule; pen++ {
		y := 5 + 5*float64(pen)
		marks = append(marks, draw.Line{X1: 5, Y1: y, X2: 60, Y2: y, Pen: pen},
			draw.Text{X: 65, Y: y, Size: 3, Words: pen.Name()})
	}
	return marks
}

func fills() []draw.Mark {
	var marks []draw.Mark
	for fill := draw.NoFill; fill <= draw.Striped; fill++ {
		x := 3 + 14*float64(fill)
		marks = append(marks,
			draw.Box(draw.Outline, fill, x, 5, 11, 15),
			draw.Box(draw.NoPen, fill, x, 25, 11, 15),
			draw.Arc{X: x + 5, Y: 52, Radius: 5, To: 360, Pen: draw.Thin, Fill: fill})
	}
	return marks
}

func arrows() []draw.Mark {
	return []draw.Mark{
		draw.Line{X1: 5, Y1: 10, X2: 60, Y2: 10, Pen: draw.Thin, Arrows: draw.AtBoth},
		draw.Line{X1: 5, Y1: 20, X2: 60, Y2: 30, Pen: draw.Thin, Arrows: draw.AtEnd},
		draw.Line{X1: 30, Y1: 60, X2: 30, Y2: 40, Pen: draw.Heavy, Arrows: draw.AtEnd},
		draw.Line{X1: 70, Y1: 10, X2: 72, Y2: 10, Pen: draw.Thin, Arrows: draw.AtBoth},
		draw.Line{X1: 70, Y1: 20, X2: 70, Y2: 20, Pen: draw.Thin, Arrows: draw.AtBoth},
	}
}

func paths() []draw.Mark {
	return []draw.Mark{
		draw.Path{Points: []draw.Point{{X: 5, Y: 5}, {X: 20, Y: 5}, {X: 20, Y: 20}}, Pen: draw.Outline},
		draw.Polygon(draw.Outline, draw.Hatched, draw.Point{X: 30, Y: 5}, draw.Point{X: 60, Y: 5},
			draw.Point{X: 60, Y: 8}, draw.Point{X: 33, Y: 8}, draw.Point{X: 33, Y: 30}, draw.Point{X: 30, Y: 30}),
		draw.Polygon(draw.Outline, draw.Striped, draw.Point{X: 70, Y: 5}, draw.Point{X: 95, Y: 20}, draw.Point{X: 75, Y: 30}),
		draw.Polygon(draw.Thin, draw.NoFill, draw.Point{X: 5.1234567, Y: 40}, draw.Point{X: 15, Y: 45}, draw.Point{X: 5.1234567, Y: 50}),
		draw.Path{Points: []draw.Point{{X: 1, Y: 1}}, Pen: draw.Outline},
		draw.Path{Pen: draw.Outline},
	}
}

func arcs() []draw.Mark {
	return []draw.Mark{
		draw.Arc{X: 20, Y: 20, Radius: 10, From: 0, To: 90, Pen: draw.Outline},
		draw.Arc{X: 45, Y: 20, Radius: 10, From: 300, To: 30, Pen: draw.Thin},
		draw.Arc{X: 70, Y: 20, Radius: 10, From: -45, To: 225, Pen: draw.Heavy},
		draw.Arc{X: 20, Y: 50, Radius: 10, To: 360, Pen: draw.Outline},
		draw.Arc{X: 45, Y: 50, Radius: 10, From: 10, To: 10, Pen: draw.Outline},
		draw.Arc{X: 45, Y: 50, Pen: draw.Outline, To: 360},
		draw.Arc{X: 70, Y: 50, Radius: 0.5, To: 360, Fill: draw.Black},
	}
}

func faces() []draw.Mark {
	var marks []draw.Mark
	for face := draw.Regular; face <= draw.Mono; face++ {
		for anchor := draw.Left; anchor <= draw.Right; anchor++ {
			y := 8 + 20*float64(face) + 6*float64(anchor)
			marks = append(marks, draw.Text{X: 50, Y: y, Size: 4, Words: "Stop 92.0°", Face: face, Anchor: anchor})
		}
	}
	return append(marks, draw.Box(draw.NoPen, draw.Black, 5, 60, 30, 8),
		draw.Text{X: 20, Y: 66, Size: 5, Words: "WHITE", Face: draw.Bold, Anchor: draw.Centre, White: true})
}

func turnedWords() []draw.Mark {
	var marks []draw.Mark
	for i, turn := range []float64{0, 30, 90, 180, -45, 400} {
		marks = append(marks, draw.Text{X: 10 + 15*float64(i), Y: 40, Size: 4, Words: "turned", Turn: turn, Anchor: draw.Anchor(i % 3)})
	}
	return marks
}

func fittedWords() []draw.Mark {
	return []draw.Mark{
		draw.Text{X: 5, Y: 10, Size: 4, Words: "as it is", MaxWidth: 40},
		draw.Text{X: 5, Y: 20, Size: 4, Words: "made a little smaller", MaxWidth: 32},
		draw.Text{X: 50, Y: 30, Size: 4, Words: "too long for its place by far", MaxWidth: 25, Anchor: draw.Centre},
		draw.Text{X: 95, Y: 40, Size: 4, Words: "held on the right and cut", MaxWidth: 25, Anchor: draw.Right, Face: draw.Mono},
		draw.Text{X: 5, Y: 50, Size: 4, Words: "no room at all", MaxWidth: 0.5},
	}
}

func strangeWords() []draw.Mark {
	var marks []draw.Mark
	for i, words := range Strange {
		marks = append(marks, draw.Text{X: 5, Y: 6 + 6*float64(i), Size: 3, Words: words, MaxWidth: 90})
	}
	return marks
}

// Strange lists words that have broken writers before.
var Strange = []string{
	`<b>"Tom" & 'Ann'</b> (a\b) %PDF endstream`,
	"e\u0301 a\u0308 \u00e9 combining",
	"emoji \U0001F600 and \U0001F468\u200D\U0001F527",
	"\u05E9\u05DC\u05D5\u05DD \u0645\u0631\u062D\u0628\u0627 \u202Eright to left",
	"control \x00\x07\x1b\t\r\n end",
	"\xff\xfe broken \xc3",
	"sheet \u4E2D\u6587 \uFFFE \uFFFF \uE000 \uD7FF",
	"± Ø ⌀ ≤ ≥ → ½ µ Ω Łódź Größe",
	"",
	"   ",
}

func cells() []draw.Mark {
	return []draw.Mark{draw.Cells{X: 10, Y: 10, Side: 15, Count: 3, Words: "three by three", Dark: []bool{
		true, true, false,
		false, true, true,
		true, false, true,
	}}}
}

func links() []draw.Mark {
	return []draw.Mark{
		draw.Bookmark{Y: 10, Words: "Größe ≤ 5 (a)", Level: 0},
		draw.Bookmark{Y: 30, Words: "deeper", Level: 3},
		draw.Text{X: 10, Y: 15, Size: 4, Words: "press here"},
		draw.Link{X: 10, Y: 10, Width: 30, Height: 6, Address: Address + "?a=1&b=(2)"},
	}
}
