package web

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

// Headings gives the first words of a refusal's page.
var Headings = map[int]string{
	http.StatusBadRequest:            "Not readable",
	http.StatusForbidden:             "Not allowed",
	http.StatusNotFound:              "Nothing here",
	http.StatusMethodNotAllowed:      "Not like this",
	http.StatusConflict:              "That does not fit",
	http.StatusRequestEntityTooLarge: "Too big",
	http.StatusMisdirectedRequest:    "Not under this name",
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

// NoSheet is the refusal of a code that is of no sheet.
type NoSheet struct{ *fault.Refusal }

// Unwrap implements the wrapping of errors.
func (n *NoSheet) Unwrap() error { return n.Refusal }

// TooOften refuses one who has to wait so long before the next try.
func TooOften(wait time.Duration) error {
	seconds := int(math.Ceil(wait.Seconds()))
	return &slowDown{wait, fault.New(fault.Busy, "", "Too many tries that led nowhere. Wait %d seconds and try again.", seconds)}
}

// Unreadable is the refusal of a body that could not even be read.
func Unreadable(message string) error {
	return &refusedWith{http.StatusBadRequest, fault.New(fault.Invalid, "", "%s", message)}
}

// StatusOf gives the HTTP status of an error.
func StatusOf(err error) int {
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

// MessageOf gives what may be told about an error, and the field it is about.
func MessageOf(err error) (field, message string) {
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
func (s *Site) refuse(w http.ResponseWriter, r *http.Request, err error) {
	status, ticket := StatusOf(err), TicketOf(r)
	if errors.Is(err, context.Canceled) && r.Context().Err() != nil {
		s.Log.Info("the one who asked has gone", "request", ticket.ID, "route", ticket.route)
		return
	}
	if status >= http.StatusInternalServerError {
		s.Log.Error("failed", "request", ticket.ID, "route", ticket.route, "error", scrubbed(err.Error()))
	}
	var slow *slowDown
	if errors.As(err, &slow) {
		w.Header().Set("Retry-After", strconv.Itoa(int(math.Ceil(slow.wait.Seconds()))))
	}
	if WantsJSON(r) {
		err = s.ShowJSON(w, status, RefusalBody(err))
	} else {
		err = s.refusalPage(w, r, err)
	}
	if err != nil {
		s.Log.Error("could not even refuse", "request", ticket.ID, "error", err)
		http.Error(w, "It went wrong here.", http.StatusInternalServerError)
	}
}

// RefusedView is the page that says why not.
type RefusedView struct {
	Frame                                    Frame // of the office
	Heading, Words, Back, BackWords, Request string
}

func (s *Site) refusalPage(w http.ResponseWriter, r *http.Request, err error) error {
	status := StatusOf(err)
	_, message := MessageOf(err)
	view := RefusedView{Heading: Headings[status], Words: message}
	var unknown *NoSheet
	if errors.As(err, &unknown) {
		view.Heading = "No such sheet"
	}
	if status >= http.StatusInternalServerError {
		view.Request = TicketOf(r).ID
	}
	if TicketOf(r).role == "" {
		return s.Show(w, Page{status, "operator/refused", view})
	}
	section, _, _ := strings.Cut(strings.TrimPrefix(TicketOf(r).route, "/"), "/")
	view.Frame = s.Frame(r, section)
	return s.Show(w, Page{status, "owner/refused", view})
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

// RefusalBody is a refusal for a program.
func RefusalBody(err error) refusalJSON {
	var body refusalJSON
	body.Error.Field, body.Error.Message = MessageOf(err)
	if fault.KindOf(err) == fault.Unsure {
		body.Confirm = body.Error.Message
	}
	return body
}

// WantsJSON reports whether the one who asks is a program and not a person: it
// sent JSON or asked for it.
func WantsJSON(r *http.Request) bool {
	if strings.HasSuffix(TicketOf(r).route, "/state") || strings.HasSuffix(TicketOf(r).route, "/readings") {
		return !IsForm(r)
	}
	accept := r.Header.Get("Accept")
	return strings.Contains(accept, "application/json") && !strings.Contains(accept, "text/html")
}

// IsForm reports whether the body is a form of a page.
func IsForm(r *http.Request) bool {
	kind, _, err := mime.ParseMediaType(r.Header.Get("Content-Type"))
	return err == nil && (kind == "application/x-www-form-urlencoded" || kind == "multipart/form-data")
}
