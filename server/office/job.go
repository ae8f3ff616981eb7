package office

import (
	"context"
	"fmt"
	"html/template"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"brakeside/calc/spc"
	"brakeside/calc/unit"
	"brakeside/server/chart"
	"brakeside/server/say"
	"brakeside/server/shelf"
	"brakeside/server/store"
	"brakeside/server/web"
	"brakeside/traveler"
	"brakeside/traveler/progress"
	"brakeside/traveler/standing"
)

type jobView struct {
	Frame                                   web.Frame
	Code, Job, Part, Title, Revision, State string
	MayType                                 bool // angles from paper: by the owner, while the sheet takes any
	Concerns                                []string
	Facts                                   []web.Pair
	Steps                                   []stepLine
	Chart                                   template.HTML
	ChartWords                              string
	Readings                                []readingLine
	Acts                                    []actView
	Questions                               []questionView
	Events                                  []eventView
	About                                   []web.Group
	Trouble                                 string
	Ask, Undo                               *askView // what is asked about first, and what takes back what was just done
}

// jobTold is what a job's page tells besides how the job stands.
type jobTold struct {
	about web.Filled // what was typed of the job and refused
	ask   *askView
}

// eventView is what was decided about a sheet: when, what, in which words and by
// whom.
type eventView struct{ When, What, Detail, By string }

type stepLine struct {
	Step, N                                      int
	Bend, Bar, Stop, Target, Share, Mean, Spread string
}

type readingLine struct {
	Number, Piece, Step                        int
	Bend, Error, Place, State, By, When, Notes string
	Out                                        bool
}

// actView is something the owner may decide about a traveler.
type actView struct {
	Kind, Heading, Label, Value, Button string
	Numeric                             bool
	Piece                               bool // which piece is asked for too
}

// JobPage shows one sheet: how it stands, its readings, and what may be decided.
func (s *Section) JobPage(w http.ResponseWriter, r *http.Request) error {
	return s.showJob(w, r, jobTold{})
}

func (s *Section) showJob(w http.ResponseWriter, r *http.Request, told jobTold) error {
	kept, err := s.Store.TravelerByCode(r.Context(), web.Variable(r, "code"))
	if err != nil {
		return err
	}
	t := kept.Traveler
	job, err := s.Store.Progress(r.Context(), t.Code)
	if err != nil {
		return err
	}
	view := jobView{
		Frame: s.Frame(r, ""), Code: t.Code, Job: t.Job,
		Part: t.Part.Number, Title: t.Part.Title, Revision: t.Part.Revision,
		MayType: web.MayChange(r),
		State:   howItStands(job), Facts: s.facts(r.Context(), kept, job), Readings: s.readingLines(r.Context(), job), Acts: acts(kept, job),
	}
	if web.MayChange(r) { // who may only look is not told the key to the log
		view.Facts = append(view.Facts, web.Pair{Name: "Code", Value: t.Code})
	}
	if view.Events, err = s.decided(r, t.Code); err != nil {
		return err
	}
	if !kept.Over() {
		if view.Concerns, err = s.BrakeConcerns(r.Context(), t.Code); err != nil {
			return err
		}
	}
	if view.Questions, err = s.questions(r.Context(), t.Code); err != nil {
		return err
	}
	sumUp(view.Acts, job)
	if err := s.fillAbout(r, &view, told.about); err != nil {
		return err
	}
	if view.Ask = told.ask; view.Ask == nil {
		view.Undo = undoView(web.SaidTo(r), kept)
	}
	if view.Steps, err = stepLines(job); err != nil {
		return err
	}
	if view.Chart, view.ChartWords, err = jobChart(job); err != nil {
		return err
	}
	status := web.FormStatus(told.about.Fail)
	if told.ask != nil {
		status = http.StatusConflict
	}
	return s.Show(w, web.Page{Status: status, Name: "owner/job", View: view})
}

// howItStands says in a sentence or two why work from a traveler stops, or what
// waits for the office; nothing when there is neither.
func howItStands(job progress.Job) string {
	halt := job.Standing.Halt()
	switch {
	case halt != nil:
		return strings.Join(strings.Fields(halt.Heading+" "+halt.Words), " ")
	case job.ReleaseAsked:
		return "The release of the run is asked for: the first piece is not accepted."
	case job.SupersededBy != "":
		return "This traveler has been replaced; the batch that was begun may be finished."
	}
	return ""
}

