package brakes

import (
	"context"
	"fmt"
	"html/template"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"brakeside/calc/brake"
	"brakeside/calc/fault"
	"brakeside/server/change"
	"brakeside/server/say"
	"brakeside/server/shelf"
	"brakeside/server/sketch"
	"brakeside/server/store"
	"brakeside/server/web"
)

type brakesView struct {
	Frame  web.Frame
	Brakes []brakeLine
}

type brakeLine struct{ Address, Name, Length, Bars, Fingers, When string }

func brakeAddress(seq int64) string { return "/brakes/" + strconv.FormatInt(seq, 10) }

// BrakesPage lists the brakes of the shop, each as last kept.
func (s *Section) BrakesPage(w http.ResponseWriter, r *http.Request) error {
	kept, err := s.Brakes(r.Context())
	if err != nil {
		return err
	}
	view := brakesView{Frame: s.Frame(r, "brakes")}
	for _, k := range kept {
		line := brakeLine{Address: brakeAddress(k.Seq), Name: k.Name, When: s.When(k.Created), Bars: "not readable"}
		if b, err := brake.Read(k.JSON); err == nil {
			var names []string
			fingers := 0
			for _, bar := range b.Bars {
				names = append(names, bar.Name)
				fingers += len(bar.Widths)
			}
			line.Length, line.Bars, line.Fingers = s.Ruler(r.Context()).Size(b.UsableLength), strings.Join(names, ", "), strconv.Itoa(fingers)
		}
		view.Brakes = append(view.Brakes, line)
	}
	return s.Show(w, web.Page{Name: "owner/brakes", View: view})
}

type brakeView struct {
	Frame    web.Frame
	Seq      int64
	Name     string
	Newer    string
	Facts    []web.Pair
	Bars     []barView
	Versions []shelf.VersionLine
	Relying  []relyingView
}

// barView is one bar with its section.
type barView struct {
	Name    string
	Section template.HTML
	Facts   []web.Pair
	Fingers []fingerView
}

// BrakePage shows one kept version of a brake, bar by bar.
func (s *Section) BrakePage(w http.ResponseWriter, r *http.Request) error {
	kept, err := s.Version(r, store.Brakes)
	if err != nil {
		return err
	}
	history, err := s.Store.History(r.Context(), store.Brakes, kept.Name)
	if err != nil {
		return err
	}
	view := brakeView{Frame: s.Frame(r, "brakes"), Seq: kept.Seq, Name: kept.Name}
	if history[0].Seq != kept.Seq {
		view.Newer = brakeAddress(history[0].Seq)
	}
	for i, v := range history {
		line := shelf.VersionLine{Address: brakeAddress(v.Seq), When: s.When(v.Created)}
		if i+1 < len(history) {
			line.Changes = fmt.Sprintf("%s/changes?from=%d", line.Address, history[i+1].Seq)
		}
		view.Versions = append(view.Versions, line)
	}
	b, err := brake.Read(kept.JSON)
	if err != nil {
		return err
	}
	view.Facts = brakeFacts(b, s.Ruler(r.Context()))
	for _, bar := range b.Bars {
		shown, err := barShown(bar, kept.JSON, s.Ruler(r.Context()))
		if err != nil {
			return err
		}
		view.Bars = append(view.Bars, shown)
	}
	if view.Relying, err = s.relying(r.Context(), history[0]); err != nil {
		return err
	}
	return s.Show(w, web.Page{Name: "owner/brake", View: view})
}

func brakeFacts(b *brake.Brake, rule say.Ruler) []web.Pair {
	reads := "the bend angle"
	if b.Scale.Opening {
		reads = "the opening"
	}
	return web.Pairs(
		"Usable length", rule.Size(b.UsableLength), "Bed depth and height", rule.Size(b.Bed.Depth)+", "+rule.Size(b.Bed.Height),
		"Leaf, full and slim face", rule.Size(b.Leaf.FullFace)+", "+rule.Size(b.Leaf.SlimFace),
		"Leaf opens to (max)", b.Leaf.MaxAngle.Text(0)+"°",
		"Stop scale shows", reads+", zero at "+b.Scale.Zero.Text(1)+"°",
		"Nose setback", fmt.Sprintf("%g t + %g mm + %g (r - t)", b.NoseSetback.TimesT, b.NoseSetback.Add, b.NoseSetback.TimesRMinusT),
		"Clearance to bar, nose, bed", rule.Size(b.Clearance.Bar)+", "+rule.Size(b.Clearance.Nose)+", "+rule.Size(b.Clearance.BedAndLeaf),
	)
}

