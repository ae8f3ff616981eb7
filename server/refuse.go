package server

import (
	"context"
	"errors"
	"math"
	"mime"
	"net/http"
	"strconv"
	"strings"
	"time"

	"brakeside/calc/fault"
)

// statuses gives the HTTP status of every kind of refusal.
var statuses = map[fault.Kind]int{
	fault.Internal:   http.StatusInternalServerError,
	fault.Invalid:    http.StatusUnprocessableEntity,
	fault.Missing:    http.StatusNotFound,
	fault.Conflict:   http.StatusConflict,
	fault.Unbendable: http.StatusUnprocessableEntity,
	fault.Unsure:     http.StatusUnprocessableEntity,
	fault.Denied:     http.StatusForbidden,
	fault.TooLarge:   http.StatusRequestEntityTooLarge,
	fault.Busy:       http.StatusServiceUnavailable,
}

// headings gives the first words of a refusal's page.
var headings = map[int]string{
	http.StatusBadRequest:            "Not readable",
	http.StatusForbidden:             "Not allowed",
	http.StatusNotFound:              "Nothing here",
	http.StatusMethodNotAllowed:      "Not like this",
	http.StatusConflict:              "That does not fit",
	http.StatusRequestEntityTooLarge: "Too big",
	http.StatusUnprocessableEntity:   "That cannot be",
	http.StatusTooManyRequests:       "Too many tries",
	http.StatusInternalServerError:   "It went wrong here",
	http.StatusServiceUnavailable:    "Not just now",
}

// refusedWith is a refusal whose status does not follow from its kind.
type refusedWith struct {
	status int
	*fault.Refusal
}

func (r *refusedWith) Unwrap() error { return r.Refusal }

// slowDown is the refusal of one who tries too often.
type slowDown struct {
	wait time.Duration
	*fault.Refusal
}

func (d *slowDown) Unwrap() error { return d.Refusal }

// noSheet is the refusal of a code that is of no sheet.
type noSheet struct{ *fault.Refusal }

func (n *noSheet) Unwrap() error { return n.Refusal }

func tooOften(wait time.Duration) error {
	seconds := int(math.Ceil(wait.Seconds()))
	return &slowDown{wait, fault.New(fault.Busy, "", "Too many tries that led nowhere. Wait %d seconds and try again.", seconds)}
}

// unreadable is the refusal of a body that could not even be read.
func unreadable(message string) error {
	return &refusedWith{http.StatusBadRequest, fault.New(fault.Invalid, "", "%s", message)}
}

// statusOf gives the HTTP status of an error.
func statusOf(err error) int {
	var special *refusedWith
	var slow *slowDown
	var large *http.MaxBytesError
	switch {
	case errors.As(err, &special):
		return special.status
	case errors.As(err, &slow):
		return http.StatusTooManyRequests
	case errors.As(err, &large):
		return http.StatusRequestEntityTooLarge
	}
	return statuses[fault.KindOf(err)]
}

// messageOf gives what may be told about an error, and the field it is about.
func messageOf(err error) (field, message string) {
	var refusal *fault.Refusal
	var large *http.MaxBytesError
	switch {
	case errors.As(err, &large):
		return "", "That is more than is accepted at once."
	case errors.As(err, &refusal) && refusal.Kind != fault.Internal:
		return refusal.Field, refusal.Message
	}
	return "", "The service could not do this. It is in the log."
}

// refuse tells the one who asked why not, as a page or as JSON, and logs what
// is a mistake of the program.
func (s *Server) refuse(w http.ResponseWriter, r *http.Request, err error) {
	status, ticket := statusOf(err), ticketOf(r)
	if errors.Is(err, context.Canceled) && r.Context().Err() != nil {
		s.log.Info("the one who asked has gone", "request", ticket.id, "route", ticket.route)
		return
	}
	if status >= http.StatusInternalServerError {
		s.log.Error("failed", "request", ticket.id, "route", ticket.route, "error", scrubbed(err.Error()))
	}
	var slow *slowDown
	if errors.As(err, &slow) {
		w.Header().Set("Retry-After", strconv.Itoa(int(math.Ceil(slow.wait.Seconds()))))
	}
	if wantsJSON(r) {
		err = s.showJSON(w, status, refusalBody(err))
	} else {
		err = s.refusalPage(w, r, err)
	}
	if err != nil {
		s.log.Error("could not even refuse", "request", ticket.id, "error", err)
		http.Error(w, "It went wrong here.", http.StatusInternalServerError)
	}
}

type refusedView struct {
	Frame                                    frameView // of the office
	Heading, Words, Back, BackWords, Request string
}

func (s *Server) refusalPage(w http.ResponseWriter, r *http.Request, err error) error {
	status := statusOf(err)
	_, message := messageOf(err)
	view := refusedView{Heading: headings[status], Words: message}
	var unknown *noSheet
	if errors.As(err, &unknown) {
		view.Heading = "No such sheet"
	}
	if status >= http.StatusInternalServerError {
		view.Request = ticketOf(r).id
	}
	if ticketOf(r).role == "" {
		return s.show(w, page{status, "operator/refused", view})
	}
	section, _, _ := strings.Cut(strings.TrimPrefix(ticketOf(r).route, "/"), "/")
	view.Frame = s.frame(r, section)
	return s.show(w, page{status, "owner/refused", view})
}

// refusalError is the error part of a refusal in JSON.
type refusalError struct {
	Field   string `json:"field"`
	Message string `json:"message"`
}

// refusalJSON is a refusal in JSON.
type refusalJSON struct {
	Error   refusalError `json:"error"`
	Confirm string       `json:"confirm,omitempty"`
}

func refusalBody(err error) refusalJSON {
	var body refusalJSON
	body.Error.Field, body.Error.Message = messageOf(err)
	if fault.KindOf(err) == fault.Unsure {
		body.Confirm = body.Error.Message
	}
	return body
}

// wantsJSON reports whether the one who asks is a program and not a person: it
// sent JSON or asked for it.
func wantsJSON(r *http.Request) bool {
	if strings.HasSuffix(ticketOf(r).route, "/state") || strings.HasSuffix(ticketOf(r).route, "/readings") {
		return !isForm(r)
	}
	accept := r.Header.Get("Accept")
	return strings.Contains(accept, "application/json") && !strings.Contains(accept, "text/html")
}

// isForm reports whether the body is a form of a page.
func isForm(r *http.Request) bool {
	kind, _, err := mime.ParseMediaType(r.Header.Get("Content-Type"))
	return err == nil && (kind == "application/x-www-form-urlencoded" || kind == "multipart/form-data")
}
