package server

import (
	"errors"
	"net/http"
	"net/url"
	"strings"

	"brakeside/calc/fault"
)

// What a form may hold.
const (
	mostForm    = 1 << 20  // bytes of any form of the owner
	mostDrawing = 6 << 20  // bytes of one that carries a drawing
	mostReading = 64 << 10 // bytes of a posted reading; progress reads less
)

// formField is one field of a form of the office, with what is in it and what
// is wrong with it.
type formField struct {
	Name, Label, Value, Hint, Unit, Fault string
	Choices                               []optionView // a list to choose from instead of a box
	Lines                                 int          // a box of so many lines
	Figure                                bool         // takes a number: phones show digits
	Secret                                bool
	Needed                                bool
}

// ID is the name of the field as an HTML id.
func (f formField) ID() string {
	return "f-" + strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' {
			return r
		}
		return '-'
	}, f.Name)
}

// formGroup is some fields that belong together.
type formGroup struct {
	Heading string
	Fields  []formField
	More    bool // seldom needed: shown folded
}

// chosen marks one of some choices, given as value and words in turn.
func chosen(value string, choices ...string) []optionView {
	var out []optionView
	for i := 0; i+1 < len(choices); i += 2 {
		out = append(out, optionView{choices[i], choices[i+1], choices[i] == value})
	}
	return out
}

// filledIn puts values into fields, and the fault beside the field it is about.
// It gives what is wrong where no field of that name is shown.
func filledIn(groups []formGroup, form url.Values, fail error) (elsewhere string) {
	field, message := "", ""
	if fail != nil {
		field, message = messageOf(fail)
		elsewhere = message
	}
	for g := range groups {
		for i := range groups[g].Fields {
			f := &groups[g].Fields[i]
			if form.Has(f.Name) && !f.Secret {
				f.Value = form.Get(f.Name)
			}
			for k := range f.Choices {
				f.Choices[k].Chosen = f.Choices[k].Value == f.Value
			}
			if f.Name == field && message != "" {
				f.Fault, elsewhere, groups[g].More = message, "", false
			}
		}
	}
	return elsewhere
}

// isRefusal reports whether an error is for the person who filled the form in.
func isRefusal(err error) bool {
	var refusal *fault.Refusal
	return errors.As(err, &refusal) && refusal.Kind != fault.Internal
}

// postedWithin reads a form without files that may be so many bytes long.
func postedWithin(w http.ResponseWriter, r *http.Request, most int64) error {
	r.Body = http.MaxBytesReader(w, r.Body, most)
	if err := r.ParseForm(); err != nil {
		return formFault(err)
	}
	return nil
}

// readOffice reads a form of the office.
func (s *Server) readOffice(w http.ResponseWriter, r *http.Request) (url.Values, error) {
	return s.readUpTo(w, r, mostForm)
}

// readUpTo reads a form of the office that may be so many bytes long.
func (s *Server) readUpTo(w http.ResponseWriter, r *http.Request, most int64) (url.Values, error) {
	r.Body = http.MaxBytesReader(w, r.Body, most)
	if err := readForm(r); err != nil {
		return nil, formFault(err)
	}
	for name, values := range r.PostForm {
		for i, v := range values {
			r.PostForm[name][i] = strings.TrimSpace(strings.ReplaceAll(v, "\r\n", "\n"))
		}
	}
	return r.PostForm, nil
}

// formStatus is the status of a page with a form: what was refused is told.
func formStatus(err error) int {
	if err != nil {
		return statusOf(err)
	}
	return http.StatusOK
}

// formFault turns the failure to read a form into a refusal.
func formFault(err error) error {
	if statusOf(err) == http.StatusRequestEntityTooLarge {
		return err
	}
	return unreadable("The form could not be read. Open the page again and send it once more.")
}
