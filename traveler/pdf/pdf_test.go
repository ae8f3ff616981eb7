package pdf

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"brakeside/traveler/draw"
	"brakeside/traveler/internal/raster"
	"brakeside/traveler/internal/sample"
	"brakeside/traveler/letter"
)

var created = time.Date(2026, 5, 4, 9, 30, 15, 0, time.UTC)

func written(t testing.TB, doc Document) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := Write(&out, doc); err != nil {
		t.Fatalf("Write(%q): %v", doc.Title, err)
	}
	return out.Bytes()
}

func onePage(marks ...draw.Mark) *draw.Page {
	return &draw.Page{Title: "Test", Width: 100, Height: 80, Marks: marks}
}

// TestWriteSamples writes each page alone and all as one document, and lets
// another program find fault with each.
func TestWriteSamples(t *testing.T) {
	for _, c := range sample.Cases() {
		t.Run(c.Name, func(t *testing.T) {
			checkWithQPDF(t, written(t, Document{Title: c.Name, Created: created, Pages: []*draw.Page{c.Page}}))
		})
	}
	checkWithQPDF(t, written(t, Document{Title: "All", Created: created, Pages: sample.Pages()}))
}

func checkWithQPDF(t *testing.T, pdf []byte) {
	t.Helper()
	program, err := exec.LookPath("qpdf")
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("qpdf is not installed")
		}
		t.Skip("qpdf is not installed, so nobody checks the form of the PDF")
	}
	file := filepath.Join(t.TempDir(), "out.pdf")
	if err := os.WriteFile(file, pdf, 0o600); err != nil {
		t.Fatal(err)
	}
	if report, err := exec.Command(program, "--check", file).CombinedOutput(); err != nil {
		t.Errorf("qpdf --check: %v\n%s", err, report)
	}
}

func TestEqualPagesGiveEqualBytes(t *testing.T) {
	first := written(t, Document{Title: "All", Created: created, Pages: sample.Pages()})
	results := make([][]byte, 8)
	var all sync.WaitGroup
	for i := range results {
		all.Go(func() {
			var out bytes.Buffer
			if err := Write(&out, Document{Title: "All", Created: created, Pages: sample.Pages()}); err == nil {
				results[i] = out.Bytes()
			}
		})
	}
	all.Wait()
	for i, again := range results {
		if !bytes.Equal(first, again) {
			t.Errorf("run %d, beside others, gave other bytes", i)
		}
	}
	later := written(t, Document{Title: "All", Created: created.Add(time.Second), Pages: sample.Pages()})
	if bytes.Equal(first, later) {
		t.Error("the time of creation is not in the file")
	}
}

// A document for which the type faces were readied ahead is the same as one for
// which they were not, and only one that needs all of them takes them.
func TestAheadChangesNothing(t *testing.T) {
	all := func() []byte {
		return written(t, Document{Title: "All", Created: created, Pages: sample.Pages()})
	}
	if len(ready) > 0 {
		<-ready
	}
	want := all()
	Ahead(draw.Regular, draw.Bold, draw.Mono)
	Ahead(draw.Regular)
	written(t,
		Document{
			Title: "Few", Created: created, Pages: []*draw.Page{{
				Width: 100, Height: 50, Marks: []draw.Mark{draw.Text{X: 5, Y: 5, Size: 3, Words: "one face"}},
			}},
		})
	if len(ready) != 1 {
		t.Error("a document of one face took what was readied for all")
	}
	if got := all(); !bytes.Equal(got, want) || len(ready) != 0 {
		t.Errorf("with faces readied ahead: equal %v, %d left", bytes.Equal(got, want), len(ready))
	}
	if got := all(); !bytes.Equal(got, want) {
		t.Error("the document after that has other bytes")
	}
}

