package server

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"brakeside/server/store"
	"brakeside/traveler"
)

// bendMany bends the first step of so many further pieces of a sheet at the
// printed stop and logs them, each so far from its target.
func (s *shop) bendMany(code string, errors ...float64) {
	s.Helper()
	job, err := s.store.Progress(context.Background(), code)
	if err != nil {
		s.Fatal(err)
	}
	step, piece := job.Traveler.Steps[0], 0
	for _, r := range job.Readings {
		piece = max(piece, r.Piece)
	}
	for i, e := range errors {
		s.record(code, fmt.Sprintf(`{"id":"%s-%d-%d","piece":%d,"step":%d,"measured":%.1f,"stop":%.2f,"by":"AB","confirmed":true}`,
			code[:5], s.now().Unix(), i, piece+i+1, step.Number, float64(step.Target.Deg())+e, float64(step.Stop.Deg())))
	}
}

// wave is a row of errors about a mean that no rule finds odd: the scatter of a
// seeded chance.
func wave(count int, mean float64) []float64 {
	random := rand.New(rand.NewPCG(4, 3))
	out := make([]float64, count)
	for i := range out {
		out[i] = math.Round(10*(mean+0.3*random.NormFloat64())) / 10
	}
	return out
}

// letGo lets the run of a sheet go on whatever the first piece is.
func (s *shop) letGo(codes ...string) {
	for _, code := range codes {
		s.decide(code, store.EventOverride, "a trial")
	}
}

// issuedStep gives the first step of an issued sheet.
func (s *shop) issuedStep(code string) traveler.Step {
	s.Helper()
	kept, err := s.store.TravelerByCode(context.Background(), code)
	if err != nil {
		s.Fatal(err)
	}
	return kept.Traveler.Steps[0]
}

// bentFlat issues a sheet of which twelve bends come out two degrees flat.
func (s *shop) bentFlat(session *http.Cookie) (part, code string) {
	part = s.makeReady(exampleOf("l", "LP-1", "A"), session)
	code = s.issueFor(part, "J-1", session)
	s.letGo(code)
	s.decide(code, store.EventQuantity, "40")
	s.bendMany(code, wave(12, -2)...)
	return part, code
}

// The closed loop through the pages: a sheet is issued and bends come out two
// degrees flat; the change is proposed, accepted, and the next sheet is printed
// with another stop that says where it comes from.
func TestLoopOfStops(t *testing.T) {
	s, session := openOffice(t)
	part, first := s.bentFlat(session)
	before := s.issuedStep(first)
	root, _ := s.ownerPage(session, "/review")
	if !strings.Contains(wordsIn(root), "1 change of a printed stop proposed.") {
		t.Errorf("the review does not say that a change is proposed: %s", wordsIn(root))
	}
	root, _ = s.ownerPage(session, "/review/stops")
	forms := all(one(t, root, classed("plan")), named("form"))
	if len(forms) != 3 {
		t.Fatalf("%d forms beside the proposal, want accept, refuse and edit: %s", len(forms), wordsIn(root))
	}
	if words := wordsIn(root); !strings.Contains(words, "common practice for the material") || !strings.Contains(words, "n = 12") {
		t.Errorf("the proposal says %s", words)
	}
	s.later(time.Hour)
	accept := filled(forms[0])
	if to := s.send("/review/stops", accept, session); to != "stops" {
		t.Errorf("accepted, it leads to %s", to)
	}
	second := s.issueFor(part, "J-2", session)
	after := s.issuedStep(second)
	if move := (after.StopBend - before.StopBend).Deg(); move < 1 || move > 2 {
		t.Errorf("the stop moved from %v to %v, want one to two degrees", before.StopBend, after.StopBend)
	}
	if after.StopFrom != "from 12 readings of this material" || before.StopFrom != "common practice for the material" {
		t.Errorf("the stop is from %q, before from %q", after.StopFrom, before.StopFrom)
	}
	if again := s.issuedStep(first); again.Stop != before.Stop {
		t.Error("the printed sheet changed")
	}
	if page := s.refused("/review/stops", accept, session); !strings.Contains(wordsIn(page), "Nothing is proposed") {
		t.Errorf("accepting twice says %s", wordsIn(page))
	}
	s.letGo(second)
	s.bendMany(second, 0.1)
	root, _ = s.ownerPage(session, "/review/stops")
	table := wordsIn(one(t, root, named("table")))
	if !strings.Contains(table, "-2.2° mean, 2.2° off on average, n = 1") || !strings.Contains(table, "+0.1° mean, 0.1° off on average, n = 1") || !strings.Contains(table, "in use") {
		t.Errorf("the change says %s", table)
	}
	back := filled(one(t, one(t, root, named("table")), named("form")))
	s.send("/review/stops", back, session)
	third := s.issuedStep(s.issueFor(part, "J-3", session))
	if third.StopBend != before.StopBend || third.StopFrom != before.StopFrom {
		t.Errorf("gone back, the stop is %v from %q, want %v", third.StopBend, third.StopFrom, before.StopBend)
	}
}

