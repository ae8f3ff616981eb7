package web

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"regexp"
	"runtime/debug"
	"time"

	"brakeside/calc/fault"
)

// Ticket is what is noted about one request while it is answered. Addresses of
// sheets are keys, so the log gets the pattern of the route and never the path.
type Ticket struct {
	ID     string
	role   string // of the one who is signed in; empty for all others
	route  string
	status int
	bytes  int
}

type ticketKey struct{}

// TicketOf gives the ticket of a request.
func TicketOf(r *http.Request) *Ticket {
	if t, ok := r.Context().Value(ticketKey{}).(*Ticket); ok {
		return t
	}
	return &Ticket{}
}

// guard wraps the routes in what holds for every request: headers, the checks that
// it came under a name of ours and a form from our own pages, the log, and a net under panics.
func (s *Site) guard(routes http.Handler) http.Handler {
	own := http.NewCrossOriginProtection()
	own.SetDenyHandler(s.serve(Route{Path: "(foreign)", Who: ByAnyone, Answer: foreign}))
	inner, astray := own.Handler(routes), s.serve(Route{Path: "(name)", Who: ByAnyone, Answer: s.misdirected})
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		id, err := s.Secret(6)
		if err != nil {
			s.Log.Error("no request id", "error", err)
		}
		t := &Ticket{ID: id, status: http.StatusOK}
		r = r.WithContext(context.WithValue(r.Context(), ticketKey{}, t))
		began := s.Now()
		writer := &watched{ResponseWriter: w, ticket: t}
		harden(writer.Header())
		if r.TLS != nil { // over plain http browsers ignore it, and complain
			writer.Header().Set("Cross-Origin-Opener-Policy", "same-origin")
		}
		writer.Header().Set("X-Request-Id", id)
		defer s.finish(writer, r, began)
		packed := &packing{ResponseWriter: writer, accepted: acceptsPacked(r)}
		if s.isOwn(r) {
			inner.ServeHTTP(packed, r)
		} else {
			astray.ServeHTTP(packed, r)
		}
		packed.finish()
	})
}

func foreign(http.ResponseWriter, *http.Request) error {
	return fault.New(fault.Denied, "", "This form was not sent from a page of this service. Open the page again and send it from there.")
}

// harden sets the headers that keep a browser strict. Scripts and styles come
// from our own files only, and no other page may frame ours. The referrer is
// kept to our own pages: an address of a sheet must not leave, but with none at
// all browsers mark our own forms as coming from nowhere.
func harden(h http.Header) {
	h.Set("Content-Security-Policy", "default-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'; object-src 'none'")
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("X-Frame-Options", "DENY")
	h.Set("Referrer-Policy", "same-origin")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
	h.Set("Cache-Control", "no-store")
}

// finish logs a request and catches a panic: the one who asked sees that it
// went wrong, the log gets why, and the service goes on.
func (s *Site) finish(w *watched, r *http.Request, began time.Time) {
	t := w.ticket
	if cause := recover(); cause != nil {
		if cause == http.ErrAbortHandler {
			s.Log.Warn("answer cut off", "request", t.ID, "route", t.route)
			panic(cause)
		}
		s.metrics.panicked()
		s.Log.Error("panic", "request", t.ID, "route", t.route, "cause", scrubbed(fmt.Sprint(cause)), "stack", string(debug.Stack()))
		if !w.started {
			s.refuse(w, r, errors.New("panic"))
		}
	}
	took := s.Now().Sub(began)
	s.metrics.note(t.route, t.status, took)
	level := slog.LevelInfo
	if t.status >= http.StatusInternalServerError {
		level = slog.LevelError
	}
	s.Log.Log(r.Context(), level, "request", "request", t.ID, "method", r.Method, "route", t.route,
		"status", t.status, "bytes", t.bytes, "took", took, "from", AddressOf(r))
}

// codeLike finds what may be the code of a sheet, or a token.
var codeLike = regexp.MustCompile(`[0-9A-Za-z_-]{16,}`)

// scrubbed takes out of a text for the log what may open a sheet or the office.
func scrubbed(text string) string { return codeLike.ReplaceAllString(text, "(left out)") }

// watched notes the status and the size of an answer.
type watched struct {
	http.ResponseWriter
	ticket  *Ticket
	started bool
}

func (w *watched) WriteHeader(status int) {
	w.ticket.status, w.started = status, true
	w.ResponseWriter.WriteHeader(status)
}

func (w *watched) Write(b []byte) (int, error) {
	w.started = true
	n, err := w.ResponseWriter.Write(b)
	w.ticket.bytes += n
	return n, err
}

// Unwrap lets http.ResponseController reach the connection.
func (w *watched) Unwrap() http.ResponseWriter { return w.ResponseWriter }

// serve answers the requests of one route, after the check that the one who
// asks may.
func (s *Site) serve(rt Route) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		TicketOf(r).route = rt.Path
		if rt.Who == ByOwner || rt.Who == ByViewer || rt.Who == ByMachine && !fromThisMachine(r) {
			if err := s.signedIn(r); err != nil {
				s.askToSignIn(w, r, err)
				return
			}
			if rt.Who == ByOwner && !MayChange(r) {
				s.refuse(w, r, fault.New(fault.Denied, "", "This account may look and not change. Ask the owner."))
				return
			}
			unveiled, err := s.unveiled(r)
			if err != nil {
				s.refuse(w, r, err)
				return
			}
			r = unveiled
		}
		if rt.Who == ByHolder && r.Method == http.MethodPost && s.onlyLooks(r) {
			s.refuse(w, r, fault.New(fault.Denied, "",
				"In this browser somebody is signed in who may look and not write. Sign out, then log from it."))
			return
		}
		if err := rt.Answer(w, r); err != nil {
			s.refuse(w, r, err)
		}
	})
}

// AddressOf is the network address a request came from, without the port.
func AddressOf(r *http.Request) string {
	host, _, err := net.SplitHostPort(r.RemoteAddr)
	if err != nil {
		return r.RemoteAddr
	}
	return host
}
