package server

import (
	"bytes"
	"context"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"brakeside/calc/fault"
	"brakeside/calc/part"
	"brakeside/server/change"
	"brakeside/server/store"
	"brakeside/traveler"
	"brakeside/traveler/draw"
	"brakeside/traveler/dxf"
	"brakeside/traveler/layout"
	"brakeside/traveler/pdf"
	"brakeside/traveler/svg"
)

// A revision of a part stands in one of three ways. Draft: it may be changed,
// and no sheet is issued from it. Ready: it never changes, and sheets are issued
// from it. Superseded: a later revision is ready in its place.
const (
	draftPart      = "draft"
	readyPart      = "ready"
	supersededPart = "superseded"
)

// standings tells how parts stand, from the marks the owner made.
type standings struct {
	ready    map[string][]string // revisions by number, in the order they became ready
	archived map[string]bool     // by number
}

func (s *Server) standings(ctx context.Context) (standings, error) {
	marks, err := s.store.Marks(ctx)
	st := standings{map[string][]string{}, map[string]bool{}}
	for _, m := range marks {
		switch m.Kind {
		case store.MarkReady:
			st.ready[m.Number] = append(st.ready[m.Number], m.Revision)
		case store.MarkArchived, store.MarkRestored:
			st.archived[m.Number] = m.Kind == store.MarkArchived
		}
	}
	return st, err
}

func (st standings) of(number, revision string) string {
	ready := st.ready[number]
	switch at := slices.Index(ready, revision); {
	case at < 0:
		return draftPart
	case at == len(ready)-1:
		return readyPart
	}
	return supersededPart
}

type partsView struct {
	Frame    frameView
	Search   string
	Archived bool
	Parts    []partLine
	Shown    int
	All      int
}

type partLine struct{ Address, Number, Revision, Title, Shape, Sheet, State, When string }

func (s *Server) partsPage(w http.ResponseWriter, r *http.Request) error {
	kept, err := s.store.Newest(r.Context(), store.Parts)
	if err != nil {
		return err
	}
	st, err := s.standings(r.Context())
	if err != nil {
		return err
	}
	query := r.URL.Query()
	view := partsView{Frame: s.frame(r, "parts"), Search: strings.TrimSpace(query.Get("q")), Archived: query.Has("archived")}
	rule := s.ruler(r.Context())
	for _, p := range kept {
		if st.archived[p.Name] != view.Archived {
			continue
		}
		view.All++
		if found(view.Search, p.Name, p.Title, p.Revision) {
			view.Parts = append(view.Parts, s.partLine(p, st, rule))
		}
	}
	view.Shown = len(view.Parts)
	return s.show(w, page{0, "owner/parts", view})
}

// found reports whether every word looked for is in one of the texts.
func found(search string, texts ...string) bool {
	all := strings.ToLower(strings.Join(texts, "\n"))
	for _, word := range strings.Fields(strings.ToLower(search)) {
		if !strings.Contains(all, word) {
			return false
		}
	}
	return true
}

func partAddress(seq int64) string { return "/parts/" + strconv.FormatInt(seq, 10) }

func (s *Server) partLine(p store.Revision, st standings, rule ruler) partLine {
	line := partLine{
		Address: partAddress(p.Seq), Number: p.Name, Revision: p.Revision, Title: p.Title,
		State: st.of(p.Name, p.Revision), When: s.when(p.Created), Shape: "not readable",
	}
	if drawn, err := part.Read(p.JSON); err == nil {
		line.Shape = shapeWords(drawn)
		line.Sheet = drawn.Material + ", gauge " + drawn.Gauge
		if drawn.Gauge == "" {
			line.Sheet = drawn.Material + ", " + rule.sheet(drawn.Thickness)
		}
	}
	return line
}

// shapeWords names the shape of a part.
func shapeWords(p part.Part) string {
	switch p.Form() {
	case part.ProfileForm:
		return "profile, " + counted(len(p.Profile.Bends), "bend")
	case part.TrayForm:
		n := 0
		for _, chain := range p.Tray.Walls {
			n += len(chain)
		}
		return "tray, " + counted(n, "bend")
	}
	return "blank, " + counted(len(p.Flat.Bends), "bend")
}

// version finds the kept version that the address names.
func (s *Server) version(r *http.Request, shelf store.Shelf) (store.Revision, error) {
	seq, err := strconv.ParseInt(variable(r, "seq"), 10, 64)
	if err != nil {
		return store.Revision{}, fault.New(fault.Missing, "", "There is no such page here.")
	}
	return s.store.Version(r.Context(), shelf, seq)
}

type partView struct {
	Frame                          frameView
	Seq                            int64
	Number, Revision, Title, State string
	StateWords                     string
	Archived                       bool
	Newer                          string // address of the newest version when this is not it
	Drawing                        drawingView
	Bends                          []bendLine
	Rules                          []ruleLine
	Versions                       []versionLine
	Jobs                           []jobLine
}

type bendLine struct{ ID, Angle, Radius, K, Allowance, Deduction, Springback, From string }

type versionLine struct{ Address, Revision, When, State, Changes string }

var stateWords = map[string]string{
	draftPart:      "Draft: it may be changed, and no sheet is issued from it.",
	readyPart:      "Ready: it never changes, and sheets are issued from it.",
	supersededPart: "Superseded: a later revision is ready in its place.",
}

