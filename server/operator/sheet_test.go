package operator_test

import (
	"context"
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strconv"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"brakeside/calc/unit"
	"brakeside/server/internal/shoptest"
	"brakeside/server/operator"
	"brakeside/traveler/standing"
)

func TestBendPage(t *testing.T) {
	s := shoptest.OpenShop(t)
	answer, body := s.Get("/t/" + shoptest.ChannelCode)
	if answer.StatusCode != http.StatusOK {
		t.Fatalf("GET the sheet = %d, want 200", answer.StatusCode)
	}
	shoptest.CheckPage(t, body)
	root := shoptest.Parsed(t, body)
	page := shoptest.WordsIn(shoptest.One(t, root, shoptest.Named("main")))
	for _, want := range []string{
		"BR-210", "Rail foot, lipped", "rev C", "Job J-1041", "Piece 1 of 3", "step 1 of 3", "Stop on the scale, bend angle 47.0",
		"target 45.0° ± 1.0° opening 135.0°", "Bar wide", "nose setback 1.8 mm", "Leaf extension on", "Place middle of the brake",
		"31.4 mm from the sheared edge", "outside leg 34.0 mm", "Before the bend", "After the bend",
	} {
		if !strings.Contains(page, want) {
			t.Errorf("the page lacks %q; it says: %s", want, page)
		}
	}
	form := shoptest.One(t, root, shoptest.Classed("log"))
	if action, method := shoptest.Attribute(form, "action"), shoptest.Attribute(form, "method"); action != "/t/"+shoptest.ChannelCode+"/readings" || method != "post" {
		t.Errorf("the form goes %s %s", method, action)
	}
	sent := shoptest.Filled(form)
	for name, want := range map[string]string{"piece": "1", "step": "1", "place": "middle", "state": "as-bent", "given_as": "bend", "pad_as": "bend"} {
		if got := sent.Get(name); got != want {
			t.Errorf("%s = %q as the page opens, want %q", name, got, want)
		}
	}
	if len(sent.Get("id")) != 24 {
		t.Errorf("id = %q, want 24 digits", sent.Get("id"))
	}
	if pad := padOf(root); strings.Join(pad, " ") != "44.3 44.4 44.5 44.6 44.7 44.8 44.9 45.0 45.1 45.2 45.3 45.4 45.5 45.6 45.7" {
		t.Errorf("the pad offers %v", pad)
	}
}

func padOf(root *html.Node) []string {
	var values []string
	for _, key := range shoptest.All(root, func(n *html.Node) bool { return shoptest.Attribute(n, "name") == "pad" }) {
		values = append(values, shoptest.Attribute(key, "value"))
	}
	return values
}

func TestBendPageOfAnotherStep(t *testing.T) {
	s := shoptest.OpenShop(t)
	s.RecordFirstPiece()
	cases := []struct {
		name, path string
		want       []string
	}{
		{"first piece that lacks it", "/t/" + shoptest.ChannelCode + "/3", []string{"Piece 2 of 3", "step 3 of 3", "Lay it face A up, leg towards you, web under the bar", "A piece that comes from the step before ROTATE 180", "Caution The lipped leg"}},
		{"a piece that has it", "/t/" + shoptest.ChannelCode + "/2?piece=1", []string{"Piece 1 of 3", "In already for this bend: 89.4° middle"}},
		{"fingers", "/t/" + shoptest.TrayCode + "/3?piece=1", []string{"Bar fingers", "124 + 68 + 124 mm; the first 2.2 mm in", "Step 3 is not due: piece 1, step 1 is."}},
		{"to be corrected", "/t/" + shoptest.ChannelCode + "/2?piece=1&corrects=f2", []string{"corrects the reading before: 89.4° middle"}},
		{"code in capitals", "/t/" + strings.ToUpper(shoptest.ChannelCode), []string{"Piece 2 of 3", "step 1 of 3"}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			answer, body := s.Get(c.path)
			page := shoptest.WordsIn(shoptest.Parsed(t, body))
			if answer.StatusCode != http.StatusOK {
				t.Fatalf("GET %s = %d: %s", c.path, answer.StatusCode, page)
			}
			shoptest.CheckPage(t, body)
			for _, want := range c.want {
				if !strings.Contains(page, want) {
					t.Errorf("the page lacks %q; it says: %s", want, page)
				}
			}
		})
	}
}

