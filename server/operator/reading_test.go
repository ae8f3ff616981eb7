package operator_test

import (
	"context"
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"slices"
	"strings"
	"sync"
	"testing"

	"golang.org/x/net/html"

	"brakeside/server/internal/shoptest"
	"brakeside/server/operator"
	"brakeside/traveler/progress"
	"brakeside/traveler/standing"
)

func TestReadingAsJSON(t *testing.T) {
	s := shoptest.OpenShop(t)
	const first = `{"id":"r1","piece":1,"step":1,"measured":44.4,"given_as":"bend","stop":47.0,"place":"left","by":"AB","state":"as-bent","note":"","flags":[],"leg":null,"pack":"","thickness":null,"nose_setback":[null,null],"tool":"","confirmed":false,"at":"2026-05-04T09:30:00Z"}`
	answer, body := s.PostJSON(shoptest.ChannelReadings, first)
	if answer.StatusCode != http.StatusCreated || !strings.HasPrefix(answer.Header.Get("Content-Type"), "application/json") {
		t.Fatalf("POST = %d %s %s, want 201 as JSON", answer.StatusCode, answer.Header.Get("Content-Type"), body)
	}
	verdict := shoptest.Decode(t, body)
	if verdict["error"] != -0.6 || verdict["in_tolerance"] != true || verdict["advice"] == "" {
		t.Errorf("verdict = %s, want error -0.6, in tolerance, some advice", body)
	}
	if next := verdict["next"].(map[string]any); next["piece"] != 1.0 || next["step"] != 2.0 {
		t.Errorf("next = %v, want piece 1, step 2", next)
	}
	again, same := s.PostJSON(shoptest.ChannelReadings, first)
	if again.StatusCode != http.StatusOK || same != body {
		t.Errorf("the same again = %d %s, want 200 and the bytes first sent: %s", again.StatusCode, same, body)
	}
	other, why := s.PostJSON(shoptest.ChannelReadings, `{"id":"r1","piece":1,"step":1,"measured":44.5}`)
	if other.StatusCode != http.StatusConflict {
		t.Errorf("another body under the id = %d %s, want 409", other.StatusCode, why)
	}
	upper, _ := s.PostJSON("/t/"+strings.ToUpper(shoptest.ChannelCode)+"/readings", first)
	if upper.StatusCode != http.StatusOK {
		t.Errorf("the same under the code in capitals = %d, want 200", upper.StatusCode)
	}
}

func TestReadingRefusals(t *testing.T) {
	s := shoptest.OpenShop(t)
	s.Record(shoptest.ChannelCode, `{"id":"f1","piece":1,"step":1,"measured":45}`)
	cases := []struct {
		name, body string
		status     int
		want       []string
	}{
		{"not JSON", `piece 1`, 400, []string{`"error":{"field":""`}},
		{"a list", `[1]`, 400, nil},
		{"nothing", ``, 400, nil},
		{"too big", `{"id":"x","note":"` + strings.Repeat("a", 20<<10) + `"}`, 413, nil},
		{"far too big", `{"id":"x","note":"` + strings.Repeat("a", 70<<10) + `"}`, 413, nil},
		{"no angle", `{"id":"x","piece":1,"step":2}`, 422, []string{`"field":"measured"`}},
		{"no such step", `{"id":"x","piece":1,"step":9,"measured":90}`, 422, []string{`"field":"step"`}},
		{"an unknown field", `{"id":"x","piece":1,"step":2,"measured":90,"colour":"red"}`, 422, []string{`"field":"colour"`}},
		{"8 degrees off", `{"id":"x","piece":1,"step":2,"measured":80}`, 422, []string{`"confirm":"`, `"field":"measured"`}},
		{"scrapped without a word", `{"id":"x","piece":1,"step":2,"measured":90,"state":"scrapped"}`, 422, []string{`"field":"note"`}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			answer, body := s.PostJSON(shoptest.ChannelReadings, c.body)
			if answer.StatusCode != c.status {
				t.Fatalf("POST = %d %s, want %d", answer.StatusCode, body, c.status)
			}
			if refusal := shoptest.Decode(t, body)["error"].(map[string]any); refusal["message"] == "" {
				t.Errorf("the refusal says nothing: %s", body)
			}
			for _, want := range c.want {
				if !strings.Contains(body, want) {
					t.Errorf("body %s lacks %s", body, want)
				}
			}
		})
	}
	if answer, body := s.PostJSON("/t/"+shoptest.UnknownCode+"/readings", `{"id":"x","piece":1,"step":1,"measured":45}`); answer.StatusCode != http.StatusNotFound || shoptest.Decode(t, body)["error"] == nil {
		t.Errorf("an unknown code = %d %s, want 404 as JSON", answer.StatusCode, body)
	}
	readings, err := s.Store.Readings(context.Background(), shoptest.ChannelCode)
	if err != nil || len(readings) != 1 {
		t.Errorf("%d readings stored, %v; want the one good one", len(readings), err)
	}
}

