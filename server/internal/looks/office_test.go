package looks_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"strings"
	"testing"

	"brakeside/server/internal/shoptest"
	"brakeside/server/store"
)

// opens shows a sample in a browser: its page, or what its form leads to.
func opens(d *shoptest.Device, v shoptest.Sample) {
	d.T.Helper()
	if v.Form == nil {
		d.Open(v.Path)
		return
	}
	if d.Eval("location.origin") != d.Base { // a form is taken from pages of the service only
		d.Open("/signin")
	}
	fields, err := json.Marshal(v.Form)
	if err != nil {
		d.T.Fatal(err)
	}
	d.Eval(fmt.Sprintf(`(() => {
		const form = document.createElement("form");
		form.method = "post";
		form.action = %q;
		for (const [name, [value]] of Object.entries(%s)) {
			const field = document.createElement("textarea");
			field.name = name;
			field.value = value;
			form.append(field);
		}
		document.body.append(form);
		window.before = true;
		HTMLFormElement.prototype.submit.call(form);
	})()`, v.Path, fields))
	d.Until("window.before === undefined")
}

// sizes are those at which pages of the office are used.
var sizes = []shoptest.Screen{{Width: 360, Height: 740, Touch: true}, {Width: 1024, Height: 768}, {Width: 1920, Height: 1080}}

// TestOfficeLooks opens every page of the office, lays it out at the widths it is
// used at, and fails where something sticks out to the side, the console
// complains, or a request leaves the service. With -pictures it keeps what it
// saw.
func TestOfficeLooks(t *testing.T) {
	for _, fill := range shoptest.Shops {
		s, session, samples := fill(t)
		if err := s.Store.KeepSetting(t.Context(), store.SettingShop, "Hollow Lane Sheet Works"); err != nil {
			t.Fatal(err)
		}
		tab := tabs(s, t, sizes[0], session)
		for i, v := range samples {
			d, complaints := tab(i)
			opens(d, v)
			d.Until("document.readyState === 'complete'")
			looksAt(d, v)
			for _, said := range complaints() {
				if v.Status == 0 || !strings.Contains(said, fmt.Sprintf("status of %d", v.Status)) {
					t.Errorf("%s: %s", v.Name, said)
				}
			}
			d.Becomes(sizes[0])
		}
	}
}

// pagesATab is how many pages one tab opens in these tests.
const pagesATab = 24

// tabs gives a tab for each of some pages, a fresh one now and then: one does not
// live for ever.
func tabs(s *shoptest.Shop, t *testing.T, size shoptest.Screen, session *http.Cookie) func(page int) (d *shoptest.Device, complaints func() []string) {
	var d *shoptest.Device
	var complaints func() []string
	return func(page int) (*shoptest.Device, func() []string) {
		if page%pagesATab == 0 {
			d = s.Use(t, size)
			d.SignInWith(session.Value)
			complaints = d.Watch()
		}
		return d, complaints
	}
}

// looksAt looks at the page that is open at every size. For one that a form leads
// to the first is enough: there is least room.
func looksAt(d *shoptest.Device, v shoptest.Sample) {
	d.T.Helper()
	for n, size := range sizes {
		if n > 0 {
			if v.Form != nil {
				return
			}
			d.Becomes(size)
		}
		at := v.Name + " at " + d.Eval("innerWidth")
		if over := d.Eval("document.documentElement.scrollWidth - document.documentElement.clientWidth"); over != "0" {
			d.T.Errorf("%s: the page is %s pixels wider than the screen", at, over)
		}
		if plain := d.Eval("[...document.querySelectorAll('[aria-invalid]:not([type=hidden])')].filter(f => getComputedStyle(f).borderTopWidth !== '4px').map(f => f.name).join()"); plain != "" {
			d.T.Errorf("%s: %s is wrong and does not look it", at, plain)
		}
		d.Picture("office-" + strings.ReplaceAll(at, " at ", "-"))
	}
}
