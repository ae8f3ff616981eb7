package server

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"brakeside/calc/unit"
	"brakeside/server/store"
	"brakeside/traveler/progress"
)

// ownerPage gives the words of a page the owner asks for.
func (s *shop) ownerPage(session *http.Cookie, path string) (root *html.Node, page string) {
	s.Helper()
	answer, body := s.get(path, session)
	if answer.StatusCode != http.StatusOK {
		s.Fatalf("GET %s = %d: %s", path, answer.StatusCode, wordsIn(parsed(s, body)))
	}
	checkPage(s, body)
	root = parsed(s, body)
	return root, wordsIn(root)
}

// row gives the cells of the table row that begins with a word.
func row(t testing.TB, root *html.Node, first string) []string {
	t.Helper()
	for _, tr := range all(root, named("tr")) {
		var cells []string
		for _, cell := range all(tr, func(n *html.Node) bool { return n.Data == "th" || n.Data == "td" }) {
			cells = append(cells, wordsIn(cell))
		}
		if len(cells) > 0 && cells[0] == first {
			return cells
		}
	}
	t.Fatalf("no row begins with %q: %s", first, wordsIn(root))
	return nil
}

func TestJobsPage(t *testing.T) {
	s := openShop(t)
	session := s.owner()
	s.recordFirstPiece()
	s.record(channelCode, `{"id":"g1","piece":2,"step":1,"measured":42}`)
	s.record(channelCode, `{"id":"g2","piece":2,"step":1,"measured":45,"state":"reworked"}`)
	old := tray()
	old.Code, old.Job = "cyddd4xq2pvr9tabc", "J-1030"
	s.issue(old)
	s.decide(old.Code, store.EventClosed, "all made")
	root, page := s.ownerPage(session, "/")
	if got := strings.Join(row(t, root, "J-1041"), "|"); got != "J-1041|BR-210 rev C|3||4 / 9|5|3 of 4|today 09:30|running" {
		t.Errorf("the row of the running job is %q", got)
	}
	if got := strings.Join(row(t, root, "J-1042"), "|"); got != "J-1042|DT-05 rev A|1||0 / 3|0|none yet||not begun" {
		t.Errorf("the row of the job not begun is %q", got)
	}
	if got := row(t, root, "J-1030"); got[len(got)-1] != "closed" || !strings.Contains(page, "Finished, replaced or void") {
		t.Errorf("the row of the closed job is %q", got)
	}
}

func TestJobsPageOfAnEmptyShop(t *testing.T) {
	s := openShop(t)
	session := s.owner()
	for _, code := range []string{channelCode, trayCode} {
		s.decide(code, store.EventVoided, "not needed")
	}
	if _, page := s.ownerPage(session, "/"); !strings.Contains(page, "No sheet is open.") {
		t.Errorf("the page says %q", page)
	}
}

func TestStanding(t *testing.T) {
	cases := []struct {
		name string
		line store.Line
		word string
		open bool
	}{
		{"fresh", store.Line{Bends: 9}, "not begun", true},
		{"running", store.Line{Bends: 9, Done: 2, Readings: 2}, "running", true},
		{"done", store.Line{Bends: 9, Done: 9, Readings: 9}, "all in", false},
		{"closed", store.Line{Bends: 9, Standing: store.Standing{Closed: true}}, "closed", false},
		{"void", store.Line{Bends: 9, Standing: store.Standing{Voided: true, Closed: true}}, "void", false},
		{"replaced", store.Line{Bends: 9, Standing: store.Standing{SupersededBy: "x"}}, "replaced", false},
		{"to be finished", store.Line{Bends: 9, Standing: store.Standing{SupersededBy: "x", FinishAllowed: true}}, "replaced, may be finished", true},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			if word, isOpen := standingWord(c.line), open(c.line); word != c.word || isOpen != c.open {
				t.Errorf("standing, open = %q, %v, want %q, %v", word, isOpen, c.word, c.open)
			}
		})
	}
}

