package operator_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"
	"reflect"
	"strings"
	"testing"

	"brakeside/server/internal/shoptest"
	"brakeside/server/store"
	"brakeside/traveler/standing"
)

// stateOf gives where a sheet stands, as a program is told.
func stateOf(s *shoptest.Shop, code string) map[string]any {
	s.Helper()
	return shoptest.Decode(s, second(s.Get("/t/"+code+"/state")))
}

// nextOf gives the piece and the step that come next, as "2/1"; empty when every
// piece is in.
func nextOf(s *shoptest.Shop, code string) string {
	s.Helper()
	next, _ := stateOf(s, code)["next"].(map[string]any)
	if next == nil {
		return ""
	}
	return fmt.Sprintf("%v/%v", next["piece"], next["step"])
}

// decides posts a decision as the owner's page does.
func decides(s *shoptest.Shop, code, kind, detail string, session *http.Cookie) {
	s.Helper()
	s.Send("/jobs/"+code+"/events", url.Values{"kind": {kind}, "detail": {detail}, "sure": {detail}}, session)
}

// The owner changes the number of pieces while the run is on: more pieces are
// asked for and taken, fewer end it sooner, and what was logged stays.
func TestQuantityChangedMidRun(t *testing.T) {
	s := shoptest.OpenShop(t)
	session := s.Owner()
	s.RecordFirstPiece()
	reading := func(id string, piece, step, measured int) string {
		return fmt.Sprintf(`{"id":%q,"piece":%d,"step":%d,"measured":%d,"confirmed":true}`, id, piece, step, measured)
	}
	s.Record(shoptest.ChannelCode, reading("q1", 3, 1, 45))
	refused := func(id string, piece int) {
		t.Helper()
		answer, body := s.PostJSON(shoptest.ChannelReadings, reading(id, piece, 1, 45))
		if answer.StatusCode != http.StatusUnprocessableEntity || !strings.Contains(body, `"field":"piece"`) {
			t.Errorf("a reading of piece %d = %d %s, want 422 about the piece", piece, answer.StatusCode, body)
		}
	}
	refused("q2", 5)
	decides(s, shoptest.ChannelCode, standing.Requantified, "5", session)
	s.Record(shoptest.ChannelCode, reading("q3", 2, 1, 45))
	if next := nextOf(s, shoptest.ChannelCode); stateOf(s, shoptest.ChannelCode)["quantity"] != 5.0 || next != "4/1" {
		t.Errorf("of 5 pieces the next is %q, want piece 4, step 1", next)
	}
	s.Record(shoptest.ChannelCode, reading("q4", 5, 1, 45))
	refused("q5", 6)
	decides(s, shoptest.ChannelCode, standing.Requantified, "2", session)
	refused("q6", 6)
	s.Record(shoptest.ChannelCode, reading("q7", 2, 2, 90))
	if next := nextOf(s, shoptest.ChannelCode); next != "2/3" {
		t.Errorf("of 2 pieces the next is %q, want piece 2, step 3", next)
	}
	s.Record(shoptest.ChannelCode, reading("q8", 2, 3, 90))
	page := shoptest.WordsIn(shoptest.Parsed(t, second(s.Get("/t/"+shoptest.ChannelCode))))
	if next := nextOf(s, shoptest.ChannelCode); next != "" || !strings.Contains(page, "All 2 pieces are logged.") {
		t.Errorf("with 2 pieces done the next is %q and the page says %s", next, page)
	}
	if readings, _ := stateOf(s, shoptest.ChannelCode)["readings"].([]any); len(readings) != 8 {
		t.Errorf("%d readings are kept, want all 8, those of the pieces that are no more among them", len(readings))
	}
	decides(s, shoptest.ChannelCode, standing.Requantified, "3", session)
	if next := nextOf(s, shoptest.ChannelCode); next != "3/2" {
		t.Errorf("of 3 pieces again the next is %q, want piece 3, step 2: its first bend is in", next)
	}
}

