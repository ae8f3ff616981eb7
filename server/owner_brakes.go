package server

import (
	"context"
	"fmt"
	"html/template"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"brakeside/calc/brake"
	"brakeside/calc/fault"
	"brakeside/server/change"
	"brakeside/server/sketch"
	"brakeside/server/store"
)

// brakes lists the brakes of the shop, each as last kept.
func (s *Server) brakes(ctx context.Context) ([]store.Revision, error) {
	return s.store.Newest(ctx, store.Brakes)
}

type brakesView struct {
	Frame  frameView
	Brakes []brakeLine
}

type brakeLine struct{ Address, Name, Length, Bars, Fingers, When string }

func brakeAddress(seq int64) string { return "/brakes/" + strconv.FormatInt(seq, 10) }

func (s *Server) brakesPage(w http.ResponseWriter, r *http.Request) error {
	kept, err := s.brakes(r.Context())
	if err != nil {
		return err
	}
	view := brakesView{Frame: s.frame(r, "brakes")}
	for _, k := range kept {
		line := brakeLine{Address: brakeAddress(k.Seq), Name: k.Name, When: s.when(k.Created), Bars: "not readable"}
		if b, err := brake.Read(k.JSON); err == nil {
			var names []string
			fingers := 0
			for _, bar := range b.Bars {
				names = append(names, bar.Name)
				fingers += len(bar.Widths)
			}
			line.Length, line.Bars, line.Fingers = s.ruler(r.Context()).size(b.UsableLength), strings.Join(names, ", "), strconv.Itoa(fingers)
		}
		view.Brakes = append(view.Brakes, line)
	}
	return s.show(w, page{0, "owner/brakes", view})
}

type brakeView struct {
	Frame    frameView
	Seq      int64
	Name     string
	Newer    string
	Facts    []fieldView
	Bars     []barView
	Versions []versionLine
	Relying  []relyingView
}

// barView is one bar with its section.
type barView struct {
	Name    string
	Section template.HTML
	Facts   []fieldView
	Fingers []fingerView
}

// fingerView is one finger of a set, and whether it is on the shelf.
type fingerView struct {
	Field, Width string
	Missing      bool
}

func (s *Server) brakePage(w http.ResponseWriter, r *http.Request) error {
	kept, err := s.version(r, store.Brakes)
	if err != nil {
		return err
	}
	history, err := s.store.History(r.Context(), store.Brakes, kept.Name)
	if err != nil {
		return err
	}
	view := brakeView{Frame: s.frame(r, "brakes"), Seq: kept.Seq, Name: kept.Name}
	if history[0].Seq != kept.Seq {
		view.Newer = brakeAddress(history[0].Seq)
	}
	for i, v := range history {
		line := versionLine{Address: brakeAddress(v.Seq), When: s.when(v.Created)}
		if i+1 < len(history) {
			line.Changes = fmt.Sprintf("%s/changes?from=%d", line.Address, history[i+1].Seq)
		}
		view.Versions = append(view.Versions, line)
	}
	b, err := brake.Read(kept.JSON)
	if err != nil {
		return err
	}
	view.Facts = brakeFacts(b, s.ruler(r.Context()))
	for _, bar := range b.Bars {
		shown, err := barShown(bar, kept.JSON, s.ruler(r.Context()))
		if err != nil {
			return err
		}
		view.Bars = append(view.Bars, shown)
	}
	if view.Relying, err = s.relying(r.Context(), history[0]); err != nil {
		return err
	}
	return s.show(w, page{0, "owner/brake", view})
}

func brakeFacts(b *brake.Brake, rule ruler) []fieldView {
	reads := "the bend angle"
	if b.Scale.Opening {
		reads = "the opening"
	}
	return []fieldView{
		{"Usable length", rule.size(b.UsableLength)}, {"Bed, deep and high", rule.size(b.Bed.Depth) + ", " + rule.size(b.Bed.Height)},
		{"Leaf, full and slim face", rule.size(b.Leaf.FullFace) + ", " + rule.size(b.Leaf.SlimFace)},
		{"Leaf reaches", b.Leaf.MaxAngle.Text(0) + "°"},
		{"Stop scale shows", reads + ", zero at " + b.Scale.Zero.Text(1) + "°"},
		{"Nose setback", fmt.Sprintf("%g t + %g mm + %g (r - t)", b.NoseSetback.TimesT, b.NoseSetback.Add, b.NoseSetback.TimesRMinusT)},
		{"Clearance to bar, nose, bed", rule.size(b.Clearance.Bar) + ", " + rule.size(b.Clearance.Nose) + ", " + rule.size(b.Clearance.BedAndLeaf)},
	}
}

func barShown(bar brake.Bar, file []byte, rule ruler) (barView, error) {
	drawn, err := picture(sketch.Bar(bar, 80, 46))
	if err != nil {
		return barView{}, err
	}
	out := barView{Name: bar.Name, Section: drawn, Facts: []fieldView{
		{"Kind", barKinds[bar.Kind]}, {"Deep, high", rule.size(bar.Depth) + ", " + rule.size(bar.Height)},
		{"Rated, mild steel", rule.sheet(bar.Rating)},
	}}
	if bar.MaxAngle > 0 {
		out.Facts = append(out.Facts, fieldView{"Up to", bar.MaxAngle.Text(0) + "°"})
	}
	out.Fingers, err = fingersOf(file, bar.Name)
	return out, err
}

