package server

import (
	"fmt"
	"net/http"
	"net/url"
	"testing"

	"brakeside/server/store"
)

// The codes of the further sheets of a busy shop.
const (
	oldCode    = "oldcde4xq2pvr9tab"
	newerCode  = "newerm4xq2pvr9tab"
	closedCode = "cyddd4xq2pvr9tabc"
	manyCode   = "manyc4xq2pvr9tabc"
)

// busyShop is a shop with sheets and readings in the states that matter for how
// the pages look.
func busyShop(t *testing.T) (s *shop, session *http.Cookie) {
	t.Helper()
	s = openShop(t)
	session = s.owner()
	s.recordFirstPiece()
	for i := range 14 {
		s.record(channelCode, fmt.Sprintf(`{"id":"g%d","piece":%d,"step":%d,"measured":%.1f,"place":"left","by":"CD","confirmed":true,"note":"%s"}`,
			i, 2+i%2, 2+i%2, 89.2+float64(i*7%19)/10, []string{"", "new pack opened"}[i%2]))
	}
	s.record(trayCode, `{"id":"h1","piece":1,"step":1,"measured":88.1,"by":"AB"}`)
	s.record(trayCode, `{"id":"h2","piece":1,"step":2,"measured":91.6,"by":"AB"}`)
	newer := channel()
	newer.Code, newer.Part.Revision, newer.Steps[1].Target, newer.Job = newerCode, "D", 8800, "J-1043"
	old := channel()
	old.Code, old.Job = oldCode, "J-1043"
	s.issue(old)
	s.issue(newer, old.Code)
	closed := tray()
	closed.Code, closed.Job = closedCode, "J-1030"
	s.issue(closed)
	s.decide(closed.Code, store.EventClosed, "all made")
	many := channel()
	many.Code, many.Job, many.Quantity = manyCode, "J-1050", 25
	s.issue(many)
	s.decide(many.Code, store.EventSampling, "10")
	for i, measured := range []string{"45", "90", "90"} {
		s.record(many.Code, fmt.Sprintf(`{"id":"m%d","piece":1,"step":%d,"measured":%s}`, i, i+1, measured))
	}
	s.record(many.Code, `{"id":"lost","piece":10,"step":1,"measured":31.5,"state":"scrapped","note":"bent the wrong way"}`)
	s.record(many.Code, `{"id":"back","piece":1,"step":3,"measured":90,"corrects":"m2","flags":["withdrawn"]}`)
	s.record(many.Code, `{"id":"m9","piece":1,"step":3,"measured":90}`)
	for i := range 3 {
		photo := photoRequest(t, "/t/"+many.Code+"/photos", photoFields(func(f url.Values) { f.Set("id", fmt.Sprint("look", i)) }), jpegPhoto(t))
		s.ask(photo)
	}
	s.phone("AB").opens("/t/" + many.Code + "/1?piece=20")
	s.phone("CD").opens("/t/" + many.Code + "/2?piece=25")
	return s, session
}

// TestLooks draws every page in the states that matter, at the widths it is
// used at, and fails where something sticks out to the side. With -pictures it
// keeps what it saw.
func TestLooks(t *testing.T) {
	s, session := busyShop(t)
	views := []struct{ name, path string }{
		{"company", "/t/" + manyCode + "/1?piece=20"}, {"lost", "/t/" + manyCode + "?saved=lost"}, {"back", "/t/" + manyCode + "?saved=back"},
		{"photos", "/jobs/" + manyCode + "/photos"},
		{"bend", "/t/" + channelCode}, {"fingers", "/t/" + trayCode + "/3?piece=1"}, {"again", "/t/" + trayCode + "/1?piece=1"},
		{"right", "/t/" + channelCode + "?saved=f1"}, {"under", "/t/" + trayCode + "?saved=h1"}, {"over", "/t/" + trayCode + "?saved=h2"},
		{"replaced", "/t/" + oldCode}, {"closed", "/t/" + closedCode}, {"unknown", "/t/" + unknownCode}, {"signin", "/signin"},
		{"jobs", "/"}, {"job", "/jobs/" + channelCode}, {"review", "/review"}, {"issue", "/parts"},
	}
	for _, size := range []screen{{360, 740, true}, {768, 1024, true}, {1920, 1080, false}} {
		d := s.use(t, size)
		d.signInWith(session.Value)
		for _, dark := range []bool{false, true} {
			if dark && *pictures == "" {
				continue // the colours do not move anything
			}
			if dark {
				d.dark()
			}
			for _, v := range views {
				d.open(v.path)
				if over := d.eval("document.documentElement.scrollWidth - document.documentElement.clientWidth"); over != "0" {
					t.Errorf("%s at %d: the page is %s pixels wider than the screen", v.name, size.width, over)
				}
				d.picture(fmt.Sprintf("%s-%d-%v", v.name, size.width, dark))
			}
		}
	}
}
