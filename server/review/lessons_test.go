package review_test

import (
	"context"
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"brakeside/server/internal/shoptest"
	"brakeside/server/report"
	"brakeside/server/review"
	"brakeside/traveler/standing"

	"golang.org/x/net/html"
)

// The closed loop through the pages: a sheet is issued and bends come out two
// degrees flat; the change is proposed, accepted, and the next sheet is printed
// with another stop that says where it comes from.
func TestLoopOfStops(t *testing.T) {
	s, session := shoptest.OpenOffice(t)
	part, first := s.BentFlat(session)
	before := s.IssuedStep(first)
	root, _ := s.OwnerPage(session, "/review")
	if !strings.Contains(shoptest.WordsIn(root), "1 stop that nobody has decided about, printed from the log.") {
		t.Errorf("the review does not say that a change is proposed: %s", shoptest.WordsIn(root))
	}
	root, _ = s.OwnerPage(session, "/review/stops")
	forms := shoptest.All(shoptest.One(t, root, shoptest.Classed("plan")), shoptest.Named("form"))
	if len(forms) != 3 {
		t.Fatalf("%d forms beside the proposal, want accept, refuse and edit: %s", len(forms), shoptest.WordsIn(root))
	}
	if words := shoptest.WordsIn(root); !strings.Contains(words, "common practice for the material") || !strings.Contains(words, "n = 12") {
		t.Errorf("the proposal says %s", words)
	}
	s.Later(time.Hour)
	accept := shoptest.Filled(forms[0])
	if to := s.Send("/review/stops", accept, session); to != "stops" {
		t.Errorf("accepted, it leads to %s", to)
	}
	second := s.IssueFor(part, "J-2", session)
	after := s.IssuedStep(second)
	if move := (after.StopBend - before.StopBend).Deg(); move < 1 || move > 2 {
		t.Errorf("the stop moved from %v to %v, want one to two degrees", before.StopBend, after.StopBend)
	}
	if after.StopFrom != "from 12 readings of this material" || before.StopFrom != "common practice for the material" {
		t.Errorf("the stop is from %q, before from %q", after.StopFrom, before.StopFrom)
	}
	if again := s.IssuedStep(first); again.Stop != before.Stop {
		t.Error("the printed sheet changed")
	}
	if page := s.Refused("/review/stops", accept, session); !strings.Contains(shoptest.WordsIn(page), "Nothing is proposed") {
		t.Errorf("accepting twice says %s", shoptest.WordsIn(page))
	}
	s.LetGo(second)
	s.BendMany(second, 0.1)
	root, _ = s.OwnerPage(session, "/review/stops")
	table := shoptest.WordsIn(shoptest.One(t, root, shoptest.Named("table")))
	if !strings.Contains(table, "-2.2° mean, 2.2° off on average, n = 4") || !strings.Contains(table, "+0.1° mean, 0.1° off on average, n = 1") || !strings.Contains(table, "in use") {
		t.Errorf("the change says %s", table)
	}
	back := shoptest.Filled(shoptest.One(t, shoptest.One(t, root, shoptest.Named("table")), shoptest.Named("form")))
	s.Send("/review/stops", back, session)
	third := s.IssuedStep(s.IssueFor(part, "J-3", session))
	if third.StopBend <= before.StopBend+100 || third.StopFrom != "from 13 readings of this material, give or take 0.8°" {
		t.Errorf("gone back, the stop is %v from %q, want what the log says", third.StopBend, third.StopFrom)
	}
}

// The owner prints another stop than proposed, within bounds.
func TestStopsEdited(t *testing.T) {
	s, session := shoptest.OpenOffice(t)
	part, first := s.BentFlat(session)
	before := s.IssuedStep(first)
	root, _ := s.OwnerPage(session, "/review/stops")
	edit := shoptest.Filled(shoptest.All(shoptest.One(t, root, shoptest.Classed("plan")), shoptest.Named("form"))[2])
	if edit.Get("kind") != "edited" {
		t.Fatalf("the third form is %v", edit)
	}
	for _, stop := range []string{"far", "-1", "200", (before.StopBend + 500).Text(1)} {
		edit.Set("stop", stop)
		s.Refused("/review/stops", edit, session)
	}
	edit.Set("stop", (before.StopBend + 100).Text(1))
	s.Send("/review/stops", edit, session)
	if after := s.IssuedStep(s.IssueFor(part, "J-2", session)); after.StopBend != before.StopBend+100 || !strings.HasPrefix(after.StopFrom, "set by the owner") {
		t.Errorf("the stop is %v from %q, want %v as typed", after.StopBend, after.StopFrom, before.StopBend+100)
	}
}