func TestJobPage(t *testing.T) {
	s := openShop(t)
	session := s.owner()
	s.recordFirstPiece()
	s.record(channelCode, `{"id":"g1","piece":2,"step":1,"measured":42.5,"stop":46.5,"flags":["bar-lifted"],"thickness":1.52,"pack":"H7","note":"oily","by":"CD"}`)
	s.record(channelCode, `{"id":"g2","piece":2,"step":1,"measured":45.4,"corrects":"g1","by":"CD"}`)
	root, page := s.ownerPage(session, "/jobs/"+channelCode)
	for _, want := range []string{
		"Job J-1041: BR-210 Rail foot, lipped rev C", "Material mild steel, 1.50 mm", "First piece in tolerance", "Next piece 3, step 1",
		"Issued today 08:00 owner", "n = 4. Rings are in tolerance",
	} {
		if !strings.Contains(page, want) {
			t.Errorf("the page lacks %q; it says: %s", want, page)
		}
	}
	tables := all(root, named("table"))
	if len(tables) != 2 {
		t.Fatalf("%d tables, want the bends and the readings", len(tables))
	}
	if got := strings.Join(row(t, tables[0], "1"), "|"); got != "1|b1|wide|47.0|45.0° ± 1.0|2|2 of 2|+0.3°|0.14°" {
		t.Errorf("step 1 is %q", got)
	}
	if got := strings.Join(row(t, tables[0], "3"), "|"); got != "3|b3|narrow|92.0|90.0° ± 1.0|1|1 of 1|+0.3°|" {
		t.Errorf("step 3 is %q", got)
	}
	if got := strings.Join(row(t, tables[1], "4"), "|"); got != "4|2|1|42.5°|-2.5° out||as-bent, corrected since|CD|today 09:30|bar lifted; stop at 46.5; sheet 1.52 mm (0.0598 in); pack H7; oily" {
		t.Errorf("reading 4 is %q", got)
	}
	if got := row(t, tables[1], "5"); got[9] != "a correction" {
		t.Errorf("reading 5 is %q", got)
	}
}

func TestJobPageWithoutReadings(t *testing.T) {
	s := openShop(t)
	_, page := s.ownerPage(s.owner(), "/jobs/"+trayCode)
	for _, want := range []string{"First piece not yet", "Next piece 1, step 1", "Nothing has been logged yet."} {
		if !strings.Contains(page, want) {
			t.Errorf("the page lacks %q; it says: %s", want, page)
		}
	}
	if answer, _ := s.get("/jobs/"+unknownCode, s.owner()); answer.StatusCode != http.StatusNotFound {
		t.Errorf("the page of an unknown sheet = %d, want 404", answer.StatusCode)
	}
}

func TestEvents(t *testing.T) {
	s := openShop(t)
	session := s.owner()
	path := "/jobs/" + channelCode + "/events"
	for _, c := range []struct {
		kind, detail string
		status       int
		want         string
	}{
		{store.EventQuantity, "5", 303, "Pieces 5"},
		{store.EventQuantity, "0", 422, "whole number"},
		{store.EventQuantity, "many", 422, "whole number"},
		{store.EventSampling, "10", 303, "measured is one piece in 10"},
		{store.EventSampling, "0", 422, "whole number from 1 to 1000"},
		{store.EventRemade, "4 for 2", 422, "no such decision"},
		{store.EventOverride, " ", 422, "Say why"},
		{store.EventOverride, "customer agreed", 303, "let through by the owner"},
		{store.EventOverride, "once more", 409, "released already"},
		{store.EventClosed, strings.Repeat("x", 1001), 422, "Say why"},
		{"melted", "x", 422, "no such decision"},
		{store.EventClosed, "all made", 303, "This sheet is closed"},
		{store.EventQuantity, "7", 409, "is closed"},
		{store.EventVoided, "wrong drawing", 303, "This sheet is void"},
		{store.EventQuantity, "7", 409, "is void"},
	} {
		answer, body := s.postForm(path, url.Values{"kind": {c.kind}, "detail": {c.detail}}, session)
		if answer.StatusCode != c.status {
			t.Errorf("%s %q = %d, want %d", c.kind, c.detail, answer.StatusCode, c.status)
		}
		if c.status == http.StatusSeeOther {
			_, body = s.get("/jobs/"+channelCode, session)
		}
		if page := wordsIn(parsed(t, body)); !strings.Contains(page, c.want) {
			t.Errorf("%s %q: the page lacks %q: %s", c.kind, c.detail, c.want, page)
		}
	}
	root, page := s.ownerPage(session, "/jobs/"+channelCode)
	if !strings.Contains(page, "Type in angles from paper") {
		t.Error("a void sheet does not take the angles that are on its paper")
	}
	if !strings.Contains(page, "made void: wrong drawing (owner)") || len(all(root, classed("act"))) != 0 {
		t.Errorf("a void sheet still offers decisions, or hides those taken: %s", page)
	}
	if answer, _ := s.postForm("/jobs/"+unknownCode+"/events", url.Values{"kind": {store.EventClosed}, "detail": {"x"}}, session); answer.StatusCode != http.StatusNotFound {
		t.Errorf("a decision about an unknown sheet = %d, want 404", answer.StatusCode)
	}
	if answer, _ := s.postForm(path, url.Values{"detail": {strings.Repeat("x", 80<<10)}}, session); answer.StatusCode != http.StatusRequestEntityTooLarge {
		t.Errorf("a decision of 80 kB = %d, want 413", answer.StatusCode)
	}
}