// The owner prints another stop than proposed, within bounds, or none; the
// viewer is shown no form and refused.
func TestStopsEditedAndRefused(t *testing.T) {
	s, session := openOffice(t)
	part, first := s.bentFlat(session)
	before := s.issuedStep(first)
	root, _ := s.ownerPage(session, "/review/stops")
	edit := filled(all(one(t, root, classed("plan")), named("form"))[2])
	if edit.Get("kind") != "edited" {
		t.Fatalf("the third form is %v", edit)
	}
	for _, stop := range []string{"far", "-1", "200", (before.StopBend + 300).Text(1)} {
		edit.Set("stop", stop)
		s.refused("/review/stops", edit, session)
	}
	edit.Set("stop", (before.StopBend + 100).Text(1))
	s.send("/review/stops", edit, session)
	if after := s.issuedStep(s.issueFor(part, "J-2", session)); after.StopBend != before.StopBend+100 || !strings.HasPrefix(after.StopFrom, "set by the owner") {
		t.Errorf("the stop is %v from %q, want %v as typed", after.StopBend, after.StopFrom, before.StopBend+100)
	}
	root, _ = s.ownerPage(session, "/review/stops")
	refuse := filled(all(one(t, root, classed("plan")), named("form"))[1])
	s.send("/review/stops", refuse, session)
	if root, _ = s.ownerPage(session, "/review/stops"); len(all(root, classed("plan"))) != 0 || !strings.Contains(wordsIn(root), "Nothing is proposed") {
		t.Errorf("refused and still there: %s", wordsIn(root))
	}
	viewer := s.viewer(session)
	if root, _ = s.ownerPage(viewer, "/review/stops"); len(all(root, named("form"))) != 1 {
		t.Errorf("the viewer is shown forms: %s", wordsIn(root))
	}
	if answer, _ := s.postForm("/review/stops", refuse, viewer); answer.StatusCode != http.StatusForbidden {
		t.Errorf("the viewer decides: %d", answer.StatusCode)
	}
}

// A form that is not whole is refused, not guessed at.
func TestStopsHalfAForm(t *testing.T) {
	s, session := openOffice(t)
	for _, form := range []url.Values{{}, {"kind": {"accepted"}}, {"kind": {"accepted"}, "thickness": {"x"}}, {"kind": {"returned"}, "material": {"mild-steel"}}} {
		s.refused("/review/stops", form, session)
	}
	s.refused("/review/k", url.Values{"k": {"0.4"}}, session)
}

// many is a shop with enough readings of one group for every figure.
func many(t testing.TB) (*shop, *http.Cookie) {
	s := openShop(t)
	s.letGo(channelCode)
	s.decide(channelCode, store.EventQuantity, "90")
	s.bendMany(channelCode, wave(40, 0.1)...)
	s.record(channelCode, `{"id":"other-angle","piece":80,"step":1,"measured":134.6,"confirmed":true}`)
	s.record(channelCode, `{"id":"lifted","piece":81,"step":1,"measured":46,"flags":["bar-lifted"],"confirmed":true}`)
	s.record(channelCode, `{"id":"rework","piece":82,"step":1,"measured":45,"state":"reworked","confirmed":true}`)
	return s, s.owner()
}

func TestCellPage(t *testing.T) {
	s, session := many(t)
	root, _ := s.ownerPage(session, "/review/cell?material=mild-steel&thickness=1.50+mm&bar=wide&brake=leaf+brake+1.2+m")
	words := wordsIn(root)
	for _, want := range []string{
		"mild-steel, 1.50 mm (0.0591 in), wide, leaf brake 1.2 m", "newest 40 readings that count", "n 40", "None of Nelson's eight patterns stands out.",
		"For 45.0° of any pack: stop at a bend angle of", "from 40 readings of this material", "usual for the material", "zero of this brake's scale",
		"the sheets' own ± 1.00° 40 of 40 (100 %)", "ISO 2768-1 m, leg of 34.0 mm (1.339 in) ± 0.50°", "Anderson-Darling",
		"near 135°: the opening was probably read for the bend angle", "bar lifted", "reworked",
	} {
		if !strings.Contains(words, want) {
			t.Errorf("the page lacks %q: %s", want, words)
		}
	}
	drawings := all(root, classed("drawing"))
	if len(drawings) != 7 {
		t.Fatalf("%d charts, want single readings, moving ranges, smoothed, added up, how they lie, and means and ranges of groups", len(drawings))
	}
	for _, svg := range drawings {
		if attribute(svg, "role") != "img" || wordsIn(one(t, svg, named("desc"))) == "" {
			t.Errorf("a chart has no description: %s", wordsIn(svg))
		}
	}
	tables := all(root, named("table"))
	if rows := all(tables[1], named("tr")); len(rows) != 4 {
		t.Errorf("%d readings set aside, want three", len(rows)-1)
	}
	if rows := all(tables[2], named("tr")); len(rows) != mostTabled+1 {
		t.Errorf("%d readings listed, want the newest %d", len(rows)-1, mostTabled)
	}
}

