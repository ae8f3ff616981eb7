// Package draw holds a printed page or a drawing as a list of marks.
//
// All lengths are millimetres. The origin is the top left corner, x runs to the
// right and y runs down, as on paper. A page knows nothing of paper, screens or
// files: traveler/pdf, traveler/svg and traveler/dxf write the same list, each
// with one switch over the kinds of mark.
package draw

import "math"

// Page is one page or one drawing.
type Page struct {
	Title         string // what the page shows, for outlines and screen readers
	Description   string // a sentence for people who cannot see it
	Width, Height float64
	Marks         []Mark
}

// Add puts marks on the page, in painting order.
func (p *Page) Add(marks ...Mark) { p.Marks = append(p.Marks, marks...) }

// Mark is one of Line, Strokes, Path, Arc, Text, Cells, Link or Bookmark; no other
// package can add a kind.
type Mark interface{ mark() }

// Pen is a stroke by what it means, never by number or colour.
type Pen int

// The pens. Each writer gives a pen the same weight and dashes.
const (
	NoPen     Pen = iota // no stroke
	Outline              // edges of metal and tools: 0.5 mm
	Heavy                // what must catch the eye: 0.9 mm
	Thin                 // dimension and leader lines: 0.35 mm
	Hidden               // edges behind metal: dashed, 0.35 mm
	BendUp               // bend line, fold towards the viewer: dash-dot, 0.35 mm
	BendDown             // bend line, fold away from the viewer: dashed long, 0.35 mm
	NoseLine             // the line the bar's nose is put on: 0.6 mm
	Grid                 // boxes to write in: 0.35 mm
	CutMark              // a mark the cutter makes, such as an edge tick: 0.35 mm
	ChartLine            // a data line in a chart: 0.6 mm
	ChartRule            // limits and axes of a chart: 0.35 mm
)

// Fill is how an area is filled. All fills are black on white; the grey is not
// lighter than 40 % black.
type Fill int

// The fills.
const (
	NoFill  Fill = iota
	Black        // solid
	Grey         // 40 % black: tools
	Light        // 15 % black behind nothing that must be read; screens only
	Paper        // white, to clear what lies behind
	Hatched      // lines at 45 degrees: the clamped side
	Striped      // lines at 135 degrees: a second hatched neighbour
)

// Point is a place on the page.
type Point struct{ X, Y float64 }

// Line is a straight stroke.
type Line struct {
	X1, Y1, X2, Y2 float64
	Pen            Pen
	Arrows         Arrows
}

// Strokes are many straight strokes of one pen that together are one picture.
type Strokes struct {
	Lines [][2]Point
	Pen   Pen
}

// Arrows says which ends of a line carry an arrow head, 2.5 mm long.
type Arrows int

// The ends of a line that carry a head.
const (
	NoArrows Arrows = iota
	AtEnd
	AtBoth
)

// Path is a row of straight edges; Closed joins the last point to the first,
// and only a closed path can be filled.
type Path struct {
	Points []Point
	Closed bool
	Pen    Pen
	Fill   Fill
}

// Arc is part of a circle, drawn anticlockwise as seen on the page from the
// angle From to the angle To, in degrees from the x axis, anticlockwise
// positive. A whole circle runs from 0 to 360 and may be filled.
type Arc struct {
	X, Y, Radius float64
	From, To     float64
	Pen          Pen
	Fill         Fill
}

// Anchor is the point of a text that is put at its place.
type Anchor int

// Where a text is held, along its base line.
const (
	Left Anchor = iota
	Centre
	Right
)

// Face is a type face by what it is for.
type Face int

// The faces.
const (
	Regular Face = iota
	Bold
	Mono
)

// Text is one line of text. X, Y is on the base line. Size is the height of
// the type in millimetres as a printer counts it (1 point = 0.3528 mm): capital
// letters are about 0.72 of it. Turn is degrees anticlockwise.
// MaxWidth, if not 0, is the width the line must fit in: a writer never sets it
// wider than that, it was fitted by the one who laid it out.
type Text struct {
	X, Y     float64
	Size     float64
	Words    string
	Face     Face
	Anchor   Anchor
	Turn     float64
	MaxWidth float64
	White    bool // white on black
}

// Cells is a square of black and white cells, row by row from the top, drawn
// with its top left corner at X, Y. The quiet zone around it is the business of
// whoever places it.
type Cells struct {
	X, Y, Side float64
	Count      int    // cells along one side
	Dark       []bool // Count x Count
	Words      string // what the cells say, for screen readers
}

// Link makes a rectangle of the page open an address.
type Link struct {
	X, Y, Width, Height float64
	Address             string
}

// Bookmark names a height of the page in the outline of the document.
type Bookmark struct {
	Y     float64
	Words string
	Level int
}

func (Line) mark()     {}
func (Strokes) mark()  {}
func (Path) mark()     {}
func (Arc) mark()      {}
func (Text) mark()     {}
func (Cells) mark()    {}
func (Link) mark()     {}
func (Bookmark) mark() {}

// Polygon is a closed path.
func Polygon(pen Pen, fill Fill, points ...Point) Path {
	return Path{Points: points, Closed: true, Pen: pen, Fill: fill}
}

// Box is a rectangle given by its top left corner and its size.
func Box(pen Pen, fill Fill, x, y, width, height float64) Path {
	return Polygon(pen, fill, Point{x, y}, Point{x + width, y}, Point{x + width, y + height}, Point{x, y + height})
}

// Finite reports whether every coordinate of every mark is an ordinary number.
// Writers refuse a page that is not.
func (p *Page) Finite() bool {
	ok := finite(p.Width, p.Height)
	for _, m := range p.Marks {
		ok = ok && finiteMark(m)
	}
	return ok
}

func finiteMark(m Mark) bool {
	switch m := m.(type) {
	case Line:
		return finite(m.X1, m.Y1, m.X2, m.Y2)
	case Strokes:
		for _, l := range m.Lines {
			if !finite(l[0].X, l[0].Y, l[1].X, l[1].Y) {
				return false
			}
		}
		return true
	case Path:
		for _, p := range m.Points {
			if !finite(p.X, p.Y) {
				return false
			}
		}
		return true
	case Arc:
		return finite(m.X, m.Y, m.Radius, m.From, m.To)
	case Text:
		return finite(m.X, m.Y, m.Size, m.Turn, m.MaxWidth)
	case Cells:
		return finite(m.X, m.Y, m.Side)
	case Link:
		return finite(m.X, m.Y, m.Width, m.Height)
	case Bookmark:
		return finite(m.Y)
	}
	return false
}

func finite(values ...float64) bool {
	for _, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}
