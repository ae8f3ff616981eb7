package main

import (
	"context"
	cryptorand "crypto/rand"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"time"

	"brakeside/calc/brake"
	"brakeside/calc/part"
	"brakeside/calc/unit"
	"brakeside/server/lessons"
	"brakeside/server/planning"
	"brakeside/server/store"
	"brakeside/traveler"
	"brakeside/traveler/progress"
	"brakeside/traveler/standing"
)

// Behind the demo lie four months of an invented shop: jobs whose bends spring back a
// little more than the tables say, a scale that slipped and was put right, a lot that
// was harder, a sheet that was replaced, and a run that was logged on paper.

// historyDays is how many days ago the shop began.
const historyDays = 125

// pastPart is a part of the past: one of the demo's under another number.
type pastPart struct{ file, number, title string }

var pastParts = []pastPart{
	{"shop/drip-tray.json", "DT-205", "Drip tray, first series"},
	{"shop/rail-bracket.json", "RB-118", "Rail bracket, short"},
	{"shop/cable-cover.json", "CC-031", "Cable cover, plain"},
}

// pastJob is one job of the past.
type pastJob struct {
	daysAgo, part, quantity int
	customer                string
	lot                     string  // of the sheet; empty: not said
	slipped                 float64 // degrees that the scale shows too much
	paper                   bool    // logged on paper and typed in at night
	replaced                bool    // by a sheet of the next revision, before it was begun
	running, waiting        bool    // not finished yet; not begun
}

// The lots of sheet of the past.
const (
	usualLot  = "P-31"
	harderLot = "P-44"
)

var pastJobs = []pastJob{
	{daysAgo: 120, part: 0, quantity: 6, customer: "Ash Lane Boats"},
	{daysAgo: 111, part: 1, quantity: 20, customer: "Hillside Pumps", lot: usualLot},
	{daysAgo: 100, part: 2, quantity: 8, customer: "Mill Road Lighting"},
	{daysAgo: 88, part: 1, quantity: 16, customer: "Hillside Pumps", lot: usualLot, paper: true},
	{daysAgo: 73, part: 1, quantity: 12, customer: "Hillside Pumps", lot: usualLot, replaced: true},
	{daysAgo: 60, part: 0, quantity: 8, customer: "Ash Lane Boats", slipped: 1.6},
	{daysAgo: 52, part: 1, quantity: 14, customer: "Hillside Pumps", lot: usualLot, slipped: 1.6},
	{daysAgo: 46, part: 1, quantity: 12, customer: "Hillside Pumps", lot: usualLot, slipped: 1.6},
	{daysAgo: 34, part: 2, quantity: 6, customer: "Mill Road Lighting"},
	{daysAgo: 26, part: 1, quantity: 14, customer: "Hillside Pumps", lot: harderLot},
	{daysAgo: 14, part: 1, quantity: 10, customer: "Hillside Pumps", lot: harderLot},
	{daysAgo: 5, part: 0, quantity: 6, customer: "Ash Lane Boats", running: true},
	{daysAgo: 3, part: 2, quantity: 4, customer: "Mill Road Lighting", waiting: true},
}

// What is true of the invented metal, in degrees of springback beyond the tables.
const (
	moreSpringback   = 0.6
	harderSpringback = 0.8
	pastSpread       = 0.25
)

// measuredOneIn pieces is one measured, besides the first and the last.
const measuredOneIn = 6

// movedClock is a clock that stands where it is put, until it is let go.
type movedClock struct{ at time.Time }

func (c *movedClock) now() time.Time {
	if c.at.IsZero() {
		return time.Now()
	}
	return c.at
}

// history writes the past.
type history struct {
	store    *store.Store
	clock    *movedClock
	planner  *planner
	base     string
	today    time.Time
	random   *rand.Rand
	brake    store.Revision
	parts    []store.Revision
	expected map[string][]unit.CentiDeg // springback by the tables, by part and step
}

// writeHistory fills the store of a demo with its past and lets the clock go.
func writeHistory(ctx context.Context, v *service, clock *movedClock) error {
	h := &history{
		store: v.store, clock: clock, base: v.base, today: time.Now().UTC().Truncate(24 * time.Hour), random: rand.New(rand.NewPCG(4, 1)),
		expected: map[string][]unit.CentiDeg{},
	}
	defer func() { clock.at = time.Time{} }()
	h.planner = &planner{store: v.store, book: lessons.Open(v.store), now: clock.now, random: cryptorand.Reader}
	if err := h.begin(ctx); err != nil {
		return err
	}
	for n, j := range pastJobs {
		if err := h.job(ctx, fmt.Sprint(1001+n), j); err != nil {
			return fmt.Errorf("the past job %d: %w", 1001+n, err)
		}
	}
	return nil
}