func TestWriteRefuses(t *testing.T) {
	for _, c := range []struct {
		name  string
		pages []*draw.Page
		want  string
	}{
		{"no page", nil, "without pages"},
		{"nil page", []*draw.Page{onePage(), nil}, "page 2 is missing"},
		{"NaN", []*draw.Page{onePage(draw.Line{X1: math.NaN(), Pen: draw.Thin})}, "not a number"},
		{"infinite", []*draw.Page{onePage(), onePage(draw.Text{Size: 3, X: math.Inf(1)})}, "page 2"},
		{"nil mark", []*draw.Page{onePage(nil)}, "not a number"},
		{"no size", []*draw.Page{{Title: "x"}}, "0 x 0"},
		{"longer than a PDF page", []*draw.Page{{Width: 100, Height: 5081}}, "more than a PDF page"},
		{"no such pen", []*draw.Page{onePage(draw.Line{Pen: 77})}, "no pen 77"},
		{"address of a program", []*draw.Page{onePage(draw.Link{Address: "javascript:alert(1)"})}, "not an http"},
	} {
		t.Run(c.name, func(t *testing.T) {
			var out bytes.Buffer
			err := Write(&out, Document{Pages: c.pages})
			if err == nil || !strings.Contains(err.Error(), c.want) || out.Len() != 0 {
				t.Errorf("Write() = %v and %d bytes, want an error with %q and none", err, out.Len(), c.want)
			}
		})
	}
}

// TestWriteSurvivesAPanic stands for whatever the library may yet do.
func TestWriteSurvivesAPanic(t *testing.T) {
	err := Write(panicking{}, Document{Pages: []*draw.Page{onePage()}})
	if err == nil || !strings.Contains(err.Error(), "out of range") {
		t.Errorf("Write() = %v, want the cause of the panic", err)
	}
}

type panicking struct{}

func (panicking) Write([]byte) (int, error) { panic("index out of range") }

func TestWriteReportsTheWriter(t *testing.T) {
	full := errors.New("no room")
	if err := Write(failing{full}, Document{Pages: []*draw.Page{onePage()}}); !errors.Is(err, full) {
		t.Errorf("Write() to a full disk = %v, want %v", err, full)
	}
}

type failing struct{ err error }

func (f failing) Write([]byte) (int, error) { return 0, f.err }

func TestDetails(t *testing.T) {
	east := time.FixedZone("east", 5*3600)
	out := string(written(t, Document{Title: "Größe \U0001F600 (a\\b)", Author: "Ann", Subject: "\xffbroken",
		Created: created.In(east), Pages: []*draw.Page{onePage()}}))
	for _, want := range []string{
		"/Producer (brakeside)",
		"/CreationDate (D:20260504093015)",
		"/ModDate (D:20260504093015)",
		"/Title (\xfe\xff\x00G\x00r\x00\xf6\x00\xdf\x00e\x00 \xd8\x3d\xde\x00\x00 \x00\\(\x00a\x00\\\\\x00b\x00\\))",
		"/Author (\xfe\xff\x00A\x00n\x00n)",
		"/Subject (\xfe\xff\xff\xfd\x00b\x00r\x00o\x00k\x00e\x00n)",
	} {
		if !strings.Contains(out, want) {
			t.Errorf("the document lacks %q", want)
		}
	}
	if strings.Contains(strings.ToLower(out), "fpdf") {
		t.Error("the library names itself")
	}
	bare := string(written(t, Document{Pages: []*draw.Page{onePage()}}))
	for _, unwanted := range []string{"/Title", "/Author", "/Subject"} {
		if strings.Contains(bare, unwanted) {
			t.Errorf("a document without names has %s", unwanted)
		}
	}
}

