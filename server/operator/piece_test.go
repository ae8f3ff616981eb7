package operator_test

import (
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"brakeside/server/internal/shoptest"
	"brakeside/server/operator"
	"brakeside/server/store"
	"brakeside/traveler/progress"
	"brakeside/traveler/standing"
)

func TestScrapAndMakeAgain(t *testing.T) {
	s := shoptest.OpenShop(t)
	s.RecordFirstPiece()
	form := s.Form("/t/"+shoptest.ChannelCode+"/1?piece=2", url.Values{"typed": {"70"}, "state": {"scrapped"}, "by": {"AB"}})
	answer, page := s.PostForm(shoptest.ChannelReadings, form)
	if answer.StatusCode != http.StatusUnprocessableEntity || !strings.Contains(shoptest.WordsIn(shoptest.Parsed(t, page)), "Not saved. Say in a few words why the piece is scrapped.") {
		t.Fatalf("scrapping without a reason = %d %s, want to be asked why", answer.StatusCode, shoptest.WordsIn(shoptest.Parsed(t, page)))
	}
	marked := shoptest.All(shoptest.Parsed(t, page), func(n *html.Node) bool { return shoptest.Has(n, "aria-invalid") })
	if len(marked) != 1 || shoptest.Attribute(marked[0], "name") != "note" {
		t.Errorf("%d fields are marked, want the note", len(marked))
	}
	form.Set("note", "bent the wrong way")
	answer, page = s.PostForm(shoptest.ChannelReadings, form)
	if answer.StatusCode != http.StatusSeeOther {
		t.Fatalf("scrapping with a reason = %d %s", answer.StatusCode, shoptest.WordsIn(shoptest.Parsed(t, page)))
	}
	_, page = s.Get(answer.Header.Get("Location"))
	shoptest.CheckPage(t, page)
	again := shoptest.One(t, shoptest.Parsed(t, page), shoptest.Classed("again"))
	if shoptest.WordsIn(again) != "Make piece 2 again" || shoptest.Attribute(again, "action") != "/t/"+shoptest.ChannelCode+"/pieces" {
		t.Fatalf("the page offers %q at %s", shoptest.WordsIn(again), shoptest.Attribute(again, "action"))
	}
	initials := &http.Cookie{Name: operator.InitialsCookie, Value: "AB"}
	for range 2 {
		answer, _ = s.PostForm("/t/"+shoptest.ChannelCode+"/pieces", url.Values{"instead_of": {"2"}}, initials)
		if to := answer.Header.Get("Location"); answer.StatusCode != http.StatusSeeOther || to != "/t/"+shoptest.ChannelCode {
			t.Fatalf("making it again = %d to %q, want 303 to the next bend", answer.StatusCode, to)
		}
	}
	state := shoptest.Decode(t, second(s.Get("/t/"+shoptest.ChannelCode+"/state")))
	if state["quantity"] != 4.0 || state["next"].(map[string]any)["piece"] != 3.0 {
		t.Errorf("quantity %v, next %v; want 4 pieces and piece 3 next", state["quantity"], state["next"])
	}
	events, err := s.Store.Events(t.Context(), shoptest.ChannelCode)
	if err != nil || len(events) != 1 || events[0].Kind != standing.Remade || events[0].By != "AB" {
		t.Errorf("events %+v, %v; want one piece made again by AB", events, err)
	}
	_, page = s.Get("/t/" + shoptest.ChannelCode + "?saved=" + form.Get("id"))
	if words := shoptest.WordsIn(shoptest.One(t, shoptest.Parsed(t, page), shoptest.Classed("again"))); words != "Piece 2 is made again as piece 4" {
		t.Errorf("afterwards the page says %q", words)
	}
}

func second(_ *http.Response, body string) string { return body }

// The done page tells what was lost and offers to make it again; when the
// quantity is lowered after that, it is offered anew.
func TestDoneWithALoss(t *testing.T) {
	s := shoptest.OpenShop(t)
	for step, id := range []string{"a", "b"} {
		s.Record(shoptest.TrayCode, `{"id":"`+id+`","piece":1,"step":`+string(rune('1'+step))+`,"measured":90}`)
	}
	s.Record(shoptest.TrayCode, `{"id":"c","piece":1,"step":3,"measured":90,"state":"scrapped","note":"torn"}`)
	page := shoptest.WordsIn(shoptest.Parsed(t, second(s.Get("/t/"+shoptest.TrayCode))))
	for _, want := range []string{"Every step is in", "0 good, 1 scrapped", "Make piece 1 again"} {
		if !strings.Contains(page, want) {
			t.Errorf("the page lacks %q: %s", want, page)
		}
	}
	s.PostForm("/t/"+shoptest.TrayCode+"/pieces", url.Values{"instead_of": {"1"}})
	if page := shoptest.WordsIn(shoptest.Parsed(t, second(s.Get("/t/"+shoptest.TrayCode)))); !strings.Contains(page, "Piece 2 of 2") {
		t.Errorf("after that the page says %s, want piece 2", page)
	}
	s.Decide(shoptest.TrayCode, standing.Requantified, "1")
	if page := shoptest.WordsIn(shoptest.Parsed(t, second(s.Get("/t/"+shoptest.TrayCode)))); !strings.Contains(page, "Make piece 1 again") {
		t.Errorf("after the owner asked for one piece only the page says %s", page)
	}
}

