package progress

import (
	"encoding/json"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"brakeside/calc/fault"
	"brakeside/calc/notation"
	"brakeside/calc/unit"
	"brakeside/traveler/standing"
)

// What a reading may contain at most.
const (
	MaxBody  = 16 << 10 // bytes of JSON
	maxNote  = 500      // characters
	maxText  = 60       // characters of the short texts
	maxFlags = 16
	maxPiece = standing.MostPieces
	maxStep  = 10_000
	// A phone whose battery was flat may say 1970: its clock decides nothing, and
	// is no reason to lose a reading.
	leastYear = 1970
	mostYear  = 9999
)

// span is what an angle may be, both ends included.
type span struct{ least, most unit.CentiDeg }

var (
	anyAngle = span{-1000, 20000}  // a flat sheet may read a little negative
	anyStop  = span{-36000, 36000} // in the brake's own scale, which may start anywhere
)

// IsID reports whether a text may be an id: 1 to 64 letters, digits or . _ : -
// signs.
func IsID(text string) bool {
	const signs = "._:-0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz"
	return len(text) >= 1 && len(text) <= 64 && strings.Trim(text, signs) == ""
}

// member is one field of the body.
type member notation.Member

// fields reads each field of a body into the reading. The names are exact: a
// name in other letters, or twice, is refused as an unknown one is.
var fields = map[string]func(*Reading, member) error{
	"id":       func(r *Reading, m member) error { return readID(m, &r.ID) },
	"piece":    func(r *Reading, m member) error { return readCount(m, maxPiece, &r.Piece) },
	"step":     func(r *Reading, m member) error { return readCount(m, maxStep, &r.Step) },
	"measured": func(r *Reading, m member) error { return readAngle(m, anyAngle, &r.Measured) },
	"given_as": func(r *Reading, m member) error { return readWord(m, &r.GivenAs, GivenBend, GivenOpening) },
	"stop":     func(r *Reading, m member) error { return readStop(m, &r.Stop) },
	"place":    func(r *Reading, m member) error { return readWord(m, &r.Place, "", PlaceLeft, PlaceMiddle, PlaceRight) },
	"by":       func(r *Reading, m member) error { return readText(m, maxText, &r.By) },
	"state": func(r *Reading, m member) error {
		return readWord(m, &r.State, StateAsBent, StateReworked, StateScrapped)
	},
	"note":         func(r *Reading, m member) error { return readText(m, maxNote, &r.Note) },
	"flags":        func(r *Reading, m member) error { return readFlags(m, &r.Flags) },
	"leg":          func(r *Reading, m member) error { return readLength(m, 10_000, &r.Leg) },
	"pack":         func(r *Reading, m member) error { return readText(m, maxText, &r.Pack) },
	"thickness":    func(r *Reading, m member) error { return readLength(m, 50, &r.Thickness) },
	"nose_setback": func(r *Reading, m member) error { return readEnds(m, &r.NoseSetback) },
	"tool":         func(r *Reading, m member) error { return readText(m, maxText, &r.Tool) },
	"confirmed":    func(r *Reading, m member) error { return readYes(m, &r.Confirmed) },
	"at":           func(r *Reading, m member) error { return readTime(m, &r.At) },
	"corrects":     func(r *Reading, m member) error { return readCorrects(m, &r.Corrects) },
}

// ReadReading reads the JSON body of one reading, strictly. A field that is
// null counts as not given; given_as is a bend and state is as-bent unless said
// otherwise.
//
// It refuses with fault.TooLarge a body of more than MaxBody bytes, and with
// fault.Invalid all else: Field names what is wrong, and is empty when the body
// is not a readable JSON object at all.
func ReadReading(body []byte) (Reading, error) {
	if len(body) > MaxBody {
		return Reading{}, fault.New(fault.TooLarge, "", "A reading has at most %d bytes; this one has %d.", MaxBody, len(body))
	}
	members, readable := notation.Split(body)
	if !readable {
		return Reading{}, fault.New(fault.Invalid, "", "The body is not a readable JSON object.")
	}
	r := Reading{GivenAs: GivenBend, State: StateAsBent}
	given := make(map[string]bool)
	for _, one := range members {
		m := member(one)
		read, known := fields[m.Name]
		if !known {
			return Reading{}, fault.New(fault.Invalid, brief(m.Name), "A reading has no such field.")
		}
		if given[m.Name] {
			return Reading{}, fault.New(fault.Invalid, m.Name, "This field is given twice.")
		}
		if string(m.Value) == "null" {
			continue
		}
		given[m.Name] = true
		if err := read(&r, m); err != nil {
			return Reading{}, err
		}
	}
	for _, name := range []string{"id", "piece", "step", "measured"} {
		if !given[name] {
			return Reading{}, fault.New(fault.Invalid, name, "This field is required.")
		}
	}
	return r, nil
}

func (m member) refuse(format string, values ...any) error {
	return fault.New(fault.Invalid, m.Name, format, values...)
}

// text reads a JSON text.
func (m member) text() (string, error) {
	s, ok := notation.Text(m.Value)
	if !ok {
		return "", m.refuse("This must be a text.")
	}
	return s, nil
}

