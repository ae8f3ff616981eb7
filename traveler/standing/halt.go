package standing

import "strings"

// Why a bend may not be made now.
const (
	IsVoid      = "void"
	IsReplaced  = "replaced"
	IsClosed    = "closed"
	IsHeld      = "held"
	IsOutdated  = "new-revision" // and it is not decided whether it may be made
	FirstPiece  = "first-piece"  // is not accepted, and this is another one
	PieceIsLost = "piece"        // scrapped or left out
)

// Halt is a stop of work: what is shown before the bend, in place of it. What was
// bent all the same is written down all the same.
type Halt struct {
	Cause   string `json:"cause"` // one of the words above
	Heading string `json:"heading"`
	Words   string `json:"words"`           // why, with the reason that was given
	Way     string `json:"way"`             // what to do instead
	Newer   string `json:"newer,omitempty"` // code of the traveler to take instead
	Ask     string `json:"ask,omitempty"`   // kind of event that asks the office to end it; empty where that helps nothing
}

// Halt says why no bend may be made from a traveler, whichever it is; nil when
// work may go on. The gravest cause is told.
func (s Standing) Halt() *Halt {
	switch {
	case s.Voided:
		h := &Halt{Cause: IsVoid, Heading: "Stop. This traveler is void.", Words: given("Nothing may be made from it.", s.Reason),
			Way: "Ask the office for the right one.", Newer: s.SupersededBy}
		if h.Newer != "" {
			h.Way = "Take the newer one."
		}
		return h
	case s.replaced():
		return &Halt{Cause: IsReplaced, Heading: "Stop. This traveler has been replaced.", Words: "A newer one holds.",
			Way: "Take the newer one before going on. What was bent already can still be saved here.", Newer: s.SupersededBy}
	case s.Closed:
		return &Halt{Cause: IsClosed, Heading: "This traveler is closed.", Words: given("All that was to be made has been made.", s.Reason),
			Way: "If a piece is missing, ask the office to open it again."}
	case s.Hold != Hold{}:
		return s.Hold.halt()
	case s.NewRevision != "":
		return &Halt{Cause: IsOutdated, Heading: "A newer revision exists: ask.",
			Words: "Revision " + s.NewRevision + " of the part is ready. This traveler is for an older one.",
			Way:   "Ask the office whether this one may still be made.", Ask: Held}
	}
	return nil
}

// Over reports whether nothing more is made from a traveler: it is void, replaced
// or closed.
func (s Standing) Over() bool { return s.Voided || s.Closed || s.replaced() }

// Word says in a word or two how a traveler stands that is not simply being made;
// nothing for one that is.
func (s Standing) Word() string {
	switch {
	case s.Voided:
		return "void"
	case s.replaced():
		return "replaced"
	case s.Closed:
		return "closed"
	case s.Hold != Hold{}:
		return "on hold: " + s.Hold.Why
	case s.NewRevision != "":
		return "newer revision " + s.NewRevision + ": decide"
	case s.ReleaseAsked:
		return "release asked for"
	case s.SupersededBy != "":
		return "replaced, may be finished"
	}
	return ""
}

func (h Hold) halt() *Halt {
	halt := &Halt{Cause: IsHeld, Heading: "Stop. The run is stopped.", Words: given("", h.Why), Way: "Go on once it is put right."}
	if h.By != "" {
		halt.Words = strings.TrimSpace("Stopped by " + h.By + ". " + halt.Words)
	}
	if h.Office {
		halt.Way = "Wait for the office to resume the run."
	}
	return halt
}

// given adds the reason that was given to words.
func given(words, reason string) string {
	if reason == "" {
		return words
	}
	return strings.TrimSpace(words + " Reason given: " + strings.TrimSuffix(reason, ".") + ".")
}
