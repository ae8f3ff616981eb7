// Package look reads drawn pages back, as a person does with a rule: what they
// say, where it lies, and what is wrong with it. Only tests import it.
package look

import (
	"crypto/sha256"
	"fmt"
	"strings"

	"brakeside/traveler/canvas"
	marks "brakeside/traveler/draw"
	"brakeside/traveler/letter"
)

// Listed writes pages as text, a mark a line.
func Listed(pages []*marks.Page) string {
	var b strings.Builder
	for _, p := range pages {
		fmt.Fprintf(&b, "page %.1f x %.1f %q\n", p.Width, p.Height, p.Title)
		for _, m := range p.Marks {
			b.WriteString(ListedMark(m) + "\n")
		}
	}
	return b.String()
}

// ListedMark writes one mark as text.
func ListedMark(m marks.Mark) string {
	switch m := m.(type) {
	case marks.Text:
		return fmt.Sprintf("text %.2f %.2f size %.2f face %d anchor %d turn %g white %t %q", m.X, m.Y, m.Size, m.Face, m.Anchor,
			m.Turn, m.White, letter.Clean(m.Words))
	case marks.Line:
		return fmt.Sprintf("line %.2f %.2f %.2f %.2f pen %s arrows %d", m.X1, m.Y1, m.X2, m.Y2, m.Pen.Name(), m.Arrows)
	case marks.Path:
		line := fmt.Sprintf("path closed %t pen %q fill %d", m.Closed, m.Pen.Name(), m.Fill)
		for _, p := range m.Points {
			line += fmt.Sprintf(" %.2f,%.2f", p.X, p.Y)
		}
		return line
	case marks.Arc:
		return fmt.Sprintf("arc %.2f %.2f radius %.2f from %.1f to %.1f pen %q fill %d", m.X, m.Y, m.Radius, m.From, m.To, m.Pen.Name(), m.Fill)
	case marks.Cells:
		return fmt.Sprintf("cells %.2f %.2f side %.2f count %d %q %x", m.X, m.Y, m.Side, m.Count, m.Words,
			sha256.Sum256([]byte(fmt.Sprint(m.Dark))))[:120]
	}
	return fmt.Sprintf("%T %+v", m, m)
}

// Each gives the marks of one kind on a page.
func Each[M marks.Mark](page *marks.Page) []M {
	var found []M
	for _, m := range page.Marks {
		if one, ok := m.(M); ok {
			found = append(found, one)
		}
	}
	return found
}

// extent is the rectangle of the page that the letters of a text cover: from
// the lowest descender to the highest ascender of the Go fonts.
func extent(m marks.Text) canvas.Box {
	const up = 0.77
	down := 0.21
	if !canvas.Descends(m.Words) {
		down = 0.02 // round letters reach a hair below the line
	}
	width := letter.Width(m.Words, m.Face, m.Size)
	from := map[marks.Anchor]float64{marks.Left: 0, marks.Centre: -width / 2, marks.Right: -width}[m.Anchor]
	if m.Turn == 90 {
		return canvas.Box{X: m.X - up*m.Size, Y: m.Y - from - width, W: (up + down) * m.Size, H: width}
	}
	return canvas.Box{X: m.X + from, Y: m.Y - up*m.Size, W: width, H: (up + down) * m.Size}
}

// Bounds is the rectangle that a mark covers.
func Bounds(m marks.Mark) (canvas.Box, bool) {
	switch m := m.(type) {
	case marks.Text:
		return extent(m), true
	case marks.Line:
		return canvas.Around([]marks.Point{{X: m.X1, Y: m.Y1}, {X: m.X2, Y: m.Y2}}), true
	case marks.Path:
		return canvas.Around(m.Points), true
	case marks.Arc:
		return canvas.Box{X: m.X - m.Radius, Y: m.Y - m.Radius, W: 2 * m.Radius, H: 2 * m.Radius}, true
	case marks.Cells:
		return canvas.Box{X: m.X, Y: m.Y, W: m.Side, H: m.Side}, true
	}
	return canvas.Box{}, false
}

// The margins that the shop asked for, in millimetres.
const (
	ClipEdge   = 20.0
	SideEdge   = 10.0
	bottomEdge = 6.0
)

// Crowded lists texts that overlap and marks that leave the margins.
func Crowded(page *marks.Page) []string {
	var faults []string
	texts := Each[marks.Text](page)
	extents := make([]canvas.Box, len(texts))
	for i, a := range texts {
		extents[i] = extent(a).Inset(0.01)
		for k, b := range texts[:i] {
			if extents[i].Meets(extents[k]) {
				faults = append(faults, fmt.Sprintf("%q at %.1f,%.1f overlaps %q at %.1f,%.1f", a.Words, a.X, a.Y, b.Words, b.X, b.Y))
			}
		}
	}
	inner := canvas.Box{X: SideEdge, Y: ClipEdge, W: page.Width - 2*SideEdge, H: page.Height - ClipEdge - bottomEdge}.Grown(0.01)
	for _, m := range page.Marks {
		b, ok := Bounds(m)
		if ok && (b.X < inner.X || b.Y < inner.Y || b.Right() > inner.Right() || b.Bottom() > inner.Bottom()) {
			faults = append(faults, fmt.Sprintf("%s leaves the margins", ListedMark(m)))
		}
	}
	return faults
}

// Said gathers all words of a page, marks apart.
func Said(pages []*marks.Page) string {
	var words []string
	for _, p := range pages {
		for _, m := range Each[marks.Text](p) {
			words = append(words, m.Words)
		}
	}
	return strings.Join(words, "\n")
}
