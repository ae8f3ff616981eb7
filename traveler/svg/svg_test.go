package svg

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"brakeside/traveler/draw"
	"brakeside/traveler/internal/golden"
	"brakeside/traveler/internal/sample"
)

func written(t testing.TB, page *draw.Page) string {
	t.Helper()
	var out bytes.Buffer
	if err := Write(&out, page); err != nil {
		t.Fatalf("Write(%q): %v", page.Title, err)
	}
	return out.String()
}

func TestWriteSamples(t *testing.T) {
	var files []string
	for _, c := range sample.Cases() {
		file := filepath.Join("testdata", c.Name+".svg")
		files = append(files, file)
		t.Run(c.Name, func(t *testing.T) {
			out := written(t, c.Page)
			golden.Compare(t, file, []byte(out))
			checkForm(t, out)
			if again := written(t, c.Page); again != out {
				t.Error("two runs gave different bytes")
			}
		})
	}
	golden.Only(t, "testdata/*.svg", files)
}

// checkForm reads the drawing as strict XML and holds it to what a page with a
// content security policy can show.
func checkForm(t *testing.T, out string) {
	t.Helper()
	if strings.HasPrefix(out, "<?") || strings.Contains(out, "<!") {
		t.Error("a prolog or a comment, which cannot stand inside a page")
	}
	decoder := xml.NewDecoder(strings.NewReader(out))
	allowed := map[string]bool{"svg": true, "title": true, "desc": true, "line": true, "path": true,
		"circle": true, "text": true, "a": true, "rect": true}
	for {
		token, err := decoder.Token()
		if errors.Is(err, io.EOF) {
			return
		}
		if err != nil {
			t.Fatalf("not XML: %v\n%s", err, out)
		}
		if e, ok := token.(xml.StartElement); ok {
			if !allowed[e.Name.Local] {
				t.Errorf("element %s", e.Name.Local)
			}
			checkAttributes(t, e)
		}
	}
}

var plainNumber = regexp.MustCompile(`^-?\d+(\.\d{1,3})?$`)

func checkAttributes(t *testing.T, e xml.StartElement) {
	t.Helper()
	for _, a := range e.Attr {
		switch name := a.Name.Local; {
		case name == "style" || name == "id" || strings.HasPrefix(name, "on"):
			t.Errorf("%s has the attribute %s", e.Name.Local, name)
		case strings.Contains(a.Value, "currentColor") || strings.Contains(a.Value, "javascript"):
			t.Errorf("%s has %s=%q", e.Name.Local, name, a.Value)
		case slices.Contains(strings.Fields("x y x1 y1 x2 y2 cx cy r stroke-width font-size textLength"), name):
			if !plainNumber.MatchString(a.Value) {
				t.Errorf("%s has %s=%q, want millimetres with at most 3 decimals", e.Name.Local, name, a.Value)
			}
		}
	}
}

func TestWriteOpening(t *testing.T) {
	out := written(t, &draw.Page{Title: `Blank "A" <1>`, Description: "Tom & Ann's", Width: 297.0006, Height: 210})
	for _, want := range []string{
		`<svg xmlns="http://www.w3.org/2000/svg" role="img"`, `viewBox="0 0 297.001 210"`, `width="297.001mm" height="210mm"`,
		`<title>Blank &quot;A&quot; &lt;1&gt;</title>`, `<desc>Tom &amp; Ann&#39;s</desc>`,
	} {
		if !strings.Contains(out, want) {
			t.Errorf("the drawing lacks %s:\n%s", want, out)
		}
	}
}

func TestWriteRefuses(t *testing.T) {
	for _, c := range []struct {
		name string
		page *draw.Page
	}{
		{"no size", &draw.Page{}},
		{"NaN", &draw.Page{Width: 1, Height: 1, Marks: []draw.Mark{draw.Line{X1: math.NaN(), Pen: draw.Thin}}}},
		{"no mark", &draw.Page{Width: 1, Height: 1, Marks: []draw.Mark{nil}}},
		{"a program as an address", &draw.Page{Width: 1, Height: 1, Marks: []draw.Mark{draw.Link{Address: "javascript:alert(1)"}}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			var out bytes.Buffer
			if err := Write(&out, c.page); err == nil || out.Len() != 0 {
				t.Errorf("Write() = %v and %d bytes, want an error and none", err, out.Len())
			}
		})
	}
}

func TestWriteReportsTheWriter(t *testing.T) {
	full := errors.New("no room")
	if err := Write(failing{full}, sample.Cases()[0].Page); !errors.Is(err, full) {
		t.Errorf("Write() to a full disk = %v, want %v", err, full)
	}
}

type failing struct{ err error }

func (f failing) Write([]byte) (int, error) { return 0, f.err }

func TestEscape(t *testing.T) {
	for _, c := range []struct{ name, words, want string }{
		{"plain", "abc", "abc"},
		{"marks of XML", `<a href="x">&'`, "&lt;a href=&quot;x&quot;&gt;&amp;&#39;"},
		{"not allowed in XML", "a\x00\x1f\uFFFE\uFFFFb", "a����b"},
		{"line ends", "a\r\n\tb", "a   b"},
		{"broken", "a\xffb", "a�b"},
		{"beyond the first plane", "\U0001F600", "\U0001F600"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := escape(c.words); got != c.want {
				t.Errorf("escape(%q) = %q, want %q", c.words, got, c.want)
			}
		})
	}
}