// number reads a JSON number that lies within the two limits.
func (m member) number(least, most float64) (float64, error) {
	v, err := strconv.ParseFloat(string(m.Value), 64)
	if c := m.Value[0]; err != nil || (c != '-' && (c < '0' || c > '9')) {
		return 0, m.refuse("This must be a number.")
	}
	if v < least || v > most {
		return 0, m.refuse("This must be from %s to %s.", plainNumber(least), plainNumber(most))
	}
	return v, nil
}

func plainNumber(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// brief keeps an unknown name short and printable, for it is shown again.
func brief(name string) string {
	name = strings.Map(func(c rune) rune {
		if unicode.IsPrint(c) {
			return c
		}
		return '?'
	}, name)
	if runes := []rune(name); len(runes) > maxText {
		name = string(runes[:maxText])
	}
	if name == "" {
		return "(no name)"
	}
	return name
}

func readID(m member, to *string) error {
	s, err := m.text()
	if err != nil {
		return err
	}
	if !IsID(s) {
		return m.refuse("An id has 1 to 64 letters, digits or . _ : - signs.")
	}
	*to = s
	return nil
}

func readCorrects(m member, to *string) error {
	if string(m.Value) == `""` {
		return nil
	}
	return readID(m, to)
}

func readCount(m member, most float64, to *int) error {
	v, err := m.number(1, most)
	if err != nil {
		return err
	}
	if v != math.Trunc(v) {
		return m.refuse("This must be a whole number.")
	}
	*to = int(v)
	return nil
}

func readAngle(m member, within span, to *unit.CentiDeg) error {
	v, err := m.number(float64(within.least.Deg()), float64(within.most.Deg()))
	if err != nil {
		return err
	}
	*to = unit.Deg(v).CentiDeg()
	return nil
}

func readStop(m member, to **unit.CentiDeg) error {
	var stop unit.CentiDeg
	if err := readAngle(m, anyStop, &stop); err != nil {
		return err
	}
	*to = &stop
	return nil
}

// readLength reads a length in millimetres that is more than nothing.
func readLength(m member, most float64, to **unit.Micron) error {
	v, err := m.number(0.001, most)
	if err != nil {
		return err
	}
	length := unit.MM(v).Micron()
	*to = &length
	return nil
}

// readEnds reads the nose setback at the left and the right end. It may be
// nothing: the nose then stands over the hinge line.
func readEnds(m member, to *[2]*unit.Micron) error {
	var ends []json.RawMessage
	if json.Unmarshal(m.Value, &ends) != nil || len(ends) != 2 {
		return m.refuse("This must be a list of two: the left and the right end, in mm or null.")
	}
	for i, end := range ends {
		if string(end) == "null" {
			continue
		}
		v, err := member{m.Name, end}.number(0, 100)
		if err != nil {
			return err
		}
		length := unit.MM(v).Micron()
		to[i] = &length
	}
	return nil
}

func readWord(m member, to *string, words ...string) error {
	s, err := m.text()
	if err != nil {
		return err
	}
	if !slices.Contains(words, s) {
		known := slices.DeleteFunc(slices.Clone(words), func(w string) bool { return w == "" })
		return m.refuse("This must be one of: %s.", strings.Join(known, ", "))
	}
	*to = s
	return nil
}

func readText(m member, most int, to *string) error {
	s, err := m.text()
	if err != nil {
		return err
	}
	if utf8.RuneCountInString(s) > most {
		return m.refuse("This text has more than %d characters.", most)
	}
	if strings.ContainsFunc(s, forbidden) {
		return m.refuse("This text contains control characters.")
	}
	*to = s
	return nil
}

// forbidden finds the control characters that no text needs: a zero byte ends
// a text early in other programs, an escape can rewrite a terminal.
func forbidden(c rune) bool { return unicode.IsControl(c) && !strings.ContainsRune("\n\r\t", c) }

// readFlags reads what was ticked at the brake. The flags that Judge sets may be
// among them, as in a reading that was read back from the service: they are left
// out, for they are set anew.
func readFlags(m member, to *[]string) error {
	var list []json.RawMessage
	if json.Unmarshal(m.Value, &list) != nil {
		return m.refuse("This must be a list.")
	}
	if len(list) > maxFlags {
		return m.refuse("There are at most %d flags.", maxFlags)
	}
	for _, value := range list {
		var flag string
		words := append([]string{FlagBarLifted, FlagSetbackOpened, FlagCornerTorn, FlagWithdrawn}, judged...)
		if err := readWord(member{m.Name, value}, &flag, words...); err != nil {
			return err
		}
		if !slices.Contains(*to, flag) && !slices.Contains(judged, flag) {
			*to = append(*to, flag)
		}
	}
	return nil
}

func readYes(m member, to *bool) error {
	if json.Unmarshal(m.Value, to) != nil {
		return m.refuse("This must be true or false.")
	}
	return nil
}

func readTime(m member, to *string) error {
	s, err := m.text()
	if err != nil || s == "" {
		return err
	}
	at, err := time.Parse(time.RFC3339, s)
	at = at.UTC()
	if err != nil || at.Year() < leastYear || at.Year() > mostYear {
		return m.refuse("This must be a time as in 2026-05-04T09:30:00Z.")
	}
	*to = at.Format(time.RFC3339)
	return nil
}
