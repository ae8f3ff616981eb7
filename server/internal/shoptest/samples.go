package shoptest

import (
	"context"
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"brakeside/server/parts"
	"brakeside/server/shelf"
	"brakeside/server/store"
	"brakeside/traveler/standing"
)

// The codes of the further sheets of a busy shop.
const (
	OldCode    = "oldcde4xq2pvr9tab"
	NewerCode  = "newerm4xq2pvr9tab"
	ClosedCode = "cyddd4xq2pvr9tabc"
	ManyCode   = "manyc4xq2pvr9tabc"
)

// BusyShop is a shop with sheets and readings in the states that matter for how
// the pages look.
func BusyShop(t *testing.T) (s *Shop, session *http.Cookie) {
	t.Helper()
	s = OpenShop(t)
	session = s.Owner()
	s.RecordFirstPiece()
	for i := range 14 {
		const reading = `{"id":"g%d","piece":%d,"step":%d,"measured":%.1f,"place":"left","by":"CD","confirmed":true,"note":"%s"}`
		note := []string{"", "new pack opened"}[i%2]
		s.Record(ChannelCode, fmt.Sprintf(reading, i, 2+i%2, 2+i%2, 89.2+float64(i*7%19)/10, note))
	}
	s.Record(TrayCode, `{"id":"h1","piece":1,"step":1,"measured":88.1,"by":"AB"}`)
	s.Record(TrayCode, `{"id":"h2","piece":1,"step":2,"measured":91.6,"by":"AB"}`)
	newer := Channel()
	newer.Code, newer.Part.Revision, newer.Steps[1].Target, newer.Job = NewerCode, "D", 8800, "J-1043"
	old := Channel()
	old.Code, old.Job = OldCode, "J-1043"
	s.Issue(old)
	s.Issue(newer, old.Code)
	closed := Tray()
	closed.Code, closed.Job = ClosedCode, "J-1030"
	s.Issue(closed)
	s.Decide(closed.Code, standing.Closed, "all made")
	many := Channel()
	many.Code, many.Job, many.Quantity = ManyCode, "J-1050", 25
	s.Issue(many)
	s.Decide(many.Code, standing.Resampled, "10")
	for i, measured := range []string{"45", "90", "90"} {
		s.Record(many.Code, fmt.Sprintf(`{"id":"m%d","piece":1,"step":%d,"measured":%s}`, i, i+1, measured))
	}
	s.Record(many.Code, `{"id":"lost","piece":10,"step":1,"measured":31.5,"state":"scrapped","note":"bent the wrong way"}`)
	s.Record(many.Code, `{"id":"back","piece":1,"step":3,"measured":90,"corrects":"m2","flags":["withdrawn"]}`)
	s.Record(many.Code, `{"id":"m9","piece":1,"step":3,"measured":90}`)
	for i := range 3 {
		photo := PhotoRequest(t, "/t/"+many.Code+"/photos", PhotoFields(func(f url.Values) { f.Set("id", fmt.Sprint("look", i)) }), JpegPhoto(t))
		s.Ask(photo)
	}
	s.Phone("AB").Opens("/t/" + many.Code + "/1?piece=20")
	s.Phone("CD").Opens("/t/" + many.Code + "/2?piece=25")
	return s, session
}

// Sample is one page of the office in one state: as it is opened, or as it comes
// back when a form is sent.
type Sample struct {
	Name, Path string
	Form       url.Values
	Status     int // 0: shown as asked for
}

// opened are samples that are opened, each given as its name and its path.
func opened(pages ...[2]string) (out []Sample) {
	for _, p := range pages {
		out = append(out, Sample{Name: p[0], Path: p[1]})
	}
	return out
}

// longName is as long as a name may be and has letters of every kind.
const longName = "Übergroße Abtropf-Wanne für Meßgeräte №7 with a very long name that runs on and on, " +
	"伝票 <b>&amp;</b> \"quoted\" to the very end of what fits on a line"

