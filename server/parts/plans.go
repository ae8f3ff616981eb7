package parts

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"html/template"
	"math"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"brakeside/calc/fault"
	"brakeside/calc/fitting"
	"brakeside/calc/flat"
	"brakeside/calc/process"
	"brakeside/calc/scene"
	"brakeside/calc/unit"
	"brakeside/calc/wording"
	"brakeside/server/planning"
	"brakeside/server/say"
	"brakeside/server/store"
	"brakeside/server/web"
	"brakeside/traveler"
	"brakeside/traveler/phrase"
	"brakeside/traveler/view"
)

type plansView struct {
	Frame                   web.Frame
	Seq                     int64
	Number, Revision, Title string
	Quantity                int
	Plans                   []planView
	Busy                    bool // a plan is still being worked out
}

// planView is one part on one brake.
type planView struct {
	Brake, Steps     string // Steps: address of the picture sequence
	Feasible         bool
	Verdict, Trouble string
	Facts            []web.Pair
	Tight            []string
	Likely           []string // sizes and angles that may not hold
	LikelyBy         string
	Blocked          []blockedView
	Minutes          string
	BrakeSeq         int64
	Proven           string
	Working          *workingView // while it is being worked out
	least            float64
}

// workingView is how far a plan has come.
type workingView struct {
	Done, All int64
	Words     string
}

type blockedView struct {
	Bends   string
	One     bool // bend
	Why     []string
	Cures   []cureView
	Words   string
	Picture template.HTML
}

// cureView is a change that was planned, and the form with that change made.
type cureView struct{ Change, Kind, Address string }

// PlansPage plans a part on every brake of the shop, side by side, the quickest
// first.
func (s *Section) PlansPage(w http.ResponseWriter, r *http.Request) error {
	made, err := s.Version(r, store.Parts)
	if err != nil {
		return err
	}
	brakes, err := s.Brakes(r.Context())
	if err != nil {
		return err
	}
	view := plansView{Frame: s.Frame(r, "parts"), Seq: made.Seq, Number: made.Name, Revision: made.Revision, Title: made.Title, Quantity: 1}
	if n, err := strconv.Atoi(r.URL.Query().Get("quantity")); err == nil && n > 0 && n < 100000 {
		view.Quantity = n
	}
	ctx, cancel := context.WithTimeout(r.Context(), planning.PagePatience)
	defer cancel()
	for _, on := range brakes {
		p, err := s.planViewOf(ctx, r, made, on, view.Quantity)
		if err != nil {
			return err
		}
		view.Busy = view.Busy || p.Working != nil
		view.Plans = append(view.Plans, p)
	}
	slices.SortStableFunc(view.Plans, func(a, b planView) int {
		if a.Feasible != b.Feasible {
			return map[bool]int{true: -1, false: 1}[a.Feasible]
		}
		return int((a.least - b.least) * 1000)
	})
	return s.Show(w, web.Page{Name: "owner/plans", View: view})
}

// planViewOf is a part on one brake, or how far its plan has come when the
// context ends.
func (s *Section) planViewOf(ctx context.Context, r *http.Request, made, on store.Revision, quantity int) (planView, error) {
	steps := fmt.Sprintf("%s/bends?brake=%d&quantity=%d", partAddress(made.Seq), on.Seq, quantity)
	p := planView{Brake: on.Name, BrakeSeq: on.Seq, Steps: steps}
	work, err := s.plans.On(r.Context(), planning.Asked{Part: made, Brake: on, Quantity: quantity, Account: web.Account(r)})
	if err != nil {
		return p, err
	}
	plan, err := work.Wait(ctx)
	if ctx.Err() != nil && errors.Is(err, ctx.Err()) {
		p.Working = workingOf(work)
		return p, nil
	}
	if err == nil {
		err = p.fill(plan, s.Ruler(r.Context()), formsOf{made.Seq, on.Seq})
	}
	if err == nil && plan.Feasible {
		err = s.fillLikely(r.Context(), &p, plan)
	}
	if web.IsRefusal(err) {
		_, p.Trouble = web.MessageOf(err)
		err = nil
	}
	return p, err
}

func workingOf(w *planning.Work) *workingView {
	v := &workingView{Words: "waits for the plan before it"}
	v.Done, v.All = w.Progress()
	if v.All > 0 {
		v.Words = fmt.Sprintf("%d of at most %d sets of bends looked at", v.Done, v.All)
	}
	return v
}