func barShown(bar brake.Bar, file []byte, rule say.Ruler) (barView, error) {
	drawn, err := web.Picture(sketch.Bar(bar, 80, 46))
	if err != nil {
		return barView{}, err
	}
	out := barView{Name: bar.Name, Section: drawn, Facts: web.Pairs(
		"Kind", barKinds[bar.Kind], "Deep, high", rule.Size(bar.Depth)+", "+rule.Size(bar.Height),
		"Rated, mild steel", rule.Sheet(bar.Rating),
	)}
	if bar.MaxAngle > 0 {
		out.Facts = append(out.Facts, web.Pair{Name: "Up to", Value: bar.MaxAngle.Text(0) + "°"})
	}
	out.Fingers, err = fingersOf(file, bar.Name)
	return out, err
}

var barKinds = map[brake.Kind]string{
	brake.FullBar:  "bar in one piece",
	brake.Slotted:  "slotted bar",
	brake.Segments: "fingers",
	brake.Round:    "round bar",
}

// relyingView is an open sheet that was made with an earlier version of a brake,
// and what has changed of what it uses.
type relyingView struct {
	Address, Job, Part string
	Why                []string
}

// relying lists the open sheets that a change of their brake concerns.
func (s *Section) relying(ctx context.Context, newest store.Revision) ([]relyingView, error) {
	sheets, err := s.Store.Travelers(ctx)
	if err != nil {
		return nil, err
	}
	var out []relyingView
	for _, sheet := range sheets {
		if sheet.Brake != newest.Name || !shelf.Open(sheet) {
			continue
		}
		why, err := s.BrakeConcerns(ctx, sheet.Code)
		if err != nil {
			return nil, err
		}
		if len(why) > 0 {
			out = append(out, relyingView{shelf.JobAddress(sheet.Code), sheet.Job, say.Typed(sheet.Part) + " rev " + say.Typed(sheet.Revision), why})
		}
	}
	return out, nil
}

// BrakeChanges shows two kept versions of a brake side by side.
func (s *Section) BrakeChanges(w http.ResponseWriter, r *http.Request) error {
	after, err := s.Version(r, store.Brakes)
	if err != nil {
		return err
	}
	before, err := s.Earlier(r, store.Brakes)
	if err != nil {
		return err
	}
	view := shelf.Changes{
		Frame: s.Frame(r, "brakes"), Number: after.Name, Before: s.VersionWords(before), After: s.VersionWords(after),
		BeforeAddress: brakeAddress(before.Seq), AfterAddress: brakeAddress(after.Seq),
	}
	if view.Lines, err = change.Between(before.JSON, after.JSON); err != nil {
		return err
	}
	return s.Show(w, web.Page{Name: "owner/changes", View: view})
}

// SetFingers notes which fingers of a brake are missing from the shelf, as a new
// version of the brake.
func (s *Section) SetFingers(w http.ResponseWriter, r *http.Request) error {
	form, err := s.ReadOffice(w, r)
	if err != nil {
		return err
	}
	kept, err := s.Version(r, store.Brakes)
	if err != nil {
		return err
	}
	file, err := withMissing(kept.JSON, form)
	if err != nil {
		return err
	}
	if _, err := brake.Read(file); err != nil {
		return err
	}
	kept, err = s.Store.Keep(r.Context(), store.Brakes, store.Revision{Name: kept.Name, JSON: file})
	if err != nil {
		return err
	}
	s.News.Tell()
	return web.GoOn(w, r, brakeAddress(kept.Seq), web.SaidFingers)
}

