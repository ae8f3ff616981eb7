package office_test

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"brakeside/calc/unit"
	"brakeside/server/internal/shoptest"
	"brakeside/server/office"
	"brakeside/server/shelf"
	"brakeside/server/store"
	"brakeside/traveler"
	"brakeside/traveler/progress"
	"brakeside/traveler/standing"

	"golang.org/x/net/html"
)

func TestJobsPage(t *testing.T) {
	s := shoptest.OpenShop(t)
	session := s.Owner()
	s.RecordFirstPiece()
	s.Record(shoptest.ChannelCode, `{"id":"g1","piece":2,"step":1,"measured":42}`)
	s.Record(shoptest.ChannelCode, `{"id":"g2","piece":2,"step":1,"measured":45,"state":"reworked"}`)
	old := shoptest.Tray()
	old.Code, old.Job = "cyddd4xq2pvr9tabc", "J-1030"
	s.Issue(old)
	s.Decide(old.Code, standing.Closed, "all made")
	root, page := s.OwnerPage(session, "/")
	if got := strings.Join(shoptest.Row(t, root, "J-1041"), "|"); got != "J-1041|BR-210 rev C Rail foot, lipped|3||7|4 / 9|leaf brake 1.2 m||running" {
		t.Errorf("the row of the running job is %q", got)
	}
	if got := strings.Join(shoptest.Row(t, root, "J-1042"), "|"); got != "J-1042|DT-05 rev A Instrument drip tray|1||5|0 / 3|leaf brake 1.2 m||waiting" {
		t.Errorf("the row of the job not begun is %q", got)
	}
	if got := shoptest.Row(t, root, "J-1030"); got[len(got)-1] != "closed" || !strings.Contains(page, "Finished, replaced or void") {
		t.Errorf("the row of the closed job is %q", got)
	}
}

// Every line has the finished part beside it, as it was frozen; a traveler that is
// older than pictures shows none.
func TestJobsAreShown(t *testing.T) {
	s := shoptest.OpenShop(t)
	session := s.Owner()
	pictured := shoptest.Tray()
	pictured.Code, pictured.Job = "cyddd4xq2pvr9tabc", "J-1030"
	pictured.Finished = &traveler.Picture{Strokes: []traveler.Strokes{{Kind: traveler.StrokeMetal, Lines: [][4]unit.Micron{{0, 0, 40000, 30000}}}}}
	s.Issue(pictured)
	root, _ := s.OwnerPage(session, "/")
	if n := len(shoptest.All(root, shoptest.Named("img"))); n != 3 {
		t.Errorf("%d pictures for three jobs", n)
	}
	for code, lines := range map[string]int{pictured.Code: 1, shoptest.ChannelCode: 0} {
		answer, body := s.Get("/jobs/"+code+"/thumb.svg", session)
		if answer.StatusCode != http.StatusOK || strings.Count(body, "<path") != lines || answer.Header.Get("Cache-Control") != "private, max-age=604800" {
			t.Errorf("the picture of %s is answered %d %q %q", code, answer.StatusCode, answer.Header, body)
		}
		if answer, body := s.Get("/jobs/" + code + "/thumb.svg"); strings.Contains(body, "<svg") {
			t.Errorf("who is not signed in sees the part: %d", answer.StatusCode)
		}
	}
}

// A list of more open sheets than a page takes goes on over the next ones: each sheet
// stands on one of them.
func TestJobsPageGoesOn(t *testing.T) {
	s := shoptest.OpenShop(t)
	session := s.Owner()
	for n := range office.LinesAPage - 2 { // with the two that are there, a page is full
		s.Issue(numbered(n))
	}
	if _, words := s.OwnerPage(session, "/"); strings.Contains(words, "The next ones") {
		t.Error("a list that one page takes goes on all the same")
	}
	s.Issue(numbered(office.LinesAPage))
	for path, want := range map[string]struct {
		rows                 int
		words, without, link string
	}{
		"/":              {office.LinesAPage, "Open sheets 1 to 100 of 101", "The ones before", "/?page=2&sort=due"},
		"/?page=2":       {1, "Open sheets 101 to 101 of 101", "The next ones", "/?page=1&sort=due"},
		"/?page=99":      {1, "Open sheets 101 to 101 of 101", "The next ones", "/?page=1&sort=due"},
		"/?page=0":       {office.LinesAPage, "Open sheets 1 to 100 of 101", "The ones before", "/?page=2&sort=due"},
		"/?page=x":       {office.LinesAPage, "Open sheets 1 to 100 of 101", "The ones before", "/?page=2&sort=due"},
		"/?q=p-0&page=2": {98, "P-001", "Open sheets", ""},
	} {
		root, _ := s.OwnerPage(session, path)
		if rows := len(shoptest.All(root, shoptest.Named("progress"))); rows != want.rows {
			t.Errorf("%s lists %d sheets, want %d", path, rows, want.rows)
		}
		if links := shoptest.All(root, func(n *html.Node) bool { return shoptest.Attribute(n, "href") == want.link }); want.link != "" && len(links) != 1 {
			t.Errorf("%s has %d links to %s, want one", path, len(links), want.link)
		}
		if words := shoptest.WordsIn(root); !strings.Contains(words, want.words) || strings.Contains(words, want.without) {
			t.Errorf("%s says %s; want %q and no %q", path, words, want.words, want.without)
		}
	}
}

