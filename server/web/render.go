package web

import (
	"bytes"
	"encoding/json"
	"fmt"
	"html/template"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"brakeside/calc/plain"
	"brakeside/templates"
	"brakeside/templates/words"
	"brakeside/traveler/draw"
	"brakeside/traveler/pdf"
	"brakeside/traveler/svg"
)

// Attach sends a file to be saved under a name.
func Attach(w http.ResponseWriter, name string, a Reply) error {
	w.Header().Set("Content-Disposition", `attachment; filename*=UTF-8''`+url.PathEscape(name))
	return Write(w, a)
}

// Paper is a document to be sent.
type Paper struct {
	Name  string
	At    time.Time
	Pages []*draw.Page
}

// WritePDF sends pages for the printer.
func WritePDF(w http.ResponseWriter, f Paper) error {
	var out bytes.Buffer
	if err := pdf.Write(&out, pdf.Document{Title: f.Pages[0].Title, Created: f.At, Pages: f.Pages}); err != nil {
		return err
	}
	w.Header().Set("Content-Disposition", fmt.Sprintf(`inline; filename=%q`, f.Name+".pdf"))
	return Write(w, Reply{Kind: "application/pdf", Body: out.Bytes()})
}

// Reply is one whole answer.
type Reply struct {
	Status int    // 0 means 200
	Kind   string // media type
	Body   []byte
}

// Write sends a whole answer in one go.
func Write(w http.ResponseWriter, a Reply) error {
	if a.Status == 0 {
		a.Status = http.StatusOK
	}
	w.Header().Set("Content-Type", a.Kind)
	w.Header().Set("Content-Length", strconv.Itoa(len(a.Body)))
	w.WriteHeader(a.Status)
	// A failed write means that the other side has gone: there is nobody left
	// to tell.
	_, _ = w.Write(a.Body)
	return nil
}

// Media types.
const (
	HTMLKind = "text/html; charset=utf-8"
	JSONKind = "application/json; charset=utf-8"
)

// Page is one page to be shown.
type Page struct {
	Status int    // 0 means 200
	Name   string // in templates
	View   any
}

// Show fills a page and sends it whole.
func (s *Site) Show(w http.ResponseWriter, p Page) error {
	var filled bytes.Buffer
	if err := s.pages.Write(&filled, p.Name, p.View); err != nil {
		return err
	}
	body, err := s.veiled(w, filled.Bytes())
	if err != nil {
		return err
	}
	return Write(w, s.Worded(Reply{p.Status, HTMLKind, body}))
}

// ShowBlock fills one block of a page and sends it, for a script that renews a
// part of the page.
func (s *Site) ShowBlock(w http.ResponseWriter, b templates.Block, view any) error {
	var filled bytes.Buffer
	if err := s.pages.WriteBlock(&filled, b, view); err != nil {
		return err
	}
	body, err := s.veiled(w, filled.Bytes())
	if err != nil {
		return err
	}
	return Write(w, s.Worded(Reply{0, HTMLKind, body}))
}

// Fill fills one block of a page, to be placed in pages that are shown later.
func (s *Site) Fill(b templates.Block, view any) (template.HTML, error) {
	var filled strings.Builder
	err := s.pages.WriteBlock(&filled, b, view)
	return template.HTML(filled.String()), err
}

// Worded puts an answer into the language of the shop, and writes what cannot be seen
// in it so that it is.
func (s *Site) Worded(a Reply) Reply {
	a.Body = plain.Seen(a.Body)
	switch {
	case s.words == nil:
	case a.Kind == HTMLKind:
		a.Body = s.words.Page(a.Body)
	case a.Kind == JSONKind:
		a.Body = s.words.JSON(a.Body)
	}
	a.Body = words.Unmarked(a.Body)
	return a
}

// ShowJSON sends a value as JSON.
func (s *Site) ShowJSON(w http.ResponseWriter, status int, value any) error {
	var body bytes.Buffer
	out := json.NewEncoder(&body)
	out.SetEscapeHTML(false)
	if err := out.Encode(value); err != nil {
		return fmt.Errorf("answer as JSON: %w", err)
	}
	return Write(w, s.Worded(Reply{status, JSONKind, body.Bytes()}))
}

// Picture draws a page for use inside HTML. The writer of the drawing escapes
// all words in it.
func Picture(p *draw.Page) (template.HTML, error) {
	var out bytes.Buffer
	if err := svg.Write(&out, p); err != nil {
		return "", err
	}
	return template.HTML(out.String()), nil
}
