package operator

import (
	"fmt"
	"html/template"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"brakeside/calc/unit"
	"brakeside/server/say"
	"brakeside/server/store"
	"brakeside/server/web"
	"brakeside/traveler"
	"brakeside/traveler/phrase"
	"brakeside/traveler/progress"
	"brakeside/traveler/standing"
	"brakeside/traveler/view"
)

// What the operator's page draws and offers.
const (
	sketchWidth, sketchHeight = 84.0, 66.0 // mm, as drawn; the screen scales it
	padReach                  = 7          // tenths of a degree either side of the target
	aheadHeader               = "X-Ahead"  // set when a phone fetches a page for later: nobody looks at it yet
	bendsAhead                = 24         // bends whose order a phone without network knows
)

// bendRequest is a page of one bend that is to be shown.
type bendRequest struct {
	kept     store.Kept
	job      progress.Job
	spot     progress.Spot
	corrects string     // id of the reading that is to be corrected; empty if none
	state    string     // what the bend is said to be; empty for what is due
	given    url.Values // what was typed before; nil for a fresh page
	refused  error      // why it was not saved; nil for a fresh page
}

// bendView is the operator's page of one bend.
type bendView struct {
	Code                        string
	Head                        headView
	Piece, Step, Steps          int
	PieceBefore, PieceAfter     string // addresses, empty if there is none
	Message, Field              string
	Earlier, EarlierAddress     string
	Company                     CompanyView
	Sampling                    string
	Photo                       photoForm
	Handling                    []string
	Halt                        *standing.Halt // why it may not be made, only logged; nil when it may
	Due                         string         // what to do about a bend that is in already
	Stop, StopScale, StopWhy    string         // the one to set now
	Printed                     string         // the stop on paper, where it is another; else empty
	Asks                        []askForm
	Questions                   string // how many wait; empty when none does
	Target, Opening, Tolerance  string
	TargetValue, ToleranceValue string
	Before, After               template.HTML
	Bar, Fingers, Leaf, Place   string
	NoseSetback, Gauge          string
	Checks                      []string
	SetAlready                  bool // the brake is still set for this step
	Cautions                    []cautionView
	Form                        formView
	ID, Corrects, Ahead         string
	PadAs, PadWords             string
	PadBend, PadOpening         string
	Pad                         []string
	Others                      []linkView
	Newer                       string // address of the sheet that replaces this one
}

type cautionView struct{ Level, Word, Text string }

// signalWords are those of ANSI Z535.4.
var signalWords = map[string]string{
	traveler.Danger: "Danger", traveler.Warning: "Warning", traveler.Care: "Caution", traveler.Notice: "Notice",
}

// formView is what the fields of the log show.
type formView struct{ values url.Values }

// Value gives what stands in a text field.
func (f formView) Value(name string) string { return f.values.Get(name) }

// Has reports whether a choice is made.
func (f formView) Has(name, value string) bool { return slices.Contains(f.values[name], value) }

// At gives what stands in one of several fields of one name.
func (f formView) At(name string, index int) string {
	if index < len(f.values[name]) {
		return f.values[name][index]
	}
	return ""
}

// More reports whether one of the fields that are folded away is filled.
func (f formView) More() bool {
	for _, name := range []string{"flags", "leg", "thickness", "pack", "nose_setback", "tool", "note"} {
		if strings.Join(f.values[name], "") != "" {
			return true
		}
	}
	return f.Value("state") != progress.StateAsBent
}

// showBend shows the page of one bend.
func (s *Section) showBend(w http.ResponseWriter, r *http.Request, b bendRequest) error {
	step, _ := progress.StepOf(b.job.Traveler, b.spot.Step)
	id, err := s.NewID()
	if err != nil {
		return err
	}
	view := bendView{ID: id, Code: b.kept.Traveler.Code, Head: headOf(b.kept)}
	view.setPlace(b)
	due := progress.DueAt(b.job, b.spot)
	if due.Do != progress.DoBend {
		view.Due = due.Words
	}
	waiting, err := s.questions(r.Context(), b.kept)
	if err != nil {
		return err
	}
	if waiting > 0 {
		view.Questions = say.Counted(waiting, "angle") + " not stored yet: answer here"
	}
	view.setStop(b.kept.Traveler, step, due)
	view.setStep(s.Ruler(r.Context()), b.kept.Traveler, step)
	view.setForm(r, b, due)
	view.setPad(step)
	if r.Method != http.MethodHead && r.Header.Get(aheadHeader) == "" {
		if view.Company, err = s.arrive(w, r, arrival{b.kept, &b.job, b.spot, web.Remembered(r, InitialsCookie)}); err != nil {
			return err
		}
	}
	if view.Photo, err = s.photoForm(r.Context(), b.kept, b.spot); err != nil {
		return err
	}
	if err := view.setSketch(step); err != nil {
		return fmt.Errorf("sketch of step %d: %w", step.Number, err)
	}
	status := http.StatusOK
	if b.refused != nil {
		status = readingStatus(b.refused)
		view.Field, view.Message = web.MessageOf(b.refused)
		view.ID = cmpOr(b.given.Get("id"), id)
	}
	return s.Show(w, web.Page{Status: status, Name: "operator/bend", View: view})
}

