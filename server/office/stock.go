package office

import (
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"time"

	"brakeside/calc/bend"
	"brakeside/calc/brake"
	"brakeside/calc/fault"
	"brakeside/calc/stock"
	"brakeside/calc/unit"
	"brakeside/server/lessons"
	"brakeside/server/say"
	"brakeside/server/shelf"
	"brakeside/server/store"
	"brakeside/server/web"
)

type stockView struct {
	Frame        web.Frame
	Packs        []packLine
	Pack         []web.Group
	Trouble      string
	Calibrations []calibrationLine
	Trials       []trialLine
	Materials    []materialLine
}

type packLine struct{ Name, Material, Ordered, Measured, Off, Heat, Note, When, State string }

type calibrationLine struct{ Material, Sheet, Bar, Radius, K, Springback, Source, By, At string }

type trialLine struct{ Material, Sheet, Bar, Pack, Deduction, K, Springback, By, When string }

type materialLine struct{ ID, Words, Family, Magnet, Springback, Source string }

// StockPage shows the sheets of the shop and what is known of them.
func (s *Section) StockPage(w http.ResponseWriter, r *http.Request) error {
	return s.showStock(w, r, web.Filled{Values: url.Values{}})
}

func (s *Section) showStock(w http.ResponseWriter, r *http.Request, f web.Filled) error {
	view := stockView{Frame: s.Frame(r, "stock")}
	rule := s.Ruler(r.Context())
	packs, err := s.Store.Packs(r.Context())
	if err != nil {
		return err
	}
	for _, p := range packs {
		view.Packs = append(view.Packs, s.packLine(p, rule))
	}
	view.Pack = []web.Group{{Fields: []web.Field{
		{Name: "name", Label: "Lot, as it is marked", Needed: true}, {Name: "material", Label: "Material", Choices: shelf.MaterialChoices("")},
		{Name: "thickness", Label: "Thickness ordered", Unit: rule.Unit(), Figure: true, Needed: true},
		{Name: "measured", Label: "Thickness measured", Unit: rule.Unit(), Figure: true}, {Name: "heat", Label: "Heat or coil"},
		{Name: "note", Label: "Note"}, {Name: "state", Label: "It is", Choices: web.Choices("", "", "in the rack", "used", "used up")},
	}}}
	view.Trouble = web.FillIn(view.Pack, f.Values, f.Fail)
	figures, err := lessons.FiguresOf(r.Context(), s.Store)
	if err != nil {
		return err
	}
	for i := len(figures.Calibrations) - 1; i >= 0; i-- {
		view.Calibrations = append(view.Calibrations, calibrationOf(figures.Calibrations[i], rule))
	}
	trials, err := s.Store.Trials(r.Context())
	if err != nil {
		return err
	}
	for _, t := range trials {
		view.Trials = append(view.Trials, s.trialLine(t, rule))
	}
	for _, m := range append(figures.Materials, stock.All()...) {
		view.Materials = append(view.Materials, materialOf(m))
	}
	return s.Show(w, web.Page{Status: web.FormStatus(f.Fail), Name: "owner/stock", View: view})
}

func (s *Section) packLine(p store.Pack, rule say.Ruler) packLine {
	line := packLine{
		Name: p.Name, Material: p.Material, Ordered: rule.Sheet(p.Thickness.MM()),
		Heat: p.Heat, Note: p.Note, When: s.When(p.At), State: "in the rack",
	}
	if p.UsedUp {
		line.State = "used up"
	}
	if p.Measured > 0 {
		line.Measured = rule.Sheet(p.Measured.MM())
		// Common practice, no source: a sheet that is further off than this needs
		// a blank of its own, or is the wrong sheet.
		switch off := max(p.Measured-p.Thickness, p.Thickness-p.Measured); {
		case off > 150:
			line.Off = "wrong sheet?"
		case off > 50:
			line.Off = "off: work its blanks out anew"
		}
	}
	return line
}

func calibrationOf(c bend.Calibration, rule say.Ruler) calibrationLine {
	line := calibrationLine{Material: c.Material, Sheet: rule.Sheet(c.Thickness), Bar: c.Bar, Source: c.Source, By: c.By, At: c.At,
		Radius: rule.Sheet(c.Radius[0]) + " to " + rule.Sheet(c.Radius[1])}
	if c.Bar == "" {
		line.Bar = "every bar"
	}
	if c.K > 0 {
		line.K = fmt.Sprintf("%.3f", c.K)
	}
	if c.Angle > 0 {
		line.Springback = fmt.Sprintf("%s° at %s°", c.Springback.Text(1), c.Angle.Text(0))
	}
	return line
}

