package web

import (
	"bytes"
	"net/http"
	"strconv"
	"time"

	"github.com/gorilla/mux"

	"brakeside/calc/fault"
	"brakeside/templates"
)

// Access is who may use an address. The zero value is the strictest.
type Access int

const (
	ByOwner   Access = iota // the owner, signed in
	ByViewer                // the owner, or the account that may only view
	ByHolder                // who holds the sheet: the code in the address is the key
	ByAnyone                // no questions asked
	ByMachine               // the machine itself, or who is signed in
)

// Answer answers one request, or says why not. Refusals get their status and
// their page in refuse.go.
type Answer func(w http.ResponseWriter, r *http.Request) error

// Route is one address, who may use it, and what answers.
type Route struct {
	Method, Path string
	Who          Access
	Answer       Answer
}

// Handler serves some routes.
func (s *Site) Handler(routes []Route) http.Handler {
	router := mux.NewRouter()
	for _, r := range routes {
		methods := []string{r.Method}
		if r.Method == http.MethodGet {
			methods = append(methods, http.MethodHead)
		}
		router.Handle(r.Path, s.serve(r)).Methods(methods...)
	}
	router.NotFoundHandler = s.serve(Route{Path: "(none)", Who: ByAnyone, Answer: NoPage})
	router.MethodNotAllowedHandler = s.serve(Route{Path: "(method)", Who: ByAnyone, Answer: wrongMethod})
	return s.guard(router)
}

// NoPage answers an address at which there is nothing.
func NoPage(http.ResponseWriter, *http.Request) error {
	return fault.New(fault.Missing, "", "There is no such page here.")
}

func wrongMethod(http.ResponseWriter, *http.Request) error {
	return &refusedWith{http.StatusMethodNotAllowed, fault.New(fault.Invalid, "", "This address does not take that kind of request.")}
}

// Variable gives the part of the address that a route names in braces.
func Variable(r *http.Request, name string) string { return mux.Vars(r)[name] }

// Static serves the files of the pages. Their addresses change with their
// content, so a browser may keep them.
func (s *Site) Static(w http.ResponseWriter, r *http.Request) error {
	file, err := templates.StaticFile(Variable(r, "file"))
	if err != nil {
		return NoPage(w, r)
	}
	content, tag := file.Content, file.Digest
	if acceptsPacked(r) {
		content, tag = file.Packed(), tag+"-gzip"
		w.Header().Set("Content-Encoding", "gzip")
	}
	w.Header().Set("Vary", "Accept-Encoding")
	w.Header().Set("ETag", strconv.Quote(tag))
	w.Header().Set("Cache-Control", "public, max-age=31536000, immutable")
	http.ServeContent(w, r, file.Name, time.Time{}, bytes.NewReader(content))
	return nil
}

// Health answers once the store does.
func (s *Site) Health(w http.ResponseWriter, r *http.Request) error {
	if err := s.Store.Ping(r.Context()); err != nil {
		return err
	}
	return Write(w, Reply{Kind: "text/plain; charset=utf-8", Body: []byte("ok\n")})
}
