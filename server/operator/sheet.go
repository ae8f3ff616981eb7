package operator

import (
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"brakeside/calc/fault"
	"brakeside/calc/unit"
	"brakeside/server/store"
	"brakeside/server/web"
	"brakeside/traveler"
	"brakeside/traveler/progress"
	"brakeside/traveler/standing"
)

// Codes that are of no sheet: so many at once from an address, and one more for
// each pause.
const (
	guessBurst = 30
	guessPause = 6 * time.Second
)

// holdsFor is how long an address that has opened a sheet is let to it though others
// guess codes behind the same address.
const holdsFor = 24 * time.Hour

// What hands add to the log of a sheet, in readings, photos, events and answers: a
// fast hand bends, measures and taps in some ten seconds, and several phones may
// be at a sheet. What a phone has kept without a network comes at once as far as
// addBurst goes, and the rest of a run as fast as addPause lets it.
const (
	addBurst = 240
	addPause = 500 * time.Millisecond
)

// sheet finds the sheet whose code is in the address. Codes that are of no
// sheet are counted, before they are looked for: they are keys, and must not be
// found by trying. A phone that works on a sheet is not shut out because another
// one behind the same address guesses, which helps no guesser: a code that is
// new to an address is not known.
func (s *Section) sheet(r *http.Request) (store.Kept, error) {
	party, code := web.Party(r), traveler.TidyCode(web.Variable(r, "code"))
	holder := party + " " + code
	known := s.holders.Has(holder, s.Now())
	if !known {
		if wait := s.guesses.Book(party, s.Now()); wait > 0 {
			return store.Kept{}, web.TooOften(wait)
		}
	}
	kept, err := s.Store.TravelerByCode(r.Context(), code)
	if fault.KindOf(err) == fault.Missing {
		return kept, &web.NoSheet{Refusal: fault.New(fault.Missing, "",
			"No sheet has this code. Scan the code on the sheet again, or ask the owner for a new print.")}
	}
	if !known {
		s.guesses.GiveBack(party)
	}
	if err == nil {
		s.holders.See(holder, s.Now())
	}
	return kept, err
}

// sheetToAdd is sheet for a request that adds to its log, which takes no more than
// hands can do.
func (s *Section) sheetToAdd(r *http.Request) (store.Kept, error) {
	kept, err := s.sheet(r)
	if err != nil {
		return kept, err
	}
	if wait := s.added.Book(web.Party(r)+" "+kept.Traveler.Code, s.Now()); wait > 0 {
		return kept, web.TooFast(wait)
	}
	return kept, nil
}

// opened finds the sheet whose code is in the address, with all that was logged.
func (s *Section) opened(r *http.Request) (store.Kept, progress.Job, error) {
	kept, err := s.sheet(r)
	if err != nil {
		return kept, progress.Job{}, err
	}
	job, err := s.Store.Progress(r.Context(), kept.Traveler.Code)
	return kept, job, err
}

// headView is the top of every page of a sheet.
type headView struct {
	Job, Part, Title, Revision string
	Quantity                   int
}

func headOf(kept store.Kept) headView {
	t := kept.Traveler
	return headView{t.Job, t.Part.Number, t.Part.Title, t.Part.Revision, kept.Pieces()}
}

// sheetAddress is the path of a sheet's pages.
func sheetAddress(code string) string { return "/t/" + url.PathEscape(code) }

// savedAddress is the path of the page that says how a reading came out.
func savedAddress(code, id string) string {
	return sheetAddress(code) + "?saved=" + url.QueryEscape(id)
}

// spotAddress is the path of the page of one bend of one piece.
func spotAddress(code string, spot progress.Spot) string {
	return fmt.Sprintf("%s/%d?piece=%d", sheetAddress(code), spot.Step, spot.Piece)
}