// The page says what changed since the last reading: all of it at first, the turn of a
// piece that stays in the hand, how one off the pile lies, and nothing of what is set
// already.
func TestWhatChangedSinceTheLastReading(t *testing.T) {
	s := shoptest.OpenShop(t)
	const lay = "Lay it face A up, leg towards you, web under the bar"
	told := func(path, want string) {
		t.Helper()
		_, body := s.Get(path)
		if got := shoptest.WordsIn(shoptest.One(t, shoptest.Parsed(t, body), shoptest.Classed("first"))); got != want {
			t.Errorf("%s says %q, want %q", path, got, want)
		}
	}
	told("/t/"+shoptest.ChannelCode, lay+" Bar wide Leaf extension on Place middle of the brake")
	s.Record(shoptest.ChannelCode, `{"id":"f1","piece":1,"step":1,"measured":45}`)
	told("/t/"+shoptest.ChannelCode, "")
	s.Record(shoptest.ChannelCode, `{"id":"f2","piece":1,"step":2,"measured":90}`)
	told("/t/"+shoptest.ChannelCode, "ROTATE 180 Bar narrow")
	s.Record(shoptest.ChannelCode, `{"id":"f3","piece":1,"step":3,"measured":90}`)
	told("/t/"+shoptest.ChannelCode, lay+" Bar wide")
	s.Record(shoptest.ChannelCode, `{"id":"g1","piece":2,"step":1,"measured":45}`)
	told("/t/"+shoptest.ChannelCode, lay)
}

// Whoever scans the code of a step that is not due reads so above the stop.
func TestStepOutOfTurn(t *testing.T) {
	s := shoptest.OpenShop(t)
	const notDue = "Step 3 is not due: piece 1, step 1 is."
	words := func(path string) string {
		_, body := s.Get(path)
		return shoptest.WordsIn(shoptest.Parsed(t, body))
	}
	if page := words("/t/" + shoptest.ChannelCode + "/3"); !strings.Contains(page, notDue) || strings.Index(page, notDue) > strings.Index(page, "Stop on the scale") {
		t.Errorf("the page of step 3 says %q, want %q above the stop", page, notDue)
	}
	if page := words("/t/" + shoptest.ChannelCode + "/1"); strings.Contains(page, "is not due") {
		t.Errorf("the page of the step that is due says %q", page)
	}
}

func TestStopHint(t *testing.T) {
	s := shoptest.OpenShop(t)
	s.Record(shoptest.ChannelCode, `{"id":"f1","piece":1,"step":1,"measured":42.8}`)
	s.LetGo(shoptest.ChannelCode)
	s.Record(shoptest.ChannelCode, `{"id":"g1","piece":2,"step":1,"measured":42.8}`)
	_, body := s.Get("/t/" + shoptest.ChannelCode + "/1?piece=3")
	root := shoptest.Parsed(t, body)
	stop := shoptest.One(t, root, shoptest.Classed("stop"))
	if figure := shoptest.WordsIn(shoptest.One(t, stop, shoptest.Classed("figure"))); figure <= "47.3" || figure >= "49.2" {
		t.Errorf("the large figure is %q, want more than the printed 47.0 and no more than the 2.2 that both readings ask for", figure)
	}
	if words := shoptest.WordsIn(stop); !strings.Contains(words, "Not the printed 47.0") || !strings.Contains(words, "from 2 readings of this job") {
		t.Errorf("beside it stands %q, want the printed stop and where the other comes from", words)
	}
}

// toldAt is the stop that a page of the channel tells.
func toldAt(s *shoptest.Shop, page string) (root *html.Node, told unit.CentiDeg) {
	_, body := s.Get("/t/" + shoptest.ChannelCode + page)
	root = shoptest.Parsed(s, body)
	figure, err := strconv.ParseFloat(shoptest.WordsIn(shoptest.One(s, shoptest.One(s, root, shoptest.Classed("stop")), shoptest.Classed("figure"))), 64)
	if err != nil {
		s.Fatal(err)
	}
	return root, unit.Deg(figure).CentiDeg()
}

