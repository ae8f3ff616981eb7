package parts

import (
	"fmt"
	"maps"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"brakeside/calc/fault"
	"brakeside/calc/part"
	"brakeside/server/change"
	"brakeside/server/entry"
	"brakeside/server/say"
	"brakeside/server/shelf"
	"brakeside/server/store"
	"brakeside/server/web"
	"brakeside/templates"
	"brakeside/traveler/standing"
)

// DrawingKind is the form of a part that is made from a drawing of its blank,
// whose layers and angles are asked for.
const DrawingKind = "drawing"

type partFormView struct {
	Frame             web.Frame
	Heading, Kind     string
	Kinds             []web.Option
	Groups            []web.Group
	Text              string // the part file, where it is edited as one
	Trouble           string
	Drawing           shelf.Drawing
	CanMore, CanFewer bool
	From              string // number of the version it came from
	Copy              bool
	Alike             bool          // the left side of a tray is shown for all
	Proposed          []change.Line // what a cure changes that is looked at
	Later             *shelf.Later
}

// NewPartPage is an empty form, or a copy or the next revision of a kept part.
func (s *Section) NewPartPage(w http.ResponseWriter, r *http.Request) error {
	query := r.URL.Query()
	if query.Get("from") == "" {
		return s.showPartForm(w, r, web.Filled{Values: s.exampleForm(r, query.Get("kind"))})
	}
	seq, err := strconv.ParseInt(query.Get("from"), 10, 64)
	if err != nil {
		return web.NoPage(w, r)
	}
	kept, err := s.Store.Version(r.Context(), store.Parts, seq)
	if err != nil {
		return err
	}
	file, lines, err := shelf.Proposed(r, kept.JSON)
	if err != nil {
		return err
	}
	values, whole := entry.Form(file)
	if !whole || query.Get("kind") == shelf.FileKind {
		typed := url.Values{"kind": {shelf.FileKind}, "text": {string(file)}, "from": {query.Get("from")}}
		return s.showPartForm(w, r, web.Filled{Values: typed}, lines...)
	}
	var before url.Values
	if lines != nil {
		if before, whole = entry.Form(kept.JSON); !whole {
			before = nil
		}
	}
	values.Set("from", query.Get("from"))
	if query.Has("copy") {
		values.Set("number", kept.Name+" copy")
		values.Set("revision", "A")
		values.Set("copy", "yes")
		return s.showPartForm(w, r, web.Filled{Values: values})
	}
	st, err := s.Standings(r.Context())
	if err != nil {
		return err
	}
	if st.Of(kept.Name, kept.Revision) != shelf.DraftPart {
		values.Set("revision", standing.NextRevision(kept.Revision))
	}
	return s.showPartForm(w, r, web.Filled{Values: values, Before: before}, lines...)
}

// exampleForm begins a form with a part to be changed, in the units of the shop.
func (s *Section) exampleForm(r *http.Request, kind string) url.Values {
	if kind == shelf.FileKind {
		return url.Values{"kind": {shelf.FileKind}}
	}
	return entry.ExampleIn(entry.KindOf(kind), s.Ruler(r.Context()).System)
}

// showPartForm shows the form, with what a cure changes of the kept part marked.
func (s *Section) showPartForm(w http.ResponseWriter, r *http.Request, f web.Filled, proposed ...change.Line) error {
	return s.showPart(w, r, f, partFormView{Proposed: proposed})
}

// showPart fills the form in; the view has what stands above it.
func (s *Section) showPart(w http.ResponseWriter, r *http.Request, f web.Filled, view partFormView) error {
	kind := f.Values.Get("kind")
	view.Frame, view.Kind, view.Heading = s.Frame(r, "parts"), kind, "New part"
	view.Text, view.From, view.Copy = f.Values.Get("text"), f.Values.Get("from"), f.Values.Has("copy")
	if n := f.Values.Get("number"); view.From != "" && n != "" {
		view.Heading = "Part " + say.Typed(n)
	}
	switch kind {
	case shelf.FileKind:
	case DrawingKind:
		view.Groups = s.drawingGroups(r, f.Values)
		view.Kind, kind = DrawingKind, shelf.FileKind
	default:
		kind = entry.KindOf(kind).ID
		view.Kind = kind
		view.Groups, view.Alike = partGroups(f.Values), entry.Alike(f.Values)
		legs := entry.Legs(f.Values)
		view.CanMore, view.CanFewer = legs > 0 && legs < entry.MostLegs, legs > 2
	}
	for _, k := range entry.Kinds {
		view.Kinds = append(view.Kinds, web.Option{Value: k.ID, Words: k.Words, Chosen: k.ID == kind})
	}
	view.Kinds = append(view.Kinds, web.Option{Value: shelf.FileKind, Words: "From a file", Chosen: kind == shelf.FileKind})
	if view.Text != "" || kind != shelf.FileKind {
		view.Drawing = s.drawingOfForm(r, f.Values)
	}
	shown := f.Fail
	if shown == nil && view.Drawing.Field != "" {
		shown = fault.New(fault.Invalid, view.Drawing.Field, "%s", view.Drawing.Message)
	}
	elsewhere := web.FillIn(view.Groups, f.Values, shown)
	web.Mark(view.Groups, f.Before)
	if f.Fail != nil {
		view.Trouble = elsewhere
	}
	status := web.FormStatus(f.Fail)
	if view.Later != nil {
		status = http.StatusConflict
	}
	return s.Show(w, web.Page{Status: status, Name: "owner/part-form", View: view})
}

