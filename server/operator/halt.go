package operator

import (
	"fmt"
	"net/http"

	"brakeside/calc/unit"
	"brakeside/server/store"
	"brakeside/server/web"
	"brakeside/traveler"
	"brakeside/traveler/phrase"
	"brakeside/traveler/standing"
)

// haltView is what stands in place of a bend that may not be made now: why, what
// to do instead, and the way to write down what was bent all the same.
type haltView struct {
	Code  string
	Head  headView
	Halt  *standing.Halt
	Newer newerView
	Next  *nextView // the bend that may be made instead; nil when none
	Bent  string    // address of the page on which what was bent is logged
	Asks  []askForm
}

// newerView is the traveler that replaces one; the zero newerView is none.
type newerView struct {
	Address string
	Changes []string
	Reason  string // of the one who replaced it
}

// haltPage tells the operator in large letters not to bend, and why. A void
// traveler that was also replaced shows the way to the new one.
func (s *Section) haltPage(w http.ResponseWriter, r *http.Request, b bendRequest, halt *standing.Halt) error {
	code := b.kept.Traveler.Code
	view := haltView{Code: code, Head: headOf(b.kept), Halt: halt, Asks: asksFor(halt, b), Bent: spotAddress(code, b.spot) + "&bent=yes"}
	if halt.Cause == standing.FirstPiece || halt.Cause == standing.PieceIsLost {
		view.Next = nextOf(b.job)
	}
	if halt.Newer != "" {
		var err error
		if view.Newer, err = s.newer(r, b.kept); err != nil {
			return err
		}
		if err := s.Store.NoteOldScan(r.Context(), code); err != nil {
			s.Log.Warn("scan of a replaced traveler not kept", "error", err) // the page matters more
		}
	}
	return s.Show(w, web.Page{Name: "operator/halt", View: view})
}

// newer words what the traveler that replaces this one says otherwise.
func (s *Section) newer(r *http.Request, kept store.Kept) (newerView, error) {
	view := newerView{Address: sheetAddress(kept.SupersededBy)}
	newer, err := s.Store.TravelerByCode(r.Context(), kept.SupersededBy)
	if err != nil {
		return view, fmt.Errorf("the newer traveler: %w", err)
	}
	view.Changes = changes(kept.Traveler, newer.Traveler)
	basis, err := s.Store.Basis(r.Context(), kept.SupersededBy)
	view.Reason = basis.Reason
	return view, err
}

// changes puts into words what a new sheet says otherwise than the old one.
func changes(old, new *traveler.Traveler) []string {
	all := differences{}
	all.words("Part", old.Part.Number, new.Part.Number)
	all.words("Revision", old.Part.Revision, new.Part.Revision)
	all.words("Material", old.Part.Material, new.Part.Material)
	all.length("Thickness", old.Part.Thickness, new.Part.Thickness)
	all.length("Inside radius", old.Part.InsideRadius, new.Part.InsideRadius)
	all.words("Pieces", fmt.Sprint(old.Quantity), fmt.Sprint(new.Quantity))
	all.words("Brake", old.Brake.Name, new.Brake.Name)
	all.length("Blank, width", old.Blank.Width, new.Blank.Width)
	all.length("Blank, height", old.Blank.Height, new.Blank.Height)
	all.words("Bends", fmt.Sprint(len(old.Steps)), fmt.Sprint(len(new.Steps)))
	for i := range min(len(old.Steps), len(new.Steps)) {
		all.step(old.Steps[i], new.Steps[i])
	}
	return all
}

// differences collects what changed, in words.
type differences []string

func (d *differences) words(what, old, new string) {
	if old != new {
		*d = append(*d, fmt.Sprintf("%s: %s, was %s", what, new, old))
	}
}

func (d *differences) length(what string, old, new unit.Micron) {
	d.words(what, old.Text(2)+" mm", new.Text(2)+" mm")
}

func (d *differences) step(old, new traveler.Step) {
	at := fmt.Sprintf("Step %d, ", new.Number)
	if old.Bend != new.Bend {
		d.words(at+"bend", old.BendWord(), new.BendWord())
	}
	d.words(at+"angle", old.Target.Text(1)+"°", new.Target.Text(1)+"°")
	d.words(at+"stop", old.Stop.Text(1), new.Stop.Text(1))
	d.words(at+"bar", old.Bar, new.Bar)
	d.words(at+"leaf", phrase.Leaf(old.Leaf), phrase.Leaf(new.Leaf))
	d.length(at+"nose setback", old.NoseSetback, new.NoseSetback)
	d.length(at+"gauge", old.Gauge, new.Gauge)
	d.words(at+"back stop", backStopWords(old), backStopWords(new))
	d.words(at+"face up", old.FaceUp, new.FaceUp)
}

func backStopWords(step traveler.Step) string {
	if step.BackStop == 0 {
		return "none"
	}
	return step.BackStop.Text(2) + " mm"
}
