package operator

import (
	"net/http"
	"slices"
	"strconv"
	"strings"

	"brakeside/calc/fault"
	"brakeside/calc/unit"
	"brakeside/server/store"
	"brakeside/server/web"
	"brakeside/traveler/progress"
)

// offcutView asks for a bend on an offcut of a new pack.
type offcutView struct {
	Pack, Target, Stop, Bar string
	StopBend                unit.CentiDeg
	AsOpening               bool // the phone's protractor shows the opening
}

// offcutDue gives the offcut that is to be bent before the first piece of a pack
// that is new; nil when none is, or it is in, or a piece of the pack is.
func (s *Section) offcutDue(r *http.Request, b bendRequest) (*offcutView, error) {
	t := b.kept.Traveler
	if !t.NewPack || len(b.job.Readings) > 0 {
		return nil, nil
	}
	if in, err := s.offcutIn(r, t.Code); in || err != nil {
		return nil, err
	}
	first := t.Steps[0]
	return &offcutView{
		Pack: t.Pack, Target: first.Target.Text(1) + "°", Stop: first.Stop.Text(1), Bar: first.Bar, StopBend: first.StopBend,
		AsOpening: web.Remembered(r, ProtractorCookie) == progress.GivenOpening,
	}, nil
}

func (s *Section) offcutIn(r *http.Request, code string) (bool, error) {
	said, err := s.Store.Statements(r.Context())
	return slices.ContainsFunc(said, func(x store.Statement) bool { return x.Kind == store.Offcut && x.Code == code }), err
}

// AddOffcut takes what the bend on an offcut measured. It was bent at the stop that
// is printed for the first step. Sent again it is not taken twice.
func (s *Section) AddOffcut(w http.ResponseWriter, r *http.Request) error {
	kept, err := s.sheetToAdd(r)
	if err != nil {
		return err
	}
	if err := web.PostedWithin(w, r, 1<<10); err != nil {
		return err
	}
	if !kept.Traveler.NewPack {
		return fault.New(fault.Conflict, "", "This traveler asks for no offcut: its lot is known, or was not said.")
	}
	form, first := r.PostForm, kept.Traveler.Steps[0]
	v, err := strconv.ParseFloat(strings.Replace(strings.TrimSpace(form.Get("measured")), ",", ".", 1), 64)
	measured := unit.Deg(v)
	if form.Get("given_as") == progress.GivenOpening {
		measured = 180 - measured
	}
	if off := measured.CentiDeg() - first.Target; err != nil || off >= progress.FarOff || off <= -progress.FarOff {
		return fault.New(fault.Invalid, "measured", "Type what the offcut measures: about %s as a bend angle, %s as the opening.",
			first.Target.Text(0), opening(first.Target).Text(0))
	}
	in, err := s.offcutIn(r, kept.Traveler.Code)
	if by := tidied(form.Get("by")); err == nil && !in {
		err = s.Store.Say(r.Context(), store.Statement{
			Kind: store.Offcut, Code: kept.Traveler.Code, Step: first.Number, Stop: first.StopBend, Shown: measured.CentiDeg(),
			Person: by, Tool: tidied(form.Get("tool")), By: by,
		})
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, sheetAddress(kept.Traveler.Code), http.StatusSeeOther)
	return nil
}