func TestRemakeRefusals(t *testing.T) {
	s := shoptest.OpenShop(t)
	s.RecordFirstPiece()
	for body, want := range map[string]int{"instead_of=1": 409, "instead_of=9": 409, "instead_of=x": 422, "": 422, "%zz": 400, "instead_of=1&by=" + strings.Repeat("x", 2000): 413} {
		r := httptest.NewRequest("POST", "/t/"+shoptest.ChannelCode+"/pieces", strings.NewReader(body))
		r.Header.Set("Content-Type", shoptest.FormType)
		answer, page := s.Ask(r)
		if answer.StatusCode != want {
			t.Errorf("POST %.40q = %d %s, want %d", body, answer.StatusCode, shoptest.WordsIn(shoptest.Parsed(t, page)), want)
		}
		shoptest.CheckPage(t, page)
	}
	s.Record(shoptest.ChannelCode, `{"id":"x","piece":2,"step":1,"measured":45,"state":"scrapped","note":"torn"}`)
	r := httptest.NewRequest("POST", "/t/"+shoptest.ChannelCode+"/pieces", strings.NewReader("instead_of=2"))
	r.Header.Set("Content-Type", shoptest.FormType)
	r.Header.Set("Accept", "application/json")
	if answer, body := s.Ask(r); answer.StatusCode != http.StatusCreated || shoptest.Decode(t, body)["piece"] != 4.0 {
		t.Errorf("POST as a program = %d %s, want 201 and piece 4", answer.StatusCode, body)
	}
}

func TestSampledSheet(t *testing.T) {
	s := shoptest.OpenShop(t)
	many := shoptest.Channel()
	many.Code, many.Job, many.Quantity = "manyc4xq2pvr9tabc", "J-1050", 25
	s.Issue(many)
	s.Decide(many.Code, standing.Resampled, "10")
	for i, measured := range []string{"45", "90", "90"} {
		s.Record(many.Code, `{"id":"m`+string(rune('1'+i))+`","piece":1,"step":`+string(rune('1'+i))+`,"measured":`+measured+`}`)
	}
	state := shoptest.Decode(t, second(s.Get("/t/"+many.Code+"/state")))
	if state["measure_every"] != 10.0 || state["next"].(map[string]any)["piece"] != 10.0 {
		t.Errorf("measure_every %v, next %v; want 10 and piece 10", state["measure_every"], state["next"])
	}
	page := shoptest.WordsIn(shoptest.Parsed(t, second(s.Get("/t/"+many.Code))))
	for _, want := range []string{"Piece 10 of 25", "Measured are the first piece, one in 10, and the last. Bend pieces 2 to 9 too, without logging them."} {
		if !strings.Contains(page, want) {
			t.Errorf("the page lacks %q: %s", want, page)
		}
	}
	n := 0
	for _, step := range []string{"1", "2", "3"} {
		for _, piece := range []string{"10", "20", "25"} {
			n++
			measured := map[string]string{"1": "45", "2": "90", "3": "90"}[step]
			s.Record(many.Code, `{"id":"n`+string(rune('a'+n))+`","piece":`+piece+`,"step":`+step+`,"measured":`+measured+`}`)
		}
	}
	if page := shoptest.WordsIn(shoptest.Parsed(t, second(s.Get("/t/"+many.Code)))); !strings.Contains(page, "Pieces 1, 10, 20 and 25 were to be measured, and they are.") {
		t.Errorf("at the end the page says %s", page)
	}
}

func TestSamplingWords(t *testing.T) {
	job := progress.Job{Traveler: shoptest.Channel(), Standing: store.Standing{Quantity: 12}}
	if got := operator.Sampling(job, 2); got != "" {
		t.Errorf("sampling(every piece) = %q, want nothing", got)
	}
	job.Every = 2
	const lead = "Measured are the first piece, one in 2, and the last."
	for piece, want := range map[int]string{
		1: lead, 2: lead, 3: lead + " Piece 3 need not be measured.", 4: lead + " Bend piece 3 too, without logging it.",
	} {
		if got := operator.Sampling(job, piece); got != want {
			t.Errorf("sampling(piece %d) = %q, want %q", piece, got, want)
		}
	}
	if got := operator.PieceList([]int{1, 4}) + "|" + operator.PieceList([]int{3}) + "|" + operator.PieceList(nil); got != "1 and 4|3|" {
		t.Errorf("pieceList = %q", got)
	}
}