// A first piece that is off holds up the run until the owner lets it go on. That
// is kept with who, when and why and shown on the job's page; it makes the
// readings no better.
func TestOverrideOfTheFirstPieceIsRecorded(t *testing.T) {
	s := shoptest.OpenShop(t)
	session := s.Owner()
	for step, measured := range []string{"45", "86", "90"} {
		s.Record(shoptest.ChannelCode, fmt.Sprintf(`{"id":"o%d","piece":1,"step":%d,"measured":%s}`, step, step+1, measured))
	}
	const second = `{"id":"o9","piece":2,"step":1,"measured":45,"confirmed":true}`
	if answer, body := s.PostJSON(shoptest.ChannelReadings, second); answer.StatusCode != http.StatusCreated || !strings.Contains(body, `"before-first-piece"`) {
		t.Fatalf("the second piece after a first that is off = %d %s, want it flagged", answer.StatusCode, body)
	}
	if stateOf(s, shoptest.ChannelCode)["first_piece_accepted"] != false {
		t.Error("the first piece is said to be accepted")
	}
	decides(s, shoptest.ChannelCode, standing.Released, "customer agreed to 86", session)
	s.Record(shoptest.ChannelCode, `{"id":"o10","piece":3,"step":1,"measured":45}`)
	events, err := s.Store.Events(t.Context(), shoptest.ChannelCode)
	want := store.Event{Code: shoptest.ChannelCode, Kind: standing.Released, Detail: "customer agreed to 86", By: "owner", At: s.Now()}
	if err != nil || len(events) != 1 || !reflect.DeepEqual(events[0], want) {
		t.Errorf("kept %+v, %v; want %+v", events, err, want)
	}
	if stateOf(s, shoptest.ChannelCode)["first_piece_accepted"] != false {
		t.Error("a first piece that is off is said to be accepted, because the run goes on")
	}
	root, page := s.OwnerPage(session, "/jobs/"+shoptest.ChannelCode)
	if !strings.Contains(page, "run released: customer agreed to 86") || !strings.Contains(page, "released by the owner") {
		t.Errorf("the page lacks the decision: %s", page)
	}
	if cells := shoptest.Row(t, shoptest.All(root, shoptest.Named("table"))[0], "2"); cells[6] != "0 of 1" {
		t.Errorf("the bend that is off now stands as %q, want 0 of 1 in tolerance", cells)
	}
}

// A sheet that was replaced, closed or made void takes what was bent all the same,
// in whatever form it comes; no further piece is begun.
func TestHaltedSheetsTakeFacts(t *testing.T) {
	for name, halt := range map[string]func(*shoptest.Shop){
		"replaced": func(s *shoptest.Shop) {
			newer := shoptest.Channel()
			newer.Code, newer.Part.Revision = "newerm4xq2pvr9tab", "D"
			s.Issue(newer, shoptest.ChannelCode)
		},
		"closed": func(s *shoptest.Shop) { s.Decide(shoptest.ChannelCode, standing.Closed, "all made") },
		"void":   func(s *shoptest.Shop) { s.Decide(shoptest.ChannelCode, standing.Voided, "wrong drawing") },
	} {
		t.Run(name, func(t *testing.T) {
			s := shoptest.OpenShop(t)
			s.RecordFirstPiece()
			s.Record(shoptest.ChannelCode, `{"id":"h1","piece":2,"step":1,"measured":45,"state":"scrapped","note":"torn"}`)
			form := s.Form("/t/"+shoptest.ChannelCode+"/1?piece=3", url.Values{"pad": {"45.0"}})
			halt(s)
			before := len(stateOf(s, shoptest.ChannelCode)["readings"].([]any))
			sent := map[string]func() (*http.Response, string){
				"a reading as JSON": func() (*http.Response, string) {
					return s.PostJSON(shoptest.ChannelReadings, `{"id":"h2","piece":3,"step":1,"measured":45}`)
				},
				"a reading as form": func() (*http.Response, string) { return s.PostForm(shoptest.ChannelReadings, form) },
				"a correction": func() (*http.Response, string) {
					return s.PostJSON(shoptest.ChannelReadings, `{"id":"h3","piece":1,"step":1,"measured":45,"corrects":"f1"}`)
				},
				"a photo": func() (*http.Response, string) {
					return s.Ask(shoptest.PhotoRequest(t, shoptest.ChannelPhotos, shoptest.PhotoFields(nil), shoptest.JpegPhoto(t)))
				},
				"a piece made again": func() (*http.Response, string) {
					return s.PostForm("/t/"+shoptest.ChannelCode+"/pieces", url.Values{"instead_of": {"2"}})
				},
			}
			want := map[string]int{"a reading as JSON": 201, "a reading as form": 303, "a correction": 201, "a photo": 303, "a piece made again": 409}
			for what, send := range sent {
				if answer, body := send(); answer.StatusCode != want[what] {
					t.Errorf("%s = %d %.300s, want %d", what, answer.StatusCode, body, want[what])
				}
			}
			photos, err := s.Store.Photos(t.Context(), shoptest.ChannelCode)
			if after := len(stateOf(s, shoptest.ChannelCode)["readings"].([]any)); after != before+3 || err != nil || len(photos) != 1 || stateOf(s, shoptest.ChannelCode)["quantity"] != 3.0 {
				t.Errorf("%d readings more and %d photos, %v, are kept; want 3 and 1", after-before, len(photos), err)
			}
		})
	}
}

