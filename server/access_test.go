package server_test

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"brakeside/server/internal/shoptest"
	"brakeside/server/store"
	"brakeside/server/web"
)

// sampleAddress fills the braces of a route with what the tests keep.
func sampleAddress(pattern string) string {
	return strings.NewReplacer("{code}", shoptest.TrayCode, "{step:[0-9]{1,5}}", "1", "{file}", "bend.js", "{seq:[0-9]+}", "1",
		"{kind:svg|dxf|pdf}", "svg", "{photo:[0-9]{1,15}}", "1").Replace(pattern)
}

// Every route for nobody, one who holds a sheet, the viewer and the owner: who
// is let in is what the table of routes says, and nothing else. A code of a sheet
// opens no page of the office.
func TestAccessTable(t *testing.T) {
	s, owner := shoptest.OpenOffice(t)
	viewer := s.Viewer(owner)
	people := []struct {
		name    string
		cookie  *http.Cookie
		allowed map[web.Access]bool
	}{
		{"nobody", nil, map[web.Access]bool{web.ByHolder: true, web.ByAnyone: true}}, // a code is in the address: who has it holds the sheet
		{"sheet holder", &http.Cookie{Name: web.SessionCookie, Value: shoptest.TrayCode}, map[web.Access]bool{web.ByHolder: true, web.ByAnyone: true}},
		{"viewer", viewer, map[web.Access]bool{web.ByViewer: true, web.ByMachine: true, web.ByHolder: true, web.ByAnyone: true}},
		{"owner", owner, map[web.Access]bool{web.ByOwner: true, web.ByViewer: true, web.ByMachine: true, web.ByHolder: true, web.ByAnyone: true}},
	}
	tried := 0
	for _, rt := range s.Server.Routes() {
		if rt.Path == "/news" || rt.Path == "/shop/sessions" || strings.HasPrefix(rt.Path, "/sign") {
			continue // a stream does not end, the others end sessions: tested apart
		}
		for _, who := range people {
			r := httptest.NewRequest(rt.Method, sampleAddress(rt.Path), nil)
			if who.cookie != nil {
				r.AddCookie(who.cookie)
			}
			answer, _ := s.Ask(r)
			wanted := who.allowed[rt.Who]
			if rt.Who == web.ByHolder && rt.Method == http.MethodPost && who.cookie == viewer {
				wanted = false // who may only look does not log either
			}
			in := answer.StatusCode != http.StatusForbidden && !strings.HasPrefix(answer.Header.Get("Location"), "/signin?")
			if in != wanted {
				t.Errorf("%s %s for %s = %d, let in %v, want %v", rt.Method, rt.Path, who.name, answer.StatusCode, in, wanted)
			}
			shoptest.CheckHeaders(t, answer)
			tried++
		}
	}
	if tried < 150 {
		t.Errorf("only %d of route and person were tried", tried)
	}
}

// The viewer is offered nothing to press but the way out and in.
func TestViewerSeesNoForms(t *testing.T) {
	s, owner, samples := shoptest.OfficeSamples(t)
	viewer := s.Viewer(owner)
	seen := 0
	for _, v := range samples {
		answer, body := s.Get(v.Path, viewer)
		if answer.StatusCode != http.StatusOK {
			continue
		}
		seen++
		for _, form := range shoptest.All(shoptest.Parsed(t, body), shoptest.Named("form")) {
			method, to := shoptest.Attribute(form, "method"), shoptest.Attribute(form, "action")
			if method == "post" && to != "/signout" && to != "/signin" && len(shoptest.All(form, shoptest.Named("button"))) > 0 {
				t.Errorf("%s offers the viewer a form that posts to %s", v.Name, to)
			}
		}
	}
	if seen < 15 {
		t.Errorf("the viewer sees only %d pages", seen)
	}
}

