package office

import (
	"bytes"
	"fmt"
	"net/http"
	"net/url"
	"strconv"

	"brakeside/calc/fault"
	"brakeside/server/say"
	"brakeside/server/shelf"
	"brakeside/server/store"
	"brakeside/server/web"
	"brakeside/traveler/draw"
	"brakeside/traveler/papers"
	"brakeside/traveler/pdf"
	"brakeside/traveler/progress"
)

// gridPieces is how many pieces one page of the hand-entry grid holds, as many
// as the printed one.
const gridPieces = 20

type gridView struct {
	Frame          web.Frame
	Code, Job      string
	Part, Revision string
	Nonce          string
	Heads          []gridHead
	Rows           []gridRow
	Groups         []web.Group
	Trouble        string
	Kept           int
	Unsure         bool
	Before, After  string
}

type gridHead struct {
	Step                 int
	Bend, Target         string
	StopField, StopValue string
}

type gridRow struct {
	Piece int
	Cells []gridCell
}

// gridCell is one bend of one piece: what is in already, or a field.
type gridCell struct {
	Field, Value, Fault, Label string
	In                         string
}

// GridPage is the page to type a paper grid in, laid out as it is printed.
func (s *Section) GridPage(w http.ResponseWriter, r *http.Request) error {
	return s.showGrid(w, r, gridState{values: url.Values{"given_as": {progress.GivenBend}}})
}

// gridState is what was typed, what was wrong with which cell, and how many
// were kept.
type gridState struct {
	values url.Values
	faults map[string]error
	kept   int
}

func (s *Section) showGrid(w http.ResponseWriter, r *http.Request, g gridState) error {
	kept, err := s.Store.TravelerByCode(r.Context(), web.Variable(r, "code"))
	if err != nil {
		return err
	}
	job, err := s.Store.Progress(r.Context(), kept.Traveler.Code)
	if err != nil {
		return err
	}
	nonce, err := s.Secret(6)
	if err != nil {
		return err
	}
	t := kept.Traveler
	view := gridView{
		Frame: s.Frame(r, "jobs"), Code: t.Code, Job: t.Job, Part: t.Part.Number, Revision: t.Part.Revision, Nonce: nonce, Kept: g.kept,
	}
	view.Groups = []web.Group{{Fields: []web.Field{
		{Name: "given_as", Label: "The protractor shows the", Choices: web.Choices("", "bend", "bend angle", "opening", "opening")},
		{Name: "by", Label: "Initials"}, {Name: "tool", Label: "Measured with"}, {Name: "pack", Label: "Lot"},
	}}}
	web.FillIn(view.Groups, g.values, nil)
	for _, step := range t.Steps {
		field := fmt.Sprintf("stop-%d", step.Number)
		used := g.values.Get(field)
		if !g.values.Has(field) {
			used = step.Stop.Text(1) // as printed, until the paper says another
		}
		view.Heads = append(view.Heads, gridHead{step.Number, step.BendWord(), step.Target.Text(1), field, used})
	}
	first := firstPiece(r, kept.Quantity)
	if first > 1 {
		view.Before = fmt.Sprintf("%s/grid?from=%d", shelf.JobAddress(t.Code), max(1, first-gridPieces))
	}
	if first+gridPieces <= kept.Quantity {
		view.After = fmt.Sprintf("%s/grid?from=%d", shelf.JobAddress(t.Code), first+gridPieces)
	}
	in := angleByPlace(job)
	for piece := first; piece <= kept.Quantity && piece < first+gridPieces; piece++ {
		row := gridRow{Piece: piece}
		for _, step := range t.Steps {
			row.Cells = append(row.Cells, view.cell(g, progress.Spot{Piece: piece, Step: step.Number}, in))
		}
		view.Rows = append(view.Rows, row)
	}
	if len(g.faults) > 0 {
		view.Trouble = fmt.Sprintf("%s not saved: the reason stands in each. What was saved is shown as text.",
			say.Counted(len(g.faults), "angle"))
	}
	status := http.StatusOK
	if len(g.faults) > 0 {
		status = http.StatusUnprocessableEntity
	}
	return s.Show(w, web.Page{Status: status, Name: "owner/grid", View: view})
}