// Few readings conclude nothing: no limits, no capability.
func TestCellPageOfFew(t *testing.T) {
	s, session := reviewed(t)
	root, _ := s.ownerPage(session, "/review/cell?material=304")
	words := wordsIn(root)
	if !strings.Contains(words, "Limits are drawn from 8 readings on.") || strings.Contains(words, "Anderson") || strings.Contains(words, "Where to stop next") || len(all(root, classed("drawing"))) != 2 {
		t.Errorf("two readings say %s", words)
	}
	capable := all(all(root, named("table"))[0], named("td"))
	for _, td := range capable {
		if strings.HasPrefix(attribute(td, "data-name"), "C") && wordsIn(td) != "" {
			t.Errorf("a capability of two readings: %s", wordsIn(td))
		}
	}
	if root, _ = s.ownerPage(session, "/review/cell?material=304&bar=narrow"); !strings.Contains(wordsIn(root), "No readings that count") {
		t.Errorf("no readings say %s", wordsIn(root))
	}
	if root, _ = s.ownerPage(session, "/review/cell"); !strings.Contains(wordsIn(root), "All readings") {
		t.Errorf("all readings are headed %s", wordsIn(root))
	}
}

// A pattern in the readings is named.
func TestCellPageSignals(t *testing.T) {
	s := openShop(t)
	s.letGo(channelCode)
	s.decide(channelCode, store.EventQuantity, "90")
	s.bendMany(channelCode, append(wave(20, -0.4), wave(20, 0.6)...)...)
	root, _ := s.ownerPage(s.owner(), "/review/cell")
	if words := wordsIn(root); !strings.Contains(words, "9 in a row on one side: the level has moved, at ") {
		t.Errorf("a step of one degree is not named: %s", words)
	}
}

func TestReplayPage(t *testing.T) {
	s, session := many(t)
	root, _ := s.ownerPage(session, "/review/replay")
	rows := all(one(t, root, named("table")), named("tr"))
	if len(rows) != 3 || !strings.HasPrefix(wordsIn(rows[1]), "all 40 ") || !strings.HasPrefix(wordsIn(rows[2]), "mild-steel 40 ") {
		t.Errorf("the replay says %s", wordsIn(root))
	}
	if root, _ = s.ownerPage(session, "/review/replay?brake=none"); len(all(root, named("table"))) != 1 {
		t.Errorf("an unknown brake is no choice: %s", wordsIn(root))
	}
	empty := openShop(t)
	if root, _ = empty.ownerPage(empty.owner(), "/review/replay"); !strings.Contains(wordsIn(root), "No readings yet") {
		t.Errorf("an empty log says %s", wordsIn(root))
	}
}

func TestFirstPiecesPage(t *testing.T) {
	s, session := reviewed(t)
	root, _ := s.ownerPage(session, "/review/first-pieces")
	if words := wordsIn(root); !strings.Contains(words, "1 of 2") {
		t.Errorf("the page says %s", words)
	}
	form := filled(one(t, one(t, root, named("table")), named("form")))
	form.Set("cause", "bar")
	s.send("/review/first-pieces/"+trayCode, form, session)
	root, _ = s.ownerPage(session, "/review")
	if !strings.Contains(wordsIn(root), "First pieces failed: wrong bar, or it lifted 1.") {
		t.Errorf("the review says %s", wordsIn(root))
	}
	form.Set("cause", "the weather")
	s.refused("/review/first-pieces/"+trayCode, form, session)
	form.Set("cause", "bar")
	if answer, _ := s.postForm("/review/first-pieces/"+unknownCode, form, session); answer.StatusCode != http.StatusNotFound {
		t.Errorf("a cause of no sheet = %d", answer.StatusCode)
	}
}