// TestPageSizes reads the size of each page back, in points.
func TestPageSizes(t *testing.T) {
	out := written(t, Document{Created: created, Pages: []*draw.Page{
		{Width: 210, Height: 297}, {Width: 297, Height: 210}, {Width: 215.9, Height: 279.4}, {Width: 210, Height: 297}}})
	defer checkWithQPDF(t, out)
	for i, want := range [][2]int{{210, 297}, {297, 210}, {216, 279}, {210, 297}} {
		got := raster.Page(t, out, i, 254).Bounds() // 10 dots a millimetre
		if math.Abs(float64(got.Dx())/10-float64(want[0])) > 0.5 || math.Abs(float64(got.Dy())/10-float64(want[1])) > 0.5 {
			t.Errorf("page %d is %d x %d dots of 0.1 mm, want %v mm", i, got.Dx(), got.Dy(), want)
		}
	}
}

func TestPlain(t *testing.T) {
	page := onePage(draw.Text{X: 5, Y: 5, Size: 4, Words: "Stop (92)°"})
	want := []byte("(\x00S\x00t\x00o\x00p\x00 \x00\\(\x009\x002\x00\\)\x00\xb0) Tj")
	plain := written(t, Document{Pages: []*draw.Page{page}, Plain: true})
	if !bytes.Contains(plain, want) {
		t.Errorf("a plain document lacks %q", want)
	}
	packed := written(t, Document{Pages: []*draw.Page{page}})
	if bytes.Contains(packed, want) {
		t.Error("a document not plain shows its text")
	}
}

// TestBookmarks: the outline names each place and points to its height, on
// pages of different heights and with levels that skip one.
func TestBookmarks(t *testing.T) {
	tall := &draw.Page{Width: 100, Height: 200, Marks: []draw.Mark{
		draw.Bookmark{Y: 0, Words: "Größe"}, draw.Bookmark{Y: 50, Words: "deep", Level: 4}, draw.Bookmark{Y: 60, Words: "up", Level: -2}}}
	low := &draw.Page{
		Width: 100, Height: 80, Marks: []draw.Mark{draw.Bookmark{Y: 10, Words: "low \U0001F600"}, draw.Bookmark{Y: -1, Words: "above"}},
	}
	out := written(t, Document{Created: created, Plain: true, Pages: []*draw.Page{tall, low}})
	defer checkWithQPDF(t, out)
	entry := regexp.MustCompile(`(?s)<</Title \((.*?)\)\n/Parent (\d+) 0 R\n.*?/Dest \[(\d+) 0 R /XYZ 0 ([-0-9.]+) null\]`)
	found := entry.FindAllSubmatch(out, -1)
	var got []string
	for _, f := range found {
		got = append(got, fmt.Sprintf("%s page %s at %s", bytes.ReplaceAll(f[1], []byte{0}, nil), f[3], f[4]))
	}
	want := []string{
		"\xfe\xffGr\xf6\xdfe page 3 at 566.93", // 200 mm
		"\xfe\xffdeep page 3 at 425.20",        // 150 mm
		"\xfe\xffup page 3 at 396.85",          // 140 mm
		"\xfe\xfflow %\xa1 page 5 at 198.43",   // 70 mm
		"\xfe\xffabove page 5 at 229.61",       // 81 mm
	}
	if strings.Join(got, "|") != strings.Join(want, "|") {
		t.Fatalf("the outline is\n%q, want\n%q", got, want)
	}
	if root, deep := string(found[0][2]), string(found[1][2]); deep == root || string(found[2][2]) != root || string(found[3][2]) != root {
		t.Errorf("the places hang on the objects %s %s %s %s, want only the second below another",
			found[0][2], found[1][2], found[2][2], found[3][2])
	}
}

func TestLink(t *testing.T) {
	out := string(written(t, Document{Plain: true, Pages: []*draw.Page{
		onePage(draw.Link{X: 10, Y: 20, Width: 30, Height: 5, Address: "http://a.example/t/(x)?b=1"})}}))
	want := `/Rect [28.35 170.08 113.39 155.91] /Border [0 0 0] /A <</S /URI /URI (http://a.example/t/\(x\)?b=1)>>`
	if !strings.Contains(out, want) {
		t.Errorf("the page lacks the link %s", want)
	}
}

