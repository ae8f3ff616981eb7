package office_test

import (
	"context"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"brakeside/calc/unit"
	"brakeside/server"
	"brakeside/server/internal/shoptest"
	"brakeside/server/store"
	"brakeside/testdata/robot"
	"brakeside/traveler/standing"
)

func TestIssueReplaceFinishClose(t *testing.T) {
	s, owner := shoptest.OpenOffice(t)
	part := s.MakeReady(shoptest.ExampleOf("tray", "DT-310", "A"), owner)
	code := s.IssueFor(part, "1041", owner)
	basis, err := s.Store.Basis(context.Background(), code)
	if err != nil || basis.Part != int64(shoptest.Atoi(part)) || basis.Brake == 0 {
		t.Errorf("the sheet is made from %+v, %v", basis, err)
	}
	if root := s.Refused("/jobs", url.Values{"part": {part}, "brake": {s.NewestBrake()}, "job": {"1041"}, "quantity": {"2"}}, owner); !strings.Contains(shoptest.FaultBeside(t, root, "job"), "has a sheet already") {
		t.Errorf("a second sheet of the job: %q", shoptest.WordsIn(root))
	}
	next := shoptest.ExampleOf("tray", "DT-310", "B")
	next.Set("tray.walls.back[0].leg", "60")
	newer := s.MakeReady(next, owner)
	root, page := s.OwnerPage(owner, "/jobs/new?replaces="+code)
	if shoptest.FieldValue(root, "job") != "1041" || shoptest.FieldValue(root, "quantity") != "2" || !strings.Contains(page, "DT-310 rev A") {
		t.Errorf("the form to replace says %q", page)
	}
	form := url.Values{"part": {newer}, "brake": {s.NewestBrake()}, "job": {"1041"}, "quantity": {"2"}, "replaces": {code}}
	if got := shoptest.FaultBeside(t, s.Refused("/jobs", form, owner), "reason"); !strings.Contains(got, "Say why") {
		t.Errorf("without a reason: %q", got)
	}
	form.Set("reason", "back wall was too low")
	replaced := s.Send("/jobs", form, owner)
	if answer, _ := s.PostJSON("/t/"+code+"/readings", `{"id":"x1","piece":1,"step":1,"measured":90}`); answer.StatusCode != http.StatusCreated {
		t.Errorf("logging on the old sheet = %d, want 201: what was bent is written down", answer.StatusCode)
	}
	if _, page := s.OwnerPage(owner, "/jobs/"+replaced); !strings.Contains(page, "back wall was too low") {
		t.Errorf("the reason is not shown: %q", page)
	}
	s.Send("/jobs/"+code+"/events", url.Values{"kind": {standing.FinishAllowed}, "detail": {"two are half bent"}}, owner)
	s.Record(code, `{"id":"x2","piece":1,"step":1,"measured":90}`)
	if _, page := s.OwnerPage(owner, "/jobs/"+code); !strings.Contains(page, "2 bends logged, 0 pieces scrapped, 2 of 2 in tolerance.") && !valueOnPage(s, owner, code) {
		t.Errorf("the closing words are not begun: %q", page)
	}
}

// valueOnPage reports whether the form that closes a job begins with a summary.
func valueOnPage(s *shoptest.Shop, owner *http.Cookie, code string) bool {
	root, _ := s.OwnerPage(owner, "/jobs/"+code)
	for _, n := range shoptest.All(root, shoptest.Named("input")) {
		if shoptest.Attribute(n, "id") == standing.Closed {
			return shoptest.Attribute(n, "value") == "2 bends logged, 0 pieces scrapped, 2 of 2 in tolerance."
		}
	}
	return false
}

func TestNewJobRefuses(t *testing.T) {
	s, owner := shoptest.OpenOffice(t)
	part := s.MakeReady(shoptest.ExampleOf("tray", "DT-310", "A"), owner)
	for _, c := range []struct{ field, value, want string }{
		{"quantity", "four", "whole number"}, {"quantity", "0", "whole number"}, {"job", "", "needs a number"}, {"due", "tomorrow", "no date"},
		{"part", "", "Choose a part"}, {"brake", "", "Choose a brake"},
	} {
		form := url.Values{"part": {part}, "brake": {s.NewestBrake()}, "job": {"7"}, "quantity": {"2"}, "due": {"2026-06-01"}}
		form.Set(c.field, c.value)
		if got := shoptest.FaultBeside(t, s.Refused("/jobs", form, owner), c.field); !strings.Contains(got, c.want) {
			t.Errorf("%s %q: beside the field stands %q, want %q", c.field, c.value, got, c.want)
		}
	}
	s.Restart(func(o *server.Options) { o.Planner = nil })
	root := answered(s, "/jobs", url.Values{"part": {part}, "brake": {s.NewestBrake()}, "job": {"7"}, "quantity": {"2"}}, owner)
	if !strings.Contains(root, "without a planner") {
		t.Errorf("without a planner: %q", root)
	}
}