// numbered is a sheet like that of the channel, of another job.
func numbered(n int) *traveler.Traveler {
	sheet := shoptest.Channel()
	sheet.Code, sheet.Job = fmt.Sprintf("pagexq2pvr9tab%03d", n), fmt.Sprintf("P-%03d", n)
	return sheet
}

func TestJobsPageOfAnEmptyShop(t *testing.T) {
	s := shoptest.OpenShop(t)
	session := s.Owner()
	for _, code := range []string{shoptest.ChannelCode, shoptest.TrayCode} {
		s.Decide(code, standing.Voided, "not needed")
	}
	if _, page := s.OwnerPage(session, "/"); !strings.Contains(page, "No sheet is open.") {
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
		{"fresh", store.Line{Bends: 9}, "waiting", true},
		{"running", store.Line{Bends: 9, Done: 2, Readings: 2}, "running", true},
		{"done", store.Line{Bends: 9, Done: 9, Readings: 9}, "done", false},
		{"closed", store.Line{Bends: 9, Standing: store.Standing{Closed: true}}, "closed", false},
		{"void", store.Line{Bends: 9, Standing: store.Standing{Voided: true, Closed: true}}, "void", false},
		{"replaced", store.Line{Bends: 9, Standing: store.Standing{SupersededBy: "x"}}, "replaced", false},
		{"to be finished", store.Line{Bends: 9, Standing: store.Standing{SupersededBy: "x", FinishAllowed: true}}, "replaced, may be finished", true},
		{"stopped", store.Line{Bends: 9, Standing: store.Standing{Hold: standing.Hold{Why: "the bar slips"}}}, "on hold: the bar slips", true},
		{"of an old revision", store.Line{Bends: 9, Standing: store.Standing{NewRevision: "D"}}, "newer revision D: decide", true},
		{"release asked for", store.Line{Bends: 9, Standing: store.Standing{ReleaseAsked: true}}, "release asked for", true},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			if word, isOpen := shelf.Standing(c.line), shelf.Open(c.line); word != c.word || isOpen != c.open {
				t.Errorf("standing, open = %q, %v, want %q, %v", word, isOpen, c.word, c.open)
			}
		})
	}
}

func TestJobPage(t *testing.T) {
	s := shoptest.OpenShop(t)
	session := s.Owner()
	s.RecordFirstPiece()
	s.Record(shoptest.ChannelCode, `{"id":"g1","piece":2,"step":1,"measured":42.5,"stop":46.5,"flags":["bar-lifted"],"thickness":1.52,"pack":"H7","note":"oily","by":"CD"}`)
	s.Record(shoptest.ChannelCode, `{"id":"g2","piece":2,"step":1,"measured":45.4,"corrects":"g1","by":"CD"}`)
	root, page := s.OwnerPage(session, "/jobs/"+shoptest.ChannelCode)
	for _, want := range []string{
		"Job J-1041: BR-210 Rail foot, lipped rev C", "Material mild steel, 1.50 mm", "First piece in tolerance", "Next piece 3, step 1",
		"Issued today 08:00 owner", "n = 4. Rings are in tolerance",
	} {
		if !strings.Contains(page, want) {
			t.Errorf("the page lacks %q; it says: %s", want, page)
		}
	}
	tables := shoptest.All(root, shoptest.Named("table"))
	if len(tables) != 2 {
		t.Fatalf("%d tables, want the bends and the readings", len(tables))
	}
	if got := strings.Join(shoptest.Row(t, tables[0], "1"), "|"); got != "1|b1|wide|47.0|45.0° ± 1.0|2|2 of 2|+0.3°|0.14°" {
		t.Errorf("step 1 is %q", got)
	}
	if got := strings.Join(shoptest.Row(t, tables[0], "3"), "|"); got != "3|b3|narrow|92.0|90.0° ± 1.0|1|1 of 1|+0.3°|" {
		t.Errorf("step 3 is %q", got)
	}
	if got := strings.Join(shoptest.Row(t, tables[1], "4"), "|"); got != "4|2|1|42.5°|-2.5° out||as-bent, corrected since|CD|today 09:30|bar lifted; stop at 46.5; sheet 1.52 mm (0.0598 in); lot H7; oily" {
		t.Errorf("reading 4 is %q", got)
	}
	if got := shoptest.Row(t, tables[1], "5"); got[9] != "a correction" {
		t.Errorf("reading 5 is %q", got)
	}
}

