package server

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"brakeside/server/store"
)

// sample is one page of the office in one state: as it is opened, or as it comes
// back when a form is sent.
type sample struct {
	name, path string
	form       url.Values
	status     int // 0: shown as asked for
}

// opened are samples that are opened, each given as its name and its path.
func opened(pages ...[2]string) (out []sample) {
	for _, p := range pages {
		out = append(out, sample{name: p[0], path: p[1]})
	}
	return out
}

// longName is as long as a name may be and has letters of every kind.
const longName = "Übergroße Abtropf-Wanne für Meßgeräte №7 with a very long name that runs on and on, 伝票 <b>&amp;</b> \"quoted\" to the very end of what fits on a line"

// oneCell is the group of readings that the samples look at closer.
const oneCell = "/review/cell?material=mild-steel&thickness=1.50+mm&bar=wide&brake=leaf+brake+1.2+m"

// officeSamples fills a shop and lists every page in every state: one, many, long
// names, refused. What is empty is in bareSamples.
func officeSamples(t testing.TB) (*shop, *http.Cookie, []sample) {
	t.Helper()
	s, session := openOffice(t)
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
	samples := opened([][2]string{
		{"jobs", "/"}, {"jobs-none-found", "/?q=nothing"}, {"job", "/jobs/" + code}, {"grid", "/jobs/" + code + "/grid"}, {"photos-none", "/jobs/" + code + "/photos"},
		{"new-job", "/jobs/new"}, {"replace", "/jobs/new?replaces=" + code},
		{"parts", "/parts"}, {"parts-none-found", "/parts?q=nothing"}, {"part", "/parts/" + trayPart}, {"part-long", "/parts/" + longPart},
		{"part-new-l", "/parts/new"}, {"part-new-tray", "/parts/new?kind=tray"}, {"part-new-box", "/parts/new?kind=box"}, {"part-new-file", "/parts/new?kind=file"},
		{"part-next", "/parts/new?from=" + trayPart}, {"part-copy", "/parts/new?copy=yes&from=" + trayPart},
		{"changes", "/parts/" + fmt.Sprint(atoi(trayPart)+1) + "/changes?from=" + trayPart},
		{"plans", "/parts/" + trayPart + "/plans"}, {"plans-blocked", "/parts/" + blocked + "/plans"}, {"bends", "/parts/" + trayPart + "/bends?brake=" + brake},
		{"brakes", "/brakes"}, {"brake", "/brakes/" + missing}, {"brake-old", "/brakes/" + brake}, {"brake-new", "/brakes/new"}, {"brake-file", "/brakes/new?file=yes"},
		{"brake-changes", "/brakes/" + missing + "/changes?from=" + brake},
		{"stock", "/stock"}, {"trial", "/stock/trial"}, {"trial-strip", "/stock/trial?material=304&thickness=0.8&bar=wide&pack=P-7"},
		{"setup", "/setup"}, {"shop", "/shop"}, {"running", "/running"}, {"sign-in", "/signin"},
	}...)
	samples = append(samples, drawingSamples(s, trayPart, session)...)
	samples = append(samples, logSamples(s, session)...)
	return s, session, append(samples, refusedSamples(s, trayPart, code)...)
}

// drawingSamples are the form of a part that begins with a drawing of its blank.
func drawingSamples(s *shop, part string, session *http.Cookie) []sample {
	s.Helper()
	answer, drawing := s.get("/parts/"+part+"/blank.dxf", session)
	if answer.StatusCode != http.StatusOK {
		s.Fatalf("the drawing of the blank = %d", answer.StatusCode)
	}
	read := url.Values{"kind": {drawingKind}, "act": {"draw"}, "number": {"Tray 7"}, "text": {drawing}}
	none := url.Values{"kind": {drawingKind}, "act": {"keep"}, "number": {"Tray 7"}, "text": {"no drawing"}}
	return []sample{{"part-drawing", "/parts", read, 0}, {"part-drawing-refused", "/parts", none, http.StatusUnprocessableEntity}}
}