// oneCell is the group of readings that the samples look at closer.
const oneCell = "/review/cell?material=mild-steel&thickness=1.50+mm&bar=wide&brake=leaf+brake+1.2+m"

// OfficeSamples fills a shop and lists every page in every state: one, many, long
// names, refused. What is empty is in bareSamples.
func OfficeSamples(t testing.TB) (*Shop, *http.Cookie, []Sample) {
	t.Helper()
	s, session := OpenOffice(t)
	trayPart := s.MakeReady(ExampleOf("tray", "DT-310", "A"), session)
	code := s.IssueFor(trayPart, "1041", session)
	changed := ExampleOf("tray", "DT-310", "B")
	changed.Set("tray.walls.back[0].leg", "60")
	s.Send("/parts", changed, session)
	for _, kind := range []string{"l", "z", "u", "hat", "box"} {
		s.MakeReady(ExampleOf(kind, strings.ToUpper(kind)+"-100", "A"), session)
	}
	deep := ExampleOf("u", "DEEP-1", "A")
	deep.Set("profile.legs[0]", "300")
	deep.Set("profile.legs[1]", "12")
	deep.Set("profile.legs[2]", "300")
	blocked := s.Send("/parts", deep, session)
	long := ExampleOf("l", strings.Repeat("VERY-LONG-NUMBER-", 6), "REV-12345")
	long.Set("title", longName)
	longPart := s.Send("/parts", long, session)
	s.Send("/stock/packs", url.Values{
		"name": {"P-7"}, "material": {"304"}, "thickness": {"0.8"}, "measured": {"0.88"}, "heat": {"H 4711"}, "note": {longName},
	}, session)
	s.Send("/stock/trial", TrialForm("adopt"), session)
	brake := s.NewestBrake()
	missing := s.Send("/brakes/"+brake+"/fingers", url.Values{"missing-3-4": {"yes"}}, session)
	for _, part := range []string{trayPart, blocked} {
		s.Planned(session, "/parts/"+part+"/plans")
	}
	samples := opened([][2]string{
		{"jobs", "/"}, {"jobs-none-found", "/?q=nothing"}, {"job", "/jobs/" + code},
		{"grid", "/jobs/" + code + "/grid"}, {"photos-none", "/jobs/" + code + "/photos"},
		{"new-job", "/jobs/new"}, {"replace", "/jobs/new?replaces=" + code},
		{"parts", "/parts"}, {"parts-none-found", "/parts?q=nothing"}, {"part", "/parts/" + trayPart}, {"part-long", "/parts/" + longPart},
		{"part-new-l", "/parts/new"}, {"part-new-tray", "/parts/new?kind=tray"},
		{"part-new-box", "/parts/new?kind=box"}, {"part-new-file", "/parts/new?kind=file"},
		{"part-next", "/parts/new?from=" + trayPart}, {"part-copy", "/parts/new?copy=yes&from=" + trayPart},
		{"changes", "/parts/" + fmt.Sprint(Atoi(trayPart)+1) + "/changes?from=" + trayPart},
		{"plans", "/parts/" + trayPart + "/plans"}, {"plans-blocked", "/parts/" + blocked + "/plans"},
		{"bends", "/parts/" + trayPart + "/bends?brake=" + brake},
		{"brakes", "/brakes"}, {"brake", "/brakes/" + missing}, {"brake-old", "/brakes/" + brake},
		{"brake-new", "/brakes/new"}, {"brake-all", "/brakes/new?all=yes"}, {"brake-measure", "/brakes/measure"},
		{"jobs-import", "/jobs/import"}, {"parts-import", "/parts/import"},
		{"brake-file", "/brakes/new?file=yes"},
		{"brake-changes", "/brakes/" + missing + "/changes?from=" + brake},
		{"stock", "/stock"}, {"trial", "/stock/trial"}, {"trial-strip", "/stock/trial?material=304&thickness=0.8&bar=wide&pack=P-7"},
		{"setup", "/setup"}, {"shop", "/shop"}, {"running", "/running"}, {"sign-in", "/signin"},
	}...)
	samples = append(samples, drawingSamples(s, trayPart, session)...)
	samples = append(samples, logSamples(s, session)...)
	return s, session, append(samples, refusedSamples(s, trayPart, code)...)
}