func TestConfirmedReadingIsStored(t *testing.T) {
	s := shoptest.OpenShop(t)
	s.Record(shoptest.ChannelCode, `{"id":"x","piece":1,"step":1,"measured":30,"confirmed":true}`)
}

func TestOwnerLetsTheRunGoOn(t *testing.T) {
	s := shoptest.OpenShop(t)
	s.Decide(shoptest.ChannelCode, standing.Released, "customer agreed")
	s.Record(shoptest.ChannelCode, `{"id":"x","piece":2,"step":1,"measured":45,"confirmed":true}`)
}

func TestReadingAsForm(t *testing.T) {
	s := shoptest.OpenShop(t)
	form := s.Form("/t/"+shoptest.ChannelCode, url.Values{"pad": {"44.6"}, "by": {"AB é"}, "place": {"right"}})
	answer, _ := s.PostForm(shoptest.ChannelReadings, form)
	to := answer.Header.Get("Location")
	if answer.StatusCode != http.StatusSeeOther || to != "/t/"+shoptest.ChannelCode+"?saved="+form.Get("id") {
		t.Fatalf("POST the form = %d to %q, want 303 to the verdict", answer.StatusCode, to)
	}
	_, body := s.Get(to)
	shoptest.CheckPage(t, body)
	root := shoptest.Parsed(t, body)
	page := shoptest.WordsIn(root)
	for _, want := range []string{"In tolerance", "44.6° measured at the right", "45.0° target, ± 1.0°", "Next: piece 1, step 2"} {
		if !strings.Contains(page, want) {
			t.Errorf("the verdict lacks %q; it says: %s", want, page)
		}
	}
	if again, _ := s.PostForm(shoptest.ChannelReadings, form); again.StatusCode != http.StatusSeeOther {
		t.Errorf("the same form again = %d, want 303", again.StatusCode)
	}
	readings, err := s.Store.Readings(context.Background(), shoptest.ChannelCode)
	if err != nil || len(readings) != 1 || readings[0].By != "AB é" || readings[0].Place != "right" {
		t.Fatalf("stored %+v, %v; want one reading by AB é at the right", readings, err)
	}
	checkRemembered(t, s, answer)
}

func checkRemembered(t *testing.T, s *shoptest.Shop, answer *http.Response) {
	t.Helper()
	cookies := answer.Cookies()
	for _, c := range cookies {
		if !c.HttpOnly || c.SameSite != http.SameSiteStrictMode || c.Path != "/t/" {
			t.Errorf("cookie %+v, want HttpOnly, SameSite=Strict, for /t/ only", c)
		}
	}
	_, body := s.Get("/t/"+shoptest.ChannelCode, cookies...)
	if by := shoptest.Filled(shoptest.One(t, shoptest.Parsed(t, body), shoptest.Classed("log"))).Get("by"); by != "AB é" {
		t.Errorf("initials on the next page = %q, want AB é", by)
	}
}

