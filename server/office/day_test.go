package office_test

import (
	"context"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"testing"

	"brakeside/server/internal/shoptest"
	"brakeside/server/store"
	"brakeside/traveler/standing"

	"golang.org/x/net/html"
)

// busy is a shop with five open jobs at two brakes.
func busy(t *testing.T) (*shoptest.Shop, *http.Cookie) {
	s := shoptest.OpenShop(t)
	for n := range 3 {
		sheet := numbered(n + 8)
		sheet.Job, sheet.Quantity, sheet.Minutes = fmt.Sprintf("P-%d", n+8), 10*(n+1), 600
		sheet.Brake.Name = "long brake"
		s.Issue(sheet)
	}
	detail(t, s,
		store.JobDetail{Job: "P-8", Due: "2026-05-20", Customer: "Hillside Pumps", Note: "crate of 20"},
		store.JobDetail{Job: "P-9", Due: "2026-05-01", Customer: "Ash Lane Boats"},
		store.JobDetail{Job: "P-10", Due: "2026-05-08", Customer: "Hillside Pumps"},
	)
	return s, s.Owner()
}

func detail(t *testing.T, s *shoptest.Shop, details ...store.JobDetail) {
	t.Helper()
	if err := s.Store.DetailJob(context.Background(), details...); err != nil {
		t.Fatal(err)
	}
}

// jobsOn lists the open jobs of a page in their order.
func jobsOn(s *shoptest.Shop, session *http.Cookie, path string) string {
	root, _ := s.OwnerPage(session, path)
	var jobs []string
	for _, table := range shoptest.All(root, shoptest.Classed("day")) {
		for _, head := range shoptest.All(table, func(n *html.Node) bool { return shoptest.Attribute(n, "scope") == "row" }) {
			jobs = append(jobs, shoptest.WordsIn(head))
		}
	}
	return strings.Join(jobs, " ")
}

// The list comes by due date, and by whatever else is asked for; what is not given comes last.
func TestDayIsSortedAndNarrowed(t *testing.T) {
	s, session := busy(t)
	s.RecordFirstPiece() // of J-1041
	s.Decide(shoptest.TrayCode, standing.Held, "the bar slips")
	for path, want := range map[string]string{
		"/":                               "P-9 P-10 P-8 J-1041 J-1042",
		"/?sort=-due":                     "J-1041 J-1042 P-8 P-10 P-9",
		"/?sort=job":                      "J-1041 J-1042 P-8 P-9 P-10",
		"/?sort=-pieces":                  "P-10 P-9 P-8 J-1041 J-1042",
		"/?sort=customer":                 "P-9 P-10 P-8 J-1041 J-1042",
		"/?sort=brake":                    "J-1041 J-1042 P-9 P-10 P-8",
		"/?sort=state":                    "J-1042 J-1041 P-9 P-10 P-8",
		"/?sort=-left":                    "P-10 P-9 P-8 J-1041 J-1042",
		"/?sort=nonsense":                 "P-9 P-10 P-8 J-1041 J-1042",
		"/?brake=long+brake":              "P-9 P-10 P-8",
		"/?state=on+hold":                 "J-1042",
		"/?state=running":                 "J-1041",
		"/?state=waiting&sort=job":        "P-8 P-9 P-10",
		"/?customer=Hillside+Pumps":       "P-10 P-8",
		"/?q=crate":                       "P-8",
		"/?q=hillside+foot":               "P-10 P-8",
		"/?q=mild+1.50&sort=job":          "J-1041 P-8 P-9 P-10",
		"/?q=hold":                        "J-1042",
		"/?q=P-1&customer=Ash+Lane+Boats": "",
	} {
		if got := jobsOn(s, session, path); got != want {
			t.Errorf("%s lists %q, want %q", path, got, want)
		}
	}
	root, _ := s.OwnerPage(session, "/?sort=-due")
	sorted := shoptest.All(root, func(n *html.Node) bool { return shoptest.Attribute(n, "aria-sort") == "descending" })
	if len(sorted) != 1 || shoptest.WordsIn(sorted[0]) != "Due" {
		t.Errorf("%d columns say that they are sorted, want the due date", len(sorted))
	}
}

// Minutes left are those planned for what is not logged, by the pace that the brake has shown.
func TestMinutesLeft(t *testing.T) {
	s := shoptest.OpenShop(t)
	sheet := numbered(1)
	sheet.Minutes, sheet.Quantity = 600, 4
	s.Issue(sheet)
	session := s.Owner()
	left := func() string {
		root, _ := s.OwnerPage(session, "/")
		return shoptest.Row(t, root, sheet.Job)[4]
	}
	if got := left(); got != "24" {
		t.Errorf("%s minutes are left of 4 pieces of 6, want 24", got)
	}
	for step := range 3 {
		angle := []string{"45", "90", "90"}[step]
		s.Record(sheet.Code, fmt.Sprintf(`{"id":"m%d","piece":1,"step":%d,"measured":%s}`, step, step+1, angle))
	}
	if got := left(); got != "18" {
		t.Errorf("%s minutes are left after one piece, want 18", got)
	}
	s.Decide(sheet.Code, standing.Requantified, "2")
	if got := left(); got != "6" {
		t.Errorf("%s minutes are left of two pieces, want 6", got)
	}
}