// Where nobody has decided, a new sheet follows the log and says how surely. A
// proposal that the owner refuses is gone, and sheets are printed as before; the
// viewer is shown no form and refused.
func TestProposalRefused(t *testing.T) {
	s, session := shoptest.OpenOffice(t)
	part, first := s.BentFlat(session)
	practice := s.IssuedStep(first)
	if follows := s.IssuedStep(s.IssueFor(part, "J-2", session)); follows.StopBend < practice.StopBend+100 || !strings.Contains(follows.StopFrom, "from 12 readings of this material, give or take ") {
		t.Errorf("nobody has decided, and the stop is %v from %q; by practice %v", follows.StopBend, follows.StopFrom, practice.StopBend)
	}
	root, _ := s.OwnerPage(session, "/review/stops")
	refuse := shoptest.Filled(shoptest.All(shoptest.One(t, root, shoptest.Classed("plan")), shoptest.Named("form"))[1])
	s.Send("/review/stops", refuse, session)
	if root, _ = s.OwnerPage(session, "/review/stops"); len(shoptest.All(root, shoptest.Classed("plan"))) != 0 || !strings.Contains(shoptest.WordsIn(root), "Nothing is proposed") {
		t.Errorf("refused and still there: %s", shoptest.WordsIn(root))
	}
	if back := s.IssuedStep(s.IssueFor(part, "J-3", session)); back.StopBend != practice.StopBend || back.StopFrom != practice.StopFrom {
		t.Errorf("refused, and the stop is %v from %q, want %v from %q", back.StopBend, back.StopFrom, practice.StopBend, practice.StopFrom)
	}
	viewer := s.Viewer(session)
	if root, _ = s.OwnerPage(viewer, "/review/stops"); len(shoptest.All(root, shoptest.Named("form"))) != 1 {
		t.Errorf("the viewer is shown forms: %s", shoptest.WordsIn(root))
	}
	if answer, _ := s.PostForm("/review/stops", refuse, viewer); answer.StatusCode != http.StatusForbidden {
		t.Errorf("the viewer decides: %d", answer.StatusCode)
	}
}

// A form that is not whole is refused, not guessed at.
func TestStopsHalfAForm(t *testing.T) {
	s, session := shoptest.OpenOffice(t)
	for _, form := range []url.Values{{}, {"kind": {"accepted"}}, {"kind": {"accepted"}, "thickness": {"x"}}, {"kind": {"returned"}, "material": {"mild-steel"}}} {
		s.Refused("/review/stops", form, session)
	}
	s.Refused("/review/k", url.Values{"k": {"0.4"}}, session)
}