func TestUndo(t *testing.T) {
	s := shoptest.OpenShop(t)
	s.Record(shoptest.ChannelCode, `{"id":"f1","piece":1,"step":1,"measured":134.5,"given_as":"opening","by":"AB","place":"left"}`)
	_, page := s.Get("/t/" + shoptest.ChannelCode + "?saved=f1")
	form := shoptest.One(t, shoptest.Parsed(t, page), shoptest.Classed("undo"))
	if shoptest.WordsIn(form) != "Undo: take the 45.5° back" {
		t.Errorf("the button says %q", shoptest.WordsIn(form))
	}
	answer, page := s.PostForm(shoptest.ChannelReadings, shoptest.Filled(form))
	if answer.StatusCode != http.StatusSeeOther {
		t.Fatalf("undo = %d %s", answer.StatusCode, shoptest.WordsIn(shoptest.Parsed(t, page)))
	}
	_, page = s.Get(answer.Header.Get("Location"))
	shoptest.CheckPage(t, page)
	words := shoptest.WordsIn(shoptest.Parsed(t, page))
	for _, want := range []string{"Taken back", "The 134.5 logged for piece 1, step 1 counts no more", "Next: piece 1, step 1"} {
		if !strings.Contains(words, want) {
			t.Errorf("the page lacks %q: %s", want, words)
		}
	}
	if n := len(shoptest.All(shoptest.Parsed(t, page), shoptest.Classed("undo"))) + len(shoptest.All(shoptest.Parsed(t, page), shoptest.Classed("photo"))); n != 0 {
		t.Errorf("%d forms are offered on what is no reading, want none", n)
	}
	if page := second(s.Get("/t/" + shoptest.ChannelCode + "?saved=f1")); !strings.Contains(page, "it counts no more") || strings.Contains(page, "Undo") {
		t.Error("the page of the reading does not say that it was taken back")
	}
	readings, err := s.Store.Readings(t.Context(), shoptest.ChannelCode)
	if err != nil || len(readings) != 2 || readings[0].Measured != 13450 || readings[1].Corrects != "f1" || !readings[1].Withdrawn() {
		t.Errorf("stored %+v, %v; want both kept", readings, err)
	}
	s.Record(shoptest.ChannelCode, `{"id":"f2","piece":1,"step":1,"measured":45}`) // no question: nothing counts for this bend
}

func TestUndoEndsAfterTenMinutes(t *testing.T) {
	s := shoptest.OpenShop(t)
	s.Record(shoptest.ChannelCode, `{"id":"f1","piece":1,"step":1,"measured":45}`)
	s.Later(progress.WithdrawWithin)
	_, page := s.Get("/t/" + shoptest.ChannelCode + "?saved=f1")
	late := shoptest.Filled(shoptest.One(t, shoptest.Parsed(t, page), shoptest.Classed("undo")))
	s.Later(time.Second)
	_, page = s.Get("/t/" + shoptest.ChannelCode + "?saved=f1")
	if len(shoptest.All(shoptest.Parsed(t, page), shoptest.Classed("undo"))) != 0 || !strings.Contains(page, "Correct what I just saved") {
		t.Error("after ten minutes undo is still offered, or the correction is not")
	}
	if answer, page := s.PostForm(shoptest.ChannelReadings, late); answer.StatusCode != http.StatusConflict || !strings.Contains(page, "10 minutes") {
		t.Errorf("undo too late = %d %s, want 409", answer.StatusCode, shoptest.WordsIn(shoptest.Parsed(t, page)))
	}
}

// The bend page leads back to what is in, so that it can be undone from there.
func TestTheWayBackToAReading(t *testing.T) {
	s := shoptest.OpenShop(t)
	s.Record(shoptest.ChannelCode, `{"id":"f1","piece":1,"step":1,"measured":45}`)
	root := shoptest.Parsed(t, second(s.Get("/t/"+shoptest.ChannelCode+"/1?piece=1")))
	note := shoptest.One(t, root, func(n *html.Node) bool { return shoptest.Has(n, "data-earlier") })
	if to := shoptest.Attribute(shoptest.One(t, note, shoptest.Named("a")), "href"); to != "/t/"+shoptest.ChannelCode+"?saved=f1" {
		t.Errorf("the way leads to %q, want the verdict on f1", to)
	}
}
