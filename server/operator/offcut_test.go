package operator_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"brakeside/calc/unit"
	"brakeside/server/internal/shoptest"
	"brakeside/server/store"
)

// A traveler that is issued for a pack nothing was bent of asks for a bend on an
// offcut, on paper and on the phone; what it measures sets the first piece. One of a
// pack that is known asks for none and is printed by it.
func TestNewPackAsksForAnOffcut(t *testing.T) {
	s, session := shoptest.OpenOffice(t)
	part := s.MakeReady(shoptest.ExampleOf("l", "LP-1", "A"), session)
	for _, p := range []store.Pack{{Name: "P7", Material: "mild-steel", Thickness: 1500}, {Name: "P8", Material: "304", Thickness: 1500}, {Name: "P9", Material: "mild-steel", Thickness: 2000}} {
		if err := s.Store.KeepPack(t.Context(), p); err != nil {
			t.Fatal(err)
		}
	}
	job := url.Values{"part": {part}, "brake": {s.NewestBrake()}, "job": {"J-1"}, "quantity": {"5"}, "by": {"owner"}}
	for _, wrong := range []string{"P8", "P9", "no such pack"} {
		job.Set("pack", wrong)
		s.Refused("/jobs", job, session)
	}
	job.Set("pack", "P7")
	code := s.Send("/jobs", job, session)
	kept, err := s.Store.TravelerByCode(t.Context(), code)
	if sheet := kept.Traveler; err != nil || sheet.Pack != "P7" || !sheet.NewPack || !strings.Contains(sheet.Cautions[len(sheet.Cautions)-1].Text, "Lot P7 is new: bend an offcut") {
		t.Fatalf("issued as %+v, %v", kept.Traveler, err)
	}
	printed := kept.Traveler.Steps[0].Stop
	_, body := s.Get("/t/" + code)
	shoptest.CheckPage(t, body)
	if words := shoptest.WordsIn(shoptest.Parsed(t, body)); !strings.Contains(words, "Lot P7 is new") || !strings.Contains(words, printed.Text(1)) {
		t.Errorf("the phone says %s", words)
	}
	for _, wrong := range []string{"", "x", "80", "99"} {
		if answer, _ := s.PostForm("/t/"+code+"/offcut", url.Values{"measured": {wrong}}); answer.StatusCode != http.StatusUnprocessableEntity {
			t.Errorf("an offcut of %q degrees: %d", wrong, answer.StatusCode)
		}
	}
	for range 2 { // the second is the same form once more
		if answer, body := s.PostForm("/t/"+code+"/offcut", url.Values{"measured": {"88"}, "given_as": {"bend"}, "by": {"AB"}}); answer.StatusCode != http.StatusSeeOther {
			t.Fatalf("the offcut: %d %s", answer.StatusCode, body)
		}
	}
	if said, err := s.Store.Statements(t.Context()); err != nil || len(said) != 1 || said[0].Shown != 8800 {
		t.Errorf("kept: %+v, %v, want one of 88", said, err)
	}
	next := shoptest.Decode(t, func() string { _, body := s.Get("/t/" + code + "/state"); return body }())["next"].(map[string]any)
	if told := unit.Deg(next["stop"].(float64)).CentiDeg(); told < printed+80 || told > printed+200 || next["stop_why"] != "from 1 reading of this lot" {
		t.Errorf("after an offcut flat by 2 the stop is %v, %v; printed %v", told, next["stop_why"], printed)
	}
	if _, body := s.Get("/t/" + code); strings.Contains(body, "is new") {
		t.Error("the offcut is in, and it is asked for again")
	}
	job.Set("job", "J-2")
	again, err := s.Store.TravelerByCode(t.Context(), s.Send("/jobs", job, session))
	if second := again.Traveler; err != nil || second.NewPack || second.Steps[0].Stop < printed+80 || !strings.Contains(second.Steps[0].StopFrom, "from 1 reading of this lot, give or take ") {
		t.Errorf("of the lot that is known %+v is issued, %v", second.Steps[0], err)
	}
}