// The stop that is told is the one that is stored; the printed one, or another, is
// stored where that was set. A program that says nothing is taken to have set the
// told one.
func TestToldStopIsStored(t *testing.T) {
	s := shoptest.OpenShop(t)
	s.LetGo(shoptest.ChannelCode)
	s.Record(shoptest.ChannelCode, `{"id":"f1","piece":1,"step":1,"measured":42.8}`)
	s.Record(shoptest.ChannelCode, `{"id":"g1","piece":2,"step":1,"measured":42.8}`)
	next := stateOf(s, shoptest.ChannelCode)["next"].(map[string]any)
	if _, told := toldAt(s, "/2?piece=1"); next["piece"] != 1.0 || next["step"] != 2.0 || unit.Deg(next["stop"].(float64)).CentiDeg() != told {
		t.Errorf("next is %v, want piece 1, step 2 at %v as the page says", next, told)
	}
	page := "/t/" + shoptest.ChannelCode + "/1?piece="
	_, told := toldAt(s, "/1?piece=3")
	if told <= 4730 {
		t.Errorf("told %v after bends that are flat by 2.2", told)
	}
	for piece, c := range map[string]struct {
		fields url.Values
		want   unit.CentiDeg
	}{
		"3": {url.Values{}, told},
		"2": {url.Values{"stop_as": {"47.0"}}, 4700},
		"1": {url.Values{"stop": {"50"}}, 5000},
	} {
		c.fields.Set("typed", "45")
		form := s.Form(page+piece, c.fields)
		if answer, body := s.PostForm(shoptest.ChannelReadings, form); answer.StatusCode != http.StatusSeeOther {
			t.Fatalf("POST = %d %s", answer.StatusCode, shoptest.WordsIn(shoptest.Parsed(t, body)))
		}
		readings, err := s.Store.Readings(t.Context(), shoptest.ChannelCode)
		last := readings[len(readings)-1]
		if err != nil || last.Stop == nil || *last.Stop != c.want || last.StopBend != c.want {
			t.Errorf("piece %s: stored with the stop %v, %v, want %v", piece, last.StopBend, err, c.want)
		}
		s.Record(shoptest.ChannelCode, fmt.Sprintf(`{"id":"back-%s","piece":%s,"step":1,"measured":45,"corrects":%q,"flags":["withdrawn"]}`, piece, piece, last.ID))
	}
}

// Before the first piece is accepted another one is not offered: its page says
// stop, what to do instead, and how to log what was bent already. The release can
// be asked for, and the office sees it.
func TestFirstPieceFirst(t *testing.T) {
	s := shoptest.OpenShop(t)
	s.Record(shoptest.ChannelCode, `{"id":"f1","piece":1,"step":1,"measured":43.2}`)
	_, body := s.Get("/t/" + shoptest.ChannelCode + "?saved=f1")
	main := shoptest.One(t, shoptest.Parsed(t, body), shoptest.Classed("main"))
	if words := shoptest.WordsIn(main); words != "Bend again at 48.8, then measure." || !strings.Contains(shoptest.Attribute(main, "href"), "/1?piece=1&state=reworked") {
		t.Errorf("the main key after a first piece that is off is %q to %s, want its rework", words, shoptest.Attribute(main, "href"))
	}
	_, body = s.Get("/t/" + shoptest.ChannelCode)
	if form := shoptest.Filled(shoptest.One(t, shoptest.Parsed(t, body), shoptest.Classed("log"))); form.Get("state") != "reworked" || form.Get("stop") != "48.8" || form.Get("step") != "1" {
		t.Errorf("the next bend is filled with %v, want the rework of step 1 at 48.8", form)
	}
	path := "/t/" + shoptest.ChannelCode + "/1?piece=2"
	_, body = s.Get(path)
	root := shoptest.Parsed(t, body)
	shoptest.CheckPage(t, body)
	for _, want := range []string{"First piece first.", "Piece 1, step 1: Bend again at 48.8, then measure.", "Log what was bent"} {
		if page := shoptest.WordsIn(root); !strings.Contains(page, want) {
			t.Errorf("piece 2 before the first is accepted lacks %q: %s", want, page)
		}
	}
	if logs := shoptest.All(root, shoptest.Classed("log")); len(logs) != 0 {
		t.Error("piece 2 can be bent before the first is accepted")
	}
	ask := shoptest.Filled(shoptest.One(t, root, shoptest.Classed("ask")))
	ask.Set("detail", "the customer takes it")
	ask.Set("by", "AB")
	if answer, body := s.PostForm("/t/"+shoptest.ChannelCode+"/events", ask); answer.StatusCode != http.StatusSeeOther {
		t.Fatalf("asking for the release = %d %s", answer.StatusCode, shoptest.WordsIn(shoptest.Parsed(t, body)))
	}
	if _, page := s.OwnerPage(s.Owner(), "/jobs/"+shoptest.ChannelCode); !strings.Contains(page, "release of the run asked for: the customer takes it (AB)") {
		t.Errorf("the office does not hear of it: %s", page)
	}
	if _, body = s.Get(path); !strings.Contains(body, "The release was asked for.") {
		t.Error("the phone does not say that the release was asked for")
	}
	s.LetGo(shoptest.ChannelCode)
	if _, body = s.Get(path); strings.Contains(body, "First piece first.") {
		t.Error("the run was released and still stands")
	}
}