// TestStrangeWords: words that could break the syntax of a file do not.
func TestStrangeWords(t *testing.T) {
	for _, words := range append(sample.Strange, strings.Repeat("x", 200), strings.Repeat("\U0001F600", 200)) {
		t.Run(fmt.Sprintf("%.12q", words), func(t *testing.T) {
			page := onePage(draw.Text{X: 5, Y: 10, Size: 4, Words: words, MaxWidth: 60}, draw.Bookmark{Words: words},
				draw.Text{X: 5, Y: 20, Size: 4, Words: words, Face: draw.Mono, Turn: 30})
			page.Title = words
			checkWithQPDF(t, written(t, Document{Title: words, Author: words, Subject: words, Pages: []*draw.Page{page}}))
		})
	}
}

// TestWidthsAgree holds every letter of every face against the library's own
// reading of the font, since it is that which a PDF reader sets the text by.
func TestWidthsAgree(t *testing.T) {
	w := &writer{file: begun(facesUsed{true, true, true})}
	w.file.AddPage()
	letters := 0
	for face := draw.Regular; face <= draw.Mono; face++ {
		w.face(face, 1000/pointsPerMM)
		for r := rune(' '); r < 0xD800; r++ {
			if letter.Clean(string(r)) != string(r) {
				continue
			}
			letters++
			if got, want := w.file.GetStringSymbolWidth(string(r)), letter.Width(string(r), face, 1000); float64(got) != want {
				t.Errorf("face %d, %q: the file says %d, letter.Width %g", face, r, got, want)
			}
		}
	}
	if letters < 3*600 {
		t.Errorf("only %d letters were compared", letters)
	}
}

func FuzzWrite(f *testing.F) {
	for _, words := range sample.Strange {
		f.Add(words, 3.0, 40.0, 30.0)
	}
	f.Fuzz(func(t *testing.T, words string, size, maxWidth, turn float64) {
		page := onePage(draw.Text{X: 50, Y: 40, Size: size, Words: words, MaxWidth: maxWidth, Turn: turn, Face: draw.Bold},
			draw.Bookmark{Y: size, Words: words, Level: int(maxWidth)})
		page.Title = words
		var out bytes.Buffer
		err := Write(&out, Document{Title: words, Author: words, Created: created, Pages: []*draw.Page{page}})
		if err != nil && page.Check() == nil {
			t.Fatalf("a good page with %q is refused: %v", words, err)
		}
		if err == nil && !bytes.HasSuffix(out.Bytes(), []byte("%%EOF\n")) {
			t.Fatalf("the file with %q has no end", words)
		}
	})
}

// BenchmarkWrite1000 writes a page with 1000 marks, a mixture as on a sheet.
func BenchmarkWrite1000(b *testing.B) {
	page := &draw.Page{Title: "Bench", Width: 210, Height: 297}
	for i := range 200 {
		x, y := 10+float64(i%20)*9, 10+float64(i/20)*25
		page.Add(
			draw.Line{X1: x, Y1: y, X2: x + 8, Y2: y + 5, Pen: draw.Thin, Arrows: draw.AtBoth},
			draw.Line{X1: x, Y1: y, X2: x + 8, Y2: y, Pen: draw.BendUp},
			draw.Box(draw.Outline, draw.Fill(i%7), x, y, 6, 5),
			draw.Arc{X: x, Y: y, Radius: 3, To: 90, Pen: draw.Outline},
			draw.Text{X: x, Y: y, Size: 3, Words: fmt.Sprintf("%d.5°", i), Face: draw.Face(i % 2), MaxWidth: 20})
	}
	b.ReportAllocs()
	for b.Loop() {
		written(b, Document{Title: "Bench", Created: created, Pages: []*draw.Page{page}})
	}
}

// BenchmarkWriteEmpty is what the other is measured by.
func BenchmarkWriteEmpty(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		written(b, Document{Title: "Bench", Created: created, Pages: []*draw.Page{{Width: 210, Height: 297}}})
	}
}