// Where jobs take longer than planned, so do those that are open.
func TestMinutesLeftAreLearned(t *testing.T) {
	s, owner := shoptest.OpenOffice(t)
	part := s.MakeReady(shoptest.ExampleOf("l", "L-1", "A"), owner)
	brakeName := s.SlowJobs(part, 1.5, owner)
	pace, err := s.Book().PaceOf(context.Background())
	if err != nil || pace[brakeName] < 1.2 {
		t.Fatalf("pace = %v, %v, want that of jobs that take half as long again", pace, err)
	}
	code := s.IssueFor(part, "77", owner)
	kept, err := s.Store.TravelerByCode(context.Background(), code)
	if err != nil {
		t.Fatal(err)
	}
	root, _ := s.OwnerPage(owner, "/")
	shown, err := strconv.Atoi(shoptest.Row(t, root, "77")[4])
	planned := float64(kept.Traveler.Minutes) / 100 * float64(kept.Pieces())
	if err != nil || float64(shown) < planned*pace[brakeName] || float64(shown) > planned*pace[brakeName]+1 {
		t.Errorf("%d minutes are left (%v), want %.1f planned times %.2f", shown, err, planned, pace[brakeName])
	}
}

// Turns are numbered at one brake; what was changed comes before what had the number.
func TestTurnsAtABrake(t *testing.T) {
	s, session := busy(t)
	codes := map[string]string{}
	for n := range 3 {
		codes[fmt.Sprintf("P-%d", n+8)] = numbered(n + 8).Code
	}
	order := func(turns ...string) url.Values {
		form := url.Values{"brake": {"long brake"}}
		for i := 0; i < len(turns); i += 2 {
			form.Set("turn-"+codes[turns[i]], turns[i+1])
		}
		return form
	}
	for _, c := range []struct {
		form url.Values
		want string
	}{
		{order("P-8", "1", "P-9", "", "P-10", ""), "P-8 P-9 P-10"}, // the others by due date
		{order("P-8", "1", "P-9", "", "P-10", "1"), "P-10 P-8 P-9"},
		{order("P-10", "1", "P-8", "2", "P-9", "2"), "P-10 P-9 P-8"},
		{order("P-10", "7", "P-9", "2", "P-8", "3"), "P-9 P-8 P-10"},
		{order("P-10", "", "P-9", "1", "P-8", "2"), "P-9 P-8 P-10"},
	} {
		s.Send("/jobs/order", c.form, session)
		if got := jobsOn(s, session, "/?brake=long+brake"); got != c.want {
			t.Errorf("after %v the brake has %q, want %q", c.form, got, c.want)
		}
	}
	if got := jobsOn(s, session, "/?sort=job"); got != "J-1041 J-1042 P-8 P-9 P-10" {
		t.Errorf("all jobs are %q", got)
	}
	for _, wrong := range []string{"x", "-1", "10000", "1.5"} {
		root := s.Refused("/jobs/order", order("P-8", "4", "P-9", wrong), session)
		if words := shoptest.WordsIn(root); !strings.Contains(words, "The turn of job P-9 is a whole number from 1 to 9999") {
			t.Errorf("turn %q: %s", wrong, words)
		}
		if got := shoptest.FieldValue(root, "turn-"+codes["P-8"]); got != "4" {
			t.Errorf("what was typed beside is %q, want it kept", got)
		}
	}
	for _, customer := range []string{"Hillside Pumps"} { // saying something else keeps the turn
		s.Send("/jobs/"+codes["P-9"]+"/about", url.Values{"customer": {customer}, "due": {"2026-06-01"}}, session)
	}
	if lines, err := s.Store.Travelers(context.Background()); err != nil || !slices.ContainsFunc(lines, func(l store.Line) bool { return l.Job == "P-9" && l.Turn == 1 && l.Due == "2026-06-01" }) {
		t.Errorf("the turn is lost: %+v, %v", lines, err)
	}
}