// BrakeFileOf gives the brake file as it was kept.
func (s *Section) BrakeFileOf(w http.ResponseWriter, r *http.Request) error {
	kept, err := s.Version(r, store.Brakes)
	if err != nil {
		return err
	}
	return web.Attach(w, strings.ReplaceAll(kept.Name, "/", "-")+".json", web.Reply{Kind: web.JSONKind, Body: kept.JSON})
}

type brakeFormView struct {
	Frame            web.Frame
	Heading, Trouble string
	Groups           []web.Group
	Bars             []barView
	Which            web.Field // the bar that is added to, or taken away
	Text             string
	AsFile           bool
	Guided           bool // by the twelve figures
	From             string
	Proposed         []change.Line // what a cure changes that is looked at
	Later            *shelf.Later
}

// NewBrakePage is the form of a brake: a kept one, or the example to begin with.
func (s *Section) NewBrakePage(w http.ResponseWriter, r *http.Request) error {
	file, before := s.example, url.Values(nil)
	var lines []change.Line
	if from := r.URL.Query().Get("from"); from != "" {
		seq, err := strconv.ParseInt(from, 10, 64)
		if err != nil {
			return web.NoPage(w, r)
		}
		kept, err := s.Store.Version(r.Context(), store.Brakes, seq)
		if err != nil {
			return err
		}
		if file, lines, err = shelf.Proposed(r, kept.JSON); err != nil {
			return err
		}
		if lines != nil {
			before = shownOf(kept.JSON)
		}
	}
	values := url.Values{"text": {string(file)}, "from": {r.URL.Query().Get("from")}}
	switch query := r.URL.Query(); {
	case query.Has("file"):
		values.Set("as", shelf.FileKind)
	case !query.Has("from") && !query.Has("all"):
		base, err := s.usual()
		if err != nil {
			return err
		}
		values.Set("text", string(base))
		values.Set(guided, "yes")
	}
	return s.showBrakeForm(w, r, web.Filled{Values: values, Before: before}, lines...)
}

// shownOf is what the form shows of a brake file.
func shownOf(file []byte) url.Values {
	out := url.Values{}
	groups, _ := brakeGroups(file) // a kept file can be read
	for _, g := range groups {
		for _, f := range g.Fields {
			out.Set(f.Name, f.Value)
		}
	}
	return out
}

// showBrakeForm shows the form, with what a cure changes of the kept brake marked.
func (s *Section) showBrakeForm(w http.ResponseWriter, r *http.Request, f web.Filled, proposed ...change.Line) error {
	return s.showForm(w, r, f, brakeFormView{Proposed: proposed})
}

// showForm fills the form in; the view has what stands above it.
func (s *Section) showForm(w http.ResponseWriter, r *http.Request, f web.Filled, view brakeFormView) error {
	view.Frame, view.Heading, view.Text = s.Frame(r, "brakes"), "Brake", f.Values.Get("text")
	view.AsFile, view.From, view.Guided = f.Values.Get("as") == shelf.FileKind, f.Values.Get("from"), f.Values.Has(guided)
	file, err := s.typed(r, f.Values)
	if err == nil {
		var b *brake.Brake
		if b, err = brake.Read(file); err == nil {
			for _, bar := range b.Bars {
				shown, err := barShown(bar, file, s.Ruler(r.Context()))
				if err != nil {
					return err
				}
				view.Bars = append(view.Bars, shown)
			}
		}
	}
	begun := !view.Guided || f.Values.Has(measures[0].field)
	if f.Fail == nil && err != nil && view.Text != "" && begun {
		f.Fail = err
	}
	switch {
	case view.Guided:
		view.Heading = "New brake"
		if view.Groups, err = guideGroups([]byte(view.Text), s.Ruler(r.Context())); err != nil {
			return err
		}
	case !view.AsFile:
		if file == nil {
			file = []byte(view.Text)
		}
		if view.Groups, err = brakeGroups(file); err != nil {
			return err
		}
		view.Which = web.Field{Name: "bar", Label: "Bar", Choices: barChoices(file)}
	}
	view.Trouble = web.FillIn(view.Groups, f.Values, f.Fail)
	web.Mark(view.Groups, f.Before)
	status := web.FormStatus(f.Fail)
	if view.Later != nil {
		status = http.StatusConflict
	}
	return s.Show(w, web.Page{Status: status, Name: "owner/brake-form", View: view})
}

