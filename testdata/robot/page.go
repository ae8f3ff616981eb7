// Package robot is a stranger with nothing but the printed traveler.
//
// It reads the finished PDF (texts and strokes with their places), folds an
// ideal sheet as the rows say, and compares what comes out with the part as it
// was drawn, which it builds from the part file by itself. What it cannot know
// from the paper an operator cannot know either.
//
// It is for tests only and uses no other package of this project: its reading,
// its folding and its drawn part share no code with what they judge. Lengths
// are millimetres, angles degrees; on paper y runs up.
package robot

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"time"

	"github.com/klippa-app/go-pdfium"
	"github.com/klippa-app/go-pdfium/enums"
	"github.com/klippa-app/go-pdfium/references"
	"github.com/klippa-app/go-pdfium/requests"
	"github.com/klippa-app/go-pdfium/webassembly"
	"github.com/tetratelabs/wazero"
	"github.com/tetratelabs/wazero/api"
	"github.com/tetratelabs/wazero/experimental"
)

// perPoint is millimetres in a point of the PDF.
const perPoint = 25.4 / 72

// item is one text as it was set on the page: where it begins, on its baseline,
// and the box it fills.
type item struct {
	raw, words               string // as printed, and with inches turned into millimetres
	x, y                     float64
	left, right, bottom, top float64
	size                     float64
	level                    bool // read from left to right, not upwards
}

func (t item) middle() Point { return Point{(t.left + t.right) / 2, (t.bottom + t.top) / 2} }

// away is how far a place lies from the edge of a text, 0 in it.
func (t item) away(p Point) float64 {
	return math.Hypot(max(t.left-p.X, 0, p.X-t.right), max(t.bottom-p.Y, 0, p.Y-t.top))
}

// stroke is one line drawn on the page, open or closed.
type stroke struct {
	points []Point
	weight float64
	dashed bool
}

// closed reports whether the stroke ends where it began.
func (s stroke) closed() bool {
	return len(s.points) > 3 && s.points[0].to(s.points[len(s.points)-1]).length() < 0.02
}

// bounds are the corners of the box around a stroke.
func (s stroke) bounds() (low, high Point) {
	low, high = s.points[0], s.points[0]
	for _, p := range s.points {
		low = Point{math.Min(low.X, p.X), math.Min(low.Y, p.Y)}
		high = Point{math.Max(high.X, p.X), math.Max(high.Y, p.Y)}
	}
	return low, high
}

// page is what stands on one page.
type page struct {
	items   []item
	strokes []stroke
}

// wait is the longest that a test waits for another to give the reader back.
const wait = time.Minute

// readers takes seconds to make ready, so all tests of a process share it.
var readers = sync.OnceValues(func() (pdfium.Pool, error) {
	return webassembly.Init(webassembly.Config{MinIdle: 1, MaxIdle: 1, MaxTotal: 1, RuntimeConfig: compiled()})
})

// compiled keeps what the library has been compiled to for the next process, in the
// user's cache: compiling takes seconds, and ten times as long beside the race
// detector.
func compiled() wazero.RuntimeConfig {
	config := wazero.NewRuntimeConfig().WithCoreFeatures(api.CoreFeaturesV2 | experimental.CoreFeaturesExceptionHandling)
	folder, err := os.UserCacheDir()
	if err != nil {
		return config
	}
	kept, err := wazero.NewCompilationCacheWithDir(filepath.Join(folder, "brakeside-tests"))
	if err != nil {
		return config
	}
	return config.WithCompilationCache(kept)
}

// pages takes a PDF apart.
func pages(file []byte) ([]page, error) {
	pool, err := readers()
	if err != nil {
		return nil, fmt.Errorf("the PDF reader does not start: %w", err)
	}
	reader, err := pool.GetInstance(wait)
	if err != nil {
		return nil, fmt.Errorf("the PDF reader is not free: %w", err)
	}
	defer reader.Close()
	document, err := reader.OpenDocument(&requests.OpenDocument{File: &file})
	if err != nil {
		return nil, fmt.Errorf("open the PDF of %d bytes: %w", len(file), err)
	}
	defer reader.FPDF_CloseDocument(&requests.FPDF_CloseDocument{Document: document.Document})
	count, err := reader.FPDF_GetPageCount(&requests.FPDF_GetPageCount{Document: document.Document})
	if err != nil {
		return nil, err
	}
	var out []page
	for i := range count.PageCount {
		b := pageReader{pdfium: reader, page: requests.Page{ByIndex: &requests.PageByIndex{Document: document.Document, Index: i}}}
		out = append(out, b.read())
		if b.err != nil {
			return nil, fmt.Errorf("page %d: %w", i+1, b.err)
		}
	}
	return out, nil
}