func TestActs(t *testing.T) {
	kinds := func(kept store.Kept, job progress.Job) string {
		var all []string
		for _, act := range acts(kept, job) {
			all = append(all, act.Kind)
		}
		return strings.Join(all, " ")
	}
	sheet := channel()
	job := progress.Job{Traveler: sheet}
	cases := []struct {
		name     string
		standing store.Standing
		want     string
	}{
		{"fresh", store.Standing{}, "override quantity sampling closed voided"},
		{"let go on", store.Standing{Override: true}, "quantity sampling closed voided"},
		{"replaced", store.Standing{Override: true, SupersededBy: "x"}, "finish-allowed closed voided"},
		{"to be finished", store.Standing{Override: true, SupersededBy: "x", FinishAllowed: true}, "quantity sampling closed voided"},
		{"closed", store.Standing{Override: true, Closed: true}, "voided"},
		{"void", store.Standing{Voided: true}, ""},
	}
	for _, c := range cases {
		if got := kinds(store.Kept{Traveler: sheet, Standing: c.standing}, job); got != c.want {
			t.Errorf("%s: may decide %q, want %q", c.name, got, c.want)
		}
	}
}

func TestWhen(t *testing.T) {
	s := openShop(t)
	for _, c := range []struct {
		at   time.Time
		want string
	}{
		{time.Time{}, ""},
		{s.time.Add(-time.Hour), "today 08:30"},
		{s.time.AddDate(0, 0, -1), "3 May 2026 09:30"},
		{s.time.In(time.FixedZone("", 3600)), "today 09:30"},
	} {
		if got := s.server.when(c.at); got != c.want {
			t.Errorf("when(%v) = %q, want %q", c.at, got, c.want)
		}
	}
}

// What was measured beside the angle stands on the job's page, in both units.
func TestNotes(t *testing.T) {
	leg, sheet, left, right := unit.Micron(34_100), unit.Micron(1_520), unit.Micron(1_800), unit.Micron(0)
	r := progress.Reading{Flags: []string{progress.FlagBarLifted, progress.FlagCornerTorn}, Leg: &leg, Thickness: &sheet, NoseSetback: [2]*unit.Micron{&left, &right}, Tool: "protractor", Pack: "P-7", Note: "oily", Corrects: "r1"}
	for u, want := range map[ruler]string{
		{unit.Metric}: "bar lifted, corner torn; a correction; sheet 1.52 mm (0.0598 in); leg 34.1 mm (1.343 in); nose setback left 1.80 mm (0.0709 in); nose setback right 0.00 mm (0.0000 in); measured with protractor; pack P-7; oily",
		{unit.Inch}:   "bar lifted, corner torn; a correction; sheet 0.0598 in (1.52 mm); leg 1.343 in (34.1 mm); nose setback left 0.0709 in (1.80 mm); nose setback right 0.0000 in (0.00 mm); measured with protractor; pack P-7; oily",
	} {
		if got := u.notes(r); got != want {
			t.Errorf("notes =\n%s\nwant\n%s", got, want)
		}
	}
}