func TestTypedAngleGoesBeforeThePad(t *testing.T) {
	cases := []struct {
		name string
		form url.Values
		want url.Values
	}{
		{"pad", url.Values{"pad": {"135.0"}, "pad_as": {"opening"}, "given_as": {"bend"}, "typed": {""}}, url.Values{"measured": {"135.0"}, "given_as": {"opening"}}},
		{"typed", url.Values{"pad": {"45.1"}, "pad_as": {"bend"}, "given_as": {"opening"}, "typed": {"134,2"}}, url.Values{"measured": {"134,2"}, "given_as": {"opening"}}},
		{"named as in JSON", url.Values{"measured": {"44"}, "given_as": {"bend"}}, url.Values{"measured": {"44"}, "given_as": {"bend"}}},
		{"none", url.Values{"typed": {""}, "pad_as": {"bend"}}, url.Values{}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			if got := operator.ReadingFields(c.form); got.Encode() != c.want.Encode() {
				t.Errorf("readingFields(%v) = %v, want %v", c.form, got, c.want)
			}
		})
	}
}

// What was typed stays in the form when it is refused, and the field is marked.
func TestRefusedFormComesBackFilled(t *testing.T) {
	s := shoptest.OpenShop(t)
	form := s.Form("/t/"+shoptest.ChannelCode, url.Values{"typed": {"fourty"}, "by": {"AB"}, "note": {"film on"}, "flags": {"bar-lifted"}, "leg": {"33.9"}, "nose_setback": {"1.8", "2.1"}})
	answer, body := s.PostForm(shoptest.ChannelReadings, form)
	if answer.StatusCode != http.StatusUnprocessableEntity {
		t.Fatalf("POST = %d, want 422", answer.StatusCode)
	}
	shoptest.CheckPage(t, body)
	root := shoptest.Parsed(t, body)
	again := shoptest.Filled(shoptest.One(t, root, shoptest.Classed("log")))
	for name, want := range map[string]string{"typed": "fourty", "by": "AB", "note": "film on", "flags": "bar-lifted", "leg": "33.9", "id": form.Get("id")} {
		if again.Get(name) != want {
			t.Errorf("%s = %q, want %q", name, again.Get(name), want)
		}
	}
	if ends := again["nose_setback"]; len(ends) != 2 || ends[1] != "2.1" {
		t.Errorf("nose setbacks = %v, want 1.8 and 2.1", ends)
	}
	marked := shoptest.All(root, func(n *html.Node) bool { return shoptest.Has(n, "aria-invalid") })
	if len(marked) != 1 || shoptest.Attribute(marked[0], "name") != "typed" {
		t.Errorf("%d fields are marked as wrong, want the angle", len(marked))
	}
	if page := shoptest.WordsIn(root); !strings.Contains(page, "Not saved.") {
		t.Errorf("the page does not say that nothing was saved: %s", page)
	}
	form = s.Form("/t/"+shoptest.ChannelCode, nil)
	if answer, _ := s.PostForm(shoptest.ChannelReadings, form); answer.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("a form without an angle = %d, want 422", answer.StatusCode)
	}
	form.Set("step", "77")
	form.Set("pad", "45.0")
	if answer, _ := s.PostForm(shoptest.ChannelReadings, form); answer.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("a form for a step that is not there = %d, want 422", answer.StatusCode)
	}
}

// choose answers a question by its n-th button.
func choose(s *shoptest.Shop, page string, n int) (*http.Response, string) {
	s.Helper()
	forms := shoptest.All(shoptest.Parsed(s, page), shoptest.Named("form"))
	if n >= len(forms) {
		s.Fatalf("the page has %d answers, want at least %d: %s", len(forms), n+1, shoptest.WordsIn(shoptest.Parsed(s, page)))
	}
	return s.PostForm(shoptest.Attribute(forms[n], "action"), shoptest.Filled(forms[n]))
}