// KeepBrake keeps a brake as a new version, or draws what is typed.
func (s *Section) KeepBrake(w http.ResponseWriter, r *http.Request) error {
	form, err := s.ReadOffice(w, r)
	if err != nil {
		return err
	}
	switch form.Get("act") {
	case "draw":
		return s.showBrakeForm(w, r, web.Filled{Values: form})
	case addBar, dropBar:
		return s.changeBars(w, r, form)
	}
	kept, later, err := s.keptBrake(r, form)
	if later != nil {
		form.Set("from", strconv.FormatInt(later.Seq, 10))
		return s.showForm(w, r, web.Filled{Values: form}, brakeFormView{Later: later})
	}
	if web.IsRefusal(err) {
		return s.showBrakeForm(w, r, web.Filled{Values: form, Fail: err})
	}
	if err != nil {
		return err
	}
	s.News.Tell()
	return web.GoOn(w, r, brakeAddress(kept.Seq), web.SaidBrake)
}

// keptBrake keeps the brake of a form, unless somebody kept a later version since the
// form was opened.
func (s *Section) keptBrake(r *http.Request, form url.Values) (kept store.Revision, later *shelf.Later, err error) {
	file, err := s.typed(r, form)
	if err != nil {
		return kept, nil, err
	}
	b, err := brake.Read(file)
	if err != nil && form.Has(guided) {
		err = besideMeasure(err)
	}
	if err != nil {
		return kept, nil, err
	}
	if later, err = s.Later(r.Context(), store.Brakes, form, file); err != nil || later != nil {
		return kept, later, err
	}
	kept, err = s.Store.Keep(r.Context(), store.Brakes, store.Revision{Name: b.Name, JSON: file})
	return kept, nil, err
}

// typedBrake gives the brake file that a form stands for: the file under it
// with the values of the fields put in.
func typedBrake(form url.Values) ([]byte, error) {
	text := form.Get("text")
	if strings.TrimSpace(text) == "" {
		return nil, fault.New(fault.Invalid, "text", "Paste a brake file, or begin with the example.")
	}
	if form.Get("as") == shelf.FileKind {
		return []byte(text), nil
	}
	return withFields([]byte(text), form)
}

// typed gives the brake file that a form stands for, that of the twelve figures too.
func (s *Section) typed(r *http.Request, form url.Values) ([]byte, error) {
	if !form.Has(guided) {
		return typedBrake(form)
	}
	file, err := guidedFile([]byte(form.Get("text")), form, s.Ruler(r.Context()))
	if err != nil {
		return nil, err
	}
	return withFields(file, form)
}

// MeasurePage is a page to be printed: what to measure of a brake, where and with what.
func (s *Section) MeasurePage(w http.ResponseWriter, r *http.Request) error {
	view := measureView{Frame: s.Frame(r, "brakes")}
	for _, m := range measures {
		line := measureLine{Letter: m.letter, What: m.label, Where: m.where, With: m.with, Unit: s.Ruler(r.Context()).Unit()}
		switch m.sort {
		case aName:
			line.Unit = ""
		case anAngle:
			line.Unit = "°"
		}
		view.Lines = append(view.Lines, line)
	}
	return s.Show(w, web.Page{Name: "owner/measure", View: view})
}

type measureView struct {
	Frame web.Frame
	Lines []measureLine
}

type measureLine struct{ Letter, What, Where, With, Unit string }

// changeBars adds a bar to the form of a brake, or takes one away; nothing is
// kept by that.
func (s *Section) changeBars(w http.ResponseWriter, r *http.Request, form url.Values) error {
	file, err := typedBrake(form)
	if err == nil {
		file, err = withBars(file, form)
	}
	if web.IsRefusal(err) {
		return s.showBrakeForm(w, r, web.Filled{Values: form, Fail: err})
	}
	if err != nil {
		return err
	}
	return s.showBrakeForm(w, r, web.Filled{Values: url.Values{"text": {string(file)}, "from": {form.Get("from")}}})
}