// fillLikely puts in which sizes and angles may not hold.
func (s *Section) fillLikely(ctx context.Context, p *planView, plan *process.Plan) error {
	c, by, err := s.capability(ctx, plan.Brake.Name)
	p.Likely, p.LikelyBy = likelyWords(plan, c), by
	return err
}

// fill words a plan.
func (p *planView) fill(plan *process.Plan, rule say.Ruler, forms formsOf) error {
	p.Feasible, p.least = plan.Feasible, plan.Minutes
	short := wording.InShort(plan)
	p.Facts = web.Pairs("Blank", rule.Size(plan.Blank.Width)+" × "+rule.Size(plan.Blank.Height), "Inside radius", short.Radius)
	if !plan.Feasible {
		p.Facts = append(p.Facts, web.Pairs("In plain words", short.No)...)
		p.Verdict = "cannot be bent here"
		if plan.Undecided {
			p.Verdict = "no order found, and none proven impossible"
		}
		return p.fillBlocked(plan, forms)
	}
	p.Verdict, p.Minutes = "can be bent", fmt.Sprintf("%.1f", plan.Minutes)
	p.Proven = "the cheapest order, proven"
	if !plan.ProvenCheapest {
		p.Proven = "the best order found"
		if plan.AtLeast > 0 {
			p.Proven += fmt.Sprintf("; none takes less than %.1f", math.Floor(plan.AtLeast*10)/10)
		}
	}
	bars, order := []string{}, []string{}
	for _, step := range plan.Steps {
		if !slices.Contains(bars, step.Bar.Name) {
			bars = append(bars, step.Bar.Name)
		}
		order = append(order, plan.Blank.Word(step.Bends[0]))
		if step.Tight {
			p.Tight = append(p.Tight, fmt.Sprintf("step %d, bend %s: %s between %s and %s",
				step.Number, plan.Blank.Word(step.Bends[0]), rule.Size(step.Clearance), plan.Blank.Word(step.Between[0]), step.Between[1]))
		}
	}
	p.Facts = append(p.Facts, web.Pairs(
		"Bars", strings.Join(bars, ", "), "Order", strings.Join(order, " → "),
		"Tight steps", strconv.Itoa(len(p.Tight)), "Cautions", cautionsInShort(short.Cautions),
	)...)
	return nil
}

// cautionsInShort counts the cautions of a plan and says the first.
func cautionsInShort(said []string) string {
	if len(said) == 0 {
		return "none"
	}
	return fmt.Sprintf("%d: %s", len(said), said[0])
}

// formsOf names the kept part and brake of a plan, whose forms a cure can be opened in.
type formsOf struct{ part, brake int64 }

// with is the address of the form with a cure made, unsaved; none for one that changes
// no file.
func (f formsOf) with(c process.Cure) (string, error) {
	if len(c.Patch) == 0 {
		return "", nil
	}
	patch, err := json.Marshal(c.Patch)
	if err != nil {
		return "", err
	}
	page, from := "/parts/new", f.part
	if c.Of == process.OfBrake {
		page, from = "/brakes/new", f.brake
	}
	return page + "?" + url.Values{"from": {strconv.FormatInt(from, 10)}, "change": {string(patch)}}.Encode(), nil
}

func (p *planView) fillBlocked(plan *process.Plan, forms formsOf) error {
	for _, b := range plan.Blocked {
		out := blockedView{
			Bends: strings.Join(plan.Blank.Words(b.Bends), ", "), One: len(b.Bends) == 1,
			Why: b.Why, Words: b.Picture.Words,
		}
		for _, c := range b.Cures {
			address, err := forms.with(c)
			if err != nil {
				return err
			}
			out.Cures = append(out.Cures, cureView{Change: c.Change, Kind: cureWords[c.Kind], Address: address})
		}
		if len(b.Picture.Shapes) > 0 {
			drawn, err := web.Picture(view.EndView(traveler.FreezeShapes(b.Picture.Shapes), 90, 60))
			if err != nil {
				return err
			}
			out.Picture = drawn
		}
		p.Blocked = append(p.Blocked, out)
	}
	return nil
}

// cureWords says who can make a change.
var cureWords = map[process.CureKind]string{
	process.SetupCure:   "at the brake",
	process.StockCure:   "with other tools on the shelf",
	process.DrawingCure: "in the drawing",
	process.SplitCure:   "in two pieces",
}