// The person at the brake stops the run, leaves a piece out and goes on, each with
// a reason; what only the office decides is refused there.
func TestDecidedAtTheBrake(t *testing.T) {
	s := shoptest.OpenShop(t)
	s.RecordFirstPiece()
	path := "/t/" + shoptest.ChannelCode + "/events"
	send := func(want int, pairs ...string) {
		t.Helper()
		form := url.Values{}
		for i := 0; i < len(pairs); i += 2 {
			form.Set(pairs[i], pairs[i+1])
		}
		if answer, body := s.PostForm(path, form); answer.StatusCode != want {
			t.Errorf("POST %v = %d %s, want %d", form, answer.StatusCode, shoptest.WordsIn(shoptest.Parsed(t, body)), want)
		}
	}
	send(303, "kind", standing.Skipped, "piece", "2", "detail", "scratched blank")
	if next := nextOf(s, shoptest.ChannelCode); next != "3/1" {
		t.Errorf("with piece 2 left out the next is %s, want 3/1", next)
	}
	if _, body := s.Get("/t/" + shoptest.ChannelCode + "/1?piece=2"); !strings.Contains(body, "Piece 2 is left out.") || !strings.Contains(body, "Make it") {
		t.Errorf("the page of a piece that is left out says %s", shoptest.WordsIn(shoptest.Parsed(t, body)))
	}
	send(303, "kind", standing.TakenUp, "piece", "2")
	send(303, "kind", standing.Held, "detail", "the bar slips", "by", "AB")
	if state := stateOf(s, shoptest.ChannelCode); state["halt"].(map[string]any)["cause"] != standing.IsHeld {
		t.Errorf("a run that was stopped has the halt %v", state["halt"])
	}
	if _, body := s.Get("/t/" + shoptest.ChannelCode); !strings.Contains(body, "Stop. The run is stopped.") || !strings.Contains(body, "the bar slips") {
		t.Errorf("a run that was stopped says %s", shoptest.WordsIn(shoptest.Parsed(t, body)))
	}
	send(303, "kind", standing.Resumed, "detail", "magnet cleaned")
	if state := stateOf(s, shoptest.ChannelCode); state["halt"] != nil {
		t.Errorf("a run that goes on has the halt %v", state["halt"])
	}
	send(422, "kind", standing.Held)
	send(422, "kind", "melted", "detail", "x")
	send(422, "kind", standing.Skipped, "piece", "9", "detail", "x")
	send(403, "kind", standing.Released, "detail", "x")
}

func TestOpeningIsOfferedToWhoUsesIt(t *testing.T) {
	s := shoptest.OpenShop(t)
	_, body := s.Get("/t/"+shoptest.ChannelCode, &http.Cookie{Name: operator.ProtractorCookie, Value: "opening"})
	root := shoptest.Parsed(t, body)
	if pad := padOf(root); pad[0] != "134.3" || pad[7] != "135.0" {
		t.Errorf("the pad offers %v, want openings around 135.0", pad)
	}
	if form := shoptest.Filled(shoptest.One(t, root, shoptest.Classed("log"))); form.Get("given_as") != "opening" || form.Get("pad_as") != "opening" {
		t.Errorf("the form is filled with %v, want opening chosen", form)
	}
}

