package server

import (
	"context"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"brakeside/server/store"
)

func TestIssueReplaceFinishClose(t *testing.T) {
	s, owner := openOffice(t)
	part := s.makeReady(exampleOf("tray", "DT-310", "A"), owner)
	code := s.issueFor(part, "1041", owner)
	basis, err := s.store.Basis(context.Background(), code)
	if err != nil || basis.Part != int64(atoi(part)) || basis.Brake == 0 {
		t.Errorf("the sheet is made from %+v, %v", basis, err)
	}
	if root := s.refused("/jobs", url.Values{"part": {part}, "brake": {s.newestBrake()}, "job": {"1041"}, "quantity": {"2"}}, owner); !strings.Contains(faultBeside(t, root, "job"), "has a sheet already") {
		t.Errorf("a second sheet of the job: %q", wordsIn(root))
	}
	next := exampleOf("tray", "DT-310", "B")
	next.Set("tray.walls.back[0].leg", "60")
	newer := s.makeReady(next, owner)
	root, page := s.ownerPage(owner, "/jobs/new?replaces="+code)
	if fieldValue(root, "job") != "1041" || fieldValue(root, "quantity") != "2" || !strings.Contains(page, "DT-310 rev A") {
		t.Errorf("the form to replace says %q", page)
	}
	form := url.Values{"part": {newer}, "brake": {s.newestBrake()}, "job": {"1041"}, "quantity": {"2"}, "replaces": {code}}
	if got := faultBeside(t, s.refused("/jobs", form, owner), "reason"); !strings.Contains(got, "Say why") {
		t.Errorf("without a reason: %q", got)
	}
	form.Set("reason", "back wall was too low")
	replaced := s.send("/jobs", form, owner)
	if answer, _ := s.postJSON("/t/"+code+"/readings", `{"id":"x1","piece":1,"step":1,"measured":90}`); answer.StatusCode != http.StatusCreated {
		t.Errorf("logging on the old sheet = %d, want 201: what was bent is written down", answer.StatusCode)
	}
	if _, page := s.ownerPage(owner, "/jobs/"+replaced); !strings.Contains(page, "back wall was too low") {
		t.Errorf("the reason is not shown: %q", page)
	}
	s.send("/jobs/"+code+"/events", url.Values{"kind": {store.EventFinishAllowed}, "detail": {"two are half bent"}}, owner)
	s.record(code, `{"id":"x2","piece":1,"step":1,"measured":90}`)
	if _, page := s.ownerPage(owner, "/jobs/"+code); !strings.Contains(page, "2 bends logged, 0 pieces scrapped, 2 of 2 in tolerance.") && !valueOnPage(s, owner, code) {
		t.Errorf("the closing words are not begun: %q", page)
	}
}

// valueOnPage reports whether the form that closes a job begins with a summary.
func valueOnPage(s *shop, owner *http.Cookie, code string) bool {
	root, _ := s.ownerPage(owner, "/jobs/"+code)
	for _, n := range all(root, named("input")) {
		if attribute(n, "id") == store.EventClosed {
			return attribute(n, "value") == "2 bends logged, 0 pieces scrapped, 2 of 2 in tolerance."
		}
	}
	return false
}

func TestNewJobRefuses(t *testing.T) {
	s, owner := openOffice(t)
	part := s.makeReady(exampleOf("tray", "DT-310", "A"), owner)
	for _, c := range []struct{ field, value, want string }{
		{"quantity", "four", "whole number"}, {"quantity", "0", "whole number"}, {"job", "", "needs a number"}, {"due", "tomorrow", "no date"},
		{"part", "", "Choose a part"}, {"brake", "", "Choose a brake"},
	} {
		form := url.Values{"part": {part}, "brake": {s.newestBrake()}, "job": {"7"}, "quantity": {"2"}, "due": {"2026-06-01"}}
		form.Set(c.field, c.value)
		if got := faultBeside(t, s.refused("/jobs", form, owner), c.field); !strings.Contains(got, c.want) {
			t.Errorf("%s %q: beside the field stands %q, want %q", c.field, c.value, got, c.want)
		}
	}
	s.server.planner = nil
	root := s.answered("/jobs", url.Values{"part": {part}, "brake": {s.newestBrake()}, "job": {"7"}, "quantity": {"2"}}, owner)
	if !strings.Contains(root, "without a planner") {
		t.Errorf("without a planner: %q", root)
	}
}

// answered gives the words of an answer whatever its status is.
func (s *shop) answered(to string, form url.Values, session *http.Cookie) string {
	s.Helper()
	_, body := s.postForm(to, form, session)
	return wordsIn(parsed(s, body))
}

func TestJobsSearchAndDue(t *testing.T) {
	s, owner := openOffice(t)
	part := s.makeReady(exampleOf("l", "L-1", "A"), owner)
	s.send("/jobs", url.Values{"part": {part}, "brake": {s.newestBrake()}, "job": {"77"}, "quantity": {"2"}, "due": {"2026-05-01"}}, owner)
	root, _ := s.ownerPage(owner, "/?q=l-1+not")
	if got := row(t, root, "77"); got[3] != "2026-05-01 late" {
		t.Errorf("the job's row is %q", got)
	}
	if _, page := s.ownerPage(owner, "/?q=nothing"); !strings.Contains(page, "No open sheet is like that.") {
		t.Errorf("a search that finds nothing says %q", page)
	}
}

