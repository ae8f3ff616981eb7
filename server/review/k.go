package review

import (
	"fmt"
	"net/http"
	"net/url"
	"strconv"

	"brakeside/calc/fault"
	"brakeside/calc/unit"
	"brakeside/server/lessons"
	"brakeside/server/say"
	"brakeside/server/store"
	"brakeside/server/web"
)

// fillK puts in the K-factors that trial strips would change, and what earlier
// changes did.
func (s *Section) fillK(r *http.Request, v *stopsView) error {
	strips, err := s.book.KProposals(r.Context())
	if err != nil {
		return err
	}
	u := s.Ruler(r.Context())
	for i, p := range strips {
		v.Strips = append(v.Strips, stripProposalOf(u, p, i))
	}
	changes, err := s.book.KChanges(r.Context())
	for _, c := range changes {
		v.KChanges = append(v.KChanges, s.kChangeOf(u, c))
	}
	return err
}

// stripWords names a cell of a K-factor as a person would.
func stripWords(u say.Ruler, k lessons.StripKey) string {
	bar := "every bar"
	if k.Bar != "" {
		bar = k.Bar + " bar"
	}
	return fmt.Sprintf("%s %s, radius %s, %s", k.Material, u.Sheet(k.Thickness.MM()), u.Size(k.Radius.MM()), bar)
}

func stripFields(k lessons.StripKey) []web.Pair {
	return web.Pairs(
		"material", k.Material, "thickness", strconv.FormatInt(int64(k.Thickness), 10), "radius", strconv.FormatInt(int64(k.Radius), 10), "bar", k.Bar,
	)
}

func stripProposalOf(u say.Ruler, p lessons.KProposal, number int) stripProposalView {
	return stripProposalView{
		Cell: stripWords(u, p.Key), ID: "k-" + strconv.Itoa(number),
		Now: fmt.Sprintf("%.3f", p.Now), From: p.From, Next: fmt.Sprintf("%.3f", p.Next), N: p.N,
		Deduction: fmt.Sprintf("%s at 90°", u.Difference(p.DeductionChange)), Limited: fmt.Sprintf("%.3f", p.Wanted) != fmt.Sprintf("%.3f", p.Next),
		Hidden: append(stripFields(p.Key), web.Pair{Name: "seen", Value: fmt.Sprintf("%.6f", p.Next)}),
	}
}

func (s *Section) kChangeOf(u say.Ruler, c lessons.KChange) changeLine {
	return changeLine{
		When: s.When(c.At), Cell: stripWords(u, c.Key), By: c.By, Current: c.Current, Hidden: stripFields(c.Key),
		Words:  fmt.Sprintf("%s: K from %.3f to %.3f", c.Kind, c.Was, c.Becomes),
		Before: deviationWords(u, c.Before), After: deviationWords(u, c.After),
	}
}

// deviationWords words how far some strips were off, with n.
func deviationWords(u say.Ruler, d lessons.Deviations) string {
	if d.N == 0 {
		return "none yet"
	}
	return fmt.Sprintf("%s mean, %s off on average, n = %d", u.Difference(d.Mean), u.Sheet(d.MeanSize), d.N)
}

// DecideK keeps what the owner decided about a K-factor, with the shop's figures
// that come of it.
func (s *Section) DecideK(w http.ResponseWriter, r *http.Request) error {
	form, err := s.ReadOffice(w, r)
	if err != nil {
		return err
	}
	choice, err := typedK(form)
	var x lessons.KSettled
	if err == nil {
		choice.By, choice.At = s.ownerName(r), s.Now()
		x, err = s.book.DecideK(r.Context(), choice)
	}
	if web.IsRefusal(err) {
		return s.showStops(w, r, err)
	}
	if err != nil {
		return err
	}
	var makes *store.Shelved
	if x.Changes {
		file, err := x.Shop.Write()
		if err != nil {
			return err
		}
		makes = &store.Shelved{Shelf: store.Materials, Revision: store.Revision{Name: lessons.ShopFigures, JSON: file}}
	}
	if err := s.Store.Settle(r.Context(), x.Settlement, makes); err != nil {
		return err
	}
	http.Redirect(w, r, "/review/stops", http.StatusSeeOther)
	return nil
}

// typedK reads a decision about a K-factor: of which cell, what about it, and
// the K that was seen proposed.
func typedK(form url.Values) (lessons.KChoice, error) {
	c := lessons.KChoice{Kind: form.Get("kind"), Key: lessons.StripKey{Material: form.Get("material"), Bar: form.Get("bar")}}
	broken := fault.New(fault.Invalid, "", "The form is not whole. Open the page again.")
	for _, f := range []struct {
		name string
		into *unit.Micron
	}{{"thickness", &c.Key.Thickness}, {"radius", &c.Key.Radius}} {
		n, err := strconv.ParseInt(form.Get(f.name), 10, 64)
		if err != nil {
			return c, broken
		}
		*f.into = unit.Micron(n)
	}
	if c.Kind == store.DecisionReturned {
		return c, nil
	}
	var err error
	if c.Seen, err = strconv.ParseFloat(form.Get("seen"), 64); err != nil {
		return c, broken
	}
	if c.Kind == store.DecisionEdited {
		c.K, err = typedFactor("k", form.Get("k"))
	}
	return c, err
}