// logSamples log something of every kind, and are the pages that show it: jobs
// in every state, a photo, and one of everything that the review tells of.
func logSamples(s *shop, session *http.Cookie) []sample {
	s.Helper()
	for i, measured := range []string{"46.6", "90.2", "89.7", "45", "91.2", "91.4"} { // the first piece fails
		s.record(channelCode, fmt.Sprintf(`{"id":"o%d","piece":%d,"step":%d,"measured":%s,"by":"AB","confirmed":true}`, i, 1+i/3, 1+i%3, measured))
		if i == 2 {
			s.letGo(channelCode)
		}
	}
	s.record(channelCode, `{"id":"lift","piece":3,"step":1,"measured":47,"flags":["bar-lifted"],"confirmed":true}`)
	s.ask(photoRequest(s, channelPhotos, photoFields(nil), jpegPhoto(s)))
	older, newer := channel(), channel()
	older.Code, older.Job, newer.Code, newer.Job = oldCode, "J-1043", newerCode, "J-1043"
	s.issue(older)
	s.issue(newer, oldCode)
	s.get("/t/" + oldCode)
	closed := tray()
	closed.Code, closed.Job = closedCode, "J-1030"
	s.issue(closed)
	s.decide(closedCode, store.EventClosed, "all made")
	s.decide(newerCode, store.EventVoided, longName)
	s.strips(3)
	s.slowJobs(s.makeReady(exampleOf("l", "LP-1", "A"), session), 1.5, session)
	study := studyForm("AB", "CD")
	s.send("/review/measuring", study, session)
	s.later(25 * time.Hour)
	return opened([][2]string{
		{"job-logged", "/jobs/" + channelCode}, {"job-replaced", "/jobs/" + oldCode}, {"job-void", "/jobs/" + newerCode}, {"job-closed", "/jobs/" + closedCode},
		{"photos", "/jobs/" + channelCode + "/photos"}, {"grid-begun", "/jobs/" + channelCode + "/grid"},
		{"review", "/review"}, {"review-none", "/review?job=none"}, {"cell", oneCell}, {"stops", "/review/stops"}, {"first-pieces", "/review/first-pieces"},
		{"unlogged", "/review/unlogged"}, {"replay", "/review/replay"}, {"time", "/review/time"}, {"measuring", "/review/measuring"},
	}...)
}

// studyForm is a study of two people who measure three bends twice.
func studyForm(people ...string) url.Values {
	form := url.Values{"tool": {"plate protractor"}}
	for person, name := range people {
		form.Set(fmt.Sprintf("person-%d", person+1), name)
		for bend := range 3 {
			for turn := range 2 {
				form.Set(fmt.Sprintf("m-%d-%d-%d", person+1, bend+1, turn+1), fmt.Sprintf("%.1f", 89.5+float64(bend)+0.1*float64(person+turn)))
			}
		}
	}
	return form
}

// refusedSamples are the pages that are not there, and the forms as they come
// back with what is wrong.
func refusedSamples(s *shop, part, code string) []sample {
	s.Helper()
	const wrong = http.StatusUnprocessableEntity
	short := exampleOf("tray", "DT-312", "A")
	short.Set("tray.walls.back[0].leg", "-5")
	brake := url.Values{"text": {string(exampleBrake(s))}, "leaf.max_angle": {"190"}, "act": {"keep"}}
	doubtful := trialForm("learn")
	doubtful.Set("leg-one", "60")
	study := studyForm("AB", "CD")
	study.Set("m-1-1-1", "square")
	return []sample{
		{"no-page", "/nothing", nil, http.StatusNotFound}, {"no-job", "/jobs/" + unknownCode, nil, http.StatusNotFound}, {"no-part", "/parts/9999", nil, http.StatusNotFound},
		{"part-refused", "/parts", short, wrong}, {"part-file-refused", "/parts", url.Values{"kind": {fileKind}, "text": {`{"number":`}}, wrong},
		{"part-taken", "/parts", exampleOf("tray", "DT-310", "A"), http.StatusConflict},
		{"new-job-refused", "/jobs", url.Values{"part": {part}, "brake": {s.newestBrake()}, "job": {"7"}, "quantity": {"four"}}, wrong},
		{"replace-refused", "/jobs", url.Values{"part": {part}, "brake": {s.newestBrake()}, "job": {"1041"}, "quantity": {"2"}, "replaces": {code}}, wrong},
		{"event-refused", "/jobs/" + code + "/events", url.Values{"kind": {store.EventQuantity}, "detail": {"a few"}}, wrong},
		{"grid-refused", "/jobs/" + code + "/grid", url.Values{"nonce": {"n"}, "given_as": {"bend"}, "m-1-1": {"70"}, "m-1-2": {"abc"}}, wrong},
		{"brake-refused", "/brakes", brake, wrong}, {"brake-file-refused", "/brakes", url.Values{"as": {fileKind}, "text": {"{"}}, wrong},
		{"pack-refused", "/stock/packs", url.Values{"name": {"P-8"}, "thickness": {"thick"}}, wrong}, {"trial-doubtful", "/stock/trial", doubtful, wrong},
		{"trial-learned", "/stock/trial", trialForm("learn"), 0},
		{"setup-refused", "/setup", url.Values{"shop": {"Hollow Lane"}, "address": {"192.0.2.9"}, "units": {"mm"}}, wrong},
		{"password-refused", "/shop/password", url.Values{"old": {password}, "new": {"short"}}, wrong}, {"viewer-refused", "/shop/viewer", url.Values{"viewer": {"abc"}}, wrong},
		{"study-refused", "/review/measuring", study, wrong}, {"stop-refused", "/review/stops", url.Values{"kind": {"accepted"}}, wrong},
		{"minutes-refused", "/review/time", url.Values{"kind": {"accepted"}}, wrong}, {"sign-in-refused", "/signin", url.Values{"password": {"a guess"}}, http.StatusForbidden},
	}
}