func buttons(t testing.TB, page string) []string {
	var words []string
	for _, b := range shoptest.All(shoptest.Parsed(t, page), shoptest.Named("button")) {
		words = append(words, shoptest.WordsIn(b))
	}
	return words
}

func TestQuestions(t *testing.T) {
	const no = "No: take it away and type it anew"
	cases := []struct {
		name    string
		path    string
		set     url.Values
		buttons []string
		answer  int // the one that is given
		check   func(progress.Reading) bool
	}{
		{"the opening typed for the bend", "/1?piece=1", url.Values{"typed": {"135"}},
			[]string{"Save it as opening 135°", "Yes, it is 135°", no}, 0, func(r progress.Reading) bool { return r.GivenAs == "opening" && r.Error == 0 }},
		{"the opening typed, and meant as a bend", "/1?piece=1", url.Values{"typed": {"135"}},
			[]string{"Save it as opening 135°", "Yes, it is 135°", no}, 1, func(r progress.Reading) bool { return r.Confirmed && r.Error == 9000 }},
		{"the bend typed for the opening", "/1?piece=1", url.Values{"typed": {"45.5"}, "given_as": {"opening"}},
			[]string{"Save it as bend 45.5°", "Yes, it is 45.5°", no}, 0, func(r progress.Reading) bool { return r.GivenAs == "bend" && r.Error == 50 }},
		{"a decimal point that slipped", "/1?piece=1", url.Values{"typed": {"4.5"}},
			[]string{"45.0°?", "Yes, it is 4.5°", no}, 0, func(r progress.Reading) bool { return r.Error == 0 }},
		{"far off either way", "/1?piece=1", url.Values{"typed": {"70"}},
			[]string{"Yes, it is 70°", no}, 0, func(r progress.Reading) bool { return r.Confirmed && r.Error == 2500 }},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			s := shoptest.OpenShop(t)
			asked, page := s.PostForm(shoptest.ChannelReadings, s.Form("/t/"+shoptest.ChannelCode+c.path, c.set))
			if asked.StatusCode != http.StatusUnprocessableEntity {
				t.Fatalf("POST = %d, want 422 with a question", asked.StatusCode)
			}
			shoptest.CheckPage(t, page)
			if got := buttons(t, page); strings.Join(got, "|") != strings.Join(c.buttons, "|") {
				t.Fatalf("the answers are %q, want %q", got, c.buttons)
			}
			if answer, body := choose(s, page, c.answer); answer.StatusCode != http.StatusSeeOther {
				t.Fatalf("the answer = %d %s, want 303", answer.StatusCode, shoptest.WordsIn(shoptest.Parsed(t, body)))
			}
			readings, err := s.Store.Readings(context.Background(), shoptest.ChannelCode)
			if err != nil || len(readings) != 1 || !c.check(readings[0]) {
				t.Errorf("stored %+v, %v", readings, err)
			}
		})
	}
}