func TestPagesThatAreNotThere(t *testing.T) {
	s := shoptest.OpenShop(t)
	for path, want := range map[string]string{
		"/t/" + shoptest.UnknownCode:                 "No such sheet",
		"/t/" + shoptest.ChannelCode + "/9":          "This sheet has no bend 9",
		"/t/" + shoptest.ChannelCode + "/1?piece=":   "Piece 1 of 3",
		"/t/" + shoptest.ChannelCode + "/1?piece=4":  "There is no such piece: 3 are to be made",
		"/t/" + shoptest.ChannelCode + "/1?piece=x":  "There is no such piece",
		"/t/" + shoptest.ChannelCode + "?saved=none": "This sheet has no such reading",
		"/nothing":           "There is no such page here",
		"/static/nothing.js": "There is no such page here",
	} {
		answer, body := s.Get(path)
		shoptest.CheckPage(t, body)
		if !strings.HasSuffix(path, "piece=") && answer.StatusCode != http.StatusNotFound {
			t.Errorf("GET %s = %d, want 404", path, answer.StatusCode)
		}
		if page := shoptest.WordsIn(shoptest.Parsed(t, body)); !strings.Contains(page, want) {
			t.Errorf("GET %s says %q, want %q", path, page, want)
		}
	}
}

func TestState(t *testing.T) {
	s := shoptest.OpenShop(t)
	s.Record(shoptest.ChannelCode, `{"id":"f1","piece":1,"step":1,"measured":44.4,"place":"left","by":"AB","note":"<b>&"}`)
	answer, body := s.Get("/t/" + shoptest.ChannelCode + "/state")
	if kind := answer.Header.Get("Content-Type"); answer.StatusCode != http.StatusOK || !strings.HasPrefix(kind, "application/json") {
		t.Fatalf("GET state = %d %s", answer.StatusCode, kind)
	}
	state := shoptest.Decode(t, body)
	for name, want := range map[string]any{"job": "J-1041", "part": "BR-210", "revision": "C", "superseded_by": nil, "quantity": 3.0, "run": "by-step"} {
		if got, found := state[name]; !found || got != want {
			t.Errorf("%s = %v, want %v", name, got, want)
		}
	}
	steps := state["steps"].([]any)
	second := steps[1].(map[string]any)
	for name, want := range map[string]any{"step": 2.0, "bend": "b2", "target": 90.0, "stop": 92.0, "tolerance": 1.0, "bar": "wide"} {
		if second[name] != want {
			t.Errorf("step 2: %s = %v, want %v", name, second[name], want)
		}
	}
	if segments, ok := second["segments"].([]any); !ok || len(segments) != 0 {
		t.Errorf("step 2: segments = %v, want an empty list", second["segments"])
	}
	reading := state["readings"].([]any)[0].(map[string]any)
	if reading["measured"] != 44.4 || reading["error"] != -0.6 || reading["note"] != "<b>&" {
		t.Errorf("the reading is %v", reading)
	}
	if next := state["next"].(map[string]any); next["piece"] != 1.0 || next["step"] != 2.0 {
		t.Errorf("next = %v, want piece 1, step 2", next)
	}
	_, body = s.Get("/t/" + shoptest.TrayCode + "/state")
	if !strings.Contains(body, `"segments":[124,68,124]`) || !strings.Contains(body, `"readings":[]`) {
		t.Errorf("state of the tray: %s", body)
	}
}

func TestStateAtTheEnd(t *testing.T) {
	s := shoptest.OpenShop(t)
	for step, id := range []string{"a", "b", "c"} {
		s.Record(shoptest.TrayCode, `{"id":"`+id+`","piece":1,"step":`+string(rune('1'+step))+`,"measured":90}`)
	}
	if _, body := s.Get("/t/" + shoptest.TrayCode + "/state"); shoptest.Decode(t, body)["next"] != nil {
		t.Errorf("state = %s, want next null when all are in", body)
	}
	_, body := s.Get("/t/" + shoptest.TrayCode)
	shoptest.CheckPage(t, body)
	if page := shoptest.WordsIn(shoptest.Parsed(t, body)); !strings.Contains(page, "Every step is in") {
		t.Errorf("the page says %q, want that every bend is in", page)
	}
}

