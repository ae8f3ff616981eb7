package looks_test

import (
	"fmt"
	"testing"

	"brakeside/server/internal/shoptest"
)

// TestLooks draws every page in the states that matter, at the widths it is
// used at, and fails where something sticks out to the side. With -pictures it
// keeps what it saw.
func TestLooks(t *testing.T) {
	s, session := shoptest.BusyShop(t)
	views := []struct{ name, path string }{
		{"company", "/t/" + shoptest.ManyCode + "/1?piece=20"}, {"lost", "/t/" + shoptest.ManyCode + "?saved=lost"}, {"back", "/t/" + shoptest.ManyCode + "?saved=back"},
		{"photos", "/jobs/" + shoptest.ManyCode + "/photos"},
		{"bend", "/t/" + shoptest.ChannelCode}, {"fingers", "/t/" + shoptest.TrayCode + "/3?piece=1"}, {"again", "/t/" + shoptest.TrayCode + "/1?piece=1"},
		{"right", "/t/" + shoptest.ChannelCode + "?saved=f1"}, {"under", "/t/" + shoptest.TrayCode + "?saved=h1"}, {"over", "/t/" + shoptest.TrayCode + "?saved=h2"},
		{"replaced", "/t/" + shoptest.OldCode}, {"closed", "/t/" + shoptest.ClosedCode}, {"unknown", "/t/" + shoptest.UnknownCode}, {"signin", "/signin"},
		{"jobs", "/"}, {"job", "/jobs/" + shoptest.ChannelCode}, {"review", "/review"}, {"issue", "/parts"},
	}
	d := s.Use(t, shoptest.PhoneScreen)
	d.SignInWith(session.Value)
	for _, dark := range []bool{false, true} {
		if dark && *shoptest.Pictures == "" {
			continue // the colours do not move anything
		}
		if dark {
			d.Dark()
		}
		for _, v := range views {
			d.Open(v.path)
			for _, size := range []shoptest.Screen{{Width: 1920, Height: 1080}, {Width: 768, Height: 1024, Touch: true}, shoptest.PhoneScreen} {
				d.Becomes(size)
				if over := d.Eval("document.documentElement.scrollWidth - document.documentElement.clientWidth"); over != "0" {
					t.Errorf("%s at %d: the page is %s pixels wider than the screen", v.name, size.Width, over)
				}
				d.Picture(fmt.Sprintf("%s-%d-%v", v.name, size.Width, dark))
			}
		}
	}
}
