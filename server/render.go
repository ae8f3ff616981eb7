package server

import (
	"bytes"
	"encoding/json"
	"fmt"
	"html/template"
	"net/http"
	"strconv"

	"brakeside/templates"
	"brakeside/traveler/draw"
	"brakeside/traveler/svg"
)

// reply is one whole answer.
type reply struct {
	status int    // 0 means 200
	kind   string // media type
	body   []byte
}

// write sends a whole answer in one go.
func write(w http.ResponseWriter, a reply) error {
	if a.status == 0 {
		a.status = http.StatusOK
	}
	w.Header().Set("Content-Type", a.kind)
	w.Header().Set("Content-Length", strconv.Itoa(len(a.body)))
	w.WriteHeader(a.status)
	// A failed write means that the other side has gone: there is nobody left
	// to tell.
	_, _ = w.Write(a.body)
	return nil
}

const (
	htmlKind = "text/html; charset=utf-8"
	jsonKind = "application/json; charset=utf-8"
)

// page is one page to be shown.
type page struct {
	status int    // 0 means 200
	name   string // in templates
	view   any
}

// show fills a page and sends it whole.
func (s *Server) show(w http.ResponseWriter, p page) error {
	var filled bytes.Buffer
	if err := s.pages.Write(&filled, p.name, p.view); err != nil {
		return err
	}
	return write(w, s.worded(reply{p.status, htmlKind, filled.Bytes()}))
}

// showBlock fills one block of a page and sends it, for a script that renews a
// part of the page.
func (s *Server) showBlock(w http.ResponseWriter, b templates.Block, view any) error {
	var filled bytes.Buffer
	if err := s.pages.WriteBlock(&filled, b, view); err != nil {
		return err
	}
	return write(w, s.worded(reply{0, htmlKind, filled.Bytes()}))
}

// worded puts an answer into the language of the shop.
func (s *Server) worded(a reply) reply {
	switch {
	case s.words == nil:
	case a.kind == htmlKind:
		a.body = s.words.Page(a.body)
	case a.kind == jsonKind:
		a.body = s.words.JSON(a.body)
	}
	return a
}

// showJSON sends a value as JSON.
func (s *Server) showJSON(w http.ResponseWriter, status int, value any) error {
	var body bytes.Buffer
	out := json.NewEncoder(&body)
	out.SetEscapeHTML(false)
	if err := out.Encode(value); err != nil {
		return fmt.Errorf("answer as JSON: %w", err)
	}
	return write(w, s.worded(reply{status, jsonKind, body.Bytes()}))
}

// picture draws a page for use inside HTML. The writer of the drawing escapes
// all words in it.
func picture(p *draw.Page) (template.HTML, error) {
	var out bytes.Buffer
	if err := svg.Write(&out, p); err != nil {
		return "", err
	}
	return template.HTML(out.String()), nil
}
