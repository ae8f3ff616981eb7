package brakes_test

import (
	"context"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"testing"

	"brakeside/server/internal/shoptest"
	"brakeside/traveler/standing"
)

// A change of the brake leaves issued sheets alone, and names the open ones
// that use what has changed.
func TestBrakeChanges(t *testing.T) {
	s, owner := shoptest.OpenOffice(t)
	part := s.MakeReady(shoptest.ExampleOf("tray", "DT-310", "A"), owner)
	code := s.IssueFor(part, "1041", owner)
	kept, err := s.Store.TravelerByCode(context.Background(), code)
	if err != nil {
		t.Fatal(err)
	}
	brake := s.NewestBrake()
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
	changed := s.Send("/brakes/"+brake+"/fingers", url.Values{"missing-3-" + strconv.Itoa(used): {"yes"}}, owner)
	for _, path := range []string{"/brakes/" + changed, "/jobs/" + code} {
		if _, page := s.OwnerPage(owner, path); !strings.Contains(page, "is missing, and the sheet uses it") {
			t.Errorf("%s does not name the missing finger: %q", path, page)
		}
	}
	after, err := s.Store.TravelerByCode(context.Background(), code)
	if err != nil || after.Digest != kept.Digest {
		t.Errorf("the sheet changed: %v", err)
	}
	s.Send("/brakes/"+changed+"/fingers", url.Values{}, owner)
	if _, page := s.OwnerPage(owner, "/jobs/"+code); strings.Contains(page, "has been changed since") {
		t.Errorf("the finger is back and the sheet is still named: %q", page)
	}
	s.Send("/jobs/"+code+"/events", url.Values{"kind": {standing.Closed}, "detail": {"done"}}, owner)
}

func TestBrakeForm(t *testing.T) {
	s, owner := shoptest.OpenOffice(t)
	root, _ := s.OwnerPage(owner, "/brakes/new?from="+s.NewestBrake())
	form := shoptest.Filled(shoptest.One(t, root, shoptest.Classed("two")))
	form.Set("act", "keep")
	for _, n := range shoptest.All(root, shoptest.Named("select")) {
		for _, o := range shoptest.All(n, shoptest.Named("option")) {
			if shoptest.Has(o, "selected") {
				form.Set(shoptest.Attribute(n, "name"), shoptest.Attribute(o, "value"))
			}
		}
	}
	same := s.Send("/brakes", form, owner)
	form.Del("from") // what was kept since is meant to be replaced
	if _, page := s.OwnerPage(owner, "/brakes/"+same+"/changes?from="+strconv.Itoa(shoptest.Atoi(same)-1)); !strings.Contains(page, "The two versions say the same.") {
		t.Errorf("kept as it was, the brake differs: %q", page)
	}
	form.Set("clearance.bar", "2.5")
	form.Set("bars[3].widths", "22, 28, 91")
	form.Set("bars[1].section", "0 / 0, 0 / 0.6, 9 / 21, 23 / 21, 23 / 0")
	changed := s.Send("/brakes", form, owner)
	if _, page := s.OwnerPage(owner, "/brakes/"+changed+"/changes?from="+same); !strings.Contains(page, "clearance.bar 1.5 2.5") || !strings.Contains(page, "bars[fingers].widths") {
		t.Errorf("the difference says %q", page)
	}
	form.Set("back_stop.from", "80")
	form.Set("back_stop.to", "600")
	stopped := s.Send("/brakes", form, owner)
	if _, page := s.OwnerPage(owner, "/brakes/"+stopped+"/changes?from="+changed); !strings.Contains(page, "back_stop.from") || !strings.Contains(page, "600") {
		t.Errorf("the difference a back stop makes says %q", page)
	}
	form.Set("back_stop.from", "")
	form.Set("back_stop.to", "")
	if _, page := s.OwnerPage(owner, "/brakes/"+s.Send("/brakes", form, owner)+"/changes?from="+changed); !strings.Contains(page, "The two versions say the same.") {
		t.Errorf("without its back stop again the brake differs: %q", page)
	}
	form.Set("back_stop.from", "80")
	form.Set("back_stop.to", "600")
	for name, value := range map[string]string{"back_stop.to": "79", "back_stop.height": "-1", "usable_length": "long", "leaf.max_angle": "190", "bars[0].rating_t": "-1", "bars[1].section": "0 / 0, 5", "bars[0].kind": "bent"} {
		bad := url.Values{}
		for k, v := range form {
			bad[k] = v
		}
		bad.Set(name, value)
		if got := shoptest.FaultBeside(t, s.Refused("/brakes", bad, owner), name); got == "" {
			t.Errorf("%s = %q: nothing stands beside the field", name, value)
		}
	}
}

// Two people at one brake: the second is told what the first saved.
func TestBrakeFormOfAnOlderVersion(t *testing.T) {
	s, owner := shoptest.OpenOffice(t)
	opened := func() url.Values {
		root, _ := s.OwnerPage(owner, "/brakes/new?from="+s.NewestBrake()+"&file=yes")
		typed := shoptest.Filled(shoptest.One(t, root, shoptest.Classed("two")))
		typed.Set("act", "keep")
		typed.Set("text", string(shoptest.ExampleBrake(t)))
		return typed
	}
	one, other := opened(), opened()
	one.Set("text", strings.Replace(one.Get("text"), `"bar": 1.5`, `"bar": 2`, 1))
	s.Send("/brakes", one, owner)
	answer, body := s.PostForm("/brakes", other, owner)
	root := shoptest.Parsed(t, body)
	if got := strings.Join(shoptest.Row(t, root, "clearance.bar"), "|"); answer.StatusCode != http.StatusConflict || got != "clearance.bar|2|1.5" {
		t.Fatalf("POST = %d, and both are shown as %q", answer.StatusCode, got)
	}
	other.Set("from", shoptest.FieldValue(root, "from"))
	s.Send("/brakes", other, owner)
}