// The viewer, who may look and not write, finds the code of no sheet on any page, in
// any file or head of an answer, and comes to every page of a job all the same. The
// owner can open what the viewer passes on.
func TestViewerSeesNoCodes(t *testing.T) {
	s, owner, samples := shoptest.OfficeSamples(t)
	viewer := s.Viewer(owner)
	sheets, err := s.Store.Travelers(t.Context())
	if err != nil || len(sheets) < 2 {
		t.Fatal(sheets, err)
	}
	code := regexp.MustCompile(`[0-9a-z]{17}`)
	seen, todo := map[string]bool{}, []string{"/"}
	for _, v := range samples {
		todo = append(todo, v.Path)
	}
	jobs := 0
	for len(todo) > 0 {
		path := todo[0]
		todo = todo[1:]
		if seen[path] || strings.HasPrefix(path, "/t/") || strings.Contains(path, "/plans") || strings.Contains(path, "/bends") || path == "/news" {
			continue // of the last three one does not end, and none has to do with jobs
		}
		if code.MatchString(path) && !strings.Contains(path, "~") {
			continue // an address of the samples, with the code in it
		}
		seen[path] = true
		answer, body := s.Get(path, viewer)
		told := strings.ToLower(fmt.Sprint(answer.Header, body))
		for _, sheet := range sheets {
			if strings.Contains(told, sheet.Code) {
				t.Errorf("GET %s tells the viewer the code of job %s", path, sheet.Job)
			}
		}
		if strings.HasPrefix(path, "/jobs/~") {
			if jobs++; answer.StatusCode != http.StatusOK {
				t.Errorf("GET %s for the viewer = %d", path, answer.StatusCode)
			}
			if answer, _ := s.Get(path, owner); answer.StatusCode != http.StatusOK {
				t.Errorf("GET %s for the owner = %d", path, answer.StatusCode)
			}
		}
		for _, link := range shoptest.All(shoptest.Parsed(t, body), shoptest.Named("a")) {
			if to, _, _ := strings.Cut(shoptest.Attribute(link, "href"), "#"); strings.HasPrefix(to, "/") {
				todo = append(todo, to)
			}
		}
	}
	if jobs < 8 {
		t.Errorf("the viewer came to %d pages and files of jobs", jobs)
	}
	for _, made := range []string{"~", "~AAAA", "~" + strings.Repeat("A", 60), "~" + shoptest.TrayCode} {
		if answer, _ := s.Get("/jobs/"+made, viewer); answer.StatusCode != http.StatusNotFound {
			t.Errorf("the made-up address %s = %d, want 404", made, answer.StatusCode)
		}
	}
}