func (s *Server) partPage(w http.ResponseWriter, r *http.Request) error {
	kept, err := s.version(r, store.Parts)
	if err != nil {
		return err
	}
	st, err := s.standings(r.Context())
	if err != nil {
		return err
	}
	history, err := s.store.History(r.Context(), store.Parts, kept.Name)
	if err != nil {
		return err
	}
	state := st.of(kept.Name, kept.Revision)
	view := partView{
		Frame: s.frame(r, "parts"), Seq: kept.Seq, Number: kept.Name, Revision: kept.Revision, Title: kept.Title,
		State: state, StateWords: stateWords[state], Archived: st.archived[kept.Name],
	}
	if history[0].Seq != kept.Seq {
		view.Newer = partAddress(history[0].Seq)
	}
	for i, v := range history {
		line := versionLine{Address: partAddress(v.Seq), Revision: v.Revision, When: s.when(v.Created), State: st.of(v.Name, v.Revision)}
		if i+1 < len(history) {
			line.Changes = partAddress(v.Seq) + "/changes?from=" + strconv.FormatInt(history[i+1].Seq, 10)
		}
		view.Versions = append(view.Versions, line)
	}
	view.Drawing, view.Bends = s.drawn(r, kept.JSON)
	view.Rules = s.rulesOf(r, kept.JSON)
	if view.Jobs, err = s.jobsOf(r.Context(), kept.Name); err != nil {
		return err
	}
	return s.show(w, page{0, "owner/part", view})
}

// jobsOf lists the sheets of a part.
func (s *Server) jobsOf(ctx context.Context, number string) ([]jobLine, error) {
	sheets, err := s.store.Travelers(ctx)
	var out []jobLine
	for _, sheet := range sheets {
		if sheet.Part == number && len(out) < mostPast {
			out = append(out, s.jobLine(sheet))
		}
	}
	return out, err
}

// markPart records what the owner says about a part.
func (s *Server) markPart(w http.ResponseWriter, r *http.Request) error {
	form, err := s.readOffice(w, r)
	if err != nil {
		return err
	}
	kept, err := s.version(r, store.Parts)
	if err != nil {
		return err
	}
	mark := store.Mark{Number: kept.Name, Kind: form.Get("kind"), By: store.RoleOwner}
	if mark.Kind == store.MarkReady {
		if err := s.mayBeReady(r, kept); err != nil {
			return err
		}
		mark.Revision = kept.Revision
	}
	if err := s.store.AddMark(r.Context(), mark); err != nil {
		return err
	}
	http.Redirect(w, r, partAddress(kept.Seq), http.StatusSeeOther)
	return nil
}

// mayBeReady refuses a version that no sheet could be issued from: one that is
// not the newest of its revision, that is ready already, or whose blank cannot
// be worked out.
func (s *Server) mayBeReady(r *http.Request, kept store.Revision) error {
	newest, err := s.store.PartRevision(r.Context(), kept.Name, kept.Revision)
	if err != nil {
		return err
	}
	if newest.Seq != kept.Seq {
		return fault.New(fault.Conflict, "", "This is not the last draft of revision %s. Open the last one and look at it first.", kept.Revision)
	}
	st, err := s.standings(r.Context())
	if err != nil {
		return err
	}
	if st.of(kept.Name, kept.Revision) != draftPart {
		return fault.New(fault.Conflict, "", "Revision %s of %s is %s already.", kept.Revision, kept.Name, st.of(kept.Name, kept.Revision))
	}
	_, err = s.plans.Draft(r.Context(), kept.JSON)
	return err
}

type changesView struct {
	Frame                             frameView
	Number, Before, After, AfterTitle string
	BeforeAddress, AfterAddress       string
	Lines                             []change.Line
	Blanks                            [2]drawingView
}

// partFileOf gives the part file as it was kept.
func (s *Server) partFileOf(w http.ResponseWriter, r *http.Request) error {
	kept, err := s.version(r, store.Parts)
	if err != nil {
		return err
	}
	return attach(w, partFileName(kept, "json"), reply{kind: jsonKind, body: kept.JSON})
}

// attach sends a file to be saved under a name.
func attach(w http.ResponseWriter, name string, a reply) error {
	w.Header().Set("Content-Disposition", `attachment; filename*=UTF-8''`+url.PathEscape(name))
	return write(w, a)
}

func partFileName(kept store.Revision, ending string) string {
	return strings.NewReplacer("/", "-", `\`, "-").Replace(kept.Name+"-rev-"+kept.Revision) + "." + ending
}

// blankFile gives the blank as a drawing: for the screen, for paper, or plain
// for the cutter.
func (s *Server) blankFile(w http.ResponseWriter, r *http.Request) error {
	kept, err := s.version(r, store.Parts)
	if err != nil {
		return err
	}
	plan, err := s.plans.Draft(r.Context(), kept.JSON)
	if err != nil {
		return err
	}
	blank, made := traveler.FreezeBlank(plan), traveler.FreezePart(plan)
	var out bytes.Buffer
	kind, ending := "", variable(r, "kind")
	switch ending {
	case "svg":
		kind, err = "image/svg+xml", svg.Write(&out, layout.Dimensioned(blank, made))
	case "dxf":
		kind, err = "image/vnd.dxf", dxf.Write(&out, layout.Plain(blank))
	default:
		page := layout.Dimensioned(blank, made)
		kind, err = "application/pdf", pdf.Write(&out, pdf.Document{Title: page.Title, Pages: []*draw.Page{page}})
	}
	if err != nil {
		return err
	}
	return attach(w, partFileName(kept, ending), reply{kind: kind, body: out.Bytes()})
}