// drawingSamples are the form of a part that begins with a drawing of its blank.
func drawingSamples(s *Shop, part string, session *http.Cookie) []Sample {
	s.Helper()
	answer, drawing := s.Get("/parts/"+part+"/blank.dxf", session)
	if answer.StatusCode != http.StatusOK {
		s.Fatalf("the drawing of the blank = %d", answer.StatusCode)
	}
	read := url.Values{"kind": {parts.DrawingKind}, "act": {"draw"}, "number": {"Tray 7"}, "text": {drawing}}
	none := url.Values{"kind": {parts.DrawingKind}, "act": {"keep"}, "number": {"Tray 7"}, "text": {"no drawing"}}
	return []Sample{{"part-drawing", "/parts", read, 0}, {"part-drawing-refused", "/parts", none, http.StatusUnprocessableEntity}}
}

// logSamples log something of every kind, and are the pages that show it: jobs
// in every state, a photo, and one of everything that the review tells of.
func logSamples(s *Shop, session *http.Cookie) []Sample {
	s.Helper()
	for i, measured := range []string{"46.6", "90.2", "89.7", "45", "91.2", "91.4"} { // the first piece fails
		s.Record(ChannelCode, fmt.Sprintf(`{"id":"o%d","piece":%d,"step":%d,"measured":%s,"by":"AB","confirmed":true}`,
			i, 1+i/3, 1+i%3, measured))
		if i == 2 {
			s.LetGo(ChannelCode)
		}
	}
	s.Record(ChannelCode, `{"id":"lift","piece":3,"step":1,"measured":47,"flags":["bar-lifted"],"confirmed":true}`)
	s.Ask(PhotoRequest(s, ChannelPhotos, PhotoFields(nil), JpegPhoto(s)))
	older, newer := Channel(), Channel()
	older.Code, older.Job, newer.Code, newer.Job = OldCode, "J-1043", NewerCode, "J-1043"
	s.Issue(older)
	s.Issue(newer, OldCode)
	s.Get("/t/" + OldCode)
	closed := Tray()
	closed.Code, closed.Job = ClosedCode, "J-1030"
	s.Issue(closed)
	s.Decide(ClosedCode, standing.Closed, "all made")
	said := []store.JobDetail{
		{Job: "J-1041", Due: "2026-05-01", Customer: "Hillside Pumps", Note: "crate of 20, call first", Turn: 1},
		{Job: "J-1042", Due: "2026-06-12", Customer: longName},
	}
	if err := s.Store.DetailJob(context.Background(), said...); err != nil {
		s.Fatal(err)
	}
	s.Decide(NewerCode, standing.Voided, longName)
	s.Strips(3)
	s.SlowJobs(s.MakeReady(ExampleOf("l", "LP-1", "A"), session), 1.5, session)
	study := studyForm("AB", "CD")
	s.Send("/review/measuring", study, session)
	s.Later(25 * time.Hour)
	return opened([][2]string{
		{"job-logged", "/jobs/" + ChannelCode}, {"job-replaced", "/jobs/" + OldCode},
		{"job-void", "/jobs/" + NewerCode}, {"job-closed", "/jobs/" + ClosedCode},
		{"jobs-of-brake", "/?brake=leaf+brake+1.2+m"},
		{"photos", "/jobs/" + ChannelCode + "/photos"}, {"grid-begun", "/jobs/" + ChannelCode + "/grid"},
		{"review", "/review"}, {"review-none", "/review?job=none"}, {"cell", oneCell},
		{"stops", "/review/stops"}, {"first-pieces", "/review/first-pieces"},
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
func refusedSamples(s *Shop, part, code string) []Sample {
	s.Helper()
	const wrong = http.StatusUnprocessableEntity
	short := ExampleOf("tray", "DT-312", "A")
	short.Set("tray.walls.back[0].leg", "-5")
	brake := url.Values{"text": {string(ExampleBrake(s))}, "leaf.max_angle": {"190"}, "act": {"keep"}}
	doubtful := TrialForm("learn")
	doubtful.Set("leg-one", "60")
	study := studyForm("AB", "CD")
	study.Set("m-1-1-1", "square")
	return []Sample{
		{"no-page", "/nothing", nil, http.StatusNotFound},
		{"no-job", "/jobs/" + UnknownCode, nil, http.StatusNotFound},
		{"no-part", "/parts/9999", nil, http.StatusNotFound},
		{"part-refused", "/parts", short, wrong},
		{"part-file-refused", "/parts", url.Values{"kind": {shelf.FileKind}, "text": {`{"number":`}}, wrong},
		{"part-taken", "/parts", ExampleOf("tray", "DT-310", "A"), http.StatusConflict},
		{"new-job-refused", "/jobs", url.Values{"part": {part}, "brake": {s.NewestBrake()}, "job": {"7"}, "quantity": {"four"}}, wrong},
		{"replace-refused", "/jobs", url.Values{
			"part": {part}, "brake": {s.NewestBrake()}, "job": {"1041"}, "quantity": {"2"}, "replaces": {code},
		}, wrong},
		{"order-refused", "/jobs/order", url.Values{"brake": {"leaf brake 1.2 m"}, "turn-" + ChannelCode: {"first"}}, wrong},
		{"about-refused", "/jobs/" + code + "/about", url.Values{"due": {"soon"}}, wrong},
		{"fewer-asked", "/jobs/" + ChannelCode + "/events", url.Values{"kind": {standing.Requantified}, "detail": {"1"}}, http.StatusConflict},
		{"event-refused", "/jobs/" + code + "/events", url.Values{"kind": {standing.Requantified}, "detail": {"a few"}}, wrong},
		{"grid-refused", "/jobs/" + code + "/grid", url.Values{"nonce": {"n"}, "given_as": {"bend"}, "m-1-1": {"70"}, "m-1-2": {"abc"}}, wrong},
		{"brake-refused", "/brakes", brake, wrong}, {"brake-file-refused", "/brakes", url.Values{"as": {shelf.FileKind}, "text": {"{"}}, wrong},
		{"jobs-import-refused", "/jobs/import", url.Values{"brake": {s.NewestBrake()}, "text": {"number,part,quantity\n7,none,four\n"}}, wrong},
		{"pack-refused", "/stock/packs", url.Values{"name": {"P-8"}, "thickness": {"thick"}}, wrong},
		{"trial-doubtful", "/stock/trial", doubtful, wrong},
		{"trial-learned", "/stock/trial", TrialForm("learn"), 0},
		{"setup-refused", "/setup", url.Values{"shop": {"Hollow Lane"}, "address": {"192.0.2.9"}, "units": {"mm"}}, wrong},
		{"password-refused", "/shop/password", url.Values{"old": {Password}, "new": {"short"}}, wrong},
		{"viewer-refused", "/shop/viewer", url.Values{"viewer": {"abc"}}, wrong},
		{"study-refused", "/review/measuring", study, wrong}, {"stop-refused", "/review/stops", url.Values{"kind": {"accepted"}}, wrong},
		{"minutes-refused", "/review/time", url.Values{"kind": {"accepted"}}, wrong},
		{"sign-in-refused", "/signin", url.Values{"password": {"a guess"}}, http.StatusForbidden},
	}
}

// bareSamples are the pages of a shop in which there is nothing yet.
func bareSamples(t testing.TB) (*Shop, *http.Cookie, []Sample) {
	t.Helper()
	s := openBare(t)
	return s, s.Owner(), opened([][2]string{
		{"jobs-empty", "/"}, {"new-job-empty", "/jobs/new"},
		{"parts-empty", "/parts"}, {"parts-away-empty", "/parts?archived=yes"}, {"brakes-empty", "/brakes"}, {"stock-empty", "/stock"},
		{"review-empty", "/review"}, {"cell-empty", oneCell}, {"stops-empty", "/review/stops"},
		{"first-pieces-empty", "/review/first-pieces"}, {"unlogged-empty", "/review/unlogged"}, {"replay-empty", "/review/replay"},
		{"time-empty", "/review/time"}, {"measuring-empty", "/review/measuring"}, {"shop-empty", "/shop"},
	}...)
}

// Shops are the shops whose pages are looked at.
var Shops = []func(testing.TB) (*Shop, *http.Cookie, []Sample){bareSamples, OfficeSamples}

// AnswerTo gives what comes of a sample.
func (s *Shop) AnswerTo(v Sample, session *http.Cookie) (*http.Response, string) {
	s.Helper()
	if v.Form != nil {
		return s.PostForm(v.Path, v.Form, session)
	}
	return s.Get(v.Path, session)
}

// PhoneViews are the pages at the brake in the states that matter.
var PhoneViews = []lookedAt{
	{"bend", "/t/" + ChannelCode}, {"fingers", "/t/" + TrayCode + "/3?piece=1"}, {"company", "/t/" + ManyCode + "/1?piece=20"},
	{"right", "/t/" + ChannelCode + "?saved=f1"}, {"under", "/t/" + TrayCode + "?saved=h1"}, {"over", "/t/" + TrayCode + "?saved=h2"},
	{"scrapped", "/t/" + ManyCode + "?saved=lost"}, {"taken-back", "/t/" + ManyCode + "?saved=back"},
	{"reworked", "/t/" + TrayCode + "/1?piece=1&state=reworked"},
	{"replaced", "/t/" + OldCode}, {"closed", "/t/" + ClosedCode}, {"void", "/t/" + NewerCode},
	{"board", "/t/" + ChannelCode + "/board"},
	{"bent-all-the-same", "/t/" + OldCode + "/1?piece=1&bent=yes"}, {"unknown", "/t/" + UnknownCode},
}

// lookedAt is a page that is looked at, with the name of its picture.
type lookedAt struct{ Name, Path string }

// OfficeViews are the main pages of the office.
var OfficeViews = []lookedAt{
	{"jobs", "/"}, {"job", "/jobs/" + ChannelCode}, {"job-of-many", "/jobs/" + ManyCode}, {"grid", "/jobs/" + ChannelCode + "/grid"},
	{"photos", "/jobs/" + ManyCode + "/photos"}, {"new-job", "/jobs/new"}, {"parts", "/parts"}, {"part-new", "/parts/new?kind=tray"},
	{"brakes", "/brakes"}, {"brake-new", "/brakes/new"}, {"stock", "/stock"}, {"trial", "/stock/trial"},
	{"review", "/review"}, {"stops", "/review/stops"}, {"first-pieces", "/review/first-pieces"}, {"time", "/review/time"},
	{"measuring", "/review/measuring"}, {"shop", "/shop"}, {"sign-in", "/signin"},
}

// ReviewPages are the pages of the review that are looked at.
var ReviewPages = []lookedAt{
	{"figures", "/review"}, {"filtered", "/review?material=304&days=90"}, {"cell", oneCell},
	{"stops", "/review/stops"}, {"first-pieces", "/review/first-pieces"}, {"unlogged", "/review/unlogged"},
	{"replay", "/review/replay"}, {"time", "/review/time"}, {"measuring", "/review/measuring"},
}
