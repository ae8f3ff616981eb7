package progress

import (
	"slices"

	"brakeside/calc/unit"
)

func within(e, tolerance unit.CentiDeg) bool { return abs(e) <= tolerance }

func abs(a unit.CentiDeg) unit.CentiDeg {
	if a < 0 {
		return -a
	}
	return a
}

// The words a reading may use.
const (
	GivenBend    = "bend"    // measured is what the metal was turned through
	GivenOpening = "opening" // measured is the angle between the flanges

	PlaceLeft   = "left" // where along the bend it was measured; empty if not said
	PlaceMiddle = "middle"
	PlaceRight  = "right"

	StateAsBent   = "as-bent"  // before anything was done to the bend by hand
	StateReworked = "reworked" // after bending again or opening by hand
	StateScrapped = "scrapped" // the piece is lost

	FlagBarLifted     = "bar-lifted"
	FlagSetbackOpened = "setback-opened" // the nose setback was made larger to get it to bend
	FlagCornerTorn    = "corner-torn"
	FlagWithdrawn     = "withdrawn" // takes back the reading it corrects; it measures nothing itself
)

// The flags that Judge sets: what was out of turn when the reading came in.
const (
	FlagBeforeFirstPiece = "before-first-piece" // of another piece, the first one not being accepted
	FlagSheetReplaced    = "sheet-replaced"     // the traveler had been replaced
	FlagSheetClosed      = "sheet-closed"       // it was closed, or void
	FlagRunHeld          = "run-held"           // the run was stopped
	FlagOutOfOrder       = "out-of-order"       // another bend was next, or the piece is not wanted
	FlagTwice            = "twice"              // the same bend was logged as bent before
)

// teachesAllTheSame are the flags that say nothing against what a reading tells
// of the metal: it was bent at a known stop and measured before rework, whichever
// paper lay beside it and whosever turn it was. Those that are not here keep a
// reading from teaching: what the operator ticked (another bar height, another
// nose setback, torn metal), a run that was stopped because something was wrong,
// and a bend that is logged a second time, for the first reading of it has taught
// already and the same metal must not count double; who means the second in place
// of the first sends it as a correction.
var teachesAllTheSame = map[string]bool{FlagBeforeFirstPiece: true, FlagSheetReplaced: true, FlagSheetClosed: true, FlagOutOfOrder: true}

// judged are the flags that only Judge sets.
var judged = []string{FlagBeforeFirstPiece, FlagSheetReplaced, FlagSheetClosed, FlagRunHeld, FlagOutOfOrder, FlagTwice}

// FarOff is the error from which on a reading is doubted: the person is asked,
// and it is left out of every mean. Common practice, no source.
const FarOff unit.CentiDeg = 800

// Reading is one measured angle as the operator logged it. Pointers are nil
// where nothing was said.
type Reading struct {
	ID          string // made on the phone, unique
	Piece       int    // counted from 1
	Step        int    // the number of the traveler's step
	Measured    unit.CentiDeg
	GivenAs     string         // GivenBend or GivenOpening
	Stop        *unit.CentiDeg // in the brake's own scale; nil means the one that was told
	Place       string
	By          string
	State       string
	Note        string
	Flags       []string
	Leg         *unit.Micron // the leg measured on
	Pack        string       // of the sheet
	Thickness   *unit.Micron // measured
	NoseSetback [2]*unit.Micron
	Tool        string
	Confirmed   bool
	At          string // when it was measured, RFC 3339 in UTC; empty if not said
	Corrects    string // the id of the reading this one replaces

	Error    unit.CentiDeg // measured minus target as bend angles; set by Judge
	StopBend unit.CentiDeg // the bend angle it was bent at: from Stop, else as told at that moment; set by Judge, 0 until then
	Seq      int64         // the server's order; 0 until stored
	Received string        // the server's time, RFC 3339 in UTC; empty until stored
}

// Bend gives what was measured as a bend angle.
func (r Reading) Bend() unit.CentiDeg {
	if r.GivenAs == GivenOpening {
		return unit.Deg(180).CentiDeg() - r.Measured
	}
	return r.Measured
}

// Withdrawn reports whether the reading only takes another one back. Neither of
// the two counts.
func (r Reading) Withdrawn() bool { return slices.Contains(r.Flags, FlagWithdrawn) }

// Teaches reports whether the reading says how far the metal springs back: it
// was taken as bent, at a known stop, nothing is flagged that speaks against it,
// and it is not so far off that another angle was probably read. Error must be
// set.
func (r Reading) Teaches() bool {
	return r.State == StateAsBent && abs(r.Error) < FarOff && len(r.Against()) == 0
}

// Against lists the flags that keep a reading from teaching, see
// teachesAllTheSame.
func (r Reading) Against() []string {
	var against []string
	for _, flag := range r.Flags {
		if !teachesAllTheSame[flag] {
			against = append(against, flag)
		}
	}
	return against
}

// MarshalJSON writes the reading with angles in degrees and lengths in
// millimetres, under the names of the contract and in its order. Seq and
// Received are left out while they are not set.
func (r Reading) MarshalJSON() ([]byte, error) { return r.appendJSON(nil), nil }

func (r *Reading) appendJSON(to []byte) []byte {
	o := object{text: to}
	o.words("id", r.ID)
	o.count("piece", int64(r.Piece))
	o.count("step", int64(r.Step))
	decimal(&o, "measured", &r.Measured, 2)
	o.words("given_as", r.GivenAs)
	decimal(&o, "stop", r.Stop, 2)
	o.words("place", r.Place)
	o.words("by", r.By)
	o.words("state", r.State)
	o.words("note", r.Note)
	o.list("flags", r.Flags)
	decimal(&o, "leg", r.Leg, 3)
	o.words("pack", r.Pack)
	decimal(&o, "thickness", r.Thickness, 3)
	o.field("nose_setback")
	o.text = appendDecimal(append(o.text, '['), r.NoseSetback[0], 3)
	o.text = append(appendDecimal(append(o.text, ','), r.NoseSetback[1], 3), ']')
	o.words("tool", r.Tool)
	o.yes("confirmed", r.Confirmed)
	o.words("at", r.At)
	if r.Corrects != "" {
		o.words("corrects", r.Corrects)
	}
	decimal(&o, "error", &r.Error, 2)
	if r.Seq != 0 {
		o.count("seq", r.Seq)
	}
	if r.Received != "" {
		o.words("received", r.Received)
	}
	return o.end()
}