// A viewer who holds a sheet does not log from the browser that looks; what is said
// tells the way out. Nothing is stored.
func TestViewerDoesNotLog(t *testing.T) {
	s, owner := shoptest.OpenOffice(t)
	viewer := s.Viewer(owner)
	before, err := s.Store.LogState(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	form := url.Values{"id": {"v1"}, "piece": {"1"}, "step": {"1"}, "measured": {"90"}, "by": {"AB"}}
	answer, body := s.PostForm("/t/"+shoptest.TrayCode+"/readings", form, viewer)
	if answer.StatusCode != http.StatusForbidden || !strings.Contains(body, "Sign out, then log from it.") {
		t.Errorf("a reading of the viewer = %d %s", answer.StatusCode, shoptest.WordsIn(shoptest.Parsed(t, body)))
	}
	if after, err := s.Store.LogState(t.Context()); err != nil || after != before {
		t.Errorf("the log went on from %v to %v, %v", before, after, err)
	}
	if answer, _ := s.PostForm("/t/"+shoptest.TrayCode+"/readings", form, owner); answer.StatusCode != http.StatusSeeOther {
		t.Errorf("the same reading of the owner = %d", answer.StatusCode)
	}
}

func TestSignOutEverywhere(t *testing.T) {
	s, owner := shoptest.OpenOffice(t)
	viewer := s.Viewer(owner)
	s.Send("/shop/sessions", nil, owner)
	for name, cookie := range map[string]*http.Cookie{"owner": owner, "viewer": viewer} {
		if answer, _ := s.Get("/parts", cookie); answer.StatusCode != http.StatusSeeOther {
			t.Errorf("the %s after signing everybody out = %d, want to sign in again", name, answer.StatusCode)
		}
	}
}

func TestPasswords(t *testing.T) {
	s, owner := shoptest.OpenOffice(t)
	for _, c := range []struct {
		name, to, field, want string
		form                  url.Values
	}{
		{"wrong old", "/shop/password", "old", "not the password", url.Values{"old": {"guess"}, "new": {"a new long password"}}},
		{"short new", "/shop/password", "new", "has 5 letters", url.Values{"old": {shoptest.Password}, "new": {"short"}}},
		{"short viewer", "/shop/viewer", "viewer", "has 3 letters", url.Values{"viewer": {"abc"}}},
		{"the owner's own", "/shop/viewer", "viewer", "is in use", url.Values{"viewer": {shoptest.Password}}},
	} {
		root := s.Refused(c.to, c.form, owner)
		if got := shoptest.FaultBeside(t, root, c.field); !strings.Contains(got, c.want) {
			t.Errorf("%s: beside %s stands %q, want %q", c.name, c.field, got, c.want)
		}
		if strings.Contains(shoptest.WordsIn(root), "a new long password") {
			t.Errorf("%s: the page shows what was typed", c.name)
		}
	}
	viewer := s.Viewer(owner)
	s.Send("/shop/viewer", url.Values{"act": {"remove"}}, owner)
	if answer, _ := s.Get("/parts", viewer); answer.StatusCode != http.StatusSeeOther {
		t.Errorf("the viewer whose account is gone = %d, want to sign in", answer.StatusCode)
	}
	s.Send("/shop/password", url.Values{"old": {shoptest.Password}, "new": {"a new long password"}}, owner)
	if answer, _ := s.PostForm("/signin", url.Values{"password": {shoptest.Password}}); answer.StatusCode != http.StatusForbidden {
		t.Errorf("the old password = %d, want 403", answer.StatusCode)
	}
	if answer, _ := s.PostForm("/signin", url.Values{"password": {"a new long password"}}); answer.StatusCode != http.StatusSeeOther {
		t.Errorf("the new password = %d, want to get in", answer.StatusCode)
	}
}

func TestSetup(t *testing.T) {
	s, owner := shoptest.OpenOffice(t)
	if err := s.Store.KeepSetting(t.Context(), store.SettingSetUp, ""); err != nil {
		t.Fatal(err)
	}
	if answer, _ := s.Get("/", owner); answer.Header.Get("Location") != "/setup" {
		t.Errorf("the first page of a new shop leads to %q, want /setup", answer.Header.Get("Location"))
	}
	good := url.Values{"shop": {"Hollow Lane"}, "address": {"http://192.0.2.9:8080/"}, "units": {"in"}}
	for field, value := range map[string]string{"shop": "", "address": "192.0.2.9", "units": "cubits"} {
		form := url.Values{"shop": good["shop"], "address": good["address"], "units": good["units"]}
		form.Set(field, value)
		if got := shoptest.FaultBeside(t, s.Refused("/setup", form, owner), field); got == "" {
			t.Errorf("%s %q is not refused beside its field", field, value)
		}
	}
	s.Send("/setup", good, owner)
	root, page := s.OwnerPage(owner, "/setup")
	if strings.Contains(page, "Yes: a phone") || !strings.Contains(page, "http://192.0.2.9:8080/hello/") {
		t.Fatalf("before a phone came the page says %q", page)
	}
	link := shoptest.WordsIn(shoptest.One(t, shoptest.One(t, root, shoptest.Classed("greeting")), shoptest.Classed("hint")))
	path := strings.TrimPrefix(link, "http://192.0.2.9:8080")
	if answer, _ := s.Get("/hello/0000000000000000"); answer.StatusCode != http.StatusNotFound {
		t.Errorf("a made-up test code = %d, want 404", answer.StatusCode)
	}
	heard, end := s.Server.News().Listen()
	defer end()
	answer, body := s.Get(path)
	if shoptest.CheckPage(t, body); answer.StatusCode != http.StatusOK || !strings.Contains(body, "This phone gets there") {
		t.Errorf("the phone sees %d %s", answer.StatusCode, body)
	}
	select {
	case <-heard:
	default:
		t.Error("the owner's page was not told")
	}
	if _, page := s.OwnerPage(owner, "/setup"); !strings.Contains(page, "Yes: a phone has opened it") {
		t.Errorf("after the phone the page says %q", page)
	}
	if _, page := s.OwnerPage(owner, "/stock/trial"); !strings.Contains(page, "3.937 in (100.0 mm)") {
		t.Errorf("an inch shop is not shown inches first: %q", page)
	}
	if _, page := s.Get("/t/" + shoptest.ChannelCode + "/1"); !strings.Contains(page, "1.339 in (34.0 mm)") || !strings.Contains(page, "nose setback 0.071 in (1.8 mm)") {
		t.Errorf("the phone of an inch shop does not show inches first: %q", page)
	}
}

// The addresses that the table leaves out, because they do not end or end
// sessions, refuse whom the routes say.
func TestAccessOfStreamsAndSessions(t *testing.T) {
	s, owner := shoptest.OpenOffice(t)
	viewer := s.Viewer(owner)
	holder := &http.Cookie{Name: web.SessionCookie, Value: shoptest.TrayCode}
	for _, c := range []struct {
		method, path string
		who          *http.Cookie
		want         int
	}{
		{"GET", "/news", nil, http.StatusSeeOther}, {"GET", "/news", holder, http.StatusSeeOther},
		{"POST", "/signout", nil, http.StatusForbidden}, {"POST", "/signout", holder, http.StatusForbidden},
		{"POST", "/shop/sessions", nil, http.StatusForbidden}, {"POST", "/shop/sessions", holder, http.StatusForbidden},
		{"POST", "/shop/sessions", viewer, http.StatusForbidden},
	} {
		r := httptest.NewRequest(c.method, c.path, nil)
		if c.who != nil {
			r.AddCookie(c.who)
		}
		if answer, _ := s.Ask(r); answer.StatusCode != c.want {
			t.Errorf("%s %s for %v = %d, want %d", c.method, c.path, c.who, answer.StatusCode, c.want)
		}
	}
	for name, cookie := range map[string]*http.Cookie{"owner": owner, "viewer": viewer} {
		if answer, _ := s.Get("/parts", cookie); answer.StatusCode != http.StatusOK {
			t.Errorf("the %s is signed out by what others were refused: %d", name, answer.StatusCode)
		}
	}
}
