// Package pdf writes pages as a PDF.
//
// Equal documents give equal bytes. The Go fonts are embedded, so that a sheet
// looks the same on every machine; letters that they lack are shown as boxes.
package pdf

import (
	"errors"
	"fmt"
	"io"
	"math"
	"time"
	"unicode/utf16"

	"github.com/jung-kurt/gofpdf"

	"brakeside/traveler/draw"
)

// facesOf tells which faces a document needs.
func facesOf(doc Document) (used facesUsed) {
	for _, page := range doc.Pages {
		for _, m := range page.Marks {
			switch m := m.(type) {
			case draw.Text:
				used[m.Face] = true
			case draw.Bookmark:
				used[bookmarkFace] = true
			}
		}
	}
	return used
}

// widest is the longest side of a page in millimetres: 14,400 points, beyond
// which the PDF standard (ISO 32000-1, annex C) promises nothing.
const widest = 14400 / 72 * 25.4

// Document is a row of pages and what a reader shows of it.
type Document struct {
	Title, Author, Subject string
	Created                time.Time // written in UTC
	Pages                  []*draw.Page
	Plain                  bool // leave the pages uncompressed, to look into
}

// Write writes the document whole, or returns an error and writes nothing. It
// refuses a document without pages and a page that fails draw.Page.Check or is
// more than 5,080 mm long or wide; both are mistakes of the program.
func Write(w io.Writer, doc Document) (err error) {
	if err := check(doc); err != nil {
		return err
	}
	defer func() { // the library panics on some input; a page must not
		if cause := recover(); cause != nil {
			err = fmt.Errorf("pdf: the page could not be written: %v", cause)
		}
	}()
	p := begin(doc)
	for _, page := range doc.Pages {
		if err := p.page(page); err != nil {
			return err
		}
	}
	return p.file.Output(w)
}

func check(doc Document) error {
	if len(doc.Pages) == 0 {
		return errors.New("pdf: a document without pages")
	}
	for i, page := range doc.Pages {
		if page == nil {
			return fmt.Errorf("pdf: page %d is missing", i+1)
		}
		if err := page.Check(); err != nil {
			return fmt.Errorf("pdf: page %d: %w", i+1, err)
		}
		if math.Max(page.Width, page.Height) > widest {
			return fmt.Errorf("pdf: page %d: %g x %g mm is more than a PDF page can measure", i+1, page.Width, page.Height)
		}
	}
	return nil
}

// begin starts a file in which nothing depends on the machine or the moment.
func begin(doc Document) *writer {
	file := withFaces(facesOf(doc))
	file.SetCreationDate(doc.Created.UTC())
	file.SetModificationDate(doc.Created.UTC())
	file.SetTitle(utf16Text(doc.Title), false)
	file.SetAuthor(utf16Text(doc.Author), false)
	file.SetSubject(utf16Text(doc.Subject), false)
	file.SetCompression(!doc.Plain)
	return &writer{file: file, lift: doc.Pages[len(doc.Pages)-1].Height}
}

// utf16Text encodes text as a PDF text string, with the mark that it is
// UTF-16. The library's own conversion garbles what lies above U+FFFF.
func utf16Text(text string) string {
	if text == "" {
		return ""
	}
	encoded := []byte{0xFE, 0xFF}
	for _, unit := range utf16.Encode([]rune(text)) {
		encoded = append(encoded, byte(unit>>8), byte(unit))
	}
	return string(encoded)
}

// page adds one page with all its marks.
func (w *writer) page(page *draw.Page) error {
	w.file.AddPageFormat("P", gofpdf.SizeType{Wd: page.Width, Ht: page.Height})
	w.path.height = page.Height
	for i, m := range page.Marks {
		if err := w.mark(m, page); err != nil {
			return fmt.Errorf("pdf: page %q, mark %d: %w", page.Title, i, err)
		}
	}
	return w.file.Error()
}

func (w *writer) mark(m draw.Mark, page *draw.Page) error {
	switch m := m.(type) {
	case draw.Line:
		w.line(m)
	case draw.Strokes:
		w.strokes(m)
	case draw.Path:
		w.outlined(m)
	case draw.Arc:
		w.arc(m)
	case draw.Text:
		w.text(m)
	case draw.Cells:
		w.cells(m)
	case draw.Link:
		w.file.LinkString(m.X, m.Y, m.Width, m.Height, m.Address)
	case draw.Bookmark:
		w.bookmark(m, page.Height)
	default:
		return fmt.Errorf("there is no mark of the kind %T", m)
	}
	return nil
}