// KeepPart does what the pressed button of the form says: draws anew, adds or
// takes away a bend, or keeps the part.
func (s *Section) KeepPart(w http.ResponseWriter, r *http.Request) error {
	form, err := s.ReadUpTo(w, r, web.MostDrawing)
	if err != nil {
		return err
	}
	if err := takeUpload(r, form); err != nil {
		return s.showPartForm(w, r, web.Filled{Values: form, Fail: err})
	}
	switch form.Get("act") {
	case "draw":
		entry.Spread(form)
		return s.showPartForm(w, r, web.Filled{Values: form})
	case "more", "fewer":
		resize(form)
		return s.showPartForm(w, r, web.Filled{Values: form})
	}
	kept, later, err := s.keptPart(r, form)
	if later != nil {
		form.Set("from", strconv.FormatInt(later.Seq, 10))
		return s.showPart(w, r, web.Filled{Values: form}, partFormView{Later: later})
	}
	if err == nil && form.Get("act") == "ready" {
		if err = s.mayBeReady(r, kept); err == nil {
			err = s.Store.AddMark(r.Context(), store.Mark{Number: kept.Name, Revision: kept.Revision, Kind: store.MarkReady, By: store.RoleOwner})
		}
	}
	if web.IsRefusal(err) {
		return s.showPartForm(w, r, web.Filled{Values: form, Fail: err})
	}
	if err != nil {
		return err
	}
	return web.GoOn(w, r, partAddress(kept.Seq), web.SaidPart)
}

// resize adds a bend to a profile, or takes the last one away.
func resize(form url.Values) {
	legs := entry.Legs(form)
	if form.Get("act") == "more" && legs < entry.MostLegs {
		form.Set(fmt.Sprintf("profile.legs[%d]", legs), form.Get(fmt.Sprintf("profile.legs[%d]", legs-1)))
		form.Set(fmt.Sprintf("profile.bends[%d]", legs-1), "90")
		form.Set(fmt.Sprintf("profile.bends[%d].way", legs-1), "up")
	}
	if form.Get("act") == "fewer" && legs > 2 {
		form.Del(fmt.Sprintf("profile.legs[%d]", legs-1))
		form.Del(fmt.Sprintf("profile.bends[%d]", legs-2))
	}
	form.Set("kind", "profile")
}

// takeUpload puts a file that was sent with the form into its text.
func takeUpload(r *http.Request, form url.Values) error {
	name, text, err := web.Uploaded(r)
	if err != nil || text == "" {
		return err
	}
	form.Set("text", text)
	form.Set("kind", shelf.FileKind)
	if strings.HasSuffix(strings.ToLower(name), ".dxf") {
		form.Set("kind", DrawingKind)
		form.Set("act", "draw") // the layers are asked for before anything is kept
		if form.Get("number") == "" {
			form.Set("number", name[:len(name)-len(".dxf")])
		}
	}
	return nil
}

// typedPart gives the part file that a form stands for.
func typedPart(form url.Values) ([]byte, error) {
	switch form.Get("kind") {
	case DrawingKind:
		drawn, err := entry.Drawn(form)
		return drawn.File, err
	case shelf.FileKind:
		if strings.TrimSpace(form.Get("text")) == "" {
			return nil, fault.New(fault.Invalid, "text", "Choose a part file or paste one.")
		}
		return []byte(form.Get("text")), nil
	}
	return entry.File(form)
}

// keptPart keeps the part of a form, unless somebody kept a later version since the
// form was opened. A revision that is ready, or was, takes no changes: sheets were
// issued from it. A draft that gets another number or revision is renamed.
func (s *Section) keptPart(r *http.Request, form url.Values) (kept store.Revision, later *shelf.Later, err error) {
	file, err := typedPart(form)
	if err != nil {
		return kept, nil, err
	}
	drawn, err := part.Read(file)
	if err != nil {
		return kept, nil, placedFault(form, err)
	}
	st, err := s.Standings(r.Context())
	if err != nil {
		return kept, nil, err
	}
	if err := s.mayKeep(r, form, file, drawn, st); err != nil {
		return kept, nil, err
	}
	if later, err = s.Later(r.Context(), store.Parts, form, file); err != nil || later != nil {
		return kept, later, err
	}
	kept = store.Revision{Name: drawn.Number, Revision: drawn.Revision, Title: drawn.Title, JSON: file}
	if old, renamed, err := s.renamed(r, form, kept, st); err != nil {
		return kept, nil, err
	} else if renamed {
		kept, err = s.Store.Rename(r.Context(), old, kept)
		return kept, nil, err
	}
	kept, err = s.Store.Keep(r.Context(), store.Parts, kept)
	return kept, nil, err
}