var barKinds = map[brake.Kind]string{brake.FullBar: "bar in one piece", brake.Slotted: "slotted bar", brake.Segments: "fingers", brake.Round: "round bar"}

// relyingView is an open sheet that was made with an earlier version of a brake,
// and what has changed of what it uses.
type relyingView struct {
	Address, Job, Part string
	Why                []string
}

// relying lists the open sheets that a change of their brake concerns.
func (s *Server) relying(ctx context.Context, newest store.Revision) ([]relyingView, error) {
	sheets, err := s.store.Travelers(ctx)
	if err != nil {
		return nil, err
	}
	var out []relyingView
	for _, sheet := range sheets {
		if sheet.Brake != newest.Name || !open(sheet) {
			continue
		}
		why, err := s.brakeConcerns(ctx, sheet.Code)
		if err != nil {
			return nil, err
		}
		if len(why) > 0 {
			out = append(out, relyingView{jobAddress(sheet.Code), sheet.Job, sheet.Part + " rev " + sheet.Revision, why})
		}
	}
	return out, nil
}

// brakeConcerns tells what has changed of the brake since a sheet was made with
// it, as far as the sheet uses it.
func (s *Server) brakeConcerns(ctx context.Context, code string) ([]string, error) {
	kept, err := s.store.TravelerByCode(ctx, code)
	if err != nil {
		return nil, err
	}
	basis, err := s.store.Basis(ctx, code)
	if err != nil || basis.Brake == 0 {
		return nil, err
	}
	was, err := s.store.Version(ctx, store.Brakes, basis.Brake)
	if err != nil {
		return nil, err
	}
	is, err := s.store.Find(ctx, store.Brakes, was.Name)
	if err != nil || is.Seq == was.Seq {
		return nil, err
	}
	lines, err := change.Between(was.JSON, is.JSON)
	if err != nil {
		return nil, err
	}
	return concerns(lines, usesOf(kept)), nil
}

// usesOf gives the bars a sheet uses, with the fingers of each.
func usesOf(kept store.Kept) map[string][]string {
	uses := map[string][]string{}
	for _, step := range kept.Traveler.Steps {
		if _, known := uses[step.Bar]; !known {
			uses[step.Bar] = nil
		}
		for _, g := range step.Segments {
			uses[step.Bar] = append(uses[step.Bar], g.Width.Text(0))
		}
	}
	return uses
}

// concerns words the changes that matter to a sheet: of the machine itself, and
// of the bars and fingers it uses.
func concerns(lines []change.Line, uses map[string][]string) []string {
	var out []string
	gone := goneBars(lines)
	for _, l := range lines {
		name, field, ofBar := barValue(l.What)
		fingers, used := uses[name]
		switch {
		case strings.HasPrefix(l.What, "minutes."):
		case !ofBar:
			out = append(out, fmt.Sprintf("%s was %s and is %s", plainName(l.What), orNone(l.Before), orNone(l.After)))
		case !used:
		case gone[name]: // all its values are: once is enough
			if field == "name" {
				out = append(out, fmt.Sprintf("the bar %s is gone, and the sheet uses it", name))
			}
		case field == "missing":
			out = append(out, missingConcerns(name, strings.Split(l.After, ", "), fingers)...)
		default:
			out = append(out, fmt.Sprintf("%s of %s was %s and is %s", plainName(field), name, orNone(l.Before), orNone(l.After)))
		}
	}
	return out
}

// barValue takes the place of a value of a bar apart: the bar and the value.
func barValue(place string) (bar, field string, ofBar bool) {
	rest, ofBar := strings.CutPrefix(place, "bars[")
	bar, field, _ = strings.Cut(rest, "].")
	return bar, field, ofBar
}

// goneBars are the bars that a brake had and has no more.
func goneBars(lines []change.Line) map[string]bool {
	gone := map[string]bool{}
	for _, l := range lines {
		if bar, field, ofBar := barValue(l.What); ofBar && field == "name" && l.After == "" {
			gone[bar] = true
		}
	}
	return gone
}

// missingConcerns names each missing finger that a sheet uses, once however
// often it uses it.
func missingConcerns(bar string, missing, used []string) []string {
	var out []string
	for i, width := range missing {
		if slices.Contains(used, width) && slices.Index(missing, width) == i {
			out = append(out, fmt.Sprintf("finger %s of %s is missing, and the sheet uses it", width, bar))
		}
	}
	return out
}

func plainName(field string) string { return strings.NewReplacer("_", " ", ".", ", ").Replace(field) }