type bendsView struct {
	Frame                   web.Frame
	Seq, BrakeSeq           int64
	Number, Revision, Brake string
	Quantity                int
	Steps                   []sequenceStep
	Now                     frameOfStep
	Trouble                 string
}

// sequenceStep is one step of the picture sequence.
type sequenceStep struct {
	Number               int
	Address, Bend, Words string
	Here                 bool
	Bench, After         template.HTML
	Cautions             []string
	Closes               []string
}

// frameOfStep is the step that is looked at, with the leaf at an angle.
type frameOfStep struct {
	Step                       int
	Angle, Stop, Target, Field string
	Picture                    template.HTML
	Facts                      []web.Pair
	Source                     string // address of the picture without its angle
	Before, After              string // addresses of the neighbours
}

// BendsPage steps through the bends of a plan as pictures.
func (s *Section) BendsPage(w http.ResponseWriter, r *http.Request) error {
	plan, shown, err := s.planOfAddress(r)
	if err != nil {
		return err
	}
	shown.Frame = s.Frame(r, "parts")
	if !plan.Feasible {
		shown.Trouble = "This part " + plan.Not() + "; the page before says more."
		return s.Show(w, web.Page{Name: "owner/bends", View: shown})
	}
	at, angle := stepAndAngle(r, plan)
	self := fmt.Sprintf("%s/bends?brake=%d&quantity=%d", partAddress(shown.Seq), shown.BrakeSeq, shown.Quantity)
	for _, step := range plan.Steps {
		line, err := sequenceOf(plan, step)
		if err != nil {
			return err
		}
		line.Address, line.Here = fmt.Sprintf("%s&step=%d", self, step.Number), step.Number == at
		shown.Steps = append(shown.Steps, line)
	}
	step := plan.Steps[at-1]
	shown.Now = frameOfStep{
		Step: at, Angle: angle.Text(1), Stop: step.StopBend.Text(1), Target: step.Target.Text(1),
		Facts:  stepFacts(plan.Blank, step, s.Ruler(r.Context())),
		Source: fmt.Sprintf("%s/frame.svg?brake=%d&quantity=%d&step=%d&angle=", partAddress(shown.Seq), shown.BrakeSeq, shown.Quantity, at),
	}
	if at > 1 {
		shown.Now.Before = fmt.Sprintf("%s&step=%d", self, at-1)
	}
	if at < len(plan.Steps) {
		shown.Now.After = fmt.Sprintf("%s&step=%d", self, at+1)
	}
	return s.Show(w, web.Page{Name: "owner/bends", View: shown})
}

// planOfAddress plans what the address names.
func (s *Section) planOfAddress(r *http.Request) (*process.Plan, bendsView, error) {
	made, err := s.Version(r, store.Parts)
	if err != nil {
		return nil, bendsView{}, err
	}
	query := r.URL.Query()
	seq, err := strconv.ParseInt(query.Get("brake"), 10, 64)
	if err != nil {
		return nil, bendsView{}, fault.New(fault.Missing, "", "Say on which brake.")
	}
	on, err := s.Store.Version(r.Context(), store.Brakes, seq)
	if err != nil {
		return nil, bendsView{}, err
	}
	quantity, err := strconv.Atoi(query.Get("quantity"))
	if err != nil || quantity < 1 || quantity > 99999 {
		quantity = 1
	}
	ctx, cancel := context.WithTimeout(r.Context(), planning.StepsPatience)
	defer cancel()
	work, err := s.plans.On(ctx, planning.Asked{Part: made, Brake: on, Quantity: quantity, Account: web.Account(r)})
	if err != nil {
		return nil, bendsView{}, err
	}
	plan, err := work.Wait(ctx)
	if errors.Is(err, context.DeadlineExceeded) {
		err = fault.New(fault.Busy, "", "This plan takes long. The page of the plans shows how far it has come.")
	}
	view := bendsView{
		Seq: made.Seq, BrakeSeq: on.Seq, Number: made.Name, Revision: made.Revision, Brake: on.Name, Quantity: quantity,
	}
	return plan, view, err
}

// stepAndAngle reads which step is looked at, and how far the leaf has swung: as
// far as the part is bent, if nothing is said.
func stepAndAngle(r *http.Request, plan *process.Plan) (int, unit.Deg) {
	step, err := strconv.Atoi(r.URL.Query().Get("step"))
	if err != nil || step < 1 || step > len(plan.Steps) {
		step = 1
	}
	angle, err := strconv.ParseFloat(r.URL.Query().Get("angle"), 64)
	if err != nil || !(angle >= 0) {
		return step, plan.Steps[step-1].Target
	}
	return step, min(unit.Deg(angle), plan.Steps[step-1].StopBend)
}