// pageReader reads one page and keeps the first error.
type pageReader struct {
	pdfium pdfium.Pdfium
	page   requests.Page
	text   references.FPDF_TEXTPAGE
	err    error
}

// got keeps the first error of an answer.
func got[T any](b *pageReader, answer *T, err error) T {
	if err != nil && b.err == nil {
		b.err = err
	}
	if answer == nil {
		return *new(T)
	}
	return *answer
}

func (b *pageReader) read() page {
	var out page
	loaded, err := b.pdfium.FPDFText_LoadPage(&requests.FPDFText_LoadPage{Page: b.page})
	b.text = got(b, loaded, err).TextPage
	answer, err := b.pdfium.FPDFPage_CountObjects(&requests.FPDFPage_CountObjects{Page: b.page})
	for i := range got(b, answer, err).Count {
		object, err := b.pdfium.FPDFPage_GetObject(&requests.FPDFPage_GetObject{Page: b.page, Index: i})
		o := got(b, object, err).PageObject
		kind, err := b.pdfium.FPDFPageObj_GetType(&requests.FPDFPageObj_GetType{PageObject: o})
		if b.err != nil {
			return out
		}
		switch got(b, kind, err).Type {
		case enums.FPDF_PAGEOBJ_TEXT:
			out.items = append(out.items, b.item(o))
		case enums.FPDF_PAGEOBJ_PATH:
			if s, drawn := b.stroke(o); drawn {
				out.strokes = append(out.strokes, s)
			}
		}
	}
	closed, err := b.pdfium.FPDFText_ClosePage(&requests.FPDFText_ClosePage{TextPage: b.text})
	got(b, closed, err)
	return out
}

// brokenHyphen is what the reader makes of a hyphen at the end of a line.
const brokenHyphen = "\x02"

func (b *pageReader) item(o references.FPDF_PAGEOBJECT) item {
	text, err := b.pdfium.FPDFTextObj_GetText(&requests.FPDFTextObj_GetText{PageObject: o, TextPage: b.text})
	words := got(b, text, err).Text
	place, err := b.pdfium.FPDFPageObj_GetMatrix(&requests.FPDFPageObj_GetMatrix{PageObject: o})
	m := got(b, place, err).Matrix
	size, err := b.pdfium.FPDFTextObj_GetFontSize(&requests.FPDFTextObj_GetFontSize{PageObject: o})
	tall := got(b, size, err).FontSize
	around, err := b.pdfium.FPDFPageObj_GetBounds(&requests.FPDFPageObj_GetBounds{PageObject: o})
	box := got(b, around, err)
	raw := strings.ReplaceAll(strings.TrimSpace(words), brokenHyphen, "-")
	return item{
		raw: raw, words: metric(raw),
		x: float64(m.E) * perPoint, y: float64(m.F) * perPoint, level: m.B == 0, size: float64(tall) * perPoint,
		left: float64(box.Left) * perPoint, right: float64(box.Right) * perPoint,
		bottom: float64(box.Bottom) * perPoint, top: float64(box.Top) * perPoint,
	}
}

// stroke reads a path that is drawn with a pen; what is only filled (the cells
// of a code, arrow heads) is no line.
func (b *pageReader) stroke(o references.FPDF_PAGEOBJECT) (stroke, bool) {
	mode, err := b.pdfium.FPDFPath_GetDrawMode(&requests.FPDFPath_GetDrawMode{PageObject: o})
	if !got(b, mode, err).Stroke {
		return stroke{}, false
	}
	width, err := b.pdfium.FPDFPageObj_GetStrokeWidth(&requests.FPDFPageObj_GetStrokeWidth{PageObject: o})
	out := stroke{weight: float64(got(b, width, err).StrokeWidth) * perPoint}
	dashes, err := b.pdfium.FPDFPageObj_GetDashCount(&requests.FPDFPageObj_GetDashCount{PageObject: o})
	out.dashed = got(b, dashes, err).DashCount > 0
	count, err := b.pdfium.FPDFPath_CountSegments(&requests.FPDFPath_CountSegments{PageObject: o})
	for i := range got(b, count, err).Count {
		segment, err := b.pdfium.FPDFPath_GetPathSegment(&requests.FPDFPath_GetPathSegment{PageObject: o, Index: i})
		point, err2 := b.pdfium.FPDFPathSegment_GetPoint(&requests.FPDFPathSegment_GetPoint{PathSegment: got(b, segment, err).PathSegment})
		p := got(b, point, err2)
		out.points = append(out.points, Point{float64(p.X) * perPoint, float64(p.Y) * perPoint})
	}
	return out, len(out.points) > 1
}