// setPlace says which bend of which piece this is, and where else to go.
func (v *bendView) setPlace(b bendRequest) {
	v.Piece, v.Step, v.Steps = b.spot.Piece, b.spot.Step, len(b.kept.Traveler.Steps)
	v.Others = bendLinks(b.kept.Traveler, b.spot)
	if b.spot.Piece > 1 {
		v.PieceBefore = spotAddress(v.Code, progress.Spot{Piece: b.spot.Piece - 1, Step: b.spot.Step})
	}
	if b.spot.Piece < v.Head.Quantity {
		v.PieceAfter = spotAddress(v.Code, progress.Spot{Piece: b.spot.Piece + 1, Step: b.spot.Step})
	}
	if b.kept.SupersededBy != "" {
		v.Newer = sheetAddress(b.kept.SupersededBy)
	}
	v.Earlier, v.Corrects = earlier(b.job, b.spot), b.corrects
	if last, found := lastOn(b.job, b.spot); found {
		v.EarlierAddress = savedAddress(v.Code, last.ID)
	}
	v.Sampling = sampling(b.job, b.spot.Piece)
	if last := len(b.job.Readings) - 1; last >= 0 {
		v.SetAlready = b.job.Readings[last].Step == b.spot.Step
	}
	v.Halt, v.Asks = b.job.Halt(b.spot), asksBeside(b)
	v.Ahead = ahead(b.job, b.spot)
}

// earlier lists the readings that count for a bend.
func earlier(job progress.Job, spot progress.Spot) string {
	var all []string
	for _, r := range progress.Counted(job) {
		if r.Piece == spot.Piece && r.Step == spot.Step {
			all = append(all, strings.TrimSpace(r.Bend().Text(1)+"° "+r.Place))
		}
	}
	return strings.Join(all, ", ")
}

// ahead lists the bends that come after this one if all goes well, for a phone
// that has lost the network: "1.2 1.3 2.1" is piece 1 step 2 and so on. The
// order is asked of progress, so that the phone need not know the rule.
func ahead(job progress.Job, here progress.Spot) string {
	job.Readings = slices.Clone(job.Readings)
	var spots []string
	for n, spot := range aheadOf(job, here) {
		if n > 0 {
			spots = append(spots, fmt.Sprintf("%d.%d", spot.Piece, spot.Step))
		}
	}
	return strings.Join(spots, " ")
}

func aheadOf(job progress.Job, spot progress.Spot) []progress.Spot {
	spots := []progress.Spot{spot}
	for more := true; more && len(spots) <= bendsAhead; {
		step, _ := progress.StepOf(job.Traveler, spot.Step)
		job.Readings = append(job.Readings, progress.Reading{
			ID: fmt.Sprintf("ahead %d", len(spots)), Piece: spot.Piece, Step: spot.Step,
			Measured: step.Target, GivenAs: progress.GivenBend, State: progress.StateAsBent,
		})
		if spot, more = progress.Next(job); more {
			spots = append(spots, spot)
		}
	}
	return spots
}

// setStop gives the one stop to set, and the printed one beside it where that is
// another.
func (v *bendView) setStop(t *traveler.Traveler, step traveler.Step, due progress.Due) {
	v.Stop, v.StopWhy, v.StopScale = due.Stop.Text(1), due.Why, "on the scale, bend angle"
	if t.Brake.Reads == progress.GivenOpening {
		v.StopScale = "on the scale, opening"
	}
	if printed := step.Stop.Text(1); printed != v.Stop {
		v.Printed = printed
	}
}

// setStep words what the sheet says about the step.
func (v *bendView) setStep(u say.Ruler, t *traveler.Traveler, step traveler.Step) {
	v.Target, v.Opening = step.Target.Text(1)+"°", opening(step.Target).Text(1)+"°"
	v.Tolerance = step.Tolerance.Text(1) + "°"
	v.TargetValue, v.ToleranceValue = step.Target.Text(2), step.Tolerance.Text(2)
	v.Bar, v.Fingers, v.Leaf, v.Place = step.Bar, fingers(step), leaves[step.Leaf], places[step.Place]
	v.NoseSetback = "nose setback " + u.Short(step.NoseSetback.MM())
	if step.ContactLine != 0 {
		v.NoseSetback = "axis " + u.Short(step.ContactLine.MM()) + " behind the hinge"
	}
	if step.GaugeFrom != nil || step.GaugeEdge != "" {
		v.Gauge = phrase.Gauge(t.Blank, step)
	}
	if step.Gauge != 0 && v.Gauge != "" {
		v.Gauge = u.Short(step.Gauge.MM()) + " " + v.Gauge
	}
	for _, c := range phrase.Checks(step) {
		v.Checks = append(v.Checks, c.Words+" "+u.Short(c.Size.MM()))
	}
	v.Handling = handling(t, step)
	for _, c := range step.Cautions {
		v.Cautions = append(v.Cautions, cautionView{c.Level, signalWords[c.Level], c.Text})
	}
}