func TestCellPage(t *testing.T) {
	s, session := shoptest.Many(t)
	root, _ := s.OwnerPage(session, "/review/cell?material=mild-steel&thickness=1.50+mm&bar=wide&brake=leaf+brake+1.2+m")
	words := shoptest.WordsIn(root)
	for _, want := range []string{
		"mild-steel, 1.50 mm (0.0591 in), wide, leaf brake 1.2 m", "newest 40 readings that count", "n 40", "None of Nelson's eight patterns stands out.",
		"For 45.0° of any lot: stop at a bend angle of", "from 40 readings of this material", "usual for the material", "zero of this brake's scale",
		"the sheets' own ± 1.00° 40 of 40 (100 %)", "ISO 2768-1 m, leg of 34.0 mm (1.339 in) ± 0.50°", "Anderson-Darling",
		"near 135°: the opening was probably read for the bend angle", "bar lifted", "reworked",
	} {
		if !strings.Contains(words, want) {
			t.Errorf("the page lacks %q: %s", want, words)
		}
	}
	drawings := shoptest.All(root, shoptest.Classed("drawing"))
	if len(drawings) != 7 {
		t.Fatalf("%d charts, want single readings, moving ranges, smoothed, added up, how they lie, and means and ranges of groups", len(drawings))
	}
	for _, svg := range drawings {
		if shoptest.Attribute(svg, "role") != "img" || shoptest.WordsIn(shoptest.One(t, svg, shoptest.Named("desc"))) == "" {
			t.Errorf("a chart has no description: %s", shoptest.WordsIn(svg))
		}
	}
	tables := shoptest.All(root, shoptest.Named("table"))
	if rows := shoptest.All(tables[1], shoptest.Named("tr")); len(rows) != 4 {
		t.Errorf("%d readings set aside, want three", len(rows)-1)
	}
	if rows := shoptest.All(tables[2], shoptest.Named("tr")); len(rows) != review.MostTabled+1 {
		t.Errorf("%d readings listed, want the newest %d", len(rows)-1, review.MostTabled)
	}
}

// Few readings conclude nothing: no limits, no capability.
func TestCellPageOfFew(t *testing.T) {
	s, session := reviewed(t)
	root, _ := s.OwnerPage(session, "/review/cell?material=304")
	words := shoptest.WordsIn(root)
	if !strings.Contains(words, "Limits are drawn from 8 readings on.") || strings.Contains(words, "Anderson") || strings.Contains(words, "Where to stop next") || len(shoptest.All(root, shoptest.Classed("drawing"))) != 2 {
		t.Errorf("two readings say %s", words)
	}
	capable := shoptest.All(shoptest.All(root, shoptest.Named("table"))[0], shoptest.Named("td"))
	for _, td := range capable {
		if strings.HasPrefix(shoptest.Attribute(td, "data-name"), "C") && shoptest.WordsIn(td) != "" {
			t.Errorf("a capability of two readings: %s", shoptest.WordsIn(td))
		}
	}
	if root, _ = s.OwnerPage(session, "/review/cell?material=304&bar=narrow"); !strings.Contains(shoptest.WordsIn(root), "No readings that count") {
		t.Errorf("no readings say %s", shoptest.WordsIn(root))
	}
	if root, _ = s.OwnerPage(session, "/review/cell"); !strings.Contains(shoptest.WordsIn(root), "All readings") {
		t.Errorf("all readings are headed %s", shoptest.WordsIn(root))
	}
}

// A pattern in the readings is named.
func TestCellPageSignals(t *testing.T) {
	s := shoptest.OpenShop(t)
	s.LetGo(shoptest.ChannelCode)
	s.Decide(shoptest.ChannelCode, standing.Requantified, "90")
	s.BendMany(shoptest.ChannelCode, append(shoptest.Wave(20, -0.4), shoptest.Wave(20, 0.6)...)...)
	root, _ := s.OwnerPage(s.Owner(), "/review/cell")
	if words := shoptest.WordsIn(root); !strings.Contains(words, "9 in a row on one side: the level has moved, at ") {
		t.Errorf("a step of one degree is not named: %s", words)
	}
}

func TestReplayPage(t *testing.T) {
	s, session := shoptest.Many(t)
	root, _ := s.OwnerPage(session, "/review/replay")
	rows := shoptest.All(shoptest.One(t, root, shoptest.Named("table")), shoptest.Named("tr"))
	if len(rows) != 3 || !strings.HasPrefix(shoptest.WordsIn(rows[1]), "all 40 ") || !strings.HasPrefix(shoptest.WordsIn(rows[2]), "mild-steel 40 ") {
		t.Errorf("the replay says %s", shoptest.WordsIn(root))
	}
	if root, _ = s.OwnerPage(session, "/review/replay?brake=none"); len(shoptest.All(root, shoptest.Named("table"))) != 1 {
		t.Errorf("an unknown brake is no choice: %s", shoptest.WordsIn(root))
	}
	empty := shoptest.OpenShop(t)
	if root, _ = empty.OwnerPage(empty.Owner(), "/review/replay"); !strings.Contains(shoptest.WordsIn(root), "No readings yet") {
		t.Errorf("an empty log says %s", shoptest.WordsIn(root))
	}
}

