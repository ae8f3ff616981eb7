package review

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"brakeside/calc/brake"
	"brakeside/calc/fault"
	"brakeside/server/lessons"
	"brakeside/server/say"
	"brakeside/server/shelf"
	"brakeside/server/store"
	"brakeside/server/web"
)

type timeView struct {
	Frame     web.Frame
	Choice    filterView
	Trouble   string
	Lines     []paceLine
	Handlings []handlingView
	Changes   []changeLine
}

type paceLine struct {
	Job, Part, Brake, Planned, Actual, Ratio string
	Bends, Pauses                            int
	Address                                  string
}

type handlingView struct {
	Brake, Words string
	Factor, ID   string
	Lines        []minuteLine // empty where nothing is proposed
}

type minuteLine struct{ What, Now, Proposed string }

// TimePage compares planned minutes with those that the times of the readings
// tell, and proposes handling minutes.
func (s *Section) TimePage(w http.ResponseWriter, r *http.Request) error {
	return s.showTime(w, r, nil)
}

func (s *Section) showTime(w http.ResponseWriter, r *http.Request, fail error) error {
	choice, shown, err := s.chooses(r, "/review/time")
	if err != nil {
		return err
	}
	paces, err := s.book.Paces(r.Context(), choice)
	if err != nil {
		return err
	}
	view := timeView{Frame: s.Frame(r, "review"), Choice: shown}
	if fail != nil {
		_, view.Trouble = web.MessageOf(fail)
	}
	for _, p := range paces {
		view.Lines = append(view.Lines, paceLine{
			Job: p.Job, Part: p.Part, Brake: p.Brake,
			Planned: fmt.Sprintf("%.1f", p.Planned), Actual: fmt.Sprintf("%.1f", p.Actual), Ratio: fmt.Sprintf("%.2f", p.Ratio()),
			Bends: p.Bends, Pauses: p.Pauses, Address: shelf.JobAddress(p.Code),
		})
	}
	if err := s.fillHandlings(r, &view); err != nil {
		return err
	}
	return s.Show(w, web.Page{Status: web.FormStatus(fail), Name: "owner/time", View: view})
}

// fillHandlings puts in what is proposed and what was changed. Proposals rest on
// all jobs of a brake, whatever is chosen.
func (s *Section) fillHandlings(r *http.Request, v *timeView) error {
	paces, err := s.book.Paces(r.Context(), store.Choice{})
	if err != nil {
		return err
	}
	handlings, err := s.book.Handlings(r.Context(), paces)
	if err != nil {
		return err
	}
	for i, h := range handlings {
		v.Handlings = append(v.Handlings, handlingOf(h, i))
	}
	changes, err := s.book.MinutesChanges(r.Context())
	for _, c := range changes {
		v.Changes = append(v.Changes, s.minutesChangeOf(c))
	}
	return err
}

// handlingTime names one of a brake's handling minutes: as a person says it, and in
// the brake's file.
type handlingTime struct {
	words, name string
	of          func(brake.Minutes) float64
}

// handlingTimes are the minutes that the pace of a job tells of.
var handlingTimes = []handlingTime{
	{"bend", "bend", func(m brake.Minutes) float64 { return m.Bend }},
	{"turn over", "turn_over", func(m brake.Minutes) float64 { return m.TurnOver }},
	{"rotate by 90°", "rotate_per_90", func(m brake.Minutes) float64 { return m.RotatePer90 }},
	{"change the bar", "bar_change", func(m brake.Minutes) float64 { return m.BarChange }},
	{"place a finger", "per_finger_placed", func(m brake.Minutes) float64 { return m.PerFinger }},
	{"change the stop", "stop_change", func(m brake.Minutes) float64 { return m.StopChange }},
	{"leaf extension on or off", "leaf_extension_change", func(m brake.Minutes) float64 { return m.LeafChange }},
	{"slide the bar out", "slide_bar_out", func(m brake.Minutes) float64 { return m.SlideBarOut }},
	{"packing strip", "packing_strip", func(m brake.Minutes) float64 { return m.PackingStrip }},
}

func handlingOf(h lessons.Handling, number int) handlingView {
	v := handlingView{
		Brake: h.Brake, Factor: fmt.Sprintf("%.2f", h.Factor), ID: "minutes-" + strconv.Itoa(number),
		Words: fmt.Sprintf("The median of %s planned by the current minutes took %.2f times as long as planned, "+
			"measuring and logging in it.", say.Counted(h.Sheets, "job"), h.Ratio),
	}
	if !h.Proposed {
		v.Words += " No change is proposed."
		return v
	}
	for _, m := range handlingTimes {
		now := m.of(h.Now)
		v.Lines = append(v.Lines, minuteLine{m.words, fmt.Sprintf("%.2f", now), fmt.Sprintf("%.2f", taken(now, h.Factor))})
	}
	return v
}