// renamed gives the draft that a form was opened on, where what is typed has another
// number or revision.
func (s *Section) renamed(r *http.Request, form url.Values, typed store.Revision, st shelf.Standings) (store.Revision, bool, error) {
	seq, err := strconv.ParseInt(form.Get("from"), 10, 64)
	if err != nil || form.Has("copy") {
		return store.Revision{}, false, nil
	}
	old, err := s.Store.Version(r.Context(), store.Parts, seq)
	if err != nil || old.Name == typed.Name && old.Revision == typed.Revision {
		return old, false, err
	}
	return old, st.Of(old.Name, old.Revision) == shelf.DraftPart, nil
}

// mayKeep refuses a part of a revision that is ready, or was, and one that no blank
// can be worked out for.
func (s *Section) mayKeep(r *http.Request, form url.Values, file []byte, drawn part.Part, st shelf.Standings) error {
	if state := st.Of(drawn.Number, drawn.Revision); state != shelf.DraftPart {
		return fault.New(fault.Conflict, "revision",
			"Revision %s of %s is %s and never changes. Give this one another letter, such as %s.",
			say.Typed(drawn.Revision), say.Typed(drawn.Number), state, standing.NextRevision(drawn.Revision))
	}
	_, err := s.plans.Draft(r.Context(), file)
	return placedFault(form, err)
}

// placedFault tells the line and the column of a mistake where a file was typed.
func placedFault(form url.Values, err error) error {
	if form.Get("kind") == shelf.FileKind && web.IsRefusal(err) {
		return fault.New(fault.Invalid, "text", "%s", err.Error())
	}
	return err
}

// drawingGroups lists the fields that are asked beside a drawing: those of every
// part, what its layers mean, and the angles of the bends found so far.
func (s *Section) drawingGroups(r *http.Request, form url.Values) []web.Group {
	for name, usual := range map[string]string{"material": "mild-steel", "thickness": "1.5", "angle": "90", "revision": "A"} {
		if !form.Has(name) {
			form.Set(name, usual)
		}
	}
	names, err := entry.Layers(form)
	if err != nil {
		s.Log.Info("a drawing was not read", "request", web.TicketOf(r).ID, "error", err)
	}
	layers := web.Group{Heading: "What the layers of the drawing are"}
	for i, name := range names {
		layers.Fields = append(layers.Fields, web.Field{Name: entry.LayerField(i), Label: name, Choices: web.Choices("", entry.LayerMeanings...)})
	}
	layers.Fields = append(layers.Fields, web.Field{
		Name: "drawn_in", Label: "Drawn in", Hint: "where the drawing does not say",
		Choices: web.Choices("", "", "as the drawing says", "mm", "millimetres", "in", "inches"),
	})
	bends := web.Group{Heading: "Bend angles", Fields: []web.Field{{Name: "angle", Label: "All bends", Unit: "°", Figure: true}}}
	drawn, err := entry.Drawn(form)
	if err == nil && len(drawn.Bends) > 1 {
		for _, id := range drawn.Bends {
			bends.Fields = append(bends.Fields, web.Field{
				Name: entry.BendField(id), Label: "or " + id, Unit: "°", Figure: true, Hint: "-90 folds the other way",
			})
		}
	}
	unitWord := unitsOf(form)
	about := partAndSheet(form, unitWord)
	return []web.Group{about[0], layers, about[1], bends, moreGroup(unitWord)}
}

// DrawPart answers the script of the form: the drawing of what is typed now.
func (s *Section) DrawPart(w http.ResponseWriter, r *http.Request) error {
	form, err := s.ReadUpTo(w, r, web.MostDrawing)
	if err != nil {
		return err
	}
	return s.ShowBlock(w, templates.Block{Page: "owner/part-form", Name: "drawing"}, s.drawingOfForm(r, form))
}

// drawingOfForm draws what is typed into a form; a part without a number yet can
// be drawn all the same.
func (s *Section) drawingOfForm(r *http.Request, form url.Values) shelf.Drawing {
	if form.Get("kind") != shelf.FileKind && form.Get("number") == "" {
		form = maps.Clone(form)
		form.Set("number", "new part")
	}
	file, err := typedPart(form)
	view := shelf.Drawing{}
	if err == nil {
		view, _ = s.drawn(r, file)
	} else {
		view.Field, view.Message = web.MessageOf(err)
	}
	if form.Get("kind") == DrawingKind {
		drawn, _ := entry.Drawn(form) // what it refuses was told
		view.Used, view.Left = drawn.Used, drawn.Left
	}
	return view
}
