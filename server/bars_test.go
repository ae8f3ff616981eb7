package server

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"brakeside/server/change"
)

// pressed sends the form of a brake with one of its buttons and gives the page.
func (s *shop) pressed(form url.Values, act, bar string, owner *http.Cookie) *html.Node {
	s.Helper()
	form.Set("act", act)
	form.Set("bar", bar)
	answer, body := s.postForm("/brakes", form, owner)
	if answer.StatusCode != http.StatusOK {
		s.Fatalf("%s %s = %d: %s", act, bar, answer.StatusCode, wordsIn(parsed(s, body)))
	}
	checkPage(s, body)
	return parsed(s, body)
}

// bars lists the bars that the form shows.
func bars(root *html.Node) string {
	var names []string
	for _, n := range all(root, named("legend")) {
		if name, is := strings.CutPrefix(wordsIn(n), "Bar: "); is {
			names = append(names, name)
		}
	}
	return strings.Join(names, ", ")
}

// A bar is added like one that is there, becomes another kind with the fields of
// that kind, and is kept; another is taken away. Nothing is kept before Keep is
// pressed.
func TestBarsOfABrake(t *testing.T) {
	s, owner := openOffice(t)
	before := s.newestBrake()
	root, _ := s.ownerPage(owner, "/brakes/new?from="+before)
	if got := bars(root); got != "wide, narrow, slotted, fingers" {
		t.Fatalf("the form begins with the bars %q", got)
	}
	form := sentBack(one(t, root, classed("two")))
	form.Set("bars[0].rating_t", "1.9")
	root = s.pressed(form, addBar, "0", owner)
	if got := bars(root); got != "wide, narrow, slotted, fingers, wide 2" {
		t.Fatalf("after one was added the bars are %q", got)
	}
	form = sentBack(one(t, root, classed("two")))
	if form.Get("bars[0].rating_t") != "1.9" || form.Get("bars[4].rating_t") != "1.9" {
		t.Error("what was typed before is lost")
	}
	if form.Has("bars[4].outside_radius") {
		t.Error("a bar in one piece is asked for its radius")
	}
	form.Set("bars[4].kind", "round")
	form.Set("bars[4].name", "tube")
	form.Set("act", "draw")
	root = s.refused("/brakes", form, owner)
	if got := faultBeside(t, root, "bars[4].outside_radius"); got == "" {
		t.Fatal("a round bar is not asked for its radius")
	}
	form = sentBack(one(t, root, classed("two")))
	form.Set("bars[4].outside_radius", "15")
	root = s.pressed(form, dropBar, "2", owner)
	if got := bars(root); got != "wide, narrow, fingers, tube" {
		t.Fatalf("after the slotted one was taken away the bars are %q", got)
	}
	if s.newestBrake() != before {
		t.Error("the brake is kept before anybody said so")
	}
	form = sentBack(one(t, root, classed("two")))
	form.Set("act", "keep")
	seq := s.send("/brakes", form, owner)
	if _, page := s.ownerPage(owner, "/brakes/"+seq); !strings.Contains(page, "tube") || strings.Contains(page, "slotted") {
		t.Errorf("the brake that is kept is %q", page)
	}
}

func TestNoBarsAreNoBrake(t *testing.T) {
	s, owner := openOffice(t)
	file := []byte(`{"bars":[{"name":"wide 3"}]}`)
	if _, err := withBars(file, url.Values{"act": {dropBar}, "bar": {"0"}}); err == nil {
		t.Error("the last bar is taken away")
	}
	if got, err := withBars(file, url.Values{"act": {addBar}, "bar": {"0"}}); err != nil || !strings.Contains(string(got), `"wide 2"`) {
		t.Errorf("withBars(one bar, add) = %s, %v, want a second one with a free name", got, err)
	}
	for _, bar := range []string{"", "9", "-1", "wide"} {
		if page := wordsIn(s.refused("/brakes", url.Values{"text": {string(exampleBrake(t))}, "act": {addBar}, "bar": {bar}}, owner)); !strings.Contains(page, "Choose one of the bars.") {
			t.Errorf("bar %q: %s", bar, page)
		}
	}
}

// What has changed of a brake is told once and only to the sheets that use it.
func TestConcerns(t *testing.T) {
	line := func(what, before, after string) change.Line {
		return change.Line{What: what, Before: before, After: after}
	}
	uses := map[string][]string{"wide": nil, "fingers": {"50", "91", "50"}}
	type lines = []change.Line
	cases := []struct {
		name string
		lines
		want string
	}{
		{"a finger used twice", lines{line("bars[fingers].missing", "", "22, 50, 50")}, "finger 50 of fingers is missing, and the sheet uses it"},
		{"a finger not used", lines{line("bars[fingers].missing", "", "22")}, ""},
		{"a finger that is back", lines{line("bars[fingers].missing", "50", "")}, ""},
		{"a bar taken away", lines{line("bars[wide].depth", "74", ""), line("bars[wide].kind", "full", ""), line("bars[wide].name", "wide", "")}, "the bar wide is gone, and the sheet uses it"},
		{"another bar taken away", lines{line("bars[slotted].depth", "74", ""), line("bars[slotted].name", "slotted", "")}, ""},
		{"a bar changed", lines{line("bars[wide].rating_t", "1.6", "1.4"), line("bars[narrow].rating_t", "0.9", "0.8")}, "rating t of wide was 1.6 and is 1.4"},
		{"a bar more", lines{line("bars[wide 2].name", "", "wide 2")}, ""},
		{"the machine and its minutes", lines{line("leaf.max_angle", "135", "120"), line("minutes.bend", "0.5", "0.7")}, "leaf, max angle was 135 and is 120"},
	}
	for _, c := range cases {
		if got := strings.Join(concerns(c.lines, uses), "; "); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}