func TestSheetPDF(t *testing.T) {
	s := shoptest.OpenShop(t)
	answer, body := s.Get("/t/" + shoptest.ChannelCode + "/sheet.pdf")
	if answer.StatusCode != 200 || answer.Header.Get("Content-Type") != "application/pdf" || body != "%PDF-1.7 sheet "+shoptest.ChannelCode {
		t.Errorf("GET sheet.pdf = %d %s %q, want the bytes as issued", answer.StatusCode, answer.Header.Get("Content-Type"), body)
	}
	if name := answer.Header.Get("Content-Disposition"); name != `inline; filename="BR-210-rev-C-job-J-1041.pdf"` {
		t.Errorf("named %s", name)
	}
	if answer, _ := s.Get("/t/" + shoptest.UnknownCode + "/sheet.pdf"); answer.StatusCode != http.StatusNotFound {
		t.Errorf("sheet.pdf of an unknown code = %d, want 404", answer.StatusCode)
	}
}

func TestHaltedSheets(t *testing.T) {
	s := shoptest.OpenShop(t)
	newer := shoptest.Channel()
	newer.Code, newer.Part.Revision, newer.Quantity = "newerm4xq2pvr9tab", "D", 5
	newer.Steps[1].Target, newer.Steps[1].Stop, newer.Steps[1].Bar = 8800, 9000, "narrow"
	newer.Blank.Width, newer.Part.Material = 650000, "galvanised steel"
	s.Issue(newer, shoptest.ChannelCode)
	s.Decide(shoptest.TrayCode, standing.Voided, "wrong drawing")
	closed := shoptest.Tray()
	closed.Code, closed.Job = "cyddd4xq2pvr9tabc", "J-1030"
	s.Issue(closed)
	s.Decide(closed.Code, standing.Closed, "all made")
	cases := []struct {
		name, code string
		want       []string
	}{
		{"replaced", shoptest.ChannelCode, []string{"This traveler has been replaced", "Revision: D, was C", "Pieces: 5, was 3", "Material: galvanised steel, was mild steel",
			"Blank, width: 650.00 mm, was 640.00 mm", "Step 2, angle: 88.0°, was 90.0°", "Step 2, stop: 90.0, was 92.0", "Step 2, bar: narrow, was wide"}},
		{"void", shoptest.TrayCode, []string{"This traveler is void"}},
		{"closed", closed.Code, []string{"This traveler is closed"}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			for _, path := range []string{"/t/" + c.code, "/t/" + c.code + "/1"} {
				answer, body := s.Get(path)
				shoptest.CheckPage(t, body)
				page := shoptest.WordsIn(shoptest.Parsed(t, body))
				if answer.StatusCode != http.StatusOK || len(shoptest.All(shoptest.Parsed(t, body), shoptest.Named("form"))) != 0 {
					t.Errorf("GET %s = %d with a form to log with: %s", path, answer.StatusCode, page)
				}
				for _, want := range c.want {
					if !strings.Contains(page, want) {
						t.Errorf("GET %s lacks %q; it says: %s", path, want, page)
					}
				}
			}
			if answer, _ := s.Get("/t/" + c.code + "/sheet.pdf"); answer.StatusCode != http.StatusOK {
				t.Errorf("its PDF = %d, want 200: it stays as issued", answer.StatusCode)
			}
			answer, body := s.PostJSON("/t/"+c.code+"/readings", `{"id":"z-`+c.name+`","piece":1,"step":1,"measured":45,"confirmed":true}`)
			if answer.StatusCode != http.StatusCreated || !strings.Contains(body, `"halt":{"cause":"`+c.name+`"`) {
				t.Errorf("POST a reading = %d %s, want 201 and why work stops", answer.StatusCode, body)
			}
		})
	}
}