// A run that was logged on paper is typed in from a page laid out like it.
func TestGrid(t *testing.T) {
	s, owner := openOffice(t)
	path := "/jobs/" + channelCode + "/grid"
	root, _ := s.ownerPage(owner, path)
	form := filled(one(t, root, func(n *html.Node) bool { return n.Data == "form" && len(all(n, classed("paper"))) > 0 }))
	form.Set("given_as", "bend")
	form.Set("by", "AB")
	form.Set("stop-2", "93")
	for name, angle := range map[string]string{"m-1-1": "45.2", "m-1-2": "89.4", "m-1-3": "90.3", "m-2-1": "44.8", "m-2-2": "70", "m-3-1": "abc"} {
		form.Set(name, angle)
	}
	answer, body := s.postForm(path, form, owner)
	checkPage(t, body)
	page := wordsIn(parsed(t, body))
	if answer.StatusCode != http.StatusUnprocessableEntity || !strings.Contains(page, "4 kept.") || !strings.Contains(page, "2 angles not kept") || !strings.Contains(page, "I have looked again") {
		t.Errorf("POST = %d %s", answer.StatusCode, page)
	}
	readings, err := s.store.Readings(context.Background(), channelCode)
	if err != nil || len(readings) != 4 || readings[1].Stop == nil || *readings[1].Stop != 9300 || readings[0].By != "AB" {
		t.Fatalf("kept %+v, %v", readings, err)
	}
	s.refused(path, form, owner) // the same page once more
	for _, name := range []string{"m-1-1", "m-1-2", "m-1-3", "m-2-1", "m-3-1"} {
		form.Del(name)
	}
	form.Set("confirmed", "true")
	if answer, _ = s.postForm(path, form, owner); answer.StatusCode != http.StatusOK {
		t.Errorf("the doubtful one confirmed = %d, want 200", answer.StatusCode)
	}
	if readings, _ = s.store.Readings(context.Background(), channelCode); len(readings) != 5 {
		t.Errorf("%d readings after sending the page twice, want 5: what was kept is kept once", len(readings))
	}
	root, _ = s.ownerPage(owner, path)
	if got := len(all(root, classed("in"))); got != 5 {
		t.Errorf("%d angles are shown as in, want 5", got)
	}
}

func TestBoxLabel(t *testing.T) {
	s, owner := openOffice(t)
	answer, body := s.get("/jobs/"+channelCode+"/label.pdf", owner)
	if answer.StatusCode != http.StatusOK || !strings.HasPrefix(body, "%PDF") {
		t.Errorf("the label = %d %.20q", answer.StatusCode, body)
	}
}

// A change of the brake leaves issued sheets alone, and names the open ones
// that use what has changed.
func TestBrakeChanges(t *testing.T) {
	s, owner := openOffice(t)
	part := s.makeReady(exampleOf("tray", "DT-310", "A"), owner)
	code := s.issueFor(part, "1041", owner)
	kept, err := s.store.TravelerByCode(context.Background(), code)
	if err != nil {
		t.Fatal(err)
	}
	brake := s.newestBrake()
	used := -1
	for _, step := range kept.Traveler.Steps {
		for _, g := range step.Segments {
			for i, w := range []int64{22, 28, 37, 50, 68, 91, 124, 168, 227, 306} {
				if g.Width.MM() == 0 || int64(g.Width) == w*1000 {
					used = i
				}
			}
		}
	}
	if used < 0 {
		t.Fatal("the tray is made without fingers")
	}
	changed := s.send("/brakes/"+brake+"/fingers", url.Values{"missing-3-" + strconv.Itoa(used): {"yes"}}, owner)
	for _, path := range []string{"/brakes/" + changed, "/jobs/" + code} {
		if _, page := s.ownerPage(owner, path); !strings.Contains(page, "is missing, and the sheet uses it") {
			t.Errorf("%s does not name the missing finger: %q", path, page)
		}
	}
	after, err := s.store.TravelerByCode(context.Background(), code)
	if err != nil || after.Digest != kept.Digest {
		t.Errorf("the sheet changed: %v", err)
	}
	s.send("/brakes/"+changed+"/fingers", url.Values{}, owner)
	if _, page := s.ownerPage(owner, "/jobs/"+code); strings.Contains(page, "has been changed since") {
		t.Errorf("the finger is back and the sheet is still named: %q", page)
	}
	s.send("/jobs/"+code+"/events", url.Values{"kind": {store.EventClosed}, "detail": {"done"}}, owner)
}

