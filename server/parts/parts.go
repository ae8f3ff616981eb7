package parts

import (
	"context"
	"net/http"
	"net/url"
	"strconv"

	"brakeside/calc/fault"
	"brakeside/server/say"
	"brakeside/server/shelf"
	"brakeside/server/store"
	"brakeside/server/web"
	"brakeside/traveler/standing"
)

type partView struct {
	Frame                          web.Frame
	Seq                            int64
	Number, Revision, Title, State string
	StateWords                     string
	Archived                       bool
	Newer                          string // address of the newest version when this is not it
	Drawing                        shelf.Drawing
	Brakes                         []brakeChoice // to choose from, where the blank depends on the bar
	Bends                          []bendLine
	Unit                           string // of their allowances
	Rules                          []ruleLine
	Versions                       []shelf.VersionLine
	Jobs                           []shelf.JobLine
	Old                            []oldLine // open travelers of older revisions, to be decided about
}

// oldLine is an open traveler of an older revision.
type oldLine struct {
	shelf.JobLine
	Code    string
	Replace string   // address where another is issued in its place
	Decide  []oldAct // or what is said about it, with a reason
}

type oldAct struct{ Kind, Heading, Label, Button string }

var stateWords = map[string]string{
	shelf.DraftPart:      "Draft: it may be changed, and no sheet is issued from it.",
	shelf.ReadyPart:      "Ready: it never changes, and sheets are issued from it.",
	shelf.SupersededPart: "Superseded: a later revision is ready in its place.",
}

// PartPage shows one kept version of a part.
func (s *Section) PartPage(w http.ResponseWriter, r *http.Request) error {
	kept, err := s.Version(r, store.Parts)
	if err != nil {
		return err
	}
	st, err := s.Standings(r.Context())
	if err != nil {
		return err
	}
	history, err := s.Store.History(r.Context(), store.Parts, kept.Name)
	if err != nil {
		return err
	}
	state := st.Of(kept.Name, kept.Revision)
	view := partView{
		Frame: s.Frame(r, "parts"), Seq: kept.Seq, Number: kept.Name, Revision: kept.Revision, Title: kept.Title,
		State: state, StateWords: stateWords[state], Archived: st.Archived[kept.Name],
	}
	if len(history) == 0 { // a draft that was removed
		return fault.New(fault.Missing, "", "The draft %s revision %s was removed, or kept under another number.",
			say.Typed(kept.Name), say.Typed(kept.Revision))
	}
	if history[0].Seq != kept.Seq {
		view.Newer = partAddress(history[0].Seq)
	}
	for i, v := range history {
		line := shelf.VersionLine{Address: partAddress(v.Seq), Revision: v.Revision, When: s.When(v.Created), State: st.Of(v.Name, v.Revision)}
		if i+1 < len(history) {
			line.Changes = partAddress(v.Seq) + "/changes?from=" + strconv.FormatInt(history[i+1].Seq, 10)
		}
		view.Versions = append(view.Versions, line)
	}
	view.Drawing, view.Bends = s.drawn(r, kept.JSON)
	view.Unit = s.Ruler(r.Context()).Unit()
	view.Rules = s.rulesOf(r, kept.JSON)
	if view.Brakes, err = s.brakesToChoose(r.Context(), kept.JSON); err != nil {
		return err
	}
	if view.Jobs, err = s.jobsOf(r.Context(), kept.Name); err != nil {
		return err
	}
	if view.Old, err = s.oldTravelers(r.Context(), kept); err != nil {
		return err
	}
	return s.Show(w, web.Page{Name: "owner/part", View: view})
}

// jobsOf lists the sheets of a part.
func (s *Section) jobsOf(ctx context.Context, number string) ([]shelf.JobLine, error) {
	sheets, err := s.Store.Travelers(ctx)
	var out []shelf.JobLine
	for _, sheet := range sheets {
		if sheet.Part == number && len(out) < shelf.MostPast {
			out = append(out, s.JobLine(sheet))
		}
	}
	return out, err
}

// oldTravelers lists the open travelers of a part about which nothing is decided
// since a revision became ready in place of theirs.
func (s *Section) oldTravelers(ctx context.Context, ready store.Revision) ([]oldLine, error) {
	all, err := s.Store.Travelers(ctx)
	var out []oldLine
	for _, t := range all {
		if t.Part != ready.Name || t.NewRevision != ready.Revision || t.Over() {
			continue
		}
		line := oldLine{JobLine: s.JobLine(t), Code: t.Code, Replace: "/jobs/new?replaces=" + url.QueryEscape(t.Code)}
		for _, kind := range standing.AboutNewRevision() {
			if words := standing.About(kind); t.May(kind, false) == nil && kind != standing.Replaced {
				line.Decide = append(line.Decide, oldAct{kind, words.Heading, words.Label, words.Button})
			}
		}
		out = append(out, line)
	}
	return out, err
}

// dropDraft is what the button says that removes a draft.
const dropDraft = "dropped"

// MarkPart records what the owner says about a part.
func (s *Section) MarkPart(w http.ResponseWriter, r *http.Request) error {
	form, err := s.ReadOffice(w, r)
	if err != nil {
		return err
	}
	kept, err := s.Version(r, store.Parts)
	if err != nil {
		return err
	}
	mark := store.Mark{Number: kept.Name, Kind: form.Get("kind"), By: store.RoleOwner}
	if mark.Kind == dropDraft {
		if err := s.Store.DropDraft(r.Context(), kept); err != nil {
			return err
		}
		return web.GoOn(w, r, "/parts", web.SaidDropped)
	}
	if mark.Kind == store.MarkReady {
		if err := s.mayBeReady(r, kept); err != nil {
			return err
		}
		mark.Revision = kept.Revision
	}
	if err := s.Store.AddMark(r.Context(), mark); err != nil {
		return err
	}
	return web.GoOn(w, r, partAddress(kept.Seq), map[string]web.Said{
		store.MarkReady: web.SaidReady, store.MarkArchived: web.SaidArchived, store.MarkRestored: web.SaidRestored,
	}[mark.Kind])
}

// mayBeReady refuses a version that no sheet could be issued from: one that is
// not the newest of its revision, that is ready already, or whose blank cannot
// be worked out.
func (s *Section) mayBeReady(r *http.Request, kept store.Revision) error {
	newest, err := s.Store.PartRevision(r.Context(), kept.Name, kept.Revision)
	if err != nil {
		return err
	}
	if newest.Seq != kept.Seq {
		return fault.New(fault.Conflict, "", "This is not the last draft of revision %s. Open the last one and look at it first.", kept.Revision)
	}
	st, err := s.Standings(r.Context())
	if err != nil {
		return err
	}
	if st.Of(kept.Name, kept.Revision) != shelf.DraftPart {
		return fault.New(fault.Conflict, "", "Revision %s of %s is %s already.",
			say.Typed(kept.Revision), say.Typed(kept.Name), st.Of(kept.Name, kept.Revision))
	}
	_, err = s.plans.Draft(r.Context(), kept.JSON)
	return err
}

// PartFileOf gives the part file as it was kept.
func (s *Section) PartFileOf(w http.ResponseWriter, r *http.Request) error {
	kept, err := s.Version(r, store.Parts)
	if err != nil {
		return err
	}
	return web.Attach(w, partFileName(kept)+".json", web.Reply{Kind: web.JSONKind, Body: kept.JSON})
}