// What is said of a job is kept, shown and refused beside its field.
func TestAboutAJob(t *testing.T) {
	s := shoptest.OpenShop(t)
	session := s.Owner()
	path := "/jobs/" + shoptest.ChannelCode
	s.Send(path+"/about", url.Values{"due": {"2026-06-03"}, "customer": {"Hillside Pumps"}, "note": {"call before cutting"}}, session)
	root, words := s.OwnerPage(session, path)
	if !strings.Contains(words, "Due 2026-06-03") || !strings.Contains(words, "Customer Hillside Pumps") || shoptest.FieldValue(root, "note") != "call before cutting" {
		t.Errorf("the page of the job says %s", words)
	}
	for field, value := range map[string]string{"due": "3 June", "customer": strings.Repeat("x", 81), "note": strings.Repeat("x", 301)} {
		form := url.Values{"due": {"2026-06-03"}, "customer": {"c"}, "note": {"n"}}
		form.Set(field, value)
		if root := s.Refused(path+"/about", form, session); shoptest.FieldValue(root, field) != value {
			t.Errorf("what was typed as %s is lost", field)
		}
	}
	if answer, _ := s.PostForm("/jobs/"+shoptest.UnknownCode+"/about", url.Values{}, session); answer.StatusCode != http.StatusNotFound {
		t.Errorf("about an unknown sheet = %d, want 404", answer.StatusCode)
	}
}

// After a button the page says what was done, and takes back what can be.
func TestSaidAndUndone(t *testing.T) {
	s := shoptest.OpenShop(t)
	session := s.Owner()
	path := "/jobs/" + shoptest.ChannelCode
	for _, c := range []struct{ kind, said, undo, then string }{
		{standing.Held, "The run is on hold.", standing.Resumed, "The run goes on."},
		{standing.Closed, "The traveler is closed.", standing.Reopened, "The traveler is open again."},
		{standing.Voided, "The traveler is void.", standing.Reopened, "The traveler is open again."},
	} {
		root := follow(t, s, path+"/events", url.Values{"kind": {c.kind}, "detail": {"by mistake"}}, session)
		if words := shoptest.WordsIn(root); !strings.Contains(words, c.said) {
			t.Errorf("after %s the page says %s", c.kind, words)
		}
		back := shoptest.Filled(shoptest.One(t, shoptest.One(t, root, shoptest.Classed("undo")), shoptest.Named("form")))
		if back.Get("kind") != c.undo {
			t.Fatalf("what takes %s back is %v", c.kind, back)
		}
		root = follow(t, s, path+"/events", back, session)
		if words := shoptest.WordsIn(root); !strings.Contains(words, c.then) || len(shoptest.All(root, shoptest.Classed("undo"))) != 0 {
			t.Errorf("after %s was taken back the page says %s", c.kind, words)
		}
	}
	if _, words := s.OwnerPage(session, path); strings.Contains(words, "open again.") {
		t.Error("a page that nothing was done for says that something was")
	}
	if answer, body := s.Get(path, session, &http.Cookie{Name: "said", Value: url.QueryEscape("closed /")}); answer.StatusCode != 200 || strings.Contains(body, "is closed.") {
		t.Error("a page says what was done on another one")
	}
}

// follow sends a form and opens the page that it leads to, as a browser does.
func follow(t *testing.T, s *shoptest.Shop, to string, form url.Values, session *http.Cookie) *html.Node {
	t.Helper()
	answer, body := s.PostForm(to, form, session)
	if answer.StatusCode != http.StatusSeeOther {
		t.Fatalf("POST %s %v = %d: %s", to, form, answer.StatusCode, body)
	}
	_, body = s.Get(answer.Header.Get("Location"), append(answer.Cookies(), session)...)
	return shoptest.Parsed(t, body)
}

// A quantity below what is logged is asked about first.
func TestLowerQuantityAsks(t *testing.T) {
	s := shoptest.OpenShop(t)
	session := s.Owner()
	s.RecordFirstPiece()
	s.Record(shoptest.ChannelCode, `{"id":"g1","piece":2,"step":1,"measured":45}`)
	path := "/jobs/" + shoptest.ChannelCode + "/events"
	form := url.Values{"kind": {standing.Requantified}, "detail": {"1"}}
	answer, body := s.PostForm(path, form, session)
	root := shoptest.Parsed(t, body)
	if answer.StatusCode != http.StatusConflict || !strings.Contains(shoptest.WordsIn(root), "Piece 2 is logged already, and the quantity would be 1.") {
		t.Fatalf("POST = %d: %s", answer.StatusCode, shoptest.WordsIn(root))
	}
	asked := shoptest.Filled(shoptest.One(t, root, func(n *html.Node) bool {
		return n.Data == "form" && strings.Contains(shoptest.WordsIn(n), "Yes: 1 piece")
	}))
	for _, c := range []struct {
		form   url.Values
		pieces int
	}{
		{url.Values{"kind": {standing.Requantified}, "detail": {"2"}}, 2}, // as many as are logged
		{url.Values{"kind": {standing.Requantified}, "detail": {"5"}}, 5},
		{asked, 1},
	} {
		if answer, _ := s.PostForm(path, c.form, session); answer.StatusCode != http.StatusSeeOther {
			t.Errorf("%v = %d", c.form, answer.StatusCode)
		}
		if kept, err := s.Store.TravelerByCode(context.Background(), shoptest.ChannelCode); err != nil || kept.Pieces() != c.pieces {
			t.Errorf("after %v %d pieces are made, %v", c.form, kept.Pieces(), err)
		}
	}
}

