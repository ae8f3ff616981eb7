package brakes_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"brakeside/server/brakes"
	"brakeside/server/internal/shoptest"
)

// pressed sends the form of a brake with one of its buttons and gives the page.
func pressed(s *shoptest.Shop, form url.Values, act, bar string, owner *http.Cookie) *html.Node {
	s.Helper()
	form.Set("act", act)
	form.Set("bar", bar)
	answer, body := s.PostForm("/brakes", form, owner)
	if answer.StatusCode != http.StatusOK {
		s.Fatalf("%s %s = %d: %s", act, bar, answer.StatusCode, shoptest.WordsIn(shoptest.Parsed(s, body)))
	}
	shoptest.CheckPage(s, body)
	return shoptest.Parsed(s, body)
}

// bars lists the bars that the form shows.
func bars(root *html.Node) string {
	var names []string
	for _, n := range shoptest.All(root, shoptest.Named("legend")) {
		if name, is := strings.CutPrefix(shoptest.WordsIn(n), "Bar: "); is {
			names = append(names, name)
		}
	}
	return strings.Join(names, ", ")
}

// A bar is added like one that is there, becomes another kind with the fields of
// that kind, and is kept; another is taken away. Nothing is kept before Keep is
// pressed.
func TestBarsOfABrake(t *testing.T) {
	s, owner := shoptest.OpenOffice(t)
	before := s.NewestBrake()
	root, _ := s.OwnerPage(owner, "/brakes/new?from="+before)
	if got := bars(root); got != "wide, narrow, slotted, fingers" {
		t.Fatalf("the form begins with the bars %q", got)
	}
	form := shoptest.SentBack(shoptest.One(t, root, shoptest.Classed("two")))
	form.Set("bars[0].rating_t", "1.9")
	root = pressed(s, form, brakes.AddBar, "0", owner)
	if got := bars(root); got != "wide, narrow, slotted, fingers, wide 2" {
		t.Fatalf("after one was added the bars are %q", got)
	}
	form = shoptest.SentBack(shoptest.One(t, root, shoptest.Classed("two")))
	if form.Get("bars[0].rating_t") != "1.9" || form.Get("bars[4].rating_t") != "1.9" {
		t.Error("what was typed before is lost")
	}
	if form.Has("bars[4].outside_radius") {
		t.Error("a bar in one piece is asked for its radius")
	}
	form.Set("bars[4].kind", "round")
	form.Set("bars[4].name", "tube")
	form.Set("act", "draw")
	root = s.Refused("/brakes", form, owner)
	if got := shoptest.FaultBeside(t, root, "bars[4].outside_radius"); got == "" {
		t.Fatal("a round bar is not asked for its radius")
	}
	form = shoptest.SentBack(shoptest.One(t, root, shoptest.Classed("two")))
	form.Set("bars[4].outside_radius", "15")
	root = pressed(s, form, brakes.DropBar, "2", owner)
	if got := bars(root); got != "wide, narrow, fingers, tube" {
		t.Fatalf("after the slotted one was taken away the bars are %q", got)
	}
	if s.NewestBrake() != before {
		t.Error("the brake is kept before anybody said so")
	}
	form = shoptest.SentBack(shoptest.One(t, root, shoptest.Classed("two")))
	form.Set("act", "keep")
	seq := s.Send("/brakes", form, owner)
	if _, page := s.OwnerPage(owner, "/brakes/"+seq); !strings.Contains(page, "tube") || strings.Contains(page, "slotted") {
		t.Errorf("the brake that is kept is %q", page)
	}
}

func TestNoBarsAreNoBrake(t *testing.T) {
	s, owner := shoptest.OpenOffice(t)
	file := []byte(`{"bars":[{"name":"wide 3"}]}`)
	if _, err := brakes.WithBars(file, url.Values{"act": {brakes.DropBar}, "bar": {"0"}}); err == nil {
		t.Error("the last bar is taken away")
	}
	if got, err := brakes.WithBars(file, url.Values{"act": {brakes.AddBar}, "bar": {"0"}}); err != nil || !strings.Contains(string(got), `"wide 2"`) {
		t.Errorf("withBars(one bar, add) = %s, %v, want a second one with a free name", got, err)
	}
	for _, bar := range []string{"", "9", "-1", "wide"} {
		if page := shoptest.WordsIn(s.Refused("/brakes", url.Values{"text": {string(shoptest.ExampleBrake(t))}, "act": {brakes.AddBar}, "bar": {bar}}, owner)); !strings.Contains(page, "Choose one of the bars.") {
			t.Errorf("bar %q: %s", bar, page)
		}
	}
}