// bareSamples are the pages of a shop in which there is nothing yet.
func bareSamples(t testing.TB) (*shop, *http.Cookie, []sample) {
	t.Helper()
	s := openBare(t)
	return s, s.owner(), opened([][2]string{
		{"jobs-empty", "/"}, {"new-job-empty", "/jobs/new"}, {"parts-empty", "/parts"}, {"parts-away-empty", "/parts?archived=yes"}, {"brakes-empty", "/brakes"},
		{"stock-empty", "/stock"}, {"review-empty", "/review"}, {"cell-empty", oneCell}, {"stops-empty", "/review/stops"}, {"first-pieces-empty", "/review/first-pieces"},
		{"unlogged-empty", "/review/unlogged"}, {"replay-empty", "/review/replay"}, {"time-empty", "/review/time"}, {"measuring-empty", "/review/measuring"}, {"shop-empty", "/shop"},
	}...)
}

// shops are the shops whose pages are looked at.
var shops = []func(testing.TB) (*shop, *http.Cookie, []sample){bareSamples, officeSamples}

// opens shows a sample in a browser: its page, or what its form leads to.
func (d *device) opens(v sample) {
	d.t.Helper()
	if v.form == nil {
		d.open(v.path)
		return
	}
	if d.eval("location.origin") != d.base { // a form is taken from pages of the service only
		d.open("/signin")
	}
	fields, err := json.Marshal(v.form)
	if err != nil {
		d.t.Fatal(err)
	}
	d.eval(fmt.Sprintf(`(() => {
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
	})()`, v.path, fields))
	d.until("window.before === undefined")
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
	for _, fill := range shops {
		s, session, samples := fill(t)
		for _, v := range samples {
			t.Run(v.name, func(t *testing.T) { sampleIsWhole(t, s, v, session) })
		}
		if log := s.logged.String(); strings.Contains(log, "level=ERROR") {
			t.Errorf("the log holds errors:\n%s", log)
		}
	}
}

// answerTo gives what comes of a sample.
func (s *shop) answerTo(v sample, session *http.Cookie) (*http.Response, string) {
	s.Helper()
	if v.form != nil {
		return s.postForm(v.path, v.form, session)
	}
	return s.get(v.path, session)
}

func sampleIsWhole(t *testing.T, s *shop, v sample, session *http.Cookie) {
	answer, body := s.answerTo(v, session)
	if answer.StatusCode != max(v.status, http.StatusOK) {
		t.Fatalf("%s = %d: %s", v.path, answer.StatusCode, wordsIn(parsed(t, body)))
	}
	checkPage(t, body)
	if strings.Contains(body, "<b>&amp;amp;") && strings.Contains(body, "<b>&") {
		t.Error("a name stands in the page as markup")
	}
}

// TestOfficeLooks opens every page of the office at the widths it is used at,
// and fails where something sticks out to the side, the console complains, or a
// request leaves the service. With -pictures it keeps what
// it saw.
func TestOfficeLooks(t *testing.T) {
	for _, fill := range shops {
		s, session, samples := fill(t)
		if err := s.store.KeepSetting(t.Context(), store.SettingShop, "Hollow Lane Sheet Works"); err != nil {
			t.Fatal(err)
		}
		for _, size := range []screen{{360, 740, true}, {1024, 768, false}, {1920, 1080, false}} {
			looksAt(t, s.tabs(t, size, session), slices.DeleteFunc(slices.Clone(samples), func(v sample) bool {
				return v.form != nil && !size.touch // where there is least room is enough
			}))
		}
	}
}

// tabs gives a tab for each of some pages, a fresh one now and then: one lives for
// two minutes only.
func (s *shop) tabs(t *testing.T, size screen, session *http.Cookie) func(page int) (d *device, complaints func() []string) {
	var d *device
	var complaints func() []string
	return func(page int) (*device, func() []string) {
		if page%pagesATab == 0 {
			d = s.use(t, size)
			d.signInWith(session.Value)
			complaints = d.watch()
		}
		return d, complaints
	}
}

func looksAt(t *testing.T, tab func(int) (*device, func() []string), samples []sample) {
	t.Helper()
	for i, v := range samples {
		d, complaints := tab(i)
		d.opens(v)
		d.until("document.readyState === 'complete'")
		at := v.name + " at " + d.eval("innerWidth")
		for _, said := range complaints() {
			if v.status == 0 || !strings.Contains(said, fmt.Sprintf("status of %d", v.status)) {
				t.Errorf("%s: %s", at, said)
			}
		}
		if over := d.eval("document.documentElement.scrollWidth - document.documentElement.clientWidth"); over != "0" {
			t.Errorf("%s: the page is %s pixels wider than the screen", at, over)
		}
		if plain := d.eval("[...document.querySelectorAll('[aria-invalid]:not([type=hidden])')].filter(f => getComputedStyle(f).borderTopWidth !== '4px').map(f => f.name).join()"); plain != "" {
			t.Errorf("%s: %s is wrong and does not look it", at, plain)
		}
		d.picture("office-" + strings.ReplaceAll(at, " at ", "-"))
	}
}
