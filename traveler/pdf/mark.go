package pdf

import (
	"brakeside/traveler/draw"
	"brakeside/traveler/letter"
)

// stroke takes up a pen, and reports whether it draws anything.
func (w *writer) stroke(pen draw.Pen) bool {
	if pen == draw.NoPen {
		return false
	}
	if pen != w.pen {
		w.file.SetLineWidth(pen.Weight())
		w.file.SetDashPattern(pen.Dashes(), 0)
		w.pen = pen
	}
	return true
}

func (w *writer) line(l draw.Line) {
	if !w.stroke(l.Pen) {
		return
	}
	if shaft, left := l.Shaft(); left {
		w.file.Line(shaft.X1, shaft.Y1, shaft.X2, shaft.Y2)
	}
	for _, head := range l.Heads() {
		w.outlined(head)
	}
}

func (w *writer) strokes(s draw.Strokes) {
	if len(s.Lines) == 0 || !w.stroke(s.Pen) {
		return
	}
	for _, l := range s.Lines {
		w.path.along(draw.Path{Points: l[:]})
	}
	w.paint("S")
}

// outlined lays down the tone first, then the hatching, then the edge.
func (w *writer) outlined(p draw.Path) {
	if len(p.Points) < 2 {
		return
	}
	if tone, even := p.Fill.Tone(); even {
		w.tone(tone)
		w.path.along(p)
		w.paint("f")
	}
	w.hatch(p.Points, p.Fill)
	if w.stroke(p.Pen) {
		w.path.along(p)
		w.paint("S")
	}
}

// tone sets the grey of fills.
func (w *writer) tone(level uint8) { w.file.SetFillColor(int(level), int(level), int(level)) }

func (w *writer) hatch(points []draw.Point, fill draw.Fill) {
	for _, l := range draw.Hatch(points, fill) {
		w.line(l)
	}
}

func (w *writer) arc(a draw.Arc) {
	sweep := a.Sweep()
	if sweep == 0 || a.Radius == 0 {
		return
	}
	if tone, even := a.Fill.Tone(); even {
		w.tone(tone)
		w.file.Circle(a.X, a.Y, a.Radius, "F")
	}
	w.hatch(a.Ring(), a.Fill)
	if w.stroke(a.Pen) {
		w.file.Arc(a.X, a.Y, a.Radius, a.Radius, 0, a.From, a.From+sweep, "D")
	}
}

// cells draws all dark cells as one shape, so that no reader shows seams
// between them.
func (w *writer) cells(c draw.Cells) {
	module := c.Module()
	w.tone(0)
	for _, run := range c.Runs() {
		left, right := c.X+float64(run.From)*module, c.X+float64(run.To)*module
		top, bottom := c.Y+float64(run.Row)*module, c.Y+float64(run.Row+1)*module
		w.path.box(left, top, right, bottom)
	}
	w.paint("f")
}

// face takes up a type face.
func (w *writer) face(face draw.Face, size float64) {
	w.file.SetFont(families[face], "", size*pointsPerMM)
}

func (w *writer) text(t draw.Text) {
	words, size, width := letter.Set(t)
	if words == "" {
		return
	}
	w.face(t.Face, size)
	x := t.X
	switch t.Anchor {
	case draw.Centre:
		x -= width / 2
	case draw.Right:
		x -= width
	}
	ink := 0
	if t.White {
		ink = 255
	}
	w.file.SetTextColor(ink, ink, ink)
	if t.Turn != 0 {
		w.file.TransformBegin()
		w.file.TransformRotate(t.Turn, t.X, t.Y)
		defer w.file.TransformEnd()
	}
	w.file.Text(x, t.Y, words)
}

// bookmark adds a line to the outline. A level too deep for its place is
// raised to the deepest possible, since the library would tie it to a wrong
// parent. The library measures the height on all pages from the top of the
// last one, which is made good here.
func (w *writer) bookmark(b draw.Bookmark, pageHeight float64) {
	level := max(0, min(b.Level, w.level))
	w.level = level + 1
	w.face(bookmarkFace, 1)
	y := b.Y + w.lift - pageHeight
	if y == -1 { // the library's word for "here"
		y = -1.001
	}
	w.file.Bookmark(letter.Clean(b.Words), level, y)
}
