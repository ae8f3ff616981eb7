package svg

import (
	"encoding/xml"
	"strings"
	"testing"

	"brakeside/traveler/draw"
)

// TestMarks pins down what becomes of single marks; the pieces must come in
// this order, and nothing else may be drawn.
func TestMarks(t *testing.T) {
	for _, c := range []struct {
		name string
		mark draw.Mark
		want []string // beginnings of the elements
	}{
		{"line", draw.Line{X1: 1, Y1: 2, X2: 3, Y2: 4.5, Pen: draw.Outline},
			[]string{`<line x1="1" y1="2" x2="3" y2="4.5" class="pen-outline" stroke="#000" stroke-width="0.5"/>`}},
		{"dashes", draw.Line{X2: 9, Pen: draw.BendUp},
			[]string{`<line x1="0" y1="0" x2="9" y2="0" class="pen-bend-up" stroke="#000" ` +
				`stroke-width="0.35" stroke-dasharray="8.05 1.4 0.1 1.4"/>`}},
		{"no pen", draw.Line{X2: 9, Arrows: draw.AtBoth}, nil},
		{"two heads and no shaft", draw.Line{X2: 3, Pen: draw.Thin, Arrows: draw.AtBoth},
			[]string{`<path d="M3 0L0.5 0.6L0.5 -0.6Z" fill="#000000"/>`, `<path d="M0 0L2.5 -0.6L2.5 0.6Z" fill="#000000"/>`}},
		{"open path", draw.Path{Points: []draw.Point{{X: 1, Y: 1}, {X: 2, Y: 1}, {X: 2, Y: 5}}, Pen: draw.Hidden},
			[]string{`<path d="M1 1L2 1L2 5" class="pen-hidden"`}},
		{"path of one place", draw.Path{Points: []draw.Point{{X: 1, Y: 1}}, Pen: draw.Thin}, nil},
		{"grey box without edge", draw.Box(draw.NoPen, draw.Grey, 0, 0, 1, 2), []string{`<path d="M0 0L1 0L1 2L0 2Z" fill="#999999"/>`}},
		{"box neither filled nor drawn", draw.Box(draw.NoPen, draw.NoFill, 0, 0, 1, 2), nil},
		{"hatched box", draw.Box(draw.Thin, draw.Hatched, 0, 0, 3, 1),
			[]string{
				`<path d="M1.121 1L2.121 0" class="hatch" stroke="#000" stroke-width="0.35"/>`, `<path d="M0 0L3 0L3 1L0 1Z" class="pen-thin"`,
			}},
		{"striped box without edge", draw.Box(draw.NoPen, draw.Striped, 1, 0, 3, 1),
			[]string{`<path d="M2.121 0L3.121 1" class="hatch"`}},
		{"disc", draw.Arc{X: 5, Y: 6, Radius: 2, To: 360, Fill: draw.Paper, Pen: draw.Grid},
			[]string{`<circle cx="5" cy="6" r="2" fill="#ffffff" class="pen-grid"`}},
		{"arc without length", draw.Arc{X: 5, Y: 6, Radius: 2, From: 3, To: 3, Pen: draw.Thin}, nil},
		{"words", draw.Text{X: 1, Y: 2, Size: 10, Words: "ab", Face: draw.Mono},
			[]string{`<text x="1" y="2" font-family="Go Mono, ui-monospace, monospace" font-size="10" ` +
				`textLength="12" lengthAdjust="spacingAndGlyphs" fill="#000">ab</text>`}},
		{"bold and white in the middle", draw.Text{Size: 10, Words: "ab", Face: draw.Bold, Anchor: draw.Centre, White: true},
			[]string{`<text x="0" y="0" font-family="Go, system-ui, sans-serif" font-size="10" font-weight="700" text-anchor="middle"`}},
		{"turned", draw.Text{X: 1, Y: 2, Size: 10, Words: "ab", Anchor: draw.Right, Turn: 90},
			[]string{`<text x="1" y="2" transform="rotate(-90 1 2)"`}},
		{"turned whole", draw.Text{Size: 10, Words: "ab", Turn: 720}, []string{`<text x="0" y="0" font-family`}},
		{"no words", draw.Text{Size: 10, Words: ""}, nil},
		{"words that have no room", draw.Text{Size: 10, Words: "ab", MaxWidth: 0.1}, nil},
		{"many blanks", draw.Text{Size: 10, Words: " a  b", Face: draw.Mono},
			[]string{`<text x="0" y="0" font-family="Go Mono, ui-monospace, monospace" font-size="10" ` +
				`textLength="30" lengthAdjust="spacingAndGlyphs" fill="#000" xml:space="preserve"> a  b</text>`}},
		{"link", draw.Link{X: 1, Y: 2, Width: 3, Height: 4, Address: "https://a.example/?a=1&b='2'"},
			[]string{`<a href="https://a.example/?a=1&amp;b=&#39;2&#39;">` +
				`<rect x="1" y="2" width="3" height="4" fill="none" pointer-events="all"/></a>`}},
		{"bookmark", draw.Bookmark{Y: 1, Words: "here"}, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			lines := marksOf(t, c.mark)
			if len(lines) != len(c.want) {
				t.Fatalf("the mark became %d elements %q, want %d", len(lines), lines, len(c.want))
			}
			for i, want := range c.want {
				if !strings.HasPrefix(lines[i], want) {
					t.Errorf("element %d is\n%s, want\n%s", i, lines[i], want)
				}
			}
		})
	}
}

// marksOf gives the lines of a drawing that stand behind the white paper.
func marksOf(t *testing.T, mark draw.Mark) []string {
	t.Helper()
	out := written(t, &draw.Page{Width: 10, Height: 10, Marks: []draw.Mark{mark}})
	_, out, _ = strings.Cut(out, `<rect class="paper" fill="#fff" width="10" height="10"/>`+"\n")
	out, whole := strings.CutSuffix(out, "</svg>\n")
	if !whole {
		t.Fatalf("the drawing has no paper or no end: %q", out)
	}
	return strings.FieldsFunc(out, func(r rune) bool { return r == '\n' })
}

// TestWordsComeBack reads the words out of the XML again.
func TestWordsComeBack(t *testing.T) {
	const words = `<script>alert("1 & 2")</script> 'é' ]]>`
	out := written(t, &draw.Page{Title: words, Description: words, Width: 10, Height: 10,
		Marks: []draw.Mark{draw.Text{Size: 3, Words: words}}})
	var read struct {
		Title string `xml:"title"`
		Desc  string `xml:"desc"`
		Text  string `xml:"text"`
	}
	if err := xml.Unmarshal([]byte(out), &read); err != nil {
		t.Fatal(err)
	}
	if read.Title != words || read.Desc != words || read.Text != words {
		t.Errorf("read back %q, want %q each time", read, words)
	}
}
