package progress

import (
	"bytes"
	"encoding/json"
	"slices"
	"strconv"

	"brakeside/calc/unit"
)

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
	Stop        *unit.CentiDeg // in the brake's own scale; nil means the printed one
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
// was taken as bent, nothing was flagged, and it is not so far off that another
// angle was probably read. Error must be set.
func (r Reading) Teaches() bool {
	return r.State == StateAsBent && len(r.Flags) == 0 && abs(r.Error) < FarOff
}

// written is the JSON form of a stored reading: contract names in fixed order.
type written struct {
	ID          string          `json:"id"`
	Piece       int             `json:"piece"`
	Step        int             `json:"step"`
	Measured    json.Number     `json:"measured"`
	GivenAs     string          `json:"given_as"`
	Stop        *json.Number    `json:"stop"`
	Place       string          `json:"place"`
	By          string          `json:"by"`
	State       string          `json:"state"`
	Note        string          `json:"note"`
	Flags       []string        `json:"flags"`
	Leg         *json.Number    `json:"leg"`
	Pack        string          `json:"pack"`
	Thickness   *json.Number    `json:"thickness"`
	NoseSetback [2]*json.Number `json:"nose_setback"`
	Tool        string          `json:"tool"`
	Confirmed   bool            `json:"confirmed"`
	At          string          `json:"at"`
	Corrects    string          `json:"corrects,omitempty"`
	Error       json.Number     `json:"error"`
	Seq         int64           `json:"seq,omitempty"`
	Received    string          `json:"received,omitempty"`
}

// MarshalJSON writes the reading with angles in degrees and lengths in
// millimetres. Seq and Received are left out while they are not set.
func (r Reading) MarshalJSON() ([]byte, error) { return compact(r.written()) }

func (r Reading) written() written {
	flags := r.Flags
	if flags == nil {
		flags = []string{}
	}
	return written{
		ID: r.ID, Piece: r.Piece, Step: r.Step,
		Measured: decimal(int64(r.Measured), 2), GivenAs: r.GivenAs, Stop: orNull(r.Stop, 2),
		Place: r.Place, By: r.By, State: r.State, Note: r.Note, Flags: flags,
		Leg: orNull(r.Leg, 3), Pack: r.Pack, Thickness: orNull(r.Thickness, 3),
		NoseSetback: [2]*json.Number{orNull(r.NoseSetback[0], 3), orNull(r.NoseSetback[1], 3)},
		Tool:        r.Tool, Confirmed: r.Confirmed, At: r.At, Corrects: r.Corrects,
		Error: decimal(int64(r.Error), 2), Seq: r.Seq, Received: r.Received,
	}
}

// compact encodes without the HTML escapes: pages escape for themselves, and a
// note should come back as it was typed.
func compact(v any) ([]byte, error) {
	var out bytes.Buffer
	enc := json.NewEncoder(&out)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(v); err != nil {
		return nil, err
	}
	return bytes.TrimRight(out.Bytes(), "\n"), nil
}

// decimal writes a whole number of 1/10^places exactly, without trailing
// zeros, so that equal values are equal bytes.
func decimal(v int64, places int) json.Number {
	sign := ""
	if v < 0 {
		sign, v = "-", -v
	}
	digits := strconv.FormatInt(v, 10)
	for len(digits) <= places {
		digits = "0" + digits
	}
	whole, part := digits[:len(digits)-places], digits[len(digits)-places:]
	for part != "" && part[len(part)-1] == '0' {
		part = part[:len(part)-1]
	}
	if part != "" {
		whole += "." + part
	}
	return json.Number(sign + whole)
}

func orNull[T ~int64](v *T, places int) *json.Number {
	if v == nil {
		return nil
	}
	n := decimal(int64(*v), places)
	return &n
}
