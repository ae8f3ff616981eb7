package svg

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"brakeside/traveler/draw"
	"brakeside/traveler/letter"
)

// stroke writes the attributes of a pen.
func (d *drawing) stroke(pen draw.Pen) {
	if pen == draw.NoPen {
		return
	}
	d.put("class", "pen-"+pen.Name())
	d.put("stroke", "#000")
	d.put("stroke-width", number(pen.Weight()))
	if dashes := pen.Dashes(); len(dashes) > 0 {
		lengths := make([]string, len(dashes))
		for i, length := range dashes {
			lengths[i] = number(length)
		}
		d.put("stroke-dasharray", strings.Join(lengths, " "))
	}
}

// fill writes the attribute of an even tone.
func (d *drawing) fill(fill draw.Fill) {
	if tone, even := fill.Tone(); even {
		d.put("fill", fmt.Sprintf("#%02x%02x%02x", tone, tone, tone))
	}
}

// shape is an element with an outline of its own.
type shape struct {
	element string       // name and outline, ready to be written
	ring    []draw.Point // what hatching is clipped to
	pen     draw.Pen
	fill    draw.Fill
}

// shape writes the hatching of a shape and then its tone and edge.
func (d *drawing) shape(s shape) {
	lines := draw.Hatch(s.ring, s.fill)
	if len(lines) > 0 {
		d.hatch(lines)
	}
	_, even := s.fill.Tone()
	if s.pen == draw.NoPen && !even {
		return
	}
	d.text.WriteString("<" + s.element)
	d.fill(s.fill)
	d.stroke(s.pen)
	d.text.WriteString("/>\n")
}

// hatch writes all lines of a hatch as one path.
func (d *drawing) hatch(lines []draw.Line) {
	var outline strings.Builder
	for _, l := range lines {
		outline.WriteString("M" + pair(l.X1, l.Y1) + "L" + pair(l.X2, l.Y2))
	}
	d.text.WriteString("<path")
	d.put("d", outline.String())
	d.put("class", "hatch")
	d.put("stroke", "#000")
	d.put("stroke-width", number(draw.Thin.Weight()))
	d.text.WriteString("/>\n")
}

func pair(x, y float64) string { return number(x) + " " + number(y) }

func (d *drawing) line(l draw.Line) {
	if l.Pen == draw.NoPen {
		return
	}
	if shaft, left := l.Shaft(); left {
		d.text.WriteString("<line")
		d.put("x1", number(shaft.X1))
		d.put("y1", number(shaft.Y1))
		d.put("x2", number(shaft.X2))
		d.put("y2", number(shaft.Y2))
		d.stroke(l.Pen)
		d.text.WriteString("/>\n")
	}
	for _, head := range l.Heads() {
		d.path(head)
	}
}

// strokes writes all strokes as one outline: one that begins where the last ended goes
// on from there.
func (d *drawing) strokes(s draw.Strokes) {
	if s.Pen == draw.NoPen || len(s.Lines) == 0 {
		return
	}
	d.shape(shape{element: `path d="` + outlineOf(s.Lines, pair) + `"`, pen: s.Pen})
}

// outlineOf is the outline of a path along strokes, its places written by pair.
func outlineOf(lines [][2]draw.Point, pair func(x, y float64) string) string {
	var outline strings.Builder
	last := ""
	for _, l := range lines {
		from, to := pair(l[0].X, l[0].Y), pair(l[1].X, l[1].Y)
		if from != last {
			outline.WriteString("M" + from)
		}
		outline.WriteString("L" + to)
		last = to
	}
	return outline.String()
}

func tenths(v float64) string { return strconv.Itoa(int(math.Round(10 * v))) }

// Outline is the outline of a path along strokes, in whole tenths of a millimetre.
func Outline(s draw.Strokes) string {
	return outlineOf(s.Lines, func(x, y float64) string { return tenths(x) + " " + tenths(y) })
}