// SheetPage shows the next bend, or the verdict on the reading that was just
// saved.
func (s *Section) SheetPage(w http.ResponseWriter, r *http.Request) error {
	kept, job, err := s.opened(r)
	if err != nil {
		return err
	}
	if saved := r.URL.Query().Get("saved"); saved != "" {
		return s.verdictPage(w, r, savedReading{kept, job, saved})
	}
	spot, more := progress.Next(job)
	if !more {
		spot = progress.Spot{Piece: 1, Step: kept.Traveler.Steps[0].Number}
	}
	b := bendRequest{kept: kept, job: job, spot: spot}
	switch halt := job.Standing.Halt(); {
	case halt != nil:
		return s.haltPage(w, r, b, halt)
	case !more:
		return s.donePage(w, r, savedReading{kept: kept, job: job})
	}
	if asked, err := s.asksReader(w, r, b); asked || err != nil {
		return err
	}
	return s.showBend(w, r, b)
}

// BendPage shows the bend whose step is in the address, or why it may not be made
// now. What was bent all the same, and a correction, can be logged whatever that
// is.
func (s *Section) BendPage(w http.ResponseWriter, r *http.Request) error {
	kept, job, err := s.opened(r)
	if err != nil {
		return err
	}
	spot, err := spotOf(r, kept, job)
	if err != nil {
		return err
	}
	asked := r.URL.Query()
	b := bendRequest{kept: kept, job: job, spot: spot, corrects: asked.Get("corrects"), state: asked.Get("state")}
	if halt := job.Halt(spot); halt != nil && b.corrects == "" && asked.Get("bent") == "" {
		return s.haltPage(w, r, b, halt)
	}
	if asked, err := s.asksReader(w, r, b); asked || err != nil {
		return err
	}
	return s.showBend(w, r, b)
}

// spotOf reads which bend of which piece an address means. Without a piece it
// is the first piece that lacks this bend.
func spotOf(r *http.Request, kept store.Kept, job progress.Job) (progress.Spot, error) {
	number, _ := strconv.Atoi(web.Variable(r, "step")) // the route lets only digits through
	spot := progress.Spot{Step: number}
	if _, found := progress.StepOf(kept.Traveler, number); !found {
		return spot, fault.New(fault.Missing, "", "This sheet has no bend %d; it has %d.", number, len(kept.Traveler.Steps))
	}
	quantity := kept.Pieces()
	given := r.URL.Query().Get("piece")
	if given == "" {
		spot.Piece = firstWithout(job, number, quantity)
		return spot, nil
	}
	piece, err := strconv.Atoi(given)
	if err != nil || piece < 1 || piece > quantity {
		return spot, fault.New(fault.Missing, "", "There is no such piece: %d are to be made.", quantity)
	}
	spot.Piece = piece
	return spot, nil
}

// firstWithout finds the first piece that lacks the bend of a step; the last
// piece if none does.
func firstWithout(job progress.Job, step, quantity int) int {
	in := make(map[int]bool)
	for _, r := range progress.Counted(job) {
		if r.Step == step || r.State == progress.StateScrapped {
			in[r.Piece] = true
		}
	}
	for piece := 1; piece < quantity; piece++ {
		if !in[piece] {
			return piece
		}
	}
	return quantity
}

// linkView is a way to another bend.
type linkView struct {
	Step    int
	Words   string
	Address string
	Here    bool
}

// bendLinks gives the ways to all bends of one piece.
func bendLinks(t *traveler.Traveler, at progress.Spot) []linkView {
	var links []linkView
	for _, step := range t.Steps {
		spot := progress.Spot{Piece: at.Piece, Step: step.Number}
		links = append(links, linkView{
			Step: step.Number, Here: step.Number == at.Step,
			Words: step.Target.Text(1) + "° " + step.Bar, Address: spotAddress(t.Code, spot),
		})
	}
	return links
}

type doneView struct {
	Code   string
	Head   headView
	Words  string
	Lost   []lossView
	Others []linkView
}