// on puts the clock on a day before today, at an hour.
func (h *history) on(daysAgo int, hour time.Duration) {
	h.clock.at = h.today.AddDate(0, 0, -daysAgo).Add(hour * time.Hour)
}

// begin enters the brake, the parts and the lots.
func (h *history) begin(ctx context.Context) error {
	h.on(124, 8)
	k, err := brake.Read(demoBrake)
	if err != nil {
		return err
	}
	if h.brake, err = h.store.Find(ctx, store.Brakes, k.Name); err != nil {
		return err
	}
	for _, p := range pastParts {
		file, err := demoFiles.ReadFile(p.file)
		if err != nil {
			return err
		}
		kept, err := h.ready(ctx, file, p, "A")
		if err != nil {
			return err
		}
		h.parts = append(h.parts, kept)
	}
	bracket, err := part.Read(h.parts[1].JSON)
	for _, lot := range []store.Pack{{Name: usualLot, Heat: "71404"}, {Name: harderLot, Heat: "90218", Note: "feels harder"}} {
		lot.Material, lot.Thickness = bracket.Material, bracket.Thickness.Micron()
		if err == nil {
			err = h.store.KeepPack(ctx, lot)
		}
	}
	if err == nil {
		err = h.measure(ctx, bracket)
	}
	return err
}

// measure notes two trial strips, and how well two people measure three corners twice.
func (h *history) measure(ctx context.Context, bracket part.Part) error {
	for n, leg := range []unit.Micron{50900, 50850} {
		strip := store.Trial{
			Material: bracket.Material, Thickness: bracket.Thickness.Micron(), Pack: usualLot, Bar: "wide", Strip: 99000,
			Legs: [2]unit.Micron{leg, 50800}, Angle: unit.CentiDeg(9000 + 10*n), StopBend: 9210, Radius: 1500, By: "AB",
		}
		if err := h.store.AddTrial(ctx, strip); err != nil {
			return err
		}
	}
	study := store.Study{Tool: "plate protractor", People: []string{"AB", "CD"}}
	for person := range study.People {
		var corners [][]unit.CentiDeg
		for corner := range 3 {
			turn := unit.CentiDeg(8950 + 60*corner + 10*person)
			corners = append(corners, []unit.CentiDeg{turn, turn + 10})
		}
		study.Readings = append(study.Readings, corners)
	}
	return h.store.AddStudy(ctx, study)
}

// ready keeps a revision of a past part and makes it ready.
func (h *history) ready(ctx context.Context, file []byte, p pastPart, revision string) (store.Revision, error) {
	var fields map[string]any
	if err := json.Unmarshal(file, &fields); err != nil {
		return store.Revision{}, err
	}
	fields["number"], fields["title"], fields["revision"] = p.number, p.title, revision
	text, err := json.MarshalIndent(fields, "", " ")
	if err != nil {
		return store.Revision{}, err
	}
	kept, err := h.store.Keep(ctx, store.Parts, store.Revision{Name: p.number, Revision: revision, Title: p.title, JSON: text})
	if err != nil {
		return kept, err
	}
	return kept, h.store.AddMark(ctx, store.Mark{Number: p.number, Revision: revision, Kind: store.MarkReady, By: store.RoleOwner})
}

// job issues a job, bends it and closes it.
func (h *history) job(ctx context.Context, number string, j pastJob) error {
	h.on(j.daysAgo, 7)
	due := h.today.AddDate(0, 0, 4-j.daysAgo).Format(time.DateOnly)
	issued, err := h.issue(ctx, number, j, "")
	if err != nil {
		return err
	}
	if err := h.store.DetailJob(ctx, store.JobDetail{Job: number, Due: due, Customer: j.customer, By: store.RoleOwner}); err != nil {
		return err
	}
	if j.replaced {
		h.on(j.daysAgo-1, 7)
		if h.parts[j.part], err = h.ready(ctx, h.parts[j.part].JSON, pastParts[j.part], "B"); err != nil {
			return err
		}
		if issued, err = h.issue(ctx, number, j, issued.Traveler.Code); err != nil {
			return err
		}
	}
	if j.waiting {
		return nil
	}
	if err := h.bend(ctx, issued.Traveler, j); err != nil || j.running {
		return err
	}
	if j.slipped != 0 && j.daysAgo < 50 { // the second job with a slipped scale: somebody looked
		h.on(j.daysAgo-2, 16)
		said := store.Statement{Kind: store.ScaleSet, Brake: h.brake.Name, By: "AB"}
		if err := h.store.Say(ctx, said); err != nil {
			return err
		}
	}
	return h.store.AddEvent(ctx, store.Event{
		Code: issued.Traveler.Code, Kind: standing.Closed, Detail: "all made, delivered", By: store.RoleOwner,
	})
}