func opening(bend unit.CentiDeg) unit.CentiDeg { return unit.Opening(bend.Deg()).CentiDeg() }

var leaves = map[string]string{traveler.FullLeaf: "full face", traveler.SlimLeaf: "slim face"}

var places = map[string]string{
	traveler.Middle:    "middle of the brake",
	traveler.PastLeft:  "hanging past the left end",
	traveler.PastRight: "hanging past the right end",
}

// fingers names the fingers of a segmented bar from left to right.
func fingers(step traveler.Step) string {
	if len(step.Segments) == 0 {
		return ""
	}
	widths := make([]string, len(step.Segments))
	for i, segment := range step.Segments {
		widths[i] = segment.Width.Text(0)
	}
	return fmt.Sprintf("%s mm; the first %s mm in from the left end of the bend",
		strings.Join(widths, " + "), step.Segments[0].At.Text(1))
}

// handling lists what is done before the bend: to the part, then to the brake.
func handling(t *traveler.Traveler, step traveler.Step) []string {
	var doings []string
	if step.TurnOver {
		doings = append(doings, "Turn the part over about the bend line: face "+step.FaceUp+" up.")
	}
	if step.Rotate != 0 {
		doings = append(doings, fmt.Sprintf("Turn the part %d° anticlockwise, seen from above.", step.Rotate))
	}
	before, found := progress.StepOf(t, step.Number-1)
	if found && (before.Bar != step.Bar || !slices.Equal(before.Segments, step.Segments)) {
		doings = append(doings, "Change to the "+barWords(step)+".")
	}
	if found && before.Leaf != step.Leaf {
		doings = append(doings, "Set the leaf to its "+leaves[step.Leaf]+".")
	}
	if step.BarPlace != "" {
		doings = append(doings, strings.ToUpper(step.BarPlace[:1])+step.BarPlace[1:]+".")
	}
	if step.Packing {
		doings = append(doings, "Lay a packing strip of the same gauge under the back of the bar.")
	}
	if step.SlideOut != "" {
		doings = append(doings, "After the bend slide the bar out to the "+step.SlideOut+": it is closed in.")
	}
	return doings
}

func barWords(step traveler.Step) string {
	if len(step.Segments) > 0 {
		return step.Bar
	}
	return step.Bar + " bar"
}

// setForm fills the fields: with what was typed, or fresh ones with what the
// phone chose last time.
func (v *bendView) setForm(r *http.Request, b bendRequest, due progress.Due) {
	v.PadAs = web.Remembered(r, ProtractorCookie)
	if v.PadAs != progress.GivenOpening {
		v.PadAs = progress.GivenBend
	}
	if b.given != nil {
		v.Form = formView{b.given}
		return
	}
	state := cmpOr(b.state, progress.StateAsBent)
	if b.state == "" && b.corrects == "" && due.Do != progress.DoBend {
		state = progress.StateReworked
	}
	v.Form = formView{url.Values{
		"given_as": {v.PadAs}, "place": {progress.PlaceMiddle}, "state": {state}, "by": {web.Remembered(r, InitialsCookie)},
		"stop": {v.Stop},
	}}
}

// setPad offers the angles around the target, in the angle the phone's
// protractor shows.
func (v *bendView) setPad(step traveler.Step) {
	middle := step.Target
	v.PadBend, v.PadOpening = "Bend angle, from flat", "Opening between the flanges"
	v.PadWords = v.PadBend
	if v.PadAs == progress.GivenOpening {
		middle, v.PadWords = opening(step.Target), v.PadOpening
	}
	for tenths := -padReach; tenths <= padReach; tenths++ {
		v.Pad = append(v.Pad, (middle + unit.CentiDeg(10*tenths)).Text(1))
	}
}

func (v *bendView) setSketch(step traveler.Step) error {
	before, after := view.Pair(step, sketchWidth, sketchHeight)
	var err error
	if v.Before, err = web.Picture(before); err != nil {
		return err
	}
	v.After, err = web.Picture(after)
	return err
}

func cmpOr(first, second string) string {
	if first != "" {
		return first
	}
	return second
}
