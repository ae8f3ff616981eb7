package review

import (
	"net/http"

	"brakeside/calc/fault"
	"brakeside/server/store"
)

// AnswerScale takes what was done about a scale that has moved. When it was set
// again by hand, what was accepted since it moved is taken back: it was drawn from
// bends that came out at another zero.
func (s *Section) AnswerScale(w http.ResponseWriter, r *http.Request) error {
	form, err := s.ReadOffice(w, r)
	if err == nil {
		err = s.sayScale(r, form.Get("brake"), form.Get("kind"))
	}
	return s.backToStops(w, r, err)
}

func (s *Section) sayScale(r *http.Request, brake, kind string) error {
	all, err := s.book.Moved(r.Context())
	if err != nil {
		return err
	}
	for _, m := range all {
		if m.First.Brake != brake {
			continue
		}
		said := store.Statement{Kind: kind, Brake: brake, By: s.ownerName(r)}
		switch kind {
		case store.ScaleStays:
			return s.Store.Say(r.Context(), said)
		case store.ScaleSet:
			back, err := s.book.TakenBack(r.Context(), m.First, said.By)
			if err != nil {
				return err
			}
			return s.Store.Say(r.Context(), said, back...)
		}
		return fault.New(fault.Invalid, "kind", "Say whether the zero was set again or the scale stays as it is.")
	}
	return fault.New(fault.Missing, "", "The scale of this brake is not said to have moved any more.")
}