// issue plans a job by what the log has taught so far, and keeps its sheet.
func (h *history) issue(ctx context.Context, number string, j pastJob, old string) (store.Issued, error) {
	made := h.parts[j.part]
	plan, err := h.planner.Plan(ctx, planning.PlanRequest{PartJSON: made.JSON, BrakeJSON: h.brake.JSON, Quantity: j.quantity, Pack: j.lot})
	if err != nil {
		return store.Issued{}, err
	}
	issued, err := h.planner.Issue(ctx, planning.IssueRequest{Plan: plan, Job: number, By: store.RoleOwner, Base: h.base, Pack: j.lot})
	if err != nil {
		return issued, err
	}
	issued.Basis = store.Basis{Part: made.Seq, Brake: h.brake.Seq}
	if old == "" {
		err = h.store.AddJob(ctx, store.Job{
			Number: number, Part: made.Name, Revision: made.Revision, Quantity: j.quantity, Brake: h.brake.Name,
		})
	} else {
		issued.Supersedes, issued.Basis.Reason = []string{old}, "the drawing has a new revision"
	}
	if err == nil {
		err = h.store.KeepTraveler(ctx, issued)
	}
	return issued, err
}

// bend logs the pieces of a job that are measured, and half of the first of one that is
// running. Where the leaf stops, the metal comes to rest by its springback.
func (h *history) bend(ctx context.Context, t *traveler.Traveler, j pastJob) error {
	every := store.Event{Code: t.Code, Kind: standing.Resampled, Detail: fmt.Sprint(measuredOneIn), By: store.RoleOwner}
	if err := h.store.AddEvent(ctx, every); err != nil {
		return err
	}
	by := []string{"AB", "CD"}[j.daysAgo%2]
	none := func(int) bool { return false }
	for n, piece := range standing.Sample(j.quantity, measuredOneIn, none) {
		for i, step := range t.Steps {
			if j.running && n+i > len(t.Steps)/2 {
				return nil
			}
			at := h.today.AddDate(0, 0, -j.daysAgo).Add(9*time.Hour + time.Duration(n*len(t.Steps)+i)*4*time.Minute)
			if h.clock.at = at; j.paper {
				h.on(j.daysAgo, 19)
			}
			if err := h.log(ctx, t, step, pastReading{piece, by, at, j}); err != nil {
				return err
			}
		}
	}
	return nil
}

// pastReading is a bend of the past.
type pastReading struct {
	piece int
	by    string
	at    time.Time
	job   pastJob
}

func (h *history) log(ctx context.Context, t *traveler.Traveler, step traveler.Step, r pastReading) error {
	comes := float64(step.Stop.Deg()) - h.springback(t, step) - moreSpringback - r.job.slipped + pastSpread*h.random.NormFloat64()
	note := ""
	if r.job.lot == harderLot {
		comes -= harderSpringback
	}
	if r.job.paper {
		note = "typed in from paper"
	}
	body, err := json.Marshal(map[string]any{
		"id": fmt.Sprintf("past-%s-%d-%d", t.Code[:8], r.piece, step.Number), "piece": r.piece, "step": step.Number,
		"measured": math.Round(10*comes) / 10, "stop": float64(step.Stop.Deg()), "by": r.by, "pack": r.job.lot, "note": note,
		"at": r.at.Format(time.RFC3339), "confirmed": true,
	})
	if err != nil {
		return err
	}
	reading, err := progress.ReadReading(body)
	if err != nil {
		return err
	}
	_, err = h.store.AddReading(ctx, store.Posted{Code: t.Code, Reading: reading, Body: body}, progress.Judge)
	return err
}

// springback is what the tables said of a step when its part was first issued.
func (h *history) springback(t *traveler.Traveler, step traveler.Step) float64 {
	known := h.expected[t.Part.Number]
	if known == nil {
		for _, s := range t.Steps {
			known = append(known, s.Stop-s.Target)
		}
		h.expected[t.Part.Number] = known
	}
	return float64(known[step.Number-1].Deg())
}
