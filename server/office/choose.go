package office

import (
	"net/http"
	"strconv"
	"strings"

	"brakeside/calc/fault"
	"brakeside/calc/part"
	"brakeside/server/say"
	"brakeside/server/shelf"
	"brakeside/server/store"
	"brakeside/server/web"
)

// nameOf is what a part that is ready is called in a form.
func nameOf(v store.Revision) string { return v.Name + " rev " + v.Revision }

// readyParts lists the parts that sheets are issued from, as kept when they became
// ready.
func (s *Section) readyParts(r *http.Request) ([]store.Revision, error) {
	kept, err := s.Store.Newest(r.Context(), store.Parts)
	if err != nil {
		return nil, err
	}
	st, err := s.Standings(r.Context())
	if err != nil {
		return nil, err
	}
	var out []store.Revision
	for _, p := range kept {
		ready := st.Ready[p.Name]
		if len(ready) == 0 || st.Archived[p.Name] {
			continue
		}
		if p.Revision != ready[len(ready)-1] {
			if p, err = s.Store.PartRevision(r.Context(), p.Name, ready[len(ready)-1]); err != nil {
				return nil, err
			}
		}
		out = append(out, p)
	}
	return out, nil
}

// knownParts are the parts that are ready, to be offered while one is typed.
func (s *Section) knownParts(r *http.Request) ([]web.Option, error) {
	ready, err := s.readyParts(r)
	var out []web.Option
	for _, v := range ready {
		out = append(out, web.Option{Value: nameOf(v), Words: strings.TrimSpace(say.Typed(v.Title) + " " + sheetOf(v))})
	}
	return out, err
}

// sheetOf says what a part is made of, as its file does.
func sheetOf(v store.Revision) string {
	p, err := part.Read(v.JSON)
	if err != nil {
		return ""
	}
	if p.Gauge != "" {
		return p.Material + ", gauge " + p.Gauge
	}
	return p.Material + ", " + p.Thickness.Text(2)
}

// wordsOfPart is what a version of a part is called in a form, by its number; empty
// where that is none.
func (s *Section) wordsOfPart(r *http.Request, number string) string {
	seq, err := strconv.ParseInt(number, 10, 64)
	if err != nil {
		return number
	}
	v, err := s.Store.Version(r.Context(), store.Parts, seq)
	if err != nil {
		return ""
	}
	return nameOf(v)
}

// mostOffered is how many parts a refusal names.
const mostOffered = 5

// readyTyped finds the part that was typed: by its name as it is offered, by its number
// alone, or by the number of a version. Words that are like it are refused with the
// parts that have them: nothing is issued for a part that may not be meant.
func (s *Section) readyTyped(r *http.Request, typed string) (store.Revision, error) {
	ready, err := s.readyParts(r)
	if err != nil {
		return store.Revision{}, err
	}
	var found []store.Revision
	for _, v := range ready {
		if strings.EqualFold(nameOf(v), typed) || strings.EqualFold(v.Name, typed) {
			return v, nil
		}
		if typed != "" && shelf.Found(typed, nameOf(v), v.Title, sheetOf(v)) {
			found = append(found, v)
		}
	}
	if seq, err := strconv.ParseInt(typed, 10, 64); err == nil {
		if v, err := s.Store.Version(r.Context(), store.Parts, seq); err == nil {
			return v, s.mustBeReady(r, v)
		}
	}
	if len(found) == 0 {
		return store.Revision{}, fault.New(fault.Invalid, "part", "Choose a part that is ready.")
	}
	var names []string
	for _, v := range found[:min(len(found), mostOffered)] {
		names = append(names, say.Typed(nameOf(v)))
	}
	return store.Revision{}, fault.New(fault.Invalid, "part", "Like that is %s. Choose the part that is meant.", strings.Join(names, ", "))
}

// mustBeReady refuses a version that sheets are not issued from.
func (s *Section) mustBeReady(r *http.Request, v store.Revision) error {
	st, err := s.Standings(r.Context())
	if err != nil {
		return err
	}
	if state := st.Of(v.Name, v.Revision); state != shelf.ReadyPart {
		return fault.New(fault.Conflict, "part", "Revision %s of %s is %s; sheets are issued from the ready one.",
			say.Typed(v.Revision), say.Typed(v.Name), state)
	}
	return nil
}