// taken takes minutes by a factor, to the hundredth.
func taken(minutes, factor float64) float64 { return math.Round(100*minutes*factor) / 100 }

func (s *Section) minutesChangeOf(c lessons.MinutesChange) changeLine {
	line := changeLine{
		When: s.When(c.At), Cell: c.Name, By: c.By, Current: c.Current, Hidden: web.Pairs("brake", c.Name),
		Words:  fmt.Sprintf("%s: handling minutes by %.2f", c.Kind, c.Becomes),
		Before: ratioWords(c.Before, c.NBefore), After: ratioWords(c.After, c.NAfter),
	}
	if c.Kind == store.DecisionReturned {
		line.Words = "returned: handling minutes as before"
	}
	return line
}

func ratioWords(ratio float64, n int) string {
	if n == 0 {
		return "none yet"
	}
	return fmt.Sprintf("%.2f times as planned, n = %d", ratio, n)
}

// DecideMinutes keeps what the owner decided about the handling minutes of a
// brake, with the version of the brake that comes of it.
func (s *Section) DecideMinutes(w http.ResponseWriter, r *http.Request) error {
	form, err := s.ReadOffice(w, r)
	if err != nil {
		return err
	}
	choice, err := typedMinutes(form)
	var x lessons.MinutesSettled
	if err == nil {
		choice.By = s.ownerName(r)
		x, err = s.book.DecideMinutes(r.Context(), choice)
	}
	if web.IsRefusal(err) {
		return s.showTime(w, r, err)
	}
	if err != nil {
		return err
	}
	if err := s.settleMinutes(r.Context(), x); err != nil {
		return err
	}
	return web.GoOn(w, r, "/review/time", web.SaidMinutes)
}

func (s *Section) settleMinutes(ctx context.Context, x lessons.MinutesSettled) error {
	if x.Kind == store.DecisionRefused {
		return s.Store.Settle(ctx, x.Settlement, nil)
	}
	file, err := withMinutes(x)
	if err != nil {
		return err
	}
	if _, err := brake.Read(file); err != nil {
		return fmt.Errorf("the brake with other handling minutes: %w", err)
	}
	next := store.Revision{Name: x.Newest.Name, JSON: file}
	if err := s.Store.Settle(ctx, x.Settlement, &store.Shelved{Shelf: store.Brakes, Revision: next}); err != nil {
		return err
	}
	s.News.Tell()
	return nil
}

// withMinutes gives the brake's file with other handling minutes; all else in it
// stays.
func withMinutes(x lessons.MinutesSettled) ([]byte, error) {
	root, err := shelf.Decoded(x.Newest.JSON)
	if err != nil {
		return nil, err
	}
	if x.Back != nil {
		before, err := shelf.Decoded(x.Back.JSON)
		if err != nil {
			return nil, err
		}
		root["minutes"] = before["minutes"]
		return json.MarshalIndent(root, "", " ")
	}
	minutes, ok := root["minutes"].(map[string]any)
	if !ok {
		return nil, fault.New(fault.Missing, "minutes", "The brake's file has no handling minutes.")
	}
	for _, m := range handlingTimes {
		if v, is := minutes[m.name].(json.Number); is {
			now, err := v.Float64()
			if err != nil {
				return nil, err
			}
			minutes[m.name] = taken(now, x.Becomes)
		}
	}
	return json.MarshalIndent(root, "", " ")
}

func typedMinutes(form url.Values) (lessons.MinutesChoice, error) {
	c := lessons.MinutesChoice{Brake: form.Get("brake"), Kind: form.Get("kind")}
	if c.Kind == store.DecisionReturned {
		return c, nil
	}
	var err error
	if c.Seen, err = strconv.ParseFloat(form.Get("seen"), 64); err != nil {
		return c, fault.New(fault.Invalid, "seen", "The form is not whole. Open the page again.")
	}
	if c.Kind == store.DecisionEdited {
		c.Factor, err = typedFactor("factor", form.Get("factor"))
	}
	return c, err
}

// typedFactor reads a number greater than 0; a comma does for the point.
func typedFactor(name, text string) (float64, error) {
	v, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
	if err != nil || !(v > 0) || math.IsInf(v, 0) {
		return 0, fault.New(fault.Invalid, name, "%.20q is no number greater than 0, such as 1.25", text)
	}
	return v, nil
}