func materialOf(m stock.Material) materialLine {
	line := materialLine{ID: m.ID, Words: m.Words, Family: m.Family, Magnet: "does not stick", Source: m.Source,
		Springback: fmt.Sprintf("%s° (%s to %s)", m.Springback.Mean.Text(1), m.Springback.Low.Text(1), m.Springback.High.Text(1))}
	if m.Magnetic {
		line.Magnet = "sticks"
	}
	return line
}

func (s *Section) trialLine(t store.Trial, rule say.Ruler) trialLine {
	line := trialLine{Material: t.Material, Sheet: rule.Sheet(t.Thickness.MM()), Bar: t.Bar, Pack: t.Pack, By: t.By, When: s.When(t.At)}
	if line.Bar == "" {
		line.Bar = "every bar"
	}
	m, err := stripOf(t).Learn()
	if err != nil && fault.KindOf(err) != fault.Unsure {
		return line
	}
	line.Deduction, line.K, line.Springback = rule.Sheet(m.Deduction), fmt.Sprintf("%.3f", m.K), m.Springback.Text(1)+"°"
	return line
}

// KeepPack keeps a pack of sheet.
func (s *Section) KeepPack(w http.ResponseWriter, r *http.Request) error {
	form, err := s.ReadOffice(w, r)
	if err != nil {
		return err
	}
	p, err := typedPack(form, s.Ruler(r.Context()))
	if err == nil {
		err = s.Store.KeepPack(r.Context(), p)
	}
	if web.IsRefusal(err) {
		return s.showStock(w, r, web.Filled{Values: form, Fail: err})
	}
	if err != nil {
		return err
	}
	return web.GoOn(w, r, "/stock", web.SaidLot)
}

func typedPack(form url.Values, rule say.Ruler) (store.Pack, error) {
	p := store.Pack{
		Name: form.Get("name"), Material: form.Get("material"), Heat: form.Get("heat"),
		Note: form.Get("note"), UsedUp: form.Get("state") == "used",
	}
	var faults []error
	if n := len([]rune(p.Name)); n == 0 || n > 60 {
		faults = append(faults, fault.New(fault.Invalid, "name", "The lot needs a name of 1 to 60 letters."))
	}
	thickness, err := rule.Read("thickness", form.Get("thickness"))
	if err != nil {
		faults = append(faults, err)
	}
	p.Thickness = thickness.Micron()
	if form.Get("measured") != "" {
		measured, err := rule.Read("measured", form.Get("measured"))
		if err != nil {
			faults = append(faults, err)
		}
		p.Measured = measured.Micron()
	}
	return p, fault.Together(faults)
}

// The trial strip: how long and how wide it is cut, in millimetres. Common
// practice, no source.
const (
	stripLength = 100.0
	stripWidth  = 60.0
)

type trialView struct {
	Frame    web.Frame
	Steps    []string // the instruction, to be printed
	Groups   []web.Group
	Trouble  string
	Unsure   string
	Learned  []web.Pair
	Rules    []web.Pair
	Values   []web.Pair // what was typed, to be sent again
	MayAdopt bool
	Length   string
	Choice   []web.Group
	HasStrip bool
}

// TrialPage leads through a trial strip: choose the sheet and the bar, print
// what to do, and type in what was measured.
func (s *Section) TrialPage(w http.ResponseWriter, r *http.Request) error {
	query := r.URL.Query()
	return s.showTrial(w, r, trialState{values: query})
}

// trialState is what was typed, what was wrong with it, and what it teaches.
type trialState struct {
	values  url.Values
	fail    error
	learned *bend.Measured
	strip   store.Trial
}