// optionalFields are the fields of a reading that may be left out, each with
// values in JSON.
var optionalFields = []struct{ name, value string }{
	{"leg", `33.5`}, {"pack", `"P-7"`}, {"thickness", `1.48`},
	{"nose_setback", `[1.8,2.1]`}, {"nose_setback", `[1.8,null]`}, {"nose_setback", `[null,2.1]`},
	{"tool", `"bevel protractor"`}, {"note", `"a 'quoted' \"note\" of ü\nand a line"`},
	{"flags", `["bar-lifted"]`}, {"flags", `["bar-lifted","corner-torn"]`},
	{"stop", `47.5`}, {"place", `"left"`}, {"by", `"AB"`}, {"given_as", `"bend"`}, {"state", `"reworked"`}, {"at", `"2026-05-04T09:29:00Z"`},
}

// Each optional field of a reading is kept, and given back to programs as it
// was sent; left out, it comes back as nothing.
func TestOptionalFieldsComeBack(t *testing.T) {
	s := shoptest.OpenShop(t)
	s.RecordFirstPiece()
	s.Decide(shoptest.ChannelCode, standing.Requantified, "50")
	s.Record(shoptest.ChannelCode, `{"id":"bare","piece":2,"step":1,"measured":45,"confirmed":true}`)
	for i, f := range optionalFields {
		s.Record(shoptest.ChannelCode, fmt.Sprintf(`{"id":"e%d","piece":%d,"step":1,"measured":45,"confirmed":true,%q:%s}`, i, i+3, f.name, f.value))
	}
	readings, _ := stateOf(s, shoptest.ChannelCode)["readings"].([]any)
	if len(readings) != len(optionalFields)+4 {
		t.Fatalf("%d readings came back, want %d", len(readings), len(optionalFields)+4)
	}
	readings = readings[3:] // after the first piece
	bare := readings[0].(map[string]any)
	for i, f := range optionalFields {
		var want any
		if err := json.Unmarshal([]byte(f.value), &want); err != nil {
			t.Fatal(err)
		}
		given := readings[i+1].(map[string]any)
		if !reflect.DeepEqual(given[f.name], want) {
			t.Errorf("%s %s comes back as %v", f.name, f.value, given[f.name])
		}
		for _, other := range optionalFields {
			if other.name != f.name && !reflect.DeepEqual(given[other.name], bare[other.name]) {
				t.Errorf("with %s alone, %s comes back as %v", f.name, other.name, given[other.name])
			}
		}
	}
}

// What is typed into the folded fields of the form of a bend is kept, and stands
// on the owner's page of the job.
func TestOptionalFieldsOfTheForm(t *testing.T) {
	s := shoptest.OpenShop(t)
	typed := url.Values{"pad": {"45.4"}, "by": {"AB"}, "note": {"film on"}, "flags": {"bar-lifted"}, "leg": {"33.9"}, "nose_setback": {"1.8", "2.1"},
		"pack": {"H7"}, "thickness": {"1.52"}, "tool": {"bevel"}}
	form := s.Form("/t/"+shoptest.ChannelCode, typed)
	if answer, body := s.PostForm(shoptest.ChannelReadings, form); answer.StatusCode != http.StatusSeeOther {
		t.Fatalf("POST = %d %s", answer.StatusCode, shoptest.WordsIn(shoptest.Parsed(t, body)))
	}
	readings, err := s.Store.Readings(t.Context(), shoptest.ChannelCode)
	if err != nil || len(readings) != 1 {
		t.Fatalf("%d readings, %v", len(readings), err)
	}
	r := readings[0]
	if r.Note != "film on" || strings.Join(r.Flags, " ") != "bar-lifted" || r.Leg == nil || *r.Leg != 33900 || r.Pack != "H7" || r.Tool != "bevel" ||
		r.Thickness == nil || *r.Thickness != 1520 || r.NoseSetback[0] == nil || *r.NoseSetback[0] != 1800 || r.NoseSetback[1] == nil || *r.NoseSetback[1] != 2100 {
		t.Errorf("kept %+v", r)
	}
	_, page := s.OwnerPage(s.Owner(), "/jobs/"+shoptest.ChannelCode)
	for _, want := range []string{"bar lifted", "film on", "lot H7", "1.52 mm", "33.9", "1.8", "2.1", "bevel"} {
		if !strings.Contains(page, want) {
			t.Errorf("the owner's page lacks %q: %s", want, page)
		}
	}
}