// A replaced sheet names the newer one to programs and to people, until the
// owner lets the batch be finished.
func TestReplacedSheetNamesTheNewerOne(t *testing.T) {
	s := shoptest.OpenShop(t)
	newer := shoptest.Channel()
	newer.Code, newer.Part.Revision = "newerm4xq2pvr9tab", "D"
	s.Issue(newer, shoptest.ChannelCode)
	if answer, body := s.PostJSON("/t/"+shoptest.ChannelCode+"/readings", `{"id":"z","piece":1,"step":1,"measured":45}`); !strings.Contains(body, `"superseded_by":"newerm4xq2pvr9tab"`) {
		t.Errorf("POST to a replaced sheet = %d %s, want superseded_by", answer.StatusCode, body)
	}
	if _, body := s.Get("/t/" + shoptest.ChannelCode + "/state"); shoptest.Decode(t, body)["superseded_by"] != "newerm4xq2pvr9tab" {
		t.Errorf("state of a replaced sheet: %s", body)
	}
	answer, _ := s.PostForm("/t/"+shoptest.ChannelCode+"/readings", url.Values{"id": {"z2"}, "piece": {"1"}, "step": {"2"}, "pad": {"90.0"}, "pad_as": {"bend"}})
	if answer.StatusCode != http.StatusSeeOther {
		t.Errorf("a form to a replaced sheet = %d, want 303: what was bent is written down", answer.StatusCode)
	}
	if _, page := s.Get(answer.Header.Get("Location")); !strings.Contains(page, "/t/newerm4xq2pvr9tab") {
		t.Errorf("after that the page lacks the way to the new one: %s", shoptest.WordsIn(shoptest.Parsed(t, page)))
	}
	s.Decide(shoptest.ChannelCode, standing.FinishAllowed, "two are begun")
	_, body := s.Get("/t/" + shoptest.ChannelCode)
	if page := shoptest.WordsIn(shoptest.Parsed(t, body)); !strings.Contains(page, "may be finished from it") || !strings.Contains(page, "Piece 1 of 3") {
		t.Errorf("a sheet that may be finished says: %s", page)
	}
	s.Record(shoptest.ChannelCode, `{"id":"z3","piece":1,"step":3,"measured":90}`)
}

func TestChangesOfEqualSheets(t *testing.T) {
	if got := operator.Changes(shoptest.Channel(), shoptest.Channel()); len(got) != 0 {
		t.Errorf("changes between equal sheets = %q, want none", got)
	}
}

// A guesser of codes is stopped, whatever he tries; other addresses are not.
func TestGuessingIsSlowedDown(t *testing.T) {
	s := shoptest.OpenShop(t)
	s.Get("/t/" + shoptest.TrayCode)
	var last *http.Response
	for range 40 {
		last, _ = s.Get("/t/" + shoptest.UnknownCode)
	}
	if last.StatusCode != http.StatusTooManyRequests || last.Header.Get("Retry-After") == "" {
		t.Fatalf("after 40 guesses the answer is %d, want 429 with Retry-After", last.StatusCode)
	}
	if answer, _ := s.Get("/t/" + shoptest.ChannelCode); answer.StatusCode != http.StatusTooManyRequests {
		t.Errorf("a right guess among them = %d, want 429: it must not stand out", answer.StatusCode)
	}
	if answer, _ := s.Get("/t/" + strings.ToUpper(shoptest.TrayCode)); answer.StatusCode != http.StatusOK {
		t.Errorf("a sheet that was open at this address before = %d, want 200", answer.StatusCode)
	}
	r := httptest.NewRequest("GET", "/t/"+shoptest.ChannelCode, nil)
	r.RemoteAddr = "192.0.2.99:1234"
	if answer, _ := s.Ask(r); answer.StatusCode != http.StatusOK {
		t.Errorf("another phone = %d, want 200", answer.StatusCode)
	}
	s.Later(10 * operator.GuessPause)
	if answer, _ := s.Get("/t/" + shoptest.ChannelCode); answer.StatusCode != http.StatusOK {
		t.Errorf("the same address a while later = %d, want 200", answer.StatusCode)
	}
	if readings, err := s.Store.Readings(context.Background(), shoptest.ChannelCode); err != nil || len(readings) != 0 {
		t.Errorf("readings = %v, %v", readings, err)
	}
}