// Questions wait in a list of their own and hold up nothing: they are answered in
// any order, at the brake or in the office, and a newer reading of the bend takes
// one away.
func TestQuestionsWait(t *testing.T) {
	s := shoptest.OpenShop(t)
	session := s.Owner()
	for i, measured := range []string{"70", "9", "900"} {
		want := 422
		answer, body := s.PostJSON(shoptest.ChannelReadings, fmt.Sprintf(`{"id":"q%d","piece":1,"step":%d,"measured":%s}`, i+1, i+1, measured))
		if answer.StatusCode != want || strings.Contains(body, `"confirm"`) != (measured != "900") {
			t.Errorf("POST %s = %d %s, want %d with a question unless it is no angle at all", measured, answer.StatusCode, body, want)
		}
	}
	s.Record(shoptest.ChannelCode, `{"id":"f3","piece":1,"step":3,"measured":90}`)
	if answer, _ := s.PostJSON(shoptest.ChannelReadings, `{"id":"q4","piece":1,"step":3,"measured":20}`); answer.StatusCode != 422 {
		t.Errorf("a third question = %d, want 422", answer.StatusCode)
	}
	list := func() string {
		_, body := s.Get("/t/" + shoptest.ChannelCode + "/questions")
		shoptest.CheckPage(t, body)
		return shoptest.WordsIn(shoptest.Parsed(t, body))
	}
	if page := list(); !strings.Contains(page, "Piece 1, step 1") || !strings.Contains(page, "90.0°?") || !strings.Contains(page, "Piece 1, step 3") {
		t.Errorf("the list says %s", page)
	}
	if _, body := s.Get("/t/" + shoptest.ChannelCode); !strings.Contains(body, "3 angles not stored yet") {
		t.Error("the page of the next bend does not say that questions wait")
	}
	s.PostForm("/t/"+shoptest.ChannelCode+"/questions", url.Values{"id": {"q4"}, "answer": {"no"}, "piece": {"1"}, "step": {"3"}})
	if answer, _ := s.PostForm("/jobs/"+shoptest.ChannelCode+"/questions", url.Values{"id": {"q1"}, "answer": {"yes"}}, session); answer.StatusCode != http.StatusSeeOther {
		t.Errorf("the office's yes = %d, want 303", answer.StatusCode)
	}
	s.Record(shoptest.ChannelCode, `{"id":"f2","piece":1,"step":2,"measured":90}`)
	if page := list(); !strings.Contains(page, "None waits.") {
		t.Errorf("answered, and the list says %s", page)
	}
	readings, err := s.Store.Readings(context.Background(), shoptest.ChannelCode)
	if err != nil || len(readings) != 3 || readings[1].ID != "q1" || readings[1].Error != 2500 {
		t.Errorf("stored %+v, %v; want f3, q1 and f2", readings, err)
	}
	if _, page := s.OwnerPage(session, "/jobs/"+shoptest.ChannelCode); strings.Contains(page, "Angles that wait") {
		t.Error("the job's page still shows questions")
	}
}

// What is out of turn is a fact all the same: it is stored and says so, from a
// program and from a form.
func TestOutOfTurnIsStored(t *testing.T) {
	s := shoptest.OpenShop(t)
	s.Record(shoptest.ChannelCode, `{"id":"f1","piece":1,"step":1,"measured":45.2}`)
	for body, flag := range map[string]string{
		`{"id":"o1","piece":1,"step":3,"measured":90}`: "out-of-order",
		`{"id":"o2","piece":1,"step":1,"measured":45}`: "twice",
		`{"id":"o3","piece":2,"step":1,"measured":45}`: "before-first-piece",
	} {
		if answer, text := s.PostJSON(shoptest.ChannelReadings, body); answer.StatusCode != http.StatusCreated || !strings.Contains(text, `"flags":["`+flag+`"]`) {
			t.Errorf("POST %s = %d %s, want 201 with %s", body, answer.StatusCode, text, flag)
		}
	}
	answer, page := s.PostForm(shoptest.ChannelReadings, s.Form("/t/"+shoptest.ChannelCode+"/2?piece=3&bent=yes", url.Values{"typed": {"90"}}))
	if answer.StatusCode != http.StatusSeeOther {
		t.Errorf("a form before the first piece = %d %s, want 303", answer.StatusCode, shoptest.WordsIn(shoptest.Parsed(t, page)))
	}
	readings, err := s.Store.Readings(context.Background(), shoptest.ChannelCode)
	if err != nil || len(readings) != 5 || !slices.Contains(readings[4].Flags, progress.FlagBeforeFirstPiece) {
		t.Errorf("stored %+v, %v, want all five", readings, err)
	}
}