func (s *Section) facts(ctx context.Context, kept store.Kept, job progress.Job) []web.Pair {
	t := kept.Traveler
	issued, err := time.Parse(time.RFC3339, t.IssuedAt)
	if err != nil {
		issued = time.Time{}
	}
	accepted := "not yet"
	if progress.FirstPieceAccepted(job) {
		accepted = "in tolerance"
	} else if kept.Override {
		accepted = "released by the owner"
	}
	next := "none: all are in"
	if due := progress.NextDue(job); due != nil {
		next = fmt.Sprintf("piece %d, step %d", due.Piece, due.Step)
		if due.Do != progress.DoBend {
			next += ": " + due.Words
		}
	}
	return web.Pairs(
		"Material", t.Part.Material+", "+s.Ruler(ctx).Sheet(t.Part.Thickness.MM()),
		"Brake", say.Typed(t.Brake.Name),
		"Pieces", strconv.Itoa(kept.Pieces()),
		"Scrapped", strconv.Itoa(len(progress.Scrapped(job))),
		"First piece", accepted,
		"Next", next,
		"Issued", strings.TrimSpace(s.When(issued)+" "+say.Typed(t.IssuedBy)),
	)
}

// stepLines sums up the readings of each step.
func stepLines(job progress.Job) ([]stepLine, error) {
	errors := make(map[int][]float64)
	for _, r := range asBent(job) {
		errors[r.Step] = append(errors[r.Step], float64(r.Error.Deg()))
	}
	var lines []stepLine
	for _, step := range job.Traveler.Steps {
		line, err := stepLineOf(step, errors[step.Number])
		if err != nil {
			return nil, fmt.Errorf("step %d: %w", step.Number, err)
		}
		lines = append(lines, line)
	}
	return lines, nil
}

func stepLineOf(step traveler.Step, errors []float64) (stepLine, error) {
	line := stepLine{
		Step: step.Number, N: len(errors), Bend: step.BendWord(), Bar: step.Bar,
		Stop: step.Stop.Text(1), Target: step.Target.Text(1) + "° ± " + step.Tolerance.Text(1), Share: say.Share(0, 0),
	}
	if len(errors) == 0 {
		return line, nil
	}
	sum, err := spc.Summarize(errors)
	if err != nil {
		return line, err
	}
	good := 0
	for _, e := range errors {
		if abs(unit.Deg(e).CentiDeg()) <= step.Tolerance {
			good++
		}
	}
	line.Share, line.Mean = say.Share(good, sum.N), chart.Signed(unit.Deg(sum.Mean))+"°"
	if sum.N > 1 {
		line.Spread = unit.Deg(sum.Spread).Text(2) + "°"
	}
	return line, nil
}

// readingLines lists all readings, newest first, with those that were corrected.
func (s *Section) readingLines(ctx context.Context, job progress.Job) []readingLine {
	counts := make(map[string]bool)
	for _, r := range progress.Counted(job) {
		counts[r.ID] = true
	}
	var lines []readingLine
	u := s.Ruler(ctx)
	for i, r := range job.Readings {
		step, _ := progress.StepOf(job.Traveler, r.Step)
		line := readingLine{
			Number: i + 1, Piece: r.Piece, Step: r.Step, Bend: r.Bend().Text(1) + "°", Error: chart.Signed(r.Error.Deg()) + "°",
			Place: r.Place, State: r.State, By: r.By, Notes: notes(u, step, r), Out: abs(r.Error) > step.Tolerance,
		}
		if received, err := time.Parse(time.RFC3339Nano, r.Received); err == nil {
			line.When = s.When(received)
		}
		if !counts[r.ID] {
			line.State += ", corrected since"
		}
		lines = append(lines, line)
	}
	slices.Reverse(lines)
	return lines
}

// notes puts what was said beside the angle into one line.
func notes(u say.Ruler, step traveler.Step, r progress.Reading) string {
	var all []string
	if len(r.Flags) > 0 {
		all = append(all, say.FlagWords(r.Flags))
	}
	if r.Corrects != "" {
		all = append(all, "a correction")
	}
	if r.Stop != nil && *r.Stop != step.Stop {
		all = append(all, "stop at "+r.Stop.Text(1))
	}
	if r.Thickness != nil {
		all = append(all, "sheet "+u.Sheet(r.Thickness.MM()))
	}
	if r.Leg != nil {
		all = append(all, "leg "+u.Size(r.Leg.MM()))
	}
	for i, end := range r.NoseSetback {
		if end != nil {
			all = append(all, "nose setback "+[]string{"left ", "right "}[i]+u.Sheet(end.MM()))
		}
	}
	if r.Tool != "" {
		all = append(all, "measured with "+r.Tool)
	}
	if r.Pack != "" {
		all = append(all, "lot "+r.Pack)
	}
	if r.Note != "" {
		all = append(all, r.Note)
	}
	return strings.Join(all, "; ")
}