// A sheet of which nothing is logged shows after a day; a replaced one shows
// once it is scanned.
func TestUnloggedPage(t *testing.T) {
	s := openShop(t)
	session := s.owner()
	newer := tray()
	newer.Code = "newerm4xq2pvr9tab"
	s.issue(newer, trayCode)
	if root, _ := s.ownerPage(session, "/review/unlogged"); strings.Count(wordsIn(root), "None.") != 2 {
		t.Errorf("at once the page says %s", wordsIn(root))
	}
	s.later(36 * time.Hour)
	s.get("/t/" + trayCode)
	s.get("/t/" + trayCode)
	root, _ := s.ownerPage(session, "/review/unlogged")
	tables := all(root, named("table"))
	if len(tables) != 2 || len(all(tables[0], named("tr"))) != 3 || !strings.Contains(wordsIn(tables[1]), "J-1042 DT-05 rev A 1 time today") {
		t.Errorf("after a day and a half the page says %s", wordsIn(root))
	}
	root, _ = s.ownerPage(session, "/review")
	if words := wordsIn(root); !strings.Contains(words, "Printed, not logged") || !strings.Contains(words, "Replaced sheets scanned") {
		t.Errorf("the review says %s", words)
	}
	s.record(channelCode, `{"id":"c1","piece":1,"step":1,"measured":45}`)
	if root, _ = s.ownerPage(session, "/review/unlogged?brake=leaf+brake+1.2+m"); strings.Contains(wordsIn(all(root, named("table"))[0]), "J-1041") {
		t.Errorf("a logged sheet is listed: %s", wordsIn(root))
	}
}

func TestMeasuringPage(t *testing.T) {
	s := openShop(t)
	session := s.owner()
	root, _ := s.ownerPage(session, "/review/measuring")
	form := filled(one(t, root, classed("stack")))
	if len(form) != 15 {
		t.Fatalf("the form has %d fields, want two people, three bends, twice each, and the protractor: %v", len(form), form)
	}
	form.Set("tool", "bevel protractor")
	for _, c := range []struct{ first, second, want string }{{"AB", "", "initials of both"}, {"AB", "ab", "Two different people"}, {"AB", "CD", "AB, bend 1, reading 1"}} {
		form.Set("person-1", c.first)
		form.Set("person-2", c.second)
		if page := s.refused("/review/measuring", form, session); !strings.Contains(wordsIn(page), c.want) {
			t.Errorf("%q and %q: %s", c.first, c.second, wordsIn(page))
		}
	}
	for person := range studyPeople {
		for bend := range studyBends {
			for turn := range studyTurns {
				form.Set(studyField(person, bend, turn), fmt.Sprintf("%d,%d", 90-bend, 2*turn+person))
			}
		}
	}
	s.send("/review/measuring", form, session)
	root, _ = s.ownerPage(session, "/review/measuring")
	result := wordsIn(one(t, root, classed("plan")))
	for _, want := range []string{"Good: a single reading can be trusted.", "AB and CD, bevel protractor", "One person again 0.12°", "From person to person 0.05°", "Readings 12"} {
		if !strings.Contains(result, want) {
			t.Errorf("the result lacks %q: %s", want, result)
		}
	}
}

func TestTimePage(t *testing.T) {
	s := openShop(t)
	session := s.owner()
	s.letGo(channelCode)
	s.decide(channelCode, store.EventQuantity, "30")
	if root, _ := s.ownerPage(session, "/review/time"); !strings.Contains(wordsIn(root), "No job yet that tells.") {
		t.Errorf("without readings the page says %s", wordsIn(root))
	}
	for i := range 14 {
		s.later(2 * time.Minute)
		s.record(channelCode, fmt.Sprintf(`{"id":"p%d","piece":%d,"step":1,"measured":45,"confirmed":true}`, i, i+1))
	}
	root, _ := s.ownerPage(session, "/review/time")
	if got := wordsIn(all(one(t, root, named("table")), named("tr"))[1]); !strings.HasPrefix(got, "J-1041 BR-210 leaf brake 1.2 m 4.1 5.2 1.27 15 0") {
		// 13 gaps of 2 minutes over 15 bends, for the first piece is made whole: 3 bends a piece take 5.2 minutes.
		t.Errorf("the job says %q", got)
	}
}