func TestFirstPiecesPage(t *testing.T) {
	s, session := reviewed(t)
	root, _ := s.OwnerPage(session, "/review/first-pieces")
	if words := shoptest.WordsIn(root); !strings.Contains(words, "1 of 2") {
		t.Errorf("the page says %s", words)
	}
	form := shoptest.Filled(shoptest.One(t, shoptest.One(t, root, shoptest.Named("table")), shoptest.Named("form")))
	form.Set("cause", "bar")
	s.Send("/review/first-pieces/"+shoptest.TrayCode, form, session)
	root, _ = s.OwnerPage(session, "/review")
	if !strings.Contains(shoptest.WordsIn(root), "First pieces failed: wrong bar, or it lifted 1.") {
		t.Errorf("the review says %s", shoptest.WordsIn(root))
	}
	form.Set("cause", "the weather")
	s.Refused("/review/first-pieces/"+shoptest.TrayCode, form, session)
	form.Set("cause", "bar")
	if answer, _ := s.PostForm("/review/first-pieces/"+shoptest.UnknownCode, form, session); answer.StatusCode != http.StatusNotFound {
		t.Errorf("a cause of no sheet = %d", answer.StatusCode)
	}
}

// A sheet of which nothing is logged shows after a day; a replaced one shows
// once it is scanned.
func TestUnloggedPage(t *testing.T) {
	s := shoptest.OpenShop(t)
	session := s.Owner()
	newer := shoptest.Tray()
	newer.Code = "newerm4xq2pvr9tab"
	s.Issue(newer, shoptest.TrayCode)
	if root, _ := s.OwnerPage(session, "/review/unlogged"); strings.Count(shoptest.WordsIn(root), "None.") != 2 {
		t.Errorf("at once the page says %s", shoptest.WordsIn(root))
	}
	s.Later(36 * time.Hour)
	s.Get("/t/" + shoptest.TrayCode)
	s.Get("/t/" + shoptest.TrayCode)
	root, _ := s.OwnerPage(session, "/review/unlogged")
	tables := shoptest.All(root, shoptest.Named("table"))
	if len(tables) != 2 || len(shoptest.All(tables[0], shoptest.Named("tr"))) != 3 || !strings.Contains(shoptest.WordsIn(tables[1]), "J-1042 DT-05 rev A 1 time today") {
		t.Errorf("after a day and a half the page says %s", shoptest.WordsIn(root))
	}
	root, _ = s.OwnerPage(session, "/review")
	if words := shoptest.WordsIn(root); !strings.Contains(words, "Printed, not logged") || !strings.Contains(words, "Replaced sheets scanned") {
		t.Errorf("the review says %s", words)
	}
	s.Record(shoptest.ChannelCode, `{"id":"c1","piece":1,"step":1,"measured":45}`)
	if root, _ = s.OwnerPage(session, "/review/unlogged?brake=leaf+brake+1.2+m"); strings.Contains(shoptest.WordsIn(shoptest.All(root, shoptest.Named("table"))[0]), "J-1041") {
		t.Errorf("a logged sheet is listed: %s", shoptest.WordsIn(root))
	}
}

func TestMeasuringPage(t *testing.T) {
	s := shoptest.OpenShop(t)
	session := s.Owner()
	root, _ := s.OwnerPage(session, "/review/measuring")
	form := shoptest.Filled(shoptest.One(t, root, shoptest.Classed("stack")))
	if len(form) != 15 {
		t.Fatalf("the form has %d fields, want two people, three bends, twice each, and the protractor: %v", len(form), form)
	}
	form.Set("tool", "bevel protractor")
	for _, c := range []struct{ first, second, want string }{{"AB", "", "initials of both"}, {"AB", "ab", "Two different people"}, {"AB", "CD", "AB, bend 1, reading 1"}} {
		form.Set("person-1", c.first)
		form.Set("person-2", c.second)
		if page := s.Refused("/review/measuring", form, session); !strings.Contains(shoptest.WordsIn(page), c.want) {
			t.Errorf("%q and %q: %s", c.first, c.second, shoptest.WordsIn(page))
		}
	}
	for person := range review.StudyPeople {
		for bend := range review.StudyBends {
			for turn := range review.StudyTurns {
				form.Set(review.StudyField(person, bend, turn), fmt.Sprintf("%d,%d", 90-bend, 2*turn+person))
			}
		}
	}
	s.Send("/review/measuring", form, session)
	root, _ = s.OwnerPage(session, "/review/measuring")
	result := shoptest.WordsIn(shoptest.One(t, root, shoptest.Classed("plan")))
	for _, want := range []string{"Good: a single reading can be trusted.", "AB and CD, bevel protractor", "One person again 0.12°", "From person to person 0.05°", "Readings 12"} {
		if !strings.Contains(result, want) {
			t.Errorf("the result lacks %q: %s", want, result)
		}
	}
}