func TestNumber(t *testing.T) {
	for v, want := range map[float64]string{0: "0", -0.0001: "0", 1: "1", 1.5: "1.5", -2.25: "-2.25",
		1.0004: "1", 1.0006: "1.001", 100: "100", 99999.9996: "100000", 1e-9: "0"} {
		if got := number(v); got != want {
			t.Errorf("number(%g) = %q, want %q", v, got, want)
		}
	}
}

// TestWordsHoldTheirWidth: whatever letters the reader has, a text is told its
// width, and that is never more than MaxWidth.
func TestWordsHoldTheirWidth(t *testing.T) {
	page := &draw.Page{Width: 100, Height: 100}
	for _, words := range append(sample.Strange, strings.Repeat("widest ", 30)) {
		page.Add(draw.Text{X: 1, Y: 1, Size: 4, Words: words, MaxWidth: 30})
	}
	lengths := regexp.MustCompile(`textLength="([^"]+)"`).FindAllStringSubmatch(written(t, page), -1)
	if len(lengths) != len(sample.Strange) { // one is empty
		t.Fatalf("%d texts are told their width, want %d", len(lengths), len(sample.Strange))
	}
	for _, l := range lengths {
		if width, err := strconv.ParseFloat(l[1], 64); err != nil || width <= 0 || width > 30 {
			t.Errorf("textLength=%q, want above 0 and at most 30", l[1])
		}
	}
}

// TestArcRunsTheRightWay follows the path of a quarter: from the right to the
// top, the short way, anticlockwise on the page.
func TestArcRunsTheRightWay(t *testing.T) {
	for _, c := range []struct {
		name     string
		from, to float64
		want     string
	}{
		{"quarter", 0, 90, `d="M60 50A10 10 0 0 0 50 40"`},
		{"three quarters", 0, 270, `d="M60 50A10 10 0 1 0 50 60"`},
		{"over the axis", 270, 0, `d="M50 60A10 10 0 0 0 60 50"`},
		{"whole", 0, 360, `<circle cx="50" cy="50" r="10"`},
	} {
		t.Run(c.name, func(t *testing.T) {
			page := &draw.Page{Width: 100, Height: 100}
			page.Add(draw.Arc{X: 50, Y: 50, Radius: 10, From: c.from, To: c.to, Pen: draw.Outline})
			if out := written(t, page); !strings.Contains(out, c.want) {
				t.Errorf("the arc from %g to %g lacks %s:\n%s", c.from, c.to, c.want, out)
			}
		})
	}
}

// TestEveryPenHasItsClass also holds the looks against the pens' own words.
func TestEveryPenHasItsClass(t *testing.T) {
	for pen := draw.Outline; pen <= draw.ChartRule; pen++ {
		page := &draw.Page{Width: 10, Height: 10}
		page.Add(draw.Line{X2: 5, Y2: 5, Pen: pen})
		out := written(t, page)
		for _, want := range []string{`class="pen-` + pen.Name() + `"`, `stroke="#000"`, `stroke-width="` + number(pen.Weight()) + `"`} {
			if !strings.Contains(out, want) {
				t.Errorf("pen %q lacks %s in %s", pen.Name(), want, out)
			}
		}
		if dashed := strings.Contains(out, "stroke-dasharray"); dashed != (len(pen.Dashes()) > 0) {
			t.Errorf("pen %q is dashed: %v", pen.Name(), dashed)
		}
	}
}

// TestCellsAreExact reads the path back into cells.
func TestCellsAreExact(t *testing.T) {
	out := written(t, &draw.Page{Width: 50, Height: 50, Marks: []draw.Mark{
		draw.Cells{X: 10, Y: 20, Side: 10, Count: 3, Dark: []bool{true, true, false, false, false, false, true, false, true}, Words: "a<b"}}})
	for _, want := range []string{
		`d="M0 0h2v1h-2zM0 2h1v1h-1zM2 2h1v1h-1z"`, `transform="translate(10 20) scale(3.333333333)"`, "<title>a&lt;b</title>",
	} {
		if !strings.Contains(out, want) {
			t.Errorf("the cells lack %s:\n%s", want, out)
		}
	}
}

func FuzzWrite(f *testing.F) {
	for _, words := range sample.Strange {
		f.Add(words, 3.0)
	}
	f.Fuzz(func(t *testing.T, words string, size float64) {
		page := &draw.Page{Title: words, Description: words, Width: 100, Height: 100}
		page.Add(draw.Text{X: 1, Y: 5, Size: size, Words: words, MaxWidth: 50},
			draw.Cells{Side: 1, Count: 1, Dark: []bool{true}, Words: words})
		var out bytes.Buffer
		if err := Write(&out, page); err == nil {
			checkForm(t, out.String())
		}
	})
}