func jobChart(job progress.Job) (template.HTML, string, error) {
	var points []chart.Reading
	var errors []float64
	for _, r := range asBent(job) {
		step, _ := progress.StepOf(job.Traveler, r.Step)
		points = append(points, chart.Reading{Error: r.Error.Deg(), Tolerance: step.Tolerance.Deg()})
		errors = append(errors, float64(r.Error.Deg()))
	}
	page, words, err := chart.Summed(chart.Run{Title: "Angle errors of job " + job.Traveler.Job, Readings: points, First: 1}, errors)
	if err != nil {
		return "", "", err
	}
	drawn, err := web.Picture(page)
	return drawn, words, err
}

func abs(a unit.CentiDeg) unit.CentiDeg {
	if a < 0 {
		return -a
	}
	return a
}

// acts lists what may still be decided about a traveler, in the words that all
// pages use.
func acts(kept store.Kept, job progress.Job) []actView {
	var all []actView
	for _, kind := range standing.Kinds(false) {
		accepted := kind == standing.Released && progress.FirstPieceAccepted(job)
		if kind == standing.ReleaseAsked || accepted || kept.May(kind, false) != nil {
			continue
		}
		words := standing.About(kind)
		act := actView{Kind: kind, Heading: words.Heading, Label: words.Label, Button: words.Button}
		switch kind {
		case standing.Requantified:
			act.Value, act.Numeric = strconv.Itoa(kept.Pieces()), true
		case standing.Resampled:
			act.Value, act.Numeric = strconv.Itoa(max(kept.Every, 1)), true
		case standing.Skipped:
			act.Piece = true
		case standing.TakenUp:
			act.Piece, act.Label = true, ""
		}
		all = append(all, act)
	}
	return all
}

// sumUp begins the words that close a job with what the log says.
func sumUp(acts []actView, job progress.Job) {
	share := shareOf(job)
	for i := range acts {
		if acts[i].Kind == standing.Closed {
			logged, scrapped := say.Counted(len(progress.Counted(job)), "bend"), say.Counted(len(progress.Scrapped(job)), "piece")
			acts[i].Value = fmt.Sprintf("%s logged, %s scrapped, %s in tolerance.", logged, scrapped, share)
		}
	}
}

// decided lists what was decided about a sheet, and first why it took the place of
// another one.
func (s *Section) decided(r *http.Request, code string) ([]eventView, error) {
	events, err := s.Store.Events(r.Context(), code)
	if err != nil {
		return nil, err
	}
	basis, err := s.Store.Basis(r.Context(), code)
	if err != nil {
		return nil, err
	}
	var views []eventView
	if basis.Reason != "" {
		views = append(views, eventView{What: "this sheet replaced an earlier one:", Detail: basis.Reason})
	}
	for _, e := range events {
		if e.Kind == standing.Replaced && !web.MayChange(r) {
			e.Detail = "" // a code, too
		}
		views = append(views, s.eventOf(e))
	}
	return views, nil
}

func (s *Section) eventOf(e store.Event) eventView {
	view := eventView{When: s.When(e.At), What: standing.About(e.Kind).Told, Detail: e.Detail, By: e.By}
	if e.Piece > 0 {
		view.What = fmt.Sprintf("piece %d: %s", e.Piece, view.What)
	}
	return view
}

// AddEvent records what the owner decided about a sheet.
func (s *Section) AddEvent(w http.ResponseWriter, r *http.Request) error {
	r.Body = http.MaxBytesReader(w, r.Body, web.MostReading)
	if err := web.ReadForm(r); err != nil {
		return web.FormFault(err)
	}
	kept, err := s.Store.TravelerByCode(r.Context(), web.Variable(r, "code"))
	if err != nil {
		return err
	}
	event := store.Event{
		Code: kept.Traveler.Code, Kind: r.PostForm.Get("kind"), Detail: strings.TrimSpace(r.PostForm.Get("detail")), By: "owner",
	}
	if event.Kind == standing.Skipped || event.Kind == standing.TakenUp {
		event.Piece, _ = strconv.Atoi(r.PostForm.Get("piece")) // no number is piece 0, which is refused
	}
	if err := standing.Decides(event.Kind); err != nil {
		return err
	}
	job, err := s.Store.Progress(r.Context(), event.Code)
	if err != nil {
		return err
	}
	if ask := fewerThanLogged(job, r.PostForm); ask != nil {
		return s.showJob(w, r, jobTold{ask: ask})
	}
	if err := s.Store.AddEvent(r.Context(), event); err != nil {
		return err
	}
	s.News.Tell()
	return web.GoOn(w, r, shelf.JobAddress(event.Code), web.Said(event.Kind))
}