func (s *Section) donePage(w http.ResponseWriter, r *http.Request, at savedReading) error {
	head := headOf(at.kept)
	lost, err := s.losses(r, at.kept, at.job)
	if err != nil {
		return err
	}
	words := fmt.Sprintf("All %d pieces are logged.", head.Quantity)
	if at.job.Every > 1 {
		words = "Pieces " + pieceList(progress.Sample(at.job)) + " were to be measured, and they are."
	}
	if len(lost) > 0 {
		words += fmt.Sprintf(" %d good, %d scrapped.", head.Quantity-len(lost), len(lost))
	}
	return s.Show(w, web.Page{Name: "operator/done", View: doneView{
		Code: at.kept.Traveler.Code, Head: head, Words: words, Lost: lost,
		Others: bendLinks(at.kept.Traveler, progress.Spot{Piece: 1}),
	}})
}

// SheetPDF sends the sheet as it was issued.
func (s *Section) SheetPDF(w http.ResponseWriter, r *http.Request) error {
	kept, err := s.sheet(r)
	if err != nil {
		return err
	}
	pdf, err := s.Store.SheetPDF(r.Context(), kept.Traveler.Code)
	if err != nil {
		return err
	}
	name := fmt.Sprintf("%s-rev-%s-job-%s.pdf", kept.Traveler.Part.Number, kept.Traveler.Part.Revision, kept.Traveler.Job)
	w.Header().Set("Content-Disposition", `inline; filename="`+fileName(name)+`"`)
	return web.Write(w, web.Reply{Kind: "application/pdf", Body: pdf})
}

// fileName keeps the letters that every file system and header takes.
func fileName(name string) string {
	return strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || strings.ContainsRune("-_.", r) {
			return r
		}
		return '_'
	}, name)
}

// stateJSON is where a sheet stands, for programs.
type stateJSON struct {
	Job           string             `json:"job"`
	Part          string             `json:"part"`
	Revision      string             `json:"revision"`
	SupersededBy  *string            `json:"superseded_by"`
	FinishAllowed bool               `json:"finish_allowed"`
	Closed        bool               `json:"closed"`
	Voided        bool               `json:"voided"`
	Quantity      int                `json:"quantity"`
	Every         int                `json:"measure_every"`
	Run           string             `json:"run"`
	Accepted      bool               `json:"first_piece_accepted"`
	Steps         []stepJSON         `json:"steps"`
	Readings      []progress.Reading `json:"readings"`
	Next          *progress.Due      `json:"next"`
	Halt          *standing.Halt     `json:"halt"` // why no bend may be made now
}

type stepJSON struct {
	Step      int       `json:"step"`
	Bend      string    `json:"bend"`
	Target    unit.Deg  `json:"target"`
	Stop      unit.Deg  `json:"stop"`
	Tolerance unit.Deg  `json:"tolerance"`
	Bar       string    `json:"bar"`
	Segments  []unit.MM `json:"segments"`
}

// SheetState tells a program how a sheet stands.
func (s *Section) SheetState(w http.ResponseWriter, r *http.Request) error {
	kept, job, err := s.opened(r)
	if err != nil {
		return err
	}
	t := kept.Traveler
	state := stateJSON{
		Job: t.Job, Part: t.Part.Number, Revision: t.Part.Revision,
		FinishAllowed: kept.FinishAllowed, Closed: kept.Closed, Voided: kept.Voided,
		Quantity: headOf(kept).Quantity, Every: max(kept.Every, 1), Run: t.Run, Accepted: progress.FirstPieceAccepted(job),
		Steps: []stepJSON{}, Readings: append([]progress.Reading{}, job.Readings...), Next: progress.NextDue(job),
		Halt: job.Standing.Halt(),
	}
	if kept.SupersededBy != "" {
		state.SupersededBy = &kept.SupersededBy
	}
	for _, step := range t.Steps {
		state.Steps = append(state.Steps, stepOf(step))
	}
	return s.ShowJSON(w, http.StatusOK, state)
}

func stepOf(step traveler.Step) stepJSON {
	widths := []unit.MM{}
	for _, segment := range step.Segments {
		widths = append(widths, segment.Width.MM())
	}
	return stepJSON{
		Step: step.Number, Bend: step.Bend, Bar: step.Bar, Segments: widths,
		Target: step.Target.Deg(), Stop: step.Stop.Deg(), Tolerance: step.Tolerance.Deg(),
	}
}