// A part is typed by its number or chosen from what is offered; what is only like one
// is asked about, and nothing is issued for a part that may not be meant.
func TestPartIsTyped(t *testing.T) {
	s, owner := shoptest.OpenOffice(t)
	s.MakeReady(shoptest.ExampleOf("tray", "DT-310", "A"), owner)
	s.MakeReady(shoptest.ExampleOf("l", "L-1", "B"), owner)
	root, _ := s.OwnerPage(owner, "/jobs/new")
	var offered []string
	for _, o := range shoptest.All(shoptest.One(t, root, shoptest.Named("datalist")), shoptest.Named("option")) {
		offered = append(offered, shoptest.Attribute(o, "value")+": "+shoptest.WordsIn(o))
	}
	if got := strings.Join(offered, "; "); got != "DT-310 rev A: Test tray mild-steel, 1.00; L-1 rev B: Test l mild-steel, 1.50" {
		t.Errorf("offered are %s", got)
	}
	job := 0
	form := func(part string) url.Values {
		job++
		return url.Values{"part": {part}, "brake": {s.NewestBrake()}, "job": {strconv.Itoa(job)}, "quantity": {"2"}}
	}
	for _, typed := range []string{"DT-310 rev A", "dt-310 REV a", "DT-310", "l-1"} {
		s.Send("/jobs", form(typed), owner)
	}
	for typed, want := range map[string]string{
		"": "Choose a part that is ready.", "DT-31": "Like that is DT-310 rev A.", "mild test": "Like that is DT-310 rev A, L-1 rev B.",
		"nothing": "Choose a part that is ready.", "99999": "Choose a part that is ready.",
	} {
		if got := shoptest.FaultBeside(t, s.Refused("/jobs", form(typed), owner), "part"); !strings.Contains(got, want) {
			t.Errorf("%q: beside the field stands %q, want %q", typed, got, want)
		}
	}
}

// A list of jobs issues a sheet a row, or none; the list that is sent out says what the
// page does.
func TestJobsComeAndGoAsLists(t *testing.T) {
	s, owner := shoptest.OpenOffice(t)
	s.MakeReady(shoptest.ExampleOf("tray", "DT-310", "A"), owner)
	form := func(rows string) url.Values {
		return url.Values{"brake": {s.NewestBrake()}, "text": {"number;part;quantity;due;customer\n" + rows}}
	}
	for rows, want := range map[string]string{
		"7;DT-310;4;;\n8;DT-311;4;;\n": "Line 3, column 3 (part): Choose a part that is ready.",
		"7;DT-310;four;;\n":            "Line 2, column 10 (quantity): The number of pieces",
		"7;DT-310;4;tomorrow;\n":       "Line 2, column 12 (due)",
		"7;DT-310;4;;\n7;DT-310;4;;\n": "Line 3, column 1 (number): Job \"7\" exists already, or is there twice.",
		"J-1041;DT-310;4;;\n":          "exists already",
		"":                             "The list has 0 jobs",
	} {
		if got := shoptest.FaultBeside(t, s.Refused("/jobs/import", form(rows), owner), "text"); !strings.Contains(got, want) {
			t.Errorf("%q: beside the list stands %q, want %q", rows, got, want)
		}
	}
	if got := jobsOn(s, owner, "/"); got != "J-1041 J-1042" {
		t.Errorf("after refused lists the jobs are %s", got)
	}
	s.Send("/jobs/import", form("7;DT-310;4;2026-06-01;Hillside Pumps\n8;dt-310 rev a;2;;\n"), owner)
	if got := jobsOn(s, owner, "/"); got != "7 8 J-1041 J-1042" {
		t.Errorf("after a list the jobs are %s", got)
	}
	_, plain := s.Get("/jobs.csv?sort=due", owner)
	lines := strings.Split(plain, "\r\n")
	if !strings.HasPrefix(lines[1], "7,DT-310,4,2026-06-01,Hillside Pumps,,A,Test tray,Long bench brake,waiting,") || len(lines) != 6 {
		t.Errorf("the list is %q", lines)
	}
	if err := s.Store.KeepSetting(context.Background(), store.SettingDecimal, ","); err != nil {
		t.Fatal(err)
	}
	if _, sheet := s.Get("/jobs.csv?for=spreadsheet", owner); !strings.HasPrefix(sheet, "\ufeffnumber;part;") || !strings.Contains(sheet, ";7,7;8;0") {
		t.Errorf("for a spreadsheet the list is %q", sheet)
	}
}