// A sheet is in the units that the shop has when it is issued, and stays so.
func TestSheetIsInTheUnitsOfTheShop(t *testing.T) {
	s, owner := shoptest.OpenOffice(t)
	part := s.MakeReady(shoptest.ExampleOf("tray", "DT-310", "A"), owner)
	before := s.IssueFor(part, "J-1", owner)
	if err := s.Store.KeepSetting(t.Context(), store.SettingUnits, "in"); err != nil {
		t.Fatal(err)
	}
	after := s.IssueFor(part, "J-2", owner)
	for code, want := range map[string]unit.System{before: unit.Metric, after: unit.Inch} {
		if kept, err := s.Store.TravelerByCode(t.Context(), code); err != nil || kept.Traveler.In() != want {
			t.Errorf("%s: %v, in %s, want %s", code, err, kept.Traveler.In(), want)
		}
	}
}

// answered gives the words of an answer whatever its status is.
func answered(s *shoptest.Shop, to string, form url.Values, session *http.Cookie) string {
	s.Helper()
	_, body := s.PostForm(to, form, session)
	return shoptest.WordsIn(shoptest.Parsed(s, body))
}

func TestJobsSearchAndDue(t *testing.T) {
	s, owner := shoptest.OpenOffice(t)
	part := s.MakeReady(shoptest.ExampleOf("l", "L-1", "A"), owner)
	s.Send("/jobs", url.Values{"part": {part}, "brake": {s.NewestBrake()}, "job": {"77"}, "quantity": {"2"}, "due": {"2026-05-01"}}, owner)
	root, _ := s.OwnerPage(owner, "/?q=l-1+wait")
	if got := shoptest.Row(t, root, "77"); got[3] != "2026-05-01 late" {
		t.Errorf("the job's row is %q", got)
	}
	if _, page := s.OwnerPage(owner, "/?q=nothing"); !strings.Contains(page, "No open sheet is like that.") {
		t.Errorf("a search that finds nothing says %q", page)
	}
}

// A run that was logged on paper is typed in from a page laid out like it.
func TestGrid(t *testing.T) {
	s, owner := shoptest.OpenOffice(t)
	path := "/jobs/" + shoptest.ChannelCode + "/grid"
	root, _ := s.OwnerPage(owner, path)
	form := shoptest.Filled(shoptest.One(t, root, func(n *html.Node) bool {
		return n.Data == "form" && len(shoptest.All(n, shoptest.Classed("paper"))) > 0
	}))
	form.Set("given_as", "bend")
	form.Set("by", "AB")
	form.Set("stop-2", "93")
	for name, angle := range map[string]string{"m-1-1": "45.2", "m-1-2": "89.4", "m-1-3": "90.3", "m-2-1": "44.8", "m-2-2": "70", "m-3-1": "abc"} {
		form.Set(name, angle)
	}
	answer, body := s.PostForm(path, form, owner)
	shoptest.CheckPage(t, body)
	page := shoptest.WordsIn(shoptest.Parsed(t, body))
	if answer.StatusCode != http.StatusUnprocessableEntity || !strings.Contains(page, "4 saved.") || !strings.Contains(page, "2 angles not saved") || !strings.Contains(page, "I have looked again") {
		t.Errorf("POST = %d %s", answer.StatusCode, page)
	}
	readings, err := s.Store.Readings(context.Background(), shoptest.ChannelCode)
	if err != nil || len(readings) != 4 || readings[1].Stop == nil || *readings[1].Stop != 9300 || readings[0].Stop == nil || *readings[0].Stop != 4700 || readings[0].By != "AB" {
		t.Fatalf("kept %+v, %v", readings, err)
	}
	s.Refused(path, form, owner) // the same page once more
	for _, name := range []string{"m-1-1", "m-1-2", "m-1-3", "m-2-1", "m-3-1"} {
		form.Del(name)
	}
	form.Set("confirmed", "true")
	if answer, _ = s.PostForm(path, form, owner); answer.StatusCode != http.StatusOK {
		t.Errorf("the doubtful one confirmed = %d, want 200", answer.StatusCode)
	}
	if readings, _ = s.Store.Readings(context.Background(), shoptest.ChannelCode); len(readings) != 5 {
		t.Errorf("%d readings after sending the page twice, want 5: what was kept is kept once", len(readings))
	}
	root, _ = s.OwnerPage(owner, path)
	if got := len(shoptest.All(root, shoptest.Classed("in"))); got != 5 {
		t.Errorf("%d angles are shown as in, want 5", got)
	}
}