func (s *Section) showTrial(w http.ResponseWriter, r *http.Request, t trialState) error {
	rule := s.Ruler(r.Context())
	bars, err := s.barChoices(r)
	if err != nil {
		return err
	}
	view := trialView{Frame: s.Frame(r, "stock"), HasStrip: t.values.Get("thickness") != "", Length: rule.Size(stripLength)}
	view.Choice = []web.Group{{Fields: []web.Field{
		{Name: "material", Label: "Material", Choices: shelf.MaterialChoices("")},
		{Name: "thickness", Label: "Thickness, measured", Unit: rule.Unit(), Figure: true, Needed: true},
		{Name: "bar", Label: "Bar", Choices: bars}, {Name: "pack", Label: "Lot"},
	}}}
	view.Groups = []web.Group{{Fields: []web.Field{
		{Name: "strip", Label: "Strip, cut length", Unit: rule.Unit(), Value: rule.Typed(stripLength), Figure: true, Needed: true},
		{Name: "leg-one", Label: "First leg, outside", Unit: rule.Unit(), Figure: true, Needed: true},
		{Name: "leg-two", Label: "Second leg, outside", Unit: rule.Unit(), Figure: true, Needed: true},
		{Name: "angle", Label: "Bend angle measured", Unit: "°", Figure: true, Value: "90", Needed: true},
		{Name: "stop", Label: "Leaf stopped at, as a bend angle", Unit: "°", Figure: true, Needed: true},
		{Name: "radius", Label: "Inside radius as made", Unit: rule.Unit(), Figure: true, Needed: true},
		{Name: "by", Label: "Initials", Needed: true},
	}}}
	if view.HasStrip {
		view.Steps = trialSteps(t.values, rule)
	}
	view.Trouble = web.FillIn(view.Choice, t.values, t.fail)
	elsewhere := web.FillIn(view.Groups, t.values, t.fail)
	if view.Trouble != "" {
		view.Trouble = elsewhere
	}
	if fault.KindOf(t.fail) == fault.Unsure {
		_, view.Unsure = web.MessageOf(t.fail)
		view.Trouble = ""
	}
	if t.learned != nil {
		view.fillLearned(t, rule)
	}
	return s.Show(w, web.Page{Status: web.FormStatus(t.fail), Name: "owner/trial", View: view})
}

func (v *trialView) fillLearned(t trialState, rule say.Ruler) {
	m := *t.learned
	v.MayAdopt = true
	v.Learned = web.Pairs(
		"Deduction", rule.Sheet(m.Deduction), "K-factor", fmt.Sprintf("%.3f", m.K), "Springback", m.Springback.Text(1)+"°",
	)
	strip := stripOf(t.strip)
	for i, c := range bend.Compare(bend.Bend{Angle: strip.Angle, Radius: strip.Radius, Thickness: strip.Thickness, K: m.K}) {
		if i > 0 {
			v.Rules = append(v.Rules, web.Pair{Name: c.Rule.Name, Value: fmt.Sprintf("K %.3f, deduction %s", c.K, c.Deduction.Text(2))})
		}
	}
	for _, name := range []string{"material", "thickness", "bar", "pack", "strip", "leg-one", "leg-two", "angle", "stop", "radius", "by"} {
		v.Values = append(v.Values, web.Pair{Name: name, Value: t.values.Get(name)})
	}
}

// trialSteps is what to do with the strip, in order.
func trialSteps(form url.Values, rule say.Ruler) []string {
	bar := "the bar the job will be bent with"
	if form.Get("bar") != "" {
		bar = "the " + form.Get("bar") + " bar"
	}
	pack := ""
	if form.Get("pack") != "" {
		pack = " from lot " + form.Get("pack")
	}
	return []string{
		fmt.Sprintf("Cut a strip of %s, thickness %s %s%s: %s long, at least %s wide, the grain as in the job. Deburr it.",
			form.Get("material"), form.Get("thickness"), rule.Unit(), pack, rule.Size(stripLength), rule.Size(stripWidth)),
		"Measure its length to a tenth of a millimetre, and its thickness away from the edge.",
		"Draw a line across the middle. Clamp it with " + bar + ", the nose set back as for the job.",
		"Set the stop, and write down where. Bend once to the stop; do not bend again.",
		"Measure both legs over the outside, from the edge to the apex of the corner, at the middle of the strip.",
		"Measure the bend angle at the middle, and the inside radius with a gauge.",
	}
}

// barChoices lists the bars of all brakes by name.
func (s *Section) barChoices(r *http.Request) ([]web.Option, error) {
	kept, err := s.Brakes(r.Context())
	out := []web.Option{{Words: "every bar", Chosen: false}}
	seen := map[string]bool{}
	for _, k := range kept {
		b, err := brake.Read(k.JSON)
		if err != nil {
			continue
		}
		for _, bar := range b.Bars {
			if !seen[bar.Name] {
				seen[bar.Name] = true
				out = append(out, web.Option{Value: bar.Name, Words: bar.Name, Chosen: false})
			}
		}
	}
	return out, err
}

