// Package standing says how a traveler stands, from what happened to it since it
// was issued: what may still be decided about it and in what words, whether work
// must stop and what the way on is, and in which order its bends are made. It
// says the same of the revisions of a part.
//
// It knows no readings: what they mean is told by package progress, which builds
// on this one. There is no clock, disk or network here. What was written down is
// folded as it is, in the order it was written, also where today's rules would
// refuse it; the rules (May, Admit) are for what is to be written next.
package standing

import (
	"fmt"
	"slices"
	"strconv"
	"time"
)

// MostPieces is the largest quantity of a job, and MostEvery the largest number
// of pieces to a measured one.
const (
	MostPieces = 99_999
	MostEvery  = 1_000
)

// Event is one thing that happened to a traveler after it was issued.
type Event struct {
	Code    string // of the traveler
	Kind    string
	Piece   int    // of Skipped and TakenUp; 0 for the others
	Detail  string // the reason; or the newer code, the quantity, every how many pieces, the revision
	By      string // name or initials
	AtBrake bool   // written by who holds the traveler; otherwise in the office
	At      time.Time
}

// The kinds of Event. That a traveler was issued is no event: its zero Standing
// says so. That its first piece is accepted is said by the readings.
const (
	Closed        = "closed"         // all that is wanted has been made
	Reopened      = "reopened"       // it was closed too early, or made void by mistake
	Voided        = "voided"         // nothing may be made from it
	Replaced      = "superseded"     // by the traveler whose code is the Detail
	FinishAllowed = "finish-allowed" // the batch begun with a replaced one may be finished
	Released      = "override"       // the run goes on without an accepted first piece
	ReleaseAsked  = "release-asked"  // the person at the brake asks for that
	Requantified  = "quantity"       // pieces to make
	Resampled     = "sampling"       // every how many pieces one is measured
	Remade        = "remade"         // a scrapped piece is made again, see Replacement
	Skipped       = "skipped"        // a piece is left out
	TakenUp       = "taken-up"       // a piece that was left out is made after all
	Held          = "held"           // the run is stopped and somebody called
	Resumed       = "resumed"        // and goes on
	NewRevision   = "new-revision"   // a later revision of the part, the Detail, was made ready
	RunOn         = "run-on"         // this one may be made all the same
)

// Standing is what the events of a traveler add up to. The zero Standing is that
// of one that was just issued, except for its quantity.
type Standing struct {
	SupersededBy  string // the code of the newer traveler; empty if none
	FinishAllowed bool   // the batch begun with a replaced traveler may be finished
	Closed        bool
	Voided        bool
	Reason        string // why it was closed or made void
	Override      bool   // the run is released without an accepted first piece
	ReleaseAsked  bool   // and was asked for, or is still
	Hold          Hold
	NewRevision   string // revision of the part that is ready in place of this one's and about which nothing is decided; empty if none
	Quantity      int    // pieces to make now; 0 means as on the traveler
	Most          int    // pieces that were ever to be made; 0 means as Quantity
	Every         int    // the first, every so-manieth and the last piece are measured; 0 or 1: every piece
	Skipped       []int  // pieces that are left out, lowest first
	Remade        []Replacement
}

// Hold is a run that was stopped; the zero Hold is one that was not.
type Hold struct {
	Why    string
	By     string
	Office bool // only the office lets it go on
}

// Replacement is a piece that is made in place of a scrapped one.
type Replacement struct{ Piece, For int }

// replacementForm is the Detail of Remade.
const replacementForm = "%d for %d"

// Detail gives the Detail of the event that a replacement is.
func (r Replacement) Detail() string { return fmt.Sprintf(replacementForm, r.Piece, r.For) }

func replacementOf(detail string) (r Replacement, ok bool) {
	n, err := fmt.Sscanf(detail, replacementForm, &r.Piece, &r.For)
	return r, err == nil && n == 2 && detail == r.Detail()
}

// Fold adds up the events of a traveler that was issued for a number of pieces,
// oldest first.
func Fold(quantity int, events []Event) Standing {
	s := Standing{Quantity: quantity, Most: quantity}
	for _, e := range events {
		s.add(e)
	}
	return s
}

func (s *Standing) add(e Event) {
	switch e.Kind {
	case Closed:
		s.Closed, s.Reason = true, e.Detail
	case Reopened: // as it was before: one that was closed and then void is closed
		s.Closed, s.Voided, s.Reason = s.Closed && s.Voided, false, ""
	case Voided:
		s.Voided, s.Reason = true, e.Detail
	case Replaced:
		s.SupersededBy, s.NewRevision = e.Detail, ""
	case FinishAllowed:
		s.FinishAllowed = true
	case Released:
		s.Override, s.ReleaseAsked = true, false
	case ReleaseAsked:
		s.ReleaseAsked = !s.Override
	case Held:
		s.Hold = Hold{Why: e.Detail, By: e.By, Office: s.Hold.Office || !e.AtBrake}
	case Resumed:
		s.Hold = Hold{}
	case NewRevision:
		s.NewRevision = e.Detail
	case RunOn:
		s.NewRevision = ""
	default:
		s.addPieces(e)
	}
}

// addPieces adds an event that is about the pieces.
func (s *Standing) addPieces(e Event) {
	switch e.Kind {
	case Requantified:
		if n, err := strconv.Atoi(e.Detail); err == nil {
			s.setQuantity(n)
		}
	case Resampled:
		if n, err := strconv.Atoi(e.Detail); err == nil {
			s.Every = n
		}
	case Remade:
		if r, ok := replacementOf(e.Detail); ok {
			s.setQuantity(r.Piece)
			s.Remade = append(s.Remade, r)
		}
	case Skipped:
		if at, there := slices.BinarySearch(s.Skipped, e.Piece); !there {
			s.Skipped = slices.Insert(s.Skipped, at, e.Piece)
		}
	case TakenUp:
		s.Skipped = slices.DeleteFunc(s.Skipped, func(piece int) bool { return piece == e.Piece })
	}
}

func (s *Standing) setQuantity(n int) { s.Quantity, s.Most = n, max(s.Most, n) }

// Replacement gives the piece that is made in place of a scrapped one; 0 when
// there is none, or when fewer pieces are wanted since.
func (s Standing) Replacement(scrapped int) int {
	for _, r := range slices.Backward(s.Remade) {
		if r.For == scrapped && r.Piece <= s.Quantity {
			return r.Piece
		}
	}
	return 0
}

// replaced reports whether another traveler has taken the place of this one, so
// that no more may be begun from it.
func (s Standing) replaced() bool { return s.SupersededBy != "" && !s.FinishAllowed }

// LeftOut reports whether a piece is skipped.
func (s Standing) LeftOut(piece int) bool {
	_, there := slices.BinarySearch(s.Skipped, piece)
	return there
}