func TestJobPageWithoutReadings(t *testing.T) {
	s := shoptest.OpenShop(t)
	_, page := s.OwnerPage(s.Owner(), "/jobs/"+shoptest.TrayCode)
	for _, want := range []string{"First piece not yet", "Next piece 1, step 1", "Nothing has been logged yet."} {
		if !strings.Contains(page, want) {
			t.Errorf("the page lacks %q; it says: %s", want, page)
		}
	}
	if answer, _ := s.Get("/jobs/"+shoptest.UnknownCode, s.Owner()); answer.StatusCode != http.StatusNotFound {
		t.Errorf("the page of an unknown sheet = %d, want 404", answer.StatusCode)
	}
}

func TestEvents(t *testing.T) {
	s := shoptest.OpenShop(t)
	session := s.Owner()
	path := "/jobs/" + shoptest.ChannelCode + "/events"
	for _, c := range []struct {
		kind, detail string
		status       int
		want         string
	}{
		{standing.Requantified, "5", 303, "Pieces 5"},
		{standing.Requantified, "0", 422, "whole number"},
		{standing.Requantified, "many", 422, "whole number"},
		{standing.Resampled, "10", 303, "measured is one piece in 10"},
		{standing.Resampled, "0", 422, "whole number from 1 to 1000"},
		{standing.Remade, "4 for 2", 422, "no such decision"},
		{standing.Released, " ", 422, "Say why"},
		{standing.Released, "customer agreed", 303, "released by the owner"},
		{standing.Released, "once more", 409, "released already"},
		{standing.Closed, strings.Repeat("x", 1001), 422, "Say why"},
		{"melted", "x", 422, "no such decision"},
		{standing.Closed, "all made", 303, "This traveler is closed"},
		{standing.Requantified, "7", 409, "is closed"},
		{standing.Voided, "wrong drawing", 303, "Stop. This traveler is void"},
		{standing.Requantified, "7", 409, "is void"},
	} {
		answer, body := s.PostForm(path, url.Values{"kind": {c.kind}, "detail": {c.detail}}, session)
		if answer.StatusCode != c.status {
			t.Errorf("%s %q = %d, want %d", c.kind, c.detail, answer.StatusCode, c.status)
		}
		if c.status == http.StatusSeeOther {
			_, body = s.Get("/jobs/"+shoptest.ChannelCode, session)
		}
		if page := shoptest.WordsIn(shoptest.Parsed(t, body)); !strings.Contains(page, c.want) {
			t.Errorf("%s %q: the page lacks %q: %s", c.kind, c.detail, c.want, page)
		}
	}
	root, page := s.OwnerPage(session, "/jobs/"+shoptest.ChannelCode)
	if !strings.Contains(page, "Type in angles from paper") {
		t.Error("a void sheet does not take the angles that are on its paper")
	}
	if !strings.Contains(page, "made void: wrong drawing (owner)") || len(shoptest.All(root, shoptest.Classed("act"))) != 1 {
		t.Errorf("a void sheet offers more than to open it again, or hides those taken: %s", page)
	}
	if answer, _ := s.PostForm("/jobs/"+shoptest.UnknownCode+"/events", url.Values{"kind": {standing.Closed}, "detail": {"x"}}, session); answer.StatusCode != http.StatusNotFound {
		t.Errorf("a decision about an unknown sheet = %d, want 404", answer.StatusCode)
	}
	if answer, _ := s.PostForm(path, url.Values{"detail": {strings.Repeat("x", 80<<10)}}, session); answer.StatusCode != http.StatusRequestEntityTooLarge {
		t.Errorf("a decision of 80 kB = %d, want 413", answer.StatusCode)
	}
}

func TestActs(t *testing.T) {
	kinds := func(kept store.Kept, job progress.Job) string {
		var all []string
		for _, act := range office.Acts(kept, job) {
			all = append(all, act.Kind)
		}
		return strings.Join(all, " ")
	}
	sheet := shoptest.Channel()
	job := progress.Job{Traveler: sheet}
	cases := []struct {
		name     string
		standing store.Standing
		want     string
	}{
		{"fresh", store.Standing{}, "override held quantity sampling skipped closed voided"},
		{"released", store.Standing{Override: true}, "held quantity sampling skipped closed voided"},
		{"replaced", store.Standing{Override: true, SupersededBy: "x"}, "finish-allowed closed voided"},
		{"to be finished", store.Standing{Override: true, SupersededBy: "x", FinishAllowed: true}, "held quantity sampling skipped closed voided"},
		{"closed", store.Standing{Override: true, Closed: true}, "reopened voided"},
		{"void", store.Standing{Voided: true}, "reopened"},
	}
	for _, c := range cases {
		if got := kinds(store.Kept{Traveler: sheet, Standing: c.standing}, job); got != c.want {
			t.Errorf("%s: may decide %q, want %q", c.name, got, c.want)
		}
	}
}
