package web

import (
	"cmp"
	"errors"
	"mime"
	"net/http"
	"net/url"
	"strings"

	"brakeside/calc/fault"
	"brakeside/calc/plain"
)

// Option is one entry of a list to choose from.
type Option struct {
	Value, Words string
	Chosen       bool
}

// What a form may hold.
const (
	mostForm    = 1 << 20  // bytes of any form of the owner
	MostDrawing = 6 << 20  // bytes of one that carries a drawing
	MostReading = 64 << 10 // bytes of a posted reading; progress reads less
)

// Field is one field of a form of the office, with what is in it and what
// is wrong with it.
type Field struct {
	Name, Label, Value, Hint, Unit, Fault string
	Choices                               []Option // a list to choose from instead of a box
	Known                                 []Option // what may be typed into the box, offered while it is
	Lines                                 int      // a box of so many lines
	Figure                                bool     // takes a number: phones show digits
	Date                                  bool
	Secret                                bool
	Needed                                bool
}

// ID is the name of the field as an HTML id.
func (f Field) ID() string {
	return "f-" + strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' {
			return r
		}
		return '-'
	}, f.Name)
}

// Group is some fields that belong together.
type Group struct {
	Heading string
	Fields  []Field
	More    bool // seldom needed: shown folded
}

// Choices marks one of some choices, given as value and words in turn.
func Choices(value string, choices ...string) []Option {
	var out []Option
	for i := 0; i+1 < len(choices); i += 2 {
		out = append(out, Option{choices[i], choices[i+1], choices[i] == value})
	}
	return out
}

// FillIn puts values into fields, and each fault beside the field it is about. It
// gives what is wrong where no field of that name is shown.
func FillIn(groups []Group, form url.Values, fail error) (elsewhere string) {
	faults, order := faultsOf(fail)
	for g := range groups {
		for i := range groups[g].Fields {
			f := &groups[g].Fields[i]
			if form.Has(f.Name) && !f.Secret {
				f.Value = form.Get(f.Name)
			}
			for k := range f.Choices {
				f.Choices[k].Chosen = f.Choices[k].Value == f.Value
			}
			if message := faults[f.Name]; message != "" {
				f.Fault, groups[g].More = message, false
				delete(faults, f.Name)
			}
		}
	}
	var left []string
	for _, field := range order {
		if message, not := faults[field]; not {
			left = append(left, message)
		}
	}
	return strings.Join(left, " ")
}

// faultsOf tells what is wrong by field, the first of each, and the fields in their
// order.
func faultsOf(fail error) (byField map[string]string, order []string) {
	byField = make(map[string]string)
	if fail == nil {
		return byField, nil
	}
	add := func(err error) {
		field, message := MessageOf(err)
		if _, known := byField[field]; !known {
			byField[field], order = message, append(order, field)
		}
	}
	refusals := fault.Each(fail)
	for _, r := range refusals {
		add(r)
	}
	if len(refusals) == 0 {
		add(fail)
	}
	return byField, order
}

// Mark says beside each field what it showed before, where that was something else.
func Mark(groups []Group, before url.Values) {
	for g := range groups {
		for i := range groups[g].Fields {
			f := &groups[g].Fields[i]
			if was := before.Get(f.Name); before != nil && was != f.Value && !f.Secret {
				f.Hint, groups[g].More = "changed; it was "+cmp.Or(was, "empty"), false
			}
		}
	}
}

// IsRefusal reports whether an error is for the person who filled the form in.
func IsRefusal(err error) bool {
	var refusal *fault.Refusal
	return errors.As(err, &refusal) && refusal.Kind != fault.Internal
}

// PostedWithin reads a form without files that may be so many bytes long.
func PostedWithin(w http.ResponseWriter, r *http.Request, most int64) error {
	r.Body = http.MaxBytesReader(w, r.Body, most)
	if err := r.ParseForm(); err != nil {
		return FormFault(err)
	}
	return nil
}

// ReadOffice reads a form of the office.
func (s *Site) ReadOffice(w http.ResponseWriter, r *http.Request) (url.Values, error) {
	return s.ReadUpTo(w, r, mostForm)
}

// ReadUpTo reads a form of the office that may be so many bytes long.
func (s *Site) ReadUpTo(w http.ResponseWriter, r *http.Request, most int64) (url.Values, error) {
	r.Body = http.MaxBytesReader(w, r.Body, most)
	if err := ReadForm(r); err != nil {
		return nil, FormFault(err)
	}
	for name, values := range r.PostForm {
		for i, v := range values {
			v = strings.TrimPrefix(v, "\ufeff") // by which files say that they are UTF-8
			if bad, found := plain.InText(v); found {
				return nil, fault.New(fault.Invalid, name, "This has the character %U, which cannot be seen. Take it out.", bad)
			}
			r.PostForm[name][i] = strings.TrimSpace(strings.ReplaceAll(v, "\r\n", "\n"))
		}
	}
	return r.PostForm, nil
}

// FormStatus is the status of a page with a form: what was refused is told.
func FormStatus(err error) int {
	if err != nil {
		return StatusOf(err)
	}
	return http.StatusOK
}

// FormFault turns the failure to read a form into a refusal.
func FormFault(err error) error {
	if StatusOf(err) == http.StatusRequestEntityTooLarge {
		return err
	}
	return Unreadable("The form could not be read. Open the page again and send it once more.")
}

// ReadForm reads a form in either of the two ways a page can send it.
func ReadForm(r *http.Request) error {
	kind, _, err := mime.ParseMediaType(r.Header.Get("Content-Type"))
	if err == nil && kind == "multipart/form-data" {
		return r.ParseMultipartForm(mostForm)
	}
	return r.ParseForm()
}

// Pair is a name with its value: a fact on a page, or a field of a form.
type Pair struct{ Name, Value string }

// Pairs makes pairs of names and values, given in turn.
func Pairs(texts ...string) []Pair {
	var out []Pair
	for i := 0; i+1 < len(texts); i += 2 {
		out = append(out, Pair{texts[i], texts[i+1]})
	}
	return out
}

// Filled is a form as it was filled in, and what was wrong with it.
type Filled struct {
	Values url.Values
	Fail   error
	Before url.Values // what the fields showed before a change that is looked at
}