func TestTimePage(t *testing.T) {
	s := shoptest.OpenShop(t)
	session := s.Owner()
	s.LetGo(shoptest.ChannelCode)
	s.Decide(shoptest.ChannelCode, standing.Requantified, "30")
	if root, _ := s.OwnerPage(session, "/review/time"); !strings.Contains(shoptest.WordsIn(root), "No job yet that tells.") {
		t.Errorf("without readings the page says %s", shoptest.WordsIn(root))
	}
	for i := range 14 {
		s.Later(2 * time.Minute)
		s.Record(shoptest.ChannelCode, fmt.Sprintf(`{"id":"p%d","piece":%d,"step":1,"measured":45,"confirmed":true}`, i, i+1))
	}
	root, _ := s.OwnerPage(session, "/review/time")
	if got := shoptest.WordsIn(shoptest.All(shoptest.One(t, root, shoptest.Named("table")), shoptest.Named("tr"))[1]); !strings.HasPrefix(got, "J-1041 BR-210 leaf brake 1.2 m 4.1 5.2 1.27 15 0") {
		// 13 gaps of 2 minutes over 15 bends, for the first piece is made whole: 3 bends a piece take 5.2 minutes.
		t.Errorf("the job says %q", got)
	}
}

func TestRecordOfASheet(t *testing.T) {
	s, session := reviewed(t)
	answer, body := s.Get("/jobs/"+shoptest.ChannelCode+"/record.pdf", session)
	if answer.StatusCode != http.StatusOK || answer.Header.Get("Content-Type") != "application/pdf" || !strings.HasPrefix(body, "%PDF-") {
		t.Errorf("record.pdf = %d %s", answer.StatusCode, answer.Header.Get("Content-Type"))
	}
	answer, body = s.Get("/jobs/"+shoptest.ChannelCode+"/record.csv", session)
	if answer.StatusCode != http.StatusOK || answer.Header.Get("Content-Disposition") != `attachment; filename*=UTF-8''record-J-1041.csv` || strings.Count(body, "\r\n") != 12 ||
		!strings.Contains(body, "J-1041,BR-210,C,1,2,b2,90.0,1.0,89.4,-0.6,middle,2026-05-04 09:30,AB,in tolerance") {
		t.Errorf("record.csv = %d %v: %s", answer.StatusCode, answer.Header, body)
	}
	for _, path := range []string{"/jobs/" + shoptest.UnknownCode + "/record.pdf", "/jobs/" + shoptest.UnknownCode + "/record.csv"} {
		if answer, _ := s.Get(path, session); answer.StatusCode != http.StatusNotFound {
			t.Errorf("GET %s = %d, want 404", path, answer.StatusCode)
		}
	}
}

func TestWeeklyPage(t *testing.T) {
	s, session := reviewed(t)
	answer, body := s.Get("/review/weekly.pdf", session)
	if answer.StatusCode != http.StatusOK || !strings.HasPrefix(body, "%PDF-") || answer.Header.Get("Content-Disposition") != `inline; filename="week-2026-06-13.pdf"` {
		t.Errorf("weekly.pdf = %d %v", answer.StatusCode, answer.Header)
	}
	week, err := report.WeekOf(context.Background(), s.Store, s.Book(), s.Now())
	if err != nil || week.Totals.Readings != 2 || len(week.Cells) != 1 || len(week.All) != 3 || len(week.First) != 1 || len(week.Pages()) != 1 {
		t.Errorf("WeekOf = %+v, %v, want the two readings of the week", week, err)
	}
}

