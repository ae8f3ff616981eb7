package server

import (
	"context"
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"
)

// sample is one page of the office in one state.
type sample struct{ name, path string }

// longName is as long as a name may be and has letters of every kind.
const longName = "Übergroße Abtropf-Wanne für Meßgeräte №7 with a very long name that runs on and on, 伝票 <b>&amp;</b> \"quoted\" to the very end of what fits on a line"

// officeSamples fills a shop and lists every page in every state: empty, one,
// many, long names, refused.
func officeSamples(t testing.TB) (*shop, *http.Cookie, []sample) {
	t.Helper()
	s, session := openOffice(t)
	empty := []sample{
		{"parts-empty", "/parts"}, {"parts-away-empty", "/parts?archived=yes"}, {"stock-empty", "/stock"}, {"new-job-empty", "/jobs/new"},
	}
	for _, e := range empty {
		s.ownerPage(session, e.path) // rendered while there is nothing
	}
	trayPart := s.makeReady(exampleOf("tray", "DT-310", "A"), session)
	code := s.issueFor(trayPart, "1041", session)
	changed := exampleOf("tray", "DT-310", "B")
	changed.Set("tray.walls.back[0].leg", "60")
	s.send("/parts", changed, session)
	for _, kind := range []string{"l", "z", "u", "hat", "box"} {
		s.makeReady(exampleOf(kind, strings.ToUpper(kind)+"-100", "A"), session)
	}
	deep := exampleOf("u", "DEEP-1", "A")
	deep.Set("profile.legs[0]", "300")
	deep.Set("profile.legs[1]", "12")
	deep.Set("profile.legs[2]", "300")
	blocked := s.send("/parts", deep, session)
	long := exampleOf("l", strings.Repeat("VERY-LONG-NUMBER-", 6), "REV-12345")
	long.Set("title", longName)
	longPart := s.send("/parts", long, session)
	s.send("/stock/packs", url.Values{"name": {"P-7"}, "material": {"304"}, "thickness": {"0.8"}, "measured": {"0.88"}, "heat": {"H 4711"}, "note": {longName}}, session)
	s.send("/stock/trial", trialForm("adopt"), session)
	brake := s.newestBrake()
	missing := s.send("/brakes/"+brake+"/fingers", url.Values{"missing-3-4": {"yes"}}, session)
	for _, part := range []string{trayPart, blocked} {
		s.planned(session, "/parts/"+part+"/plans")
	}
	return s, session, []sample{
		{"jobs", "/"}, {"jobs-none-found", "/?q=nothing"}, {"job", "/jobs/" + code}, {"grid", "/jobs/" + code + "/grid"},
		{"new-job", "/jobs/new"}, {"replace", "/jobs/new?replaces=" + code},
		{"parts", "/parts"}, {"parts-none-found", "/parts?q=nothing"}, {"part", "/parts/" + trayPart}, {"part-long", "/parts/" + longPart},
		{"part-new-l", "/parts/new"}, {"part-new-tray", "/parts/new?kind=tray"}, {"part-new-box", "/parts/new?kind=box"}, {"part-new-file", "/parts/new?kind=file"},
		{"part-next", "/parts/new?from=" + trayPart}, {"part-copy", "/parts/new?copy=yes&from=" + trayPart},
		{"changes", "/parts/" + fmt.Sprint(atoi(trayPart)+1) + "/changes?from=" + trayPart},
		{"plans", "/parts/" + trayPart + "/plans"}, {"plans-blocked", "/parts/" + blocked + "/plans"}, {"bends", "/parts/" + trayPart + "/bends?brake=" + brake},
		{"brakes", "/brakes"}, {"brake", "/brakes/" + missing}, {"brake-old", "/brakes/" + brake}, {"brake-new", "/brakes/new"}, {"brake-file", "/brakes/new?file=yes"},
		{"brake-changes", "/brakes/" + missing + "/changes?from=" + brake},
		{"stock", "/stock"}, {"trial", "/stock/trial"}, {"trial-strip", "/stock/trial?material=304&thickness=0.8&bar=wide&pack=P-7"},
		{"setup", "/setup"}, {"shop", "/shop"}, {"running", "/running"}, {"review", "/review"},
	}
}

func atoi(text string) (n int) { fmt.Sscan(text, &n); return n }

func trialForm(act string) url.Values {
	return url.Values{
		"material": {"304"}, "thickness": {"0.8"}, "bar": {"wide"}, "pack": {"P-7"}, "strip": {"100"}, "leg-one": {"50.9"}, "leg-two": {"50.8"},
		"angle": {"88.5"}, "stop": {"92"}, "radius": {"1.2"}, "by": {"AB"}, "act": {act},
	}
}

// Every page in every state is whole, labelled and without script of its own.
func TestOfficeSamples(t *testing.T) {
	s, session, samples := officeSamples(t)
	for _, v := range samples {
		t.Run(v.name, func(t *testing.T) {
			answer, body := s.get(v.path, session)
			if answer.StatusCode != http.StatusOK {
				t.Fatalf("GET %s = %d: %s", v.path, answer.StatusCode, wordsIn(parsed(t, body)))
			}
			checkPage(t, body)
			if strings.Contains(body, "<b>&amp;amp;") && strings.Contains(body, "<b>&") {
				t.Error("a name stands in the page as markup")
			}
		})
	}
	if log := s.log.String(); strings.Contains(log, "level=ERROR") {
		t.Errorf("the log holds errors:\n%s", log)
	}
}

// TestOfficeLooks opens every page of the office at the widths it is used at,
// and fails where something sticks out to the side, the console complains, or a
// request leaves the service. With -pictures it keeps what
// it saw.
func TestOfficeLooks(t *testing.T) {
	s, session, samples := officeSamples(t)
	ctx := context.Background()
	if err := s.store.KeepSetting(ctx, settingShop, "Hollow Lane Sheet Works"); err != nil {
		t.Fatal(err)
	}
	for _, size := range []screen{{360, 740, true}, {1024, 768, false}, {1920, 1080, false}} {
		var d *device
		var complaints func() []string
		for i, v := range samples {
			if i%pagesATab == 0 {
				d = s.use(t, size)
				d.signInWith(session.Value)
				complaints = d.watch()
			}
			d.open(v.path)
			d.until("document.readyState === 'complete'")
			if said := complaints(); len(said) > 0 {
				t.Errorf("%s at %d: %q", v.name, size.width, said)
			}
			if over := d.eval("document.documentElement.scrollWidth - document.documentElement.clientWidth"); over != "0" {
				t.Errorf("%s at %d: the page is %s pixels wider than the screen", v.name, size.width, over)
			}
			d.picture(fmt.Sprintf("office-%s-%d", v.name, size.width))
		}
	}
}