// brakeChanges shows two kept versions of a brake side by side.
func (s *Server) brakeChanges(w http.ResponseWriter, r *http.Request) error {
	after, err := s.version(r, store.Brakes)
	if err != nil {
		return err
	}
	before, err := s.earlier(r, store.Brakes)
	if err != nil {
		return err
	}
	view := changesView{
		Frame: s.frame(r, "brakes"), Number: after.Name, Before: s.versionWords(before), After: s.versionWords(after),
		BeforeAddress: brakeAddress(before.Seq), AfterAddress: brakeAddress(after.Seq),
	}
	if view.Lines, err = change.Between(before.JSON, after.JSON); err != nil {
		return err
	}
	return s.show(w, page{0, "owner/changes", view})
}

// setFingers notes which fingers of a brake are missing from the shelf, as a new
// version of the brake.
func (s *Server) setFingers(w http.ResponseWriter, r *http.Request) error {
	form, err := s.readOffice(w, r)
	if err != nil {
		return err
	}
	kept, err := s.version(r, store.Brakes)
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
	kept, err = s.store.Keep(r.Context(), store.Brakes, store.Revision{Name: kept.Name, JSON: file})
	if err != nil {
		return err
	}
	s.news.tell()
	http.Redirect(w, r, brakeAddress(kept.Seq), http.StatusSeeOther)
	return nil
}

// brakeFileOf gives the brake file as it was kept.
func (s *Server) brakeFileOf(w http.ResponseWriter, r *http.Request) error {
	kept, err := s.version(r, store.Brakes)
	if err != nil {
		return err
	}
	return attach(w, strings.ReplaceAll(kept.Name, "/", "-")+".json", reply{kind: jsonKind, body: kept.JSON})
}

type brakeFormView struct {
	Frame            frameView
	Heading, Trouble string
	Groups           []formGroup
	Bars             []barView
	Which            formField // the bar that is added to, or taken away
	Text             string
	AsFile           bool
	From             string
}

// newBrakePage is the form of a brake: a kept one, or the example to begin with.
func (s *Server) newBrakePage(w http.ResponseWriter, r *http.Request) error {
	file := s.example
	if from := r.URL.Query().Get("from"); from != "" {
		seq, err := strconv.ParseInt(from, 10, 64)
		if err != nil {
			return noPage(w, r)
		}
		kept, err := s.store.Version(r.Context(), store.Brakes, seq)
		if err != nil {
			return err
		}
		file = kept.JSON
	}
	values := url.Values{"text": {string(file)}, "from": {r.URL.Query().Get("from")}}
	if r.URL.Query().Has("file") {
		values.Set("as", fileKind)
	}
	return s.showBrakeForm(w, r, partForm{values: values})
}

func (s *Server) showBrakeForm(w http.ResponseWriter, r *http.Request, f partForm) error {
	view := brakeFormView{
		Frame: s.frame(r, "brakes"), Heading: "Brake", Text: f.values.Get("text"), AsFile: f.values.Get("as") == fileKind, From: f.values.Get("from"),
	}
	file, err := typedBrake(f.values)
	if err == nil {
		var b *brake.Brake
		if b, err = brake.Read(file); err == nil {
			for _, bar := range b.Bars {
				shown, err := barShown(bar, file, s.ruler(r.Context()))
				if err != nil {
					return err
				}
				view.Bars = append(view.Bars, shown)
			}
		}
	}
	if f.fail == nil && err != nil && view.Text != "" {
		f.fail = err
	}
	if !view.AsFile {
		if file == nil {
			file = []byte(view.Text)
		}
		if view.Groups, err = brakeGroups(file); err != nil {
			return err
		}
		view.Which = formField{Name: "bar", Label: "Bar", Choices: barChoices(file)}
	}
	view.Trouble = filledIn(view.Groups, f.values, f.fail)
	return s.show(w, page{formStatus(f.fail), "owner/brake-form", view})
}

// keepBrake keeps a brake as a new version, or draws what is typed.
func (s *Server) keepBrake(w http.ResponseWriter, r *http.Request) error {
	form, err := s.readOffice(w, r)
	if err != nil {
		return err
	}
	switch form.Get("act") {
	case "draw":
		return s.showBrakeForm(w, r, partForm{values: form})
	case addBar, dropBar:
		return s.changeBars(w, r, form)
	}
	file, err := typedBrake(form)
	if err == nil {
		var b *brake.Brake
		if b, err = brake.Read(file); err == nil {
			var kept store.Revision
			if kept, err = s.store.Keep(r.Context(), store.Brakes, store.Revision{Name: b.Name, JSON: file}); err == nil {
				s.news.tell()
				http.Redirect(w, r, brakeAddress(kept.Seq), http.StatusSeeOther)
				return nil
			}
		}
	}
	if isRefusal(err) {
		return s.showBrakeForm(w, r, partForm{form, err})
	}
	return err
}

// typedBrake gives the brake file that a form stands for: the file under it
// with the values of the fields put in.
func typedBrake(form url.Values) ([]byte, error) {
	text := form.Get("text")
	if strings.TrimSpace(text) == "" {
		return nil, fault.New(fault.Invalid, "text", "Paste a brake file, or begin with the example.")
	}
	if form.Get("as") == fileKind {
		return []byte(text), nil
	}
	return withFields([]byte(text), form)
}