func TestBoxLabel(t *testing.T) {
	s, owner := shoptest.OpenOffice(t)
	answer, body := s.Get("/jobs/"+shoptest.ChannelCode+"/label.pdf", owner)
	if answer.StatusCode != http.StatusOK || !strings.HasPrefix(body, "%PDF") {
		t.Errorf("the label = %d %.20q", answer.StatusCode, body)
	}
}

// The label and the record say how many pieces are to be made now, not how many
// were when the sheet was issued; five figures are printed whole.
func TestPapersFollowTheQuantity(t *testing.T) {
	s, owner := shoptest.OpenOffice(t)
	s.Send("/jobs/"+shoptest.ChannelCode+"/events", url.Values{"kind": {"quantity"}, "detail": {"12345"}}, owner)
	for _, paper := range []string{"label.pdf", "record.pdf"} {
		_, body := s.Get("/jobs/"+shoptest.ChannelCode+"/"+paper, owner)
		words, err := robot.Words([]byte(body))
		if err != nil || !slices.Contains(words, "12345") {
			t.Errorf("%s does not say 12345 pieces: %q, %v", paper, words, err)
		}
	}
}

func TestStock(t *testing.T) {
	s, owner := shoptest.OpenOffice(t)
	for _, c := range []struct{ field, value string }{{"name", ""}, {"thickness", "thick"}, {"measured", "-1"}} {
		form := url.Values{"name": {"P-7"}, "material": {"304"}, "thickness": {"0.8"}}
		form.Set(c.field, c.value)
		if got := shoptest.FaultBeside(t, s.Refused("/stock/packs", form, owner), c.field); got == "" {
			t.Errorf("%s %q is not refused beside its field", c.field, c.value)
		}
	}
	s.Send("/stock/packs", url.Values{"name": {"P-7"}, "material": {"304"}, "thickness": {"0.8"}, "measured": {"0.88"}, "heat": {"4711"}}, owner)
	root, _ := s.OwnerPage(owner, "/stock")
	if got := strings.Join(shoptest.Row(t, root, "P-7"), "|"); !strings.Contains(got, "0.88 mm (0.0346 in) off: work its blanks out anew|4711") {
		t.Errorf("the pack is %q", got)
	}
	s.Send("/stock/packs", url.Values{"name": {"P-7"}, "material": {"304"}, "thickness": {"0.8"}, "state": {"used"}}, owner)
	if root, _ = s.OwnerPage(owner, "/stock"); shoptest.Row(t, root, "P-7")[6] != "used up" {
		t.Errorf("the pack is %q", shoptest.Row(t, root, "P-7"))
	}
}

// A trial strip that is gone by changes the next blank, and no issued sheet.
func TestTrialStrip(t *testing.T) {
	s, owner := shoptest.OpenOffice(t)
	form := shoptest.ExampleOf("l", "L-1", "A")
	form.Set("material", "304")
	form.Set("thickness", "0.8")
	form.Set("inside_radius", "1.2")
	seq := s.Send("/parts", form, owner)
	_, before := s.OwnerPage(owner, "/parts/"+seq)
	root := words(s, "/stock/trial", shoptest.TrialForm("learn"), owner)
	if !strings.Contains(root, "K-factor 0.278") || !strings.Contains(root, "Springback 3.5°") {
		t.Errorf("the strip teaches %q", root)
	}
	bad := shoptest.TrialForm("learn")
	bad.Set("leg-one", "60")
	if page := shoptest.WordsIn(s.Refused("/stock/trial", bad, owner)); !strings.Contains(page, "It is right: go by it") {
		t.Errorf("a doubtful strip is not asked about: %q", page)
	}
	bad.Set("angle", "flat")
	if got := shoptest.FaultBeside(t, s.Refused("/stock/trial", bad, owner), "angle"); got == "" {
		t.Error("an angle in words is not refused beside its field")
	}
	every := shoptest.TrialForm("adopt")
	every.Set("bar", "")
	s.Send("/stock/trial", every, owner)
	_, after := s.OwnerPage(owner, "/parts/"+seq)
	if before == after || !strings.Contains(after, "304") {
		t.Error("the part is worked out as before")
	}
	if _, page := s.OwnerPage(owner, "/stock"); !strings.Contains(page, "lot P-7") {
		t.Errorf("where the figure is from is not told: %q", page)
	}
}

// words gives the words of the answer to a form that leads nowhere.
func words(s *shoptest.Shop, to string, form url.Values, session *http.Cookie) string {
	s.Helper()
	answer, body := s.PostForm(to, form, session)
	if answer.StatusCode != http.StatusOK {
		s.Fatalf("POST %s = %d: %s", to, answer.StatusCode, shoptest.WordsIn(shoptest.Parsed(s, body)))
	}
	shoptest.CheckPage(s, body)
	return shoptest.WordsIn(shoptest.Parsed(s, body))
}