func TestCorrectionFromTheVerdict(t *testing.T) {
	s := shoptest.OpenShop(t)
	s.Record(shoptest.ChannelCode, `{"id":"f1","piece":1,"step":1,"measured":46.9}`)
	_, body := s.Get("/t/" + shoptest.ChannelCode + "?saved=f1")
	links := shoptest.All(shoptest.One(t, shoptest.Parsed(t, body), shoptest.Classed("after")), shoptest.Named("a"))
	correct := slices.IndexFunc(links, func(n *html.Node) bool { return strings.Contains(shoptest.Attribute(n, "href"), "correct") })
	if len(links) != 2 || correct < 0 {
		t.Fatalf("%d ways on beside the main key of a verdict that is off, want to measure again and correct", len(links))
	}
	form := s.Form(shoptest.Attribute(links[correct], "href"), url.Values{"pad": {"45.4"}})
	if form.Get("corrects") != "f1" {
		t.Fatalf("the form corrects %q, want f1", form.Get("corrects"))
	}
	if answer, page := s.PostForm(shoptest.ChannelReadings, form); answer.StatusCode != http.StatusSeeOther {
		t.Fatalf("POST the correction = %d %s", answer.StatusCode, shoptest.WordsIn(shoptest.Parsed(t, page)))
	}
	twice := s.Form(shoptest.Attribute(links[correct], "href"), url.Values{"pad": {"45.4"}})
	if answer, page := s.PostForm(shoptest.ChannelReadings, twice); answer.StatusCode != http.StatusSeeOther {
		t.Errorf("correcting it twice = %d %s, want 303", answer.StatusCode, shoptest.WordsIn(shoptest.Parsed(t, page)))
	}
	if readings, err := s.Store.Readings(context.Background(), shoptest.ChannelCode); err != nil || len(readings) != 3 || readings[2].Corrects != readings[1].ID {
		t.Errorf("stored %+v, %v; want the later correction to correct the earlier one", readings, err)
	}
}

// A page that was gone back to after it has saved asks, without a script, whether
// another angle is a second reading or a correction; either is stored under a new id.
func TestAnotherAngleFromASavedPage(t *testing.T) {
	for answer, corrects := range map[string]string{"second reading": "", "corrects the 45.0": "first"} {
		s := shoptest.OpenShop(t)
		form := s.Form("/t/"+shoptest.ChannelCode+"/1?piece=1", url.Values{"id": {"first"}, "typed": {"45"}})
		if saved, page := s.PostForm(shoptest.ChannelReadings, form); saved.StatusCode != http.StatusSeeOther {
			t.Fatalf("saving = %d %s", saved.StatusCode, page)
		}
		form.Set("typed", "45.4")
		asked, page := s.PostForm(shoptest.ChannelReadings, form)
		if asked.StatusCode != http.StatusConflict || !strings.Contains(page, "This page has saved 45.0° already") {
			t.Fatalf("another angle from the same page = %d %s, want to be asked", asked.StatusCode, page)
		}
		forms := shoptest.All(shoptest.Parsed(t, page), shoptest.Named("form"))
		chosen := slices.IndexFunc(forms, func(n *html.Node) bool { return strings.Contains(shoptest.WordsIn(n), answer) })
		if len(forms) != 2 || chosen < 0 {
			t.Fatalf("%d answers, want two and %q among them: %s", len(forms), answer, page)
		}
		if stored, page := s.PostForm(shoptest.ChannelReadings, shoptest.Filled(forms[chosen])); stored.StatusCode != http.StatusSeeOther {
			t.Fatalf("%s = %d %s", answer, stored.StatusCode, page)
		}
		readings, err := s.Store.Readings(t.Context(), shoptest.ChannelCode)
		if err != nil || len(readings) != 2 || readings[1].ID == "first" || readings[1].Measured != 4540 || readings[1].Corrects != corrects {
			t.Errorf("%s: stored %+v, %v; want 45.4 under a new id, correcting %q", answer, readings, err, corrects)
		}
	}
}

