// Package fault says what kind of refusal an error is, in words a page or a
// terminal can show.
//
// Three roads are never mixed: a job that cannot be done as asked is a Refusal;
// a job that can be done but carries a risk is a caution inside the plan; a
// mistake of the program is a plain error, shown to nobody but the log.
package fault

import (
	"errors"
	"fmt"
)

// Kind is the sort of a refusal. The zero Kind is Internal, so that a
// forgotten kind is treated as a mistake of the program and not shown.
type Kind int

// The kinds of refusal.
const (
	Internal   Kind = iota // a mistake of the program
	Invalid                // what was given is not readable or makes no sense
	Missing                // what was asked for does not exist
	Conflict               // it contradicts what is already recorded
	Unbendable             // no way to make it on this brake
	Unsure                 // improbable: asks the person to confirm
	Denied                 // the person may not do this
	TooLarge               // more than is accepted at once
	Busy                   // cannot be answered now, try again
)

// Kinds lists every kind, for tables that must cover them all.
var Kinds = []Kind{Internal, Invalid, Missing, Conflict, Unbendable, Unsure, Denied, TooLarge, Busy}

// Refusal is a job that cannot be done as asked.
type Refusal struct {
	Kind    Kind
	Field   string // form field or path in the file; empty when none applies
	Message string // one plain sentence: what is wrong and what would be right
	Line    int    // place in the file, counted from 1; 0 when unknown
	Column  int
}

// Error gives the sentence, led by the place and the field where known.
func (r *Refusal) Error() string {
	text := r.Message
	if r.Field != "" {
		text = r.Field + ": " + text
	}
	if r.Line > 0 {
		text = fmt.Sprintf("%d:%d: %s", r.Line, r.Column, text)
	}
	return text
}

// New makes a refusal whose message is built as by fmt.Sprintf.
func New(kind Kind, field, format string, values ...any) *Refusal {
	return &Refusal{Kind: kind, Field: field, Message: fmt.Sprintf(format, values...)}
}

// KindOf reports the kind of err, looking through wrapping; Internal if there
// is no refusal in it.
func KindOf(err error) Kind {
	var r *Refusal
	if errors.As(err, &r) {
		return r.Kind
	}
	return Internal
}

// Together makes several refusals one error: nil for none, the refusal itself for one.
func Together(refusals []error) error {
	if len(refusals) == 1 {
		return refusals[0]
	}
	return errors.Join(refusals...)
}

// Each lists the refusals that an error is made of, in their order; none where there is
// none in it.
func Each(err error) []*Refusal {
	if several, is := err.(interface{ Unwrap() []error }); is {
		var all []*Refusal
		for _, one := range several.Unwrap() {
			all = append(all, Each(one)...)
		}
		return all
	}
	var r *Refusal
	if errors.As(err, &r) {
		return []*Refusal{r}
	}
	return nil
}
