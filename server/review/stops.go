package review

import (
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"brakeside/calc/fault"
	"brakeside/calc/learn"
	"brakeside/calc/unit"
	"brakeside/server/chart"
	"brakeside/server/lessons"
	"brakeside/server/say"
	"brakeside/server/store"
	"brakeside/server/web"
)

// StopsPage shows which printed stops the readings would change, and what
// earlier changes did.
func (s *Section) StopsPage(w http.ResponseWriter, r *http.Request) error {
	return s.showStops(w, r, nil)
}

func (s *Section) showStops(w http.ResponseWriter, r *http.Request, fail error) error {
	view := stopsView{
		Frame: s.Frame(r, "review"),
		Least: learn.LeastChange.Text(1), Most: learn.MostChange.Text(0), Fewest: learn.LeastReadings,
		LeastDeduction: learn.LeastDeduction.Text(1), MostDeduction: learn.MostDeduction.Text(1),
	}
	if fail != nil {
		_, view.Trouble = web.MessageOf(fail)
	}
	u := s.Ruler(r.Context())
	var err error
	if view.Moved, err = s.movedLines(r, ""); err != nil {
		return err
	}
	proposals, err := s.book.Proposals(r.Context())
	if err != nil {
		return err
	}
	for i, p := range proposals {
		view.Proposals = append(view.Proposals, proposalOf(u, p, i))
	}
	if err := s.fillK(r, &view); err != nil {
		return err
	}
	changes, err := s.book.Changes(r.Context())
	if err != nil {
		return err
	}
	for _, c := range changes {
		view.Changes = append(view.Changes, s.changeOf(u, c))
	}
	return s.Show(w, web.Page{Status: web.FormStatus(fail), Name: "owner/stops", View: view})
}

// cellWords names a cell as a person would.
func cellWords(u say.Ruler, k store.CellKey) string {
	sheet, bar, brake := u.Sheet(k.Thickness.MM()), say.Typed(k.Bar), say.Typed(k.Brake)
	if k.Radius > 0 {
		return fmt.Sprintf("%s %s, radius %s, %s bar on %s", k.Material, sheet, u.Sheet(k.Radius.MM()), bar, brake)
	}
	return fmt.Sprintf("%s %s, %s bar on %s", k.Material, sheet, bar, brake)
}

// keyFields are a cell as the hidden fields of a form.
func keyFields(k store.CellKey) []web.Pair {
	return web.Pairs(
		"material", k.Material, "thickness", strconv.FormatInt(int64(k.Thickness), 10), "radius", strconv.FormatInt(int64(k.Radius), 10),
		"brake", k.Brake, "bar", k.Bar,
	)
}

func proposalOf(u say.Ruler, p lessons.Proposal, number int) proposalView {
	v := proposalView{
		Cell: cellWords(u, p.Cell), Angle: p.Angle.Text(1) + "°", Now: (p.Angle.Deg() + p.Now).Text(1) + "°", From: p.From,
		Next: (p.Angle.Deg() + p.Next).Text(1), Change: chart.Signed(p.Change()) + "°", SD: p.SD.Text(1) + "°", N: p.N,
		Open:    p.Open,
		Limited: (p.Wanted - p.Next).Text(1) != unit.Deg(0).Text(1), ID: "stop-" + strconv.Itoa(number),
		Hidden: append(keyFields(p.Cell),
			web.Pair{Name: "wanted", Value: strconv.FormatInt(int64(p.Next.CentiDeg()), 10)},
			web.Pair{Name: "angle", Value: strconv.FormatInt(int64(p.Angle), 10)}),
	}
	cell := url.Values{
		"material": {p.Cell.Material}, "thickness": {p.Cell.Thickness.Text(2) + " mm"},
		"bar": {p.Cell.Bar}, "brake": {p.Cell.Brake},
	}
	v.Address = "/review/cell?" + cell.Encode()
	return v
}

func (s *Section) changeOf(u say.Ruler, c lessons.Change) changeLine {
	printed := (c.Angle.Deg() + c.Offered.Deg()).Text(1) + "°"
	if c.Printed != nil {
		f := learn.Figure{Zero: c.Printed.Zero.Deg(), At90: c.Printed.At90.Deg()}
		printed = (c.Angle.Deg() + f.Springback(c.Angle.Deg())).Text(1) + "°"
	}
	line := changeLine{
		When: s.When(c.At), Cell: cellWords(u, c.Cell), By: c.By, Current: c.Current, Hidden: keyFields(c.Cell),
		Words:  fmt.Sprintf("%s: stop for %s° from %s° to %s", c.Kind, c.Angle.Text(1), (c.Angle.Deg() + c.Was.Deg()).Text(1), printed),
		Before: errorWords(c.Before), After: errorWords(c.After),
	}
	return line
}

// errorWords words the errors of some first pieces, with n.
func errorWords(e lessons.Errors) string {
	if e.N == 0 {
		return "none yet"
	}
	return fmt.Sprintf("%s° mean, %s° off on average, n = %d", chart.Signed(e.Mean), e.MeanSize.Text(1), e.N)
}

// DecideStop keeps what the owner decided about a stop.
func (s *Section) DecideStop(w http.ResponseWriter, r *http.Request) error {
	form, err := s.ReadOffice(w, r)
	if err != nil {
		return err
	}
	choice, err := typedDecision(form)
	if err == nil {
		choice.By = s.ownerName(r)
		err = s.book.Decide(r.Context(), choice)
	}
	return s.backToStops(w, r, err)
}

// backToStops shows the page of the stops after something was said there, with the
// refusal if it was refused.
func (s *Section) backToStops(w http.ResponseWriter, r *http.Request, err error) error {
	if web.IsRefusal(err) {
		return s.showStops(w, r, err)
	}
	if err != nil {
		return err
	}
	return web.GoOn(w, r, "/review/stops", web.SaidDecided)
}

// typedDecision reads a decision: which cell, what about it, and the stop that
// was seen proposed.
func typedDecision(form url.Values) (lessons.Choice, error) {
	key := store.CellKey{Material: form.Get("material"), Brake: form.Get("brake"), Bar: form.Get("bar")}
	c := lessons.Choice{Kind: form.Get("kind"), Cell: key}
	var angle int64
	for _, f := range []struct {
		name string
		into *int64
	}{{"thickness", (*int64)(&c.Cell.Thickness)}, {"radius", (*int64)(&c.Cell.Radius)}, {"wanted", (*int64)(&c.Wanted)}, {"angle", &angle}} {
		if form.Get(f.name) == "" && c.Kind == store.DecisionReturned {
			continue
		}
		n, err := strconv.ParseInt(form.Get(f.name), 10, 64)
		if err != nil {
			return c, fault.New(fault.Invalid, f.name, "The form is not whole. Open the page again.")
		}
		*f.into = n
	}
	if c.Kind != store.DecisionEdited {
		return c, nil
	}
	stop, err := typedAngle("stop", form.Get("stop"))
	if err != nil {
		return c, err
	}
	c.Springback = stop.CentiDeg() - unit.CentiDeg(angle)
	return c, nil
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
	return web.GoOn(w, r, "/review/stops", web.SaidDecided)
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

// typedAngle reads a bend angle; a comma does for the point.
func typedAngle(name, text string) (unit.Deg, error) {
	a, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
	if err != nil || !(a >= 0 && a <= 180) {
		return 0, fault.New(fault.Invalid, name, "%.20q is no bend angle; give 0 to 180 degrees, such as 92.5", text)
	}
	return unit.Deg(a), nil
}