func TestBrakeForm(t *testing.T) {
	s, owner := openOffice(t)
	root, _ := s.ownerPage(owner, "/brakes/new?from="+s.newestBrake())
	form := filled(one(t, root, classed("two")))
	form.Set("act", "keep")
	for _, n := range all(root, named("select")) {
		for _, o := range all(n, named("option")) {
			if has(o, "selected") {
				form.Set(attribute(n, "name"), attribute(o, "value"))
			}
		}
	}
	same := s.send("/brakes", form, owner)
	if _, page := s.ownerPage(owner, "/brakes/"+same+"/changes?from="+strconv.Itoa(atoi(same)-1)); !strings.Contains(page, "The two versions say the same.") {
		t.Errorf("kept as it was, the brake differs: %q", page)
	}
	form.Set("clearance.bar", "2.5")
	form.Set("bars[3].widths", "22, 28, 91")
	form.Set("bars[1].section", "0 / 0, 0 / 0.6, 9 / 21, 23 / 21, 23 / 0")
	changed := s.send("/brakes", form, owner)
	if _, page := s.ownerPage(owner, "/brakes/"+changed+"/changes?from="+same); !strings.Contains(page, "clearance.bar 1.5 2.5") || !strings.Contains(page, "bars[fingers].widths") {
		t.Errorf("the difference says %q", page)
	}
	for name, value := range map[string]string{"usable_length": "long", "leaf.max_angle": "190", "bars[0].rating_t": "-1", "bars[1].section": "0 / 0, 5", "bars[0].kind": "bent"} {
		bad := url.Values{}
		for k, v := range form {
			bad[k] = v
		}
		bad.Set(name, value)
		if got := faultBeside(t, s.refused("/brakes", bad, owner), name); got == "" {
			t.Errorf("%s = %q: nothing stands beside the field", name, value)
		}
	}
}

func TestStock(t *testing.T) {
	s, owner := openOffice(t)
	for _, c := range []struct{ field, value string }{{"name", ""}, {"thickness", "thick"}, {"measured", "-1"}} {
		form := url.Values{"name": {"P-7"}, "material": {"304"}, "thickness": {"0.8"}}
		form.Set(c.field, c.value)
		if got := faultBeside(t, s.refused("/stock/packs", form, owner), c.field); got == "" {
			t.Errorf("%s %q is not refused beside its field", c.field, c.value)
		}
	}
	s.send("/stock/packs", url.Values{"name": {"P-7"}, "material": {"304"}, "thickness": {"0.8"}, "measured": {"0.88"}, "heat": {"4711"}}, owner)
	root, _ := s.ownerPage(owner, "/stock")
	if got := strings.Join(row(t, root, "P-7"), "|"); !strings.Contains(got, "0.88 mm (0.0346 in) off: work its blanks out anew|4711") {
		t.Errorf("the pack is %q", got)
	}
	s.send("/stock/packs", url.Values{"name": {"P-7"}, "material": {"304"}, "thickness": {"0.8"}, "state": {"used"}}, owner)
	if root, _ = s.ownerPage(owner, "/stock"); row(t, root, "P-7")[6] != "used up" {
		t.Errorf("the pack is %q", row(t, root, "P-7"))
	}
}

// A trial strip that is gone by changes the next blank, and no issued sheet.
func TestTrialStrip(t *testing.T) {
	s, owner := openOffice(t)
	form := exampleOf("l", "L-1", "A")
	form.Set("material", "304")
	form.Set("thickness", "0.8")
	form.Set("inside_radius", "1.2")
	seq := s.send("/parts", form, owner)
	_, before := s.ownerPage(owner, "/parts/"+seq)
	root := s.words("/stock/trial", trialForm("learn"), owner)
	if !strings.Contains(root, "K-factor 0.278") || !strings.Contains(root, "Springback 3.5°") {
		t.Errorf("the strip teaches %q", root)
	}
	bad := trialForm("learn")
	bad.Set("leg-one", "60")
	if page := wordsIn(s.refused("/stock/trial", bad, owner)); !strings.Contains(page, "It is right: go by it") {
		t.Errorf("a doubtful strip is not asked about: %q", page)
	}
	bad.Set("angle", "flat")
	if got := faultBeside(t, s.refused("/stock/trial", bad, owner), "angle"); got == "" {
		t.Error("an angle in words is not refused beside its field")
	}
	every := trialForm("adopt")
	every.Set("bar", "")
	s.send("/stock/trial", every, owner)
	_, after := s.ownerPage(owner, "/parts/"+seq)
	if before == after || !strings.Contains(after, "304") {
		t.Error("the part is worked out as before")
	}
	if _, page := s.ownerPage(owner, "/stock"); !strings.Contains(page, "pack P-7") {
		t.Errorf("where the figure is from is not told: %q", page)
	}
}

// words gives the words of the answer to a form that leads nowhere.
func (s *shop) words(to string, form url.Values, session *http.Cookie) string {
	s.Helper()
	answer, body := s.postForm(to, form, session)
	if answer.StatusCode != http.StatusOK {
		s.Fatalf("POST %s = %d: %s", to, answer.StatusCode, wordsIn(parsed(s, body)))
	}
	checkPage(s, body)
	return wordsIn(parsed(s, body))
}
