package office_test

import (
	"net/url"
	"strings"
	"testing"

	"brakeside/server/internal/shoptest"
	"brakeside/server/store"
)

// A new shop is led from one step to the next, until its first bend is logged; then no
// page says so any more, and a viewer is never led.
func TestFirstSteps(t *testing.T) {
	s, owner := shoptest.OpenEmpty(t)
	at := func(path, want string) {
		t.Helper()
		root, words := s.OwnerPage(owner, path)
		shown := ""
		for _, n := range shoptest.All(root, shoptest.Classed("next")) {
			shown = shoptest.WordsIn(n)
		}
		if !strings.Contains(shown, want) || want == "" && shown != "" {
			t.Fatalf("%s leads on by %q, want %q; it says %s", path, shown, want, words)
		}
	}
	if err := s.Store.KeepSetting(t.Context(), store.SettingSetUp, "yes"); err != nil {
		t.Fatal(err)
	}
	at("/shop", "Next: the brake")
	at("/brakes/new", "") // that is where it leads
	s.Keep(store.Brakes, store.Revision{Name: "Long bench brake", JSON: shoptest.ExampleBrake(t)})
	at("/", "Next: the first part")
	draft := shoptest.ExampleOf("tray", "DT-310", "A")
	draft.Set("act", "keep")
	seq := s.Send("/parts", draft, owner)
	at("/", "make it ready")
	s.Send("/parts/"+seq+"/marks", url.Values{"kind": {"ready"}}, owner)
	at("/parts", "Next: the first sheet")
	code := s.IssueFor(seq, "1", owner)
	at("/jobs/"+code, "scan its code")
	s.Record(code, `{"id":"a","piece":1,"step":1,"measured":90,"confirmed":true}`)
	at("/", "")
	at("/jobs/"+code, "")
}

// The right address is a button: one press saves the answers with it.
func TestAddressIsAButton(t *testing.T) {
	s, owner := shoptest.OpenEmpty(t)
	form := url.Values{"shop": {"Hollow Lane"}, "address": {"http://127.0.0.1:8080"}, "units": {"in"}, "use": {"http://192.0.2.9:8080"}}
	s.Send("/setup", form, owner)
	if kept, err := s.Store.Setting(t.Context(), store.SettingAddress); err != nil || kept != "http://192.0.2.9:8080" {
		t.Errorf("the address is %q, %v", kept, err)
	}
}
