package standing

import (
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"brakeside/calc/fault"
)

// mostReason is how long a reason may be, in letters.
const mostReason = 1000

// rule says who may write a kind of event down, with what, and when.
type rule struct {
	kind     string
	by       hand
	reason   bool                  // goes with a reason
	closed   bool                  // also once the traveler is closed
	replaced bool                  // also once it is replaced and the batch may not be finished
	void     bool                  // also once it is void
	refuse   func(Standing) string // why not now, in words; empty if it may
}

// hand is who writes an event.
type hand int

const (
	office  hand = iota
	anyone       // the office, or who holds the traveler
	service      // comes of something else that is done, such as issuing another traveler
)

// rules are all kinds, in the order in which they are offered.
var rules = []rule{
	{kind: Released, reason: true, refuse: func(s Standing) string {
		return when(s.Override, "The run is released already.")
	}},
	{kind: ReleaseAsked, by: anyone, reason: true, refuse: func(s Standing) string {
		return when(s.Override, "The run is released already: go on.")
	}},
	{kind: Resumed, by: anyone, reason: true, refuse: func(s Standing) string {
		return when(s.Hold == Hold{}, "The run is not stopped.")
	}},
	{kind: Held, by: anyone, reason: true},
	{kind: RunOn, reason: true, refuse: func(s Standing) string {
		return when(s.NewRevision == "", "No newer revision waits for a decision.")
	}},
	{kind: Requantified},
	{kind: Resampled},
	{kind: Skipped, by: anyone, reason: true},
	{kind: TakenUp, by: anyone, refuse: func(s Standing) string {
		return when(len(s.Skipped) == 0, "No piece is left out.")
	}},
	{kind: FinishAllowed, reason: true, replaced: true, refuse: func(s Standing) string {
		return when(s.SupersededBy == "", "This traveler has not been replaced.") + when(s.FinishAllowed, "The batch may be finished already.")
	}},
	{kind: Closed, reason: true, replaced: true},
	{kind: Reopened, reason: true, closed: true, replaced: true, void: true, refuse: func(s Standing) string {
		return when(!s.Closed && !s.Voided, "This traveler is neither closed nor void.")
	}},
	{kind: Voided, reason: true, closed: true, replaced: true},
	{kind: Replaced, by: service, closed: true, replaced: true},
	{kind: Remade, by: service},
	{kind: NewRevision, by: service},
}

func when(so bool, words string) string {
	if so {
		return words
	}
	return ""
}

func ruleOf(kind string) (rule, bool) {
	for _, r := range rules {
		if r.kind == kind {
			return r, true
		}
	}
	return rule{}, false
}

// Kinds lists the kinds of event that a person decides upon, in the order in
// which they are offered: those of who holds the traveler, or all of the office.
func Kinds(atBrake bool) []string {
	var kinds []string
	for _, r := range rules {
		if r.by == anyone || r.by == office && !atBrake {
			kinds = append(kinds, r.kind)
		}
	}
	return kinds
}

// Decides refuses with fault.Invalid what is no decision of a person.
func Decides(kind string) error {
	if slices.Contains(Kinds(false), kind) {
		return nil
	}
	return fault.New(fault.Invalid, "kind", "There is no such decision about a traveler: %.40s.", kind)
}

// May reports whether an event of a kind may be written now; nil if it may. What
// may be asked for is also what is offered: pages show the kinds of Kinds for
// which May is nil.
//
// It refuses with fault.Invalid what is no kind of event, with fault.Denied at
// the brake what only the office decides, and with fault.Conflict what does not
// fit the standing. After Voided only Reopened may be written.
func (s Standing) May(kind string, atBrake bool) error {
	r, known := ruleOf(kind)
	switch {
	case !known:
		return fault.New(fault.Invalid, "kind", "There is no such event of a traveler: %.40s.", kind)
	case atBrake && (r.by == office || kind == Resumed && s.Hold.Office):
		return fault.New(fault.Denied, "", "Only the office decides that. Ask there.")
	}
	if why := s.refusal(r); why != "" {
		return fault.New(fault.Conflict, "", "%s", why)
	}
	return nil
}

// refusal says why an event may not be written now; nothing if it may.
func (s Standing) refusal(r rule) string {
	switch {
	case s.Voided && !r.void:
		return "This traveler is void. Open it again first if that was a mistake, or issue a new one."
	case s.Closed && !r.closed:
		return "This traveler is closed. Open it again first, or issue a new one."
	case s.replaced() && !r.replaced:
		return "This traveler has been replaced. Let its batch be finished first, or decide about the newer one."
	case r.refuse != nil:
		return r.refuse(s)
	}
	return ""
}

// Admit reports whether an event may be written as it is; nil if it may. It
// refuses what May refuses; with fault.Invalid a Detail that does not fit the
// kind and a piece that is not to be made; with fault.Conflict a piece that is
// left out already, or is not.
func (s Standing) Admit(e Event) error {
	if err := s.May(e.Kind, e.AtBrake); err != nil {
		return err
	}
	if r, _ := ruleOf(e.Kind); r.reason {
		if err := checkReason(e.Detail); err != nil {
			return err
		}
	}
	switch e.Kind {
	case Requantified:
		return checkCount("quantity", e.Detail, MostPieces, "The quantity is a whole number from 1 to %d, not %.20q.")
	case Resampled:
		return checkCount("sampling", e.Detail, MostEvery,
			"Every how many pieces one is measured is a whole number from 1 to %d (1 is every piece), not %.20q.")
	case Replaced:
		return demand(e.Detail != "" && e.Detail != e.Code, "code", "A traveler is replaced by another one.")
	case NewRevision:
		return demand(e.Detail != "", "revision", "Say which revision is ready.")
	case Remade:
		r, ok := replacementOf(e.Detail)
		return demand(ok && r.For >= 1 && r.Piece > r.For && r.Piece <= MostPieces, "piece",
			"A piece is made again under a later number, at most 99999.")
	case Skipped, TakenUp:
		return s.admitPiece(e)
	}
	return demand(e.Piece == 0, "piece", "This is decided about the whole traveler, not about a piece.")
}

func (s Standing) admitPiece(e Event) error {
	switch out := s.LeftOut(e.Piece); {
	case e.Piece < 1 || e.Piece > s.Quantity:
		return fault.New(fault.Invalid, "piece", "There is no piece %d: %d are to be made.", e.Piece, s.Quantity)
	case e.Kind == Skipped && out:
		return fault.New(fault.Conflict, "piece", "Piece %d is left out already.", e.Piece)
	case e.Kind == TakenUp && !out:
		return fault.New(fault.Conflict, "piece", "Piece %d is not left out.", e.Piece)
	}
	return nil
}

func demand(so bool, field, words string) error {
	if so {
		return nil
	}
	return fault.New(fault.Invalid, field, "%s", words)
}

func checkReason(words string) error {
	switch n := utf8.RuneCountInString(words); {
	case strings.TrimSpace(words) == "":
		return fault.New(fault.Invalid, "detail", "Say why, in a few words.")
	case n > mostReason:
		return fault.New(fault.Invalid, "detail", "Say why in at most %d letters; these are %d.", mostReason, n)
	}
	return nil
}

func checkCount(field, text string, most int, words string) error {
	if n, err := strconv.Atoi(text); err != nil || n < 1 || n > most {
		return fault.New(fault.Invalid, field, words, most, text)
	}
	return nil
}