// shownInstead picks the line that says that another stop than the printed one is told.
func shownInstead(n *html.Node) bool {
	return shoptest.Classed("instead")(n) && !shoptest.Has(n, "hidden")
}

// What other bends told of a pack is said at the brake, and stays when a bend
// made with it comes out right.
func TestPackHint(t *testing.T) {
	s := shoptest.OpenShop(t)
	s.LetGo(shoptest.ChannelCode)
	s.Decide(shoptest.ChannelCode, standing.Requantified, "9")
	_, body := s.Get("/t/" + shoptest.ChannelCode + "/2?piece=1")
	if hints := shoptest.All(shoptest.Parsed(t, body), shownInstead); len(hints) != 0 {
		t.Errorf("without readings it says %s", shoptest.WordsIn(hints[0]))
	}
	for i := range 4 {
		s.Record(shoptest.ChannelCode, fmt.Sprintf(`{"id":"k%d","piece":%d,"step":1,"measured":43,"stop":47,"pack":"heat 9","confirmed":true}`, i, i+1))
	}
	_, body = s.Get("/t/" + shoptest.ChannelCode + "/2?piece=1")
	hint := shoptest.WordsIn(shoptest.One(t, shoptest.Parsed(t, body), shoptest.Classed("stop")))
	if !strings.Contains(hint, "Not the printed 92.0") || !strings.Contains(hint, "from 4 readings of this lot") {
		t.Errorf("the hint says %q", hint)
	}
	s.Record(shoptest.ChannelCode, `{"id":"own","piece":1,"step":2,"measured":90,"confirmed":true}`)
	_, body = s.Get("/t/" + shoptest.ChannelCode + "/2?piece=2")
	if again := shoptest.WordsIn(shoptest.One(t, shoptest.Parsed(t, body), shoptest.Classed("stop"))); !strings.HasPrefix(again, hint[:len("Stop on the scale, bend angle 94.0")]) || !strings.Contains(again, "from 4 readings of this lot") {
		t.Errorf("a good bend of its own, and it says %q; before %q", again, hint)
	}
}

// Which sizes may not hold is said when a part is planned.
func TestLikelyOnThePlans(t *testing.T) {
	s, session := shoptest.OpenOffice(t)
	form := shoptest.ExampleOf("tray", "LP-1", "A")
	form.Set("tolerance.length", "0.1")
	part := s.MakeReady(form, session)
	root, _ := s.Planned(session, "/parts/"+part+"/plans")
	words := shoptest.WordsIn(root)
	for _, want := range []string{"Likely out of tolerance", "not on this brake", "by what a leaf brake usually holds"} {
		if !strings.Contains(words, want) {
			t.Errorf("the plan does not say %q: %s", want, words)
		}
	}
	// A line for what is tight and one for what is worse, however many steps there are.
	if lines := strings.Count(words, "sizes within"); lines < 1 || lines > 2 {
		t.Errorf("%d lines tell of sizes: %s", lines, words)
	}
}

// Every page of the review answers on an empty shop, a full one, and to
// nonsense in its address.
func TestReviewPagesAnswer(t *testing.T) {
	empty := shoptest.OpenShop(t)
	full, session := shoptest.Many(t)
	for _, s := range []struct {
		*shoptest.Shop
		session *http.Cookie
	}{{empty, empty.Owner()}, {full, session}} {
		for _, path := range []string{"/review", "/review/cell", "/review/stops", "/review/replay", "/review/first-pieces", "/review/unlogged", "/review/measuring", "/review/time"} {
			for _, query := range []string{"", "?material=%00&thickness=-1&days=99999999999&from=2026-13-99&job=" + strings.Repeat("x", 300)} {
				answer, body := s.Get(path+query, s.session)
				if answer.StatusCode != http.StatusOK {
					t.Errorf("GET %s%s = %d", path, query, answer.StatusCode)
					continue
				}
				shoptest.CheckPage(t, body)
			}
		}
	}
}