func (d *drawing) path(p draw.Path) {
	if len(p.Points) < 2 {
		return
	}
	var outline strings.Builder
	for i, at := range p.Points {
		if i == 0 {
			outline.WriteString("M")
		} else {
			outline.WriteString("L")
		}
		outline.WriteString(pair(at.X, at.Y))
	}
	if p.Closed {
		outline.WriteString("Z")
	}
	d.shape(shape{`path d="` + outline.String() + `"`, p.Points, p.Pen, p.Fill})
}

func (d *drawing) arc(a draw.Arc) {
	sweep := a.Sweep()
	if sweep == 0 || a.Radius == 0 {
		return
	}
	if a.Whole() {
		circle := fmt.Sprintf(`circle cx="%s" cy="%s" r="%s"`, number(a.X), number(a.Y), number(a.Radius))
		d.shape(shape{circle, a.Ring(), a.Pen, a.Fill})
		return
	}
	from, to := a.At(a.From), a.At(a.From+sweep)
	large := 0
	if sweep > 180 {
		large = 1
	}
	r := number(a.Radius)
	d.shape(shape{element: fmt.Sprintf(`path d="M%sA%s %s 0 %d 0 %s"`, pair(from.X, from.Y), r, r, large, pair(to.X, to.Y)), pen: a.Pen})
}

// fonts are the families asked for, the embedded ones of the PDF first.
var fonts = [...]string{
	draw.Regular: "Go, system-ui, sans-serif",
	draw.Bold:    "Go, system-ui, sans-serif",
	draw.Mono:    "Go Mono, ui-monospace, monospace",
}

var anchors = [...]string{draw.Left: "start", draw.Centre: "middle", draw.Right: "end"}

// words writes a text, held to the width it was measured to have, since the
// reader's letters may be wider than the ones measured.
func (d *drawing) words(t draw.Text) {
	words, size, width := letter.Set(t)
	if words == "" {
		return
	}
	d.text.WriteString("<text")
	d.put("x", number(t.X))
	d.put("y", number(t.Y))
	if turn := math.Mod(t.Turn, 360); turn != 0 {
		d.put("transform", "rotate("+number(-turn)+" "+pair(t.X, t.Y)+")")
	}
	d.put("font-family", fonts[t.Face])
	d.put("font-size", number(size))
	if t.Face == draw.Bold {
		d.put("font-weight", "700")
	}
	if t.Anchor != draw.Left {
		d.put("text-anchor", anchors[t.Anchor])
	}
	d.put("textLength", number(math.Floor(width*1000)/1000))
	d.put("lengthAdjust", "spacingAndGlyphs")
	d.put("fill", ink(t))
	if strings.Contains(words, "  ") || strings.Trim(words, " ") != words {
		d.put("xml:space", "preserve") // else a reader makes one blank of many
	}
	d.text.WriteString(">" + escape(words) + "</text>\n")
}

func ink(t draw.Text) string {
	if t.White {
		return "#fff"
	}
	return "#000"
}

// cells writes the dark cells as one path in a frame where a cell has the side
// 1, so that every edge is exact.
func (d *drawing) cells(c draw.Cells) {
	var outline strings.Builder
	for _, run := range c.Runs() {
		fmt.Fprintf(&outline, "M%d %dh%dv1h-%dz", run.From, run.Row, run.To-run.From, run.To-run.From)
	}
	d.text.WriteString("<path")
	d.put("d", outline.String())
	d.put("transform", "translate("+pair(c.X, c.Y)+") scale("+decimal(c.Module(), 9)+")")
	d.text.WriteString(` class="cells" fill="#000" shape-rendering="crispEdges">`)
	d.element("title", c.Words)
	d.text.WriteString("</path>\n")
}

// link writes a rectangle that is not seen but can be pressed.
func (d *drawing) link(l draw.Link) {
	d.text.WriteString("<a")
	d.put("href", l.Address)
	d.text.WriteString("><rect")
	d.put("x", number(l.X))
	d.put("y", number(l.Y))
	d.put("width", number(l.Width))
	d.put("height", number(l.Height))
	d.text.WriteString(` fill="none" pointer-events="all"/></a>` + "\n")
}