func TestRecordOfASheet(t *testing.T) {
	s, session := reviewed(t)
	answer, body := s.get("/jobs/"+channelCode+"/record.pdf", session)
	if answer.StatusCode != http.StatusOK || answer.Header.Get("Content-Type") != "application/pdf" || !strings.HasPrefix(body, "%PDF-") {
		t.Errorf("record.pdf = %d %s", answer.StatusCode, answer.Header.Get("Content-Type"))
	}
	answer, body = s.get("/jobs/"+channelCode+"/record.csv", session)
	if answer.StatusCode != http.StatusOK || answer.Header.Get("Content-Disposition") != `attachment; filename="record-`+channelCode+`.csv"` || strings.Count(body, "\r\n") != 12 ||
		!strings.Contains(body, "J-1041,BR-210,C,1,2,b2,90.0,1.0,89.4,-0.6,middle,2026-05-04 09:30,AB,in tolerance") {
		t.Errorf("record.csv = %d %v: %s", answer.StatusCode, answer.Header, body)
	}
	for _, path := range []string{"/jobs/" + unknownCode + "/record.pdf", "/jobs/" + unknownCode + "/record.csv"} {
		if answer, _ := s.get(path, session); answer.StatusCode != http.StatusNotFound {
			t.Errorf("GET %s = %d, want 404", path, answer.StatusCode)
		}
	}
}

func TestWeeklyPage(t *testing.T) {
	s, session := reviewed(t)
	answer, body := s.get("/review/weekly.pdf", session)
	if answer.StatusCode != http.StatusOK || !strings.HasPrefix(body, "%PDF-") || answer.Header.Get("Content-Disposition") != `inline; filename="week-2026-06-13.pdf"` {
		t.Errorf("weekly.pdf = %d %v", answer.StatusCode, answer.Header)
	}
	week, err := WeekOf(context.Background(), s.store, s.server.book, s.now())
	if err != nil || week.Totals.Readings != 2 || len(week.Cells) != 1 || len(week.All) != 3 || len(week.First) != 1 || len(week.Pages()) != 1 {
		t.Errorf("WeekOf = %+v, %v, want the two readings of the week", week, err)
	}
}

// What other bends told of a pack is said at the brake, at the first bend of a
// step only.
func TestPackHint(t *testing.T) {
	s := openShop(t)
	s.letGo(channelCode)
	s.decide(channelCode, store.EventQuantity, "9")
	_, body := s.get("/t/" + channelCode + "/2?piece=1")
	if hints := all(parsed(t, body), classed("restop")); len(hints) != 0 {
		t.Errorf("without readings it says %s", wordsIn(hints[0]))
	}
	for i := range 4 {
		s.record(channelCode, fmt.Sprintf(`{"id":"k%d","piece":%d,"step":1,"measured":43,"pack":"heat 9","confirmed":true}`, i, i+1))
	}
	_, body = s.get("/t/" + channelCode + "/2?piece=1")
	hint := wordsIn(one(t, parsed(t, body), classed("restop")))
	if !strings.HasPrefix(hint, "Instead of the printed stop, set the stop at 9") || !strings.Contains(hint, "from 4 readings of this pack") {
		t.Errorf("the hint says %q", hint)
	}
	s.record(channelCode, `{"id":"own","piece":1,"step":2,"measured":90,"confirmed":true}`)
	_, body = s.get("/t/" + channelCode + "/2?piece=2")
	if hints := all(parsed(t, body), classed("restop")); len(hints) != 0 {
		t.Errorf("a good bend of its own, and it says %s", wordsIn(hints[0]))
	}
}

// Which sizes may not hold is said when a part is planned.
func TestLikelyOnThePlans(t *testing.T) {
	s, session := openOffice(t)
	form := exampleOf("l", "LP-1", "A")
	form.Set("tolerance.length", "0.1")
	part := s.makeReady(form, session)
	root, _ := s.planned(session, "/parts/"+part+"/plans")
	if words := wordsIn(root); !strings.Contains(words, "May not hold") || !strings.Contains(words, "not on this brake") || !strings.Contains(words, "by what a leaf brake usually holds") {
		t.Errorf("the plan says %s", words)
	}
}

// Every page of the review answers on an empty shop, a full one, and to
// nonsense in its address.
func TestReviewPagesAnswer(t *testing.T) {
	empty := openShop(t)
	full, session := many(t)
	for _, s := range []struct {
		*shop
		session *http.Cookie
	}{{empty, empty.owner()}, {full, session}} {
		for _, path := range []string{"/review", "/review/cell", "/review/stops", "/review/replay", "/review/first-pieces", "/review/unlogged", "/review/measuring", "/review/time"} {
			for _, query := range []string{"", "?material=%00&thickness=-1&days=99999999999&from=2026-13-99&job=" + strings.Repeat("x", 300)} {
				answer, body := s.get(path+query, s.session)
				if answer.StatusCode != http.StatusOK {
					t.Errorf("GET %s%s = %d", path, query, answer.StatusCode)
					continue
				}
				checkPage(t, body)
			}
		}
	}
}