// LearnTrial works out what a strip teaches; asked to, it keeps the strip and
// has the shop go by it.
func (s *Section) LearnTrial(w http.ResponseWriter, r *http.Request) error {
	form, err := s.ReadOffice(w, r)
	if err != nil {
		return err
	}
	state := trialState{values: form}
	if state.strip, state.fail = typedTrial(form, s.Ruler(r.Context())); state.fail != nil {
		return s.showTrial(w, r, state)
	}
	learned, err := stripOf(state.strip).Learn()
	if web.IsRefusal(err) && (fault.KindOf(err) != fault.Unsure || form.Get("act") != "adopt") {
		state.fail = err
		return s.showTrial(w, r, state)
	}
	if err != nil && !web.IsRefusal(err) {
		return err
	}
	if form.Get("act") != "adopt" {
		state.learned = &learned
		return s.showTrial(w, r, state)
	}
	if err := s.adopt(r, state.strip, learned); err != nil {
		return err
	}
	return web.GoOn(w, r, "/stock", web.SaidTrial)
}

// adopt keeps a strip and adds what it teaches to the figures of the shop.
func (s *Section) adopt(r *http.Request, t store.Trial, m bend.Measured) error {
	figures, err := lessons.FiguresOf(r.Context(), s.Store)
	if err != nil {
		return err
	}
	sheet, err := figures.SheetOf(t.Material, "", t.Thickness.MM())
	if err != nil {
		return err
	}
	strip := stripOf(t)
	c := strip.Calibration(bend.Making{
		Sheet: sheet, Bend: bend.Bend{Angle: strip.Angle, Radius: strip.Radius, Thickness: strip.Thickness}, Tool: bend.Tool{Bar: t.Bar},
	}, m)
	c.By, c.At = t.By, s.Now().UTC().Format(time.RFC3339)
	if t.Pack != "" {
		c.Source += ", lot " + t.Pack
	}
	file, err := figures.Adopt(c).Write()
	if err != nil {
		return err
	}
	if err := s.Store.AddTrial(r.Context(), t); err != nil {
		return err
	}
	_, err = s.Store.Keep(r.Context(), store.Materials, store.Revision{Name: lessons.ShopFigures, JSON: file})
	return err
}

// stripOf gives a kept strip to the arithmetic.
func stripOf(t store.Trial) bend.Trial {
	return bend.Trial{
		Blank: t.Strip.MM(), Legs: [2]unit.MM{t.Legs[0].MM(), t.Legs[1].MM()}, Angle: t.Angle.Deg(), Stop: t.StopBend.Deg(),
		Radius: t.Radius.MM(), Thickness: t.Thickness.MM(),
	}
}

// typedTrial reads what was measured.
func typedTrial(form url.Values, rule say.Ruler) (store.Trial, error) {
	t := store.Trial{Material: form.Get("material"), Pack: form.Get("pack"), Bar: form.Get("bar"), By: form.Get("by")}
	var faults []error
	if t.By == "" {
		faults = append(faults, fault.New(fault.Invalid, "by", "Say who measured, with initials."))
	}
	for _, f := range []struct {
		name string
		into *unit.Micron
	}{{"thickness", &t.Thickness}, {"strip", &t.Strip}, {"leg-one", &t.Legs[0]}, {"leg-two", &t.Legs[1]}, {"radius", &t.Radius}} {
		l, err := rule.Read(f.name, form.Get(f.name))
		if err != nil {
			faults = append(faults, err)
		}
		*f.into = l.Micron()
	}
	for _, f := range []struct {
		name string
		into *unit.CentiDeg
	}{{"angle", &t.Angle}, {"stop", &t.StopBend}} {
		a, err := strconv.ParseFloat(form.Get(f.name), 64)
		if err != nil || !(a > 0 && a < 180) {
			faults = append(faults, fault.New(fault.Invalid, f.name,
				"%.20q is no bend angle; give more than 0 and less than 180", form.Get(f.name)))
		}
		*f.into = unit.Deg(a).CentiDeg()
	}
	return t, fault.Together(faults)
}