func TestVerdicts(t *testing.T) {
	s := shoptest.OpenShop(t)
	s.Record(shoptest.ChannelCode, `{"id":"f1","piece":1,"step":1,"measured":42.1}`)
	s.Record(shoptest.ChannelCode, `{"id":"f2","piece":1,"step":1,"measured":45.4,"state":"reworked"}`)
	s.Record(shoptest.ChannelCode, `{"id":"f3","piece":1,"step":2,"measured":92.5}`)
	s.Record(shoptest.ChannelCode, `{"id":"f4","piece":1,"step":3,"measured":91,"given_as":"opening"}`)
	s.Record(shoptest.ChannelCode, `{"id":"f5","piece":1,"step":3,"measured":80,"state":"scrapped","note":"torn","confirmed":true}`)
	cases := []struct{ id, side, words, more string }{
		{"f1", "under", "Under-bent by 2.9°", "bend again with the stop at 49.9"},
		{"f2", "right", "In tolerance", "45.4° measured"},
		{"f3", "over", "Over-bent by 2.5°", "by hand"},
		{"f4", "right", "In tolerance", "Given as an opening of 91.0°"},
		{"f5", "halt", "Piece 1 is scrapped", "set it aside"},
	}
	for _, c := range cases {
		_, body := s.Get("/t/" + shoptest.ChannelCode + "?saved=" + c.id)
		shoptest.CheckPage(t, body)
		root := shoptest.Parsed(t, body)
		verdict := shoptest.One(t, root, shoptest.Classed("verdict"))
		if !shoptest.Classed(c.side)(verdict) || shoptest.WordsIn(shoptest.One(t, verdict, shoptest.Named("h1"))) != c.words || len(shoptest.All(verdict, shoptest.Named("svg"))) != 1 {
			t.Errorf("%s: verdict %q of class %q, want %q of class %s with a sign", c.id, shoptest.WordsIn(verdict), shoptest.Attribute(verdict, "class"), c.words, c.side)
		}
		if page := shoptest.WordsIn(root); !strings.Contains(page, c.more) {
			t.Errorf("%s: the page lacks %q: %s", c.id, c.more, page)
		}
	}
}

// A verdict stands when the job has changed since in a way that would refuse
// the reading now.
func TestVerdictAfterTheJobChanged(t *testing.T) {
	s := shoptest.OpenShop(t)
	s.RecordFirstPiece()
	s.Record(shoptest.ChannelCode, `{"id":"g1","piece":2,"step":1,"measured":43.5}`)
	s.Decide(shoptest.ChannelCode, standing.Requantified, "1")
	_, body := s.Get("/t/" + shoptest.ChannelCode + "?saved=g1")
	if page := shoptest.WordsIn(shoptest.Parsed(t, body)); !strings.Contains(page, "Under-bent by 1.5°") || !strings.Contains(page, "every piece is in") {
		t.Errorf("the verdict says: %s", page)
	}
}

// Two phones that save at one moment are both stored, and a reading that is
// sent ten times over at once is stored once.
func TestReadingsAtTheSameMoment(t *testing.T) {
	s := shoptest.OpenShop(t)
	s.RecordFirstPiece()
	var wait sync.WaitGroup
	codes := make(chan int, 40)
	for i := range 40 {
		wait.Go(func() {
			body := fmt.Sprintf(`{"id":"p%d","piece":2,"step":1,"measured":45,"confirmed":true}`, i%4)
			r := httptest.NewRequest("POST", shoptest.ChannelReadings, strings.NewReader(body))
			w := httptest.NewRecorder()
			s.Pages.ServeHTTP(w, r)
			codes <- w.Code
		})
	}
	wait.Wait()
	close(codes)
	count := make(map[int]int)
	for code := range codes {
		count[code]++
	}
	if count[http.StatusCreated] != 4 || count[http.StatusOK] != 36 {
		t.Errorf("answers %v, want 4 times 201 and 36 times 200", count)
	}
	readings, err := s.Store.Readings(context.Background(), shoptest.ChannelCode)
	if err != nil || len(readings) != 3+4 {
		t.Errorf("%d readings stored, %v; want 7", len(readings), err)
	}
}