func (v *gridView) cell(g gridState, at progress.Spot, in map[progress.Spot]string) gridCell {
	name := fmt.Sprintf("m-%d-%d", at.Piece, at.Step)
	if angle, ok := in[at]; ok {
		return gridCell{In: angle}
	}
	cell := gridCell{Field: name, Value: g.values.Get(name), Label: fmt.Sprintf("piece %d, step %d", at.Piece, at.Step)}
	if err := g.faults[name]; err != nil {
		_, cell.Fault = web.MessageOf(err)
		v.Unsure = v.Unsure || fault.KindOf(err) == fault.Unsure
	}
	return cell
}

func firstPiece(r *http.Request, quantity int) int {
	from, err := strconv.Atoi(r.URL.Query().Get("from"))
	if err != nil || from < 1 || from > quantity {
		return 1
	}
	return from
}

// angleByPlace gives the bend angle that is in for each bend of each piece.
func angleByPlace(job progress.Job) map[progress.Spot]string {
	in := make(map[progress.Spot]string)
	for _, r := range progress.Counted(job) {
		in[progress.Spot{Piece: r.Piece, Step: r.Step}] = r.Bend().Text(1)
	}
	return in
}

// AddGrid keeps every angle that was typed, in the order of the run, as if it
// had come from the brake. One that is refused does not hold up the others.
func (s *Section) AddGrid(w http.ResponseWriter, r *http.Request) error {
	form, err := s.ReadOffice(w, r)
	if err != nil {
		return err
	}
	kept, err := s.Store.TravelerByCode(r.Context(), web.Variable(r, "code"))
	if err != nil {
		return err
	}
	state := gridState{values: form, faults: map[string]error{}}
	for _, at := range progress.Order(progress.Job{Traveler: kept.Traveler, Standing: kept.Standing}) {
		name := fmt.Sprintf("m-%d-%d", at.Piece, at.Step)
		if form.Get(name) == "" {
			continue
		}
		err := s.addFromGrid(r, kept.Traveler.Code, gridReading(form, at))
		if err != nil && !web.IsRefusal(err) {
			return err
		}
		if err != nil {
			state.faults[name] = err
			continue
		}
		state.kept++
	}
	if state.kept > 0 {
		s.News.Tell()
	}
	return s.showGrid(w, r, state)
}

// gridReading is one cell as a phone would send it. Its id holds the number of
// the page it was typed on, so that sending a page twice keeps nothing twice.
func gridReading(form url.Values, at progress.Spot) url.Values {
	return url.Values{
		"id":    {fmt.Sprintf("grid-%s-%d-%d", form.Get("nonce"), at.Piece, at.Step)},
		"piece": {strconv.Itoa(at.Piece)}, "step": {strconv.Itoa(at.Step)},
		"measured": {form.Get(fmt.Sprintf("m-%d-%d", at.Piece, at.Step))}, "given_as": {form.Get("given_as")},
		"stop": {form.Get(fmt.Sprintf("stop-%d", at.Step))},
		"by":   {form.Get("by")}, "tool": {form.Get("tool")}, "pack": {form.Get("pack")}, "confirmed": {form.Get("confirmed")},
	}
}

func (s *Section) addFromGrid(r *http.Request, code string, form url.Values) error {
	body, err := progress.FormBody(form)
	if err != nil {
		return err
	}
	reading, err := progress.ReadReading(body)
	if err != nil {
		return err
	}
	_, err = s.Store.AddReading(r.Context(), store.Posted{Code: code, Reading: reading, Body: body}, progress.Judge)
	return err
}

// BoxLabel prints the label for the box of finished pieces.
func (s *Section) BoxLabel(w http.ResponseWriter, r *http.Request) error {
	kept, err := s.Store.TravelerByCode(r.Context(), web.Variable(r, "code"))
	if err != nil {
		return err
	}
	asItStands := *kept.Traveler
	asItStands.Quantity = kept.Pieces()
	label, err := papers.Label(&asItStands)
	if err != nil {
		return err
	}
	var out bytes.Buffer
	if err := pdf.Write(&out, pdf.Document{Title: label.Title, Pages: []*draw.Page{label}}); err != nil {
		return err
	}
	return web.Write(w, web.Reply{Kind: "application/pdf", Body: out.Bytes()})
}