func sequenceOf(plan *process.Plan, step process.Step) (sequenceStep, error) {
	b := plan.Blank
	shown := traveler.Step{
		Clamped: b.Word(step.Clamped), Swinging: b.Word(step.Swinging), Target: step.Target.CentiDeg(),
		Bench:  traveler.FreezePicture(b, scene.Bench(plan, step.Number)),
		Before: traveler.FreezeShapes(step.Before), After: traveler.FreezeShapes(step.After),
	}
	_, after := view.Pair(shown, 60, 45)
	drawn, err := drawings(view.Bench(shown, 60, 45, nameSize), after)
	if err != nil {
		return sequenceStep{}, err
	}
	out := sequenceStep{
		Number: step.Number, Bend: strings.Join(b.Words(step.Bends), ", "), Words: handlingWords(b, step),
		Bench: drawn[0], After: drawn[1], Closes: step.Closes,
	}
	for _, c := range step.Cautions {
		out.Cautions = append(out.Cautions, c.Text())
	}
	return out, nil
}

// handlingWords says what is done before a bend.
func handlingWords(b *flat.Blank, step process.Step) string {
	var words []string
	words = append(words, phrase.Turns(traveler.FreezeHandling(b, step))...)
	words = append(words, barOf(step))
	if step.Leaf == "slim" {
		words = append(words, phrase.Leaf(traveler.SlimLeaf))
	}
	if step.Place != process.Middle {
		words = append(words, placeWords[step.Place])
	}
	return strings.Join(words, ", ")
}

var placeWords = map[process.Place]string{process.PastLeft: "past the left end", process.PastRight: "past the right end"}

func barOf(step process.Step) string {
	if len(step.Segments) == 0 {
		return step.Bar.Name + " bar"
	}
	var widths []string
	for _, g := range step.Segments {
		widths = append(widths, g.Width.Text(0))
	}
	return step.Bar.Name + " " + strings.Join(widths, " + ")
}

func stepFacts(b *flat.Blank, step process.Step, rule say.Ruler) []web.Pair {
	facts := web.Pairs(
		"Bend", strings.Join(b.Words(step.Bends), ", "), "Stop", step.Stop.Text(1),
		"Target", step.Target.Text(1)+"°", "Clamped", b.Word(step.Clamped), "Bar", barOf(step),
		"Nose setback", rule.Sheet(step.NoseSetback),
	)
	if step.Bar.Gauged().Behind > 0 {
		facts = append(facts, web.Pairs("Axis behind the hinge", rule.Sheet(step.LineSetback()))...)
	}
	if step.Between != [2]string{} {
		tight := ""
		if step.Tight {
			tight = " (tight)"
		}
		clear := rule.Size(step.Clearance) + ", " + b.Word(step.Between[0]) + " and " + step.Between[1] + tight
		facts = append(facts, web.Pair{Name: "Least clearance", Value: clear})
	}
	return facts
}

// FramePicture gives the end view of a step at an angle. All angles of a step
// are drawn at the same scale and place.
func (s *Section) FramePicture(w http.ResponseWriter, r *http.Request) error {
	plan, _, err := s.planOfAddress(r)
	if err != nil {
		return err
	}
	if !plan.Feasible {
		return fault.New(fault.Unbendable, "", "%s: %s", plan.Blank.Part.Number, plan.Not())
	}
	at, angle := stepAndAngle(r, plan)
	stop := plan.Steps[at-1].StopBend
	around := slices.Concat(fitting.ViewAt(plan, at, 0), fitting.ViewAt(plan, at, stop/2), fitting.ViewAt(plan, at, stop))
	shown, _ := view.Pair(traveler.Step{
		Before: traveler.FreezeShapes(fitting.ViewAt(plan, at, angle)), After: traveler.FreezeShapes(around),
	}, 150, 100)
	shown.Title = "End view with the leaf at " + angle.Text(1) + " degrees"
	drawn, err := web.Picture(shown)
	if err != nil {
		return err
	}
	return web.Write(w, web.Reply{Kind: "image/svg+xml", Body: []byte(drawn)})
}
