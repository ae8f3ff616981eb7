package store

import (
	"bytes"
	"context"
	"fmt"
	"strings"
	"testing"

	"brakeside/calc/fault"
)

// asked lists the ids of the open questions of a traveler, or of all.
func asked(t *testing.T, s *Store, code string) string {
	t.Helper()
	questions, err := s.Questions(context.Background(), code)
	if err != nil {
		t.Fatal(err)
	}
	var ids []string
	for _, q := range questions {
		if !strings.HasSuffix(q.Words, "?") || !q.Asked.Equal(noon) {
			t.Errorf("question %+v, want one asked at noon", q)
		}
		ids = append(ids, q.Reading.ID)
	}
	return strings.Join(ids, " ")
}

// doubt posts a reading that is asked about.
func doubt(t *testing.T, s *Store, code, body string) {
	t.Helper()
	_, err := post(s, code, body)
	refused(t, err, fault.Unsure, "AddReading("+body+")")
}

// Questions hold up nothing and are answered in any order; each way of ending
// one ends that one only.
func TestQuestions(t *testing.T) {
	s := openStore(t, t.TempDir())
	ctx := context.Background()
	issue(t, s, plan(1, 3))
	issue(t, s, plan(2, 3))
	for id, bend := range map[string][2]int{"a": {1, 1}, "b": {1, 2}, "c": {2, 1}, "d": {2, 2}} {
		doubt(t, s, code(1), body(id, bend[0], bend[1], 9))
	}
	doubt(t, s, code(1), body("a", 1, 1, 9)) // sent again: one question
	doubt(t, s, code(2), body("e", 1, 1, 9))
	mustPost(t, s, code(2), body("f", 1, 2, 45)) // another bend: it holds up nothing
	if got := len(strings.Fields(asked(t, s, code(1)))); got != 4 || asked(t, s, strings.ToUpper(code(2))) != "e" || len(strings.Fields(asked(t, s, ""))) != 5 {
		t.Fatalf("open are %q, all %q, want a to d, and e of the second", asked(t, s, code(1)), asked(t, s, ""))
	}
	if a, err := s.AnswerQuestion(ctx, code(1), "d", false, "AB"); err != nil || a.Body != nil {
		t.Errorf("No = %s, %v, want nothing stored", a.Body, err)
	}
	a, err := s.AnswerQuestion(ctx, code(1), "b", true, "owner")
	if err != nil || !bytes.Contains(a.Body, []byte(`"confirmed":true`)) {
		t.Errorf("Yes = %s, %v, want it stored as confirmed", a.Body, err)
	}
	mustPost(t, s, code(1), `{"id":"c","piece":2,"step":1,"measured":9,"confirmed":true}`) // the phone itself says yes
	mustPost(t, s, code(1), body("a2", 1, 1, 90))                                          // a newer reading of the same bend
	if got := asked(t, s, ""); got != "e" {
		t.Errorf("still open are %q, want e", got)
	}
	for _, id := range []string{"a", "b", "c", "d", "x"} {
		_, err := s.AnswerQuestion(ctx, code(1), id, true, "owner")
		refused(t, err, fault.Conflict, "a second answer to "+id)
	}
	if readings, err := s.Readings(ctx, code(1)); err != nil || len(readings) != 3 {
		t.Errorf("stored are %+v, %v, want b, c and a2", readings, err)
	}
	if damage, err := s.Check(ctx); err != nil || len(damage) != 0 {
		t.Errorf("Check = %v, %v, want none", damage, err)
	}
}

// The phone that asked may say yes after the office did, or send the reading as
// it was: it is stored once and answered the same. Anything else under the id is
// another reading.
func TestAnsweredTwice(t *testing.T) {
	s := openStore(t, t.TempDir())
	issue(t, s, plan(1, 3))
	doubt(t, s, code(1), body("a", 1, 1, 70))
	first, err := s.AnswerQuestion(context.Background(), code(1), "a", true, "owner")
	if err != nil {
		t.Fatal(err)
	}
	const form = `{"id":"a","piece":1,"step":1,"measured":%s,"confirmed":true}`
	for _, text := range []string{body("a", 1, 1, 70), fmt.Sprintf(form, "70"), fmt.Sprintf(form, "70.0")} {
		if again := mustPost(t, s, code(1), text); !again.Repeated || !bytes.Equal(again.Body, first.Body) {
			t.Errorf("AddReading(%s) = %s, repeated %t, want the first answer", text, again.Body, again.Repeated)
		}
	}
	_, err = post(s, code(1), fmt.Sprintf(form, "71"))
	refused(t, err, fault.Conflict, "another reading under the id")
}

// A question outlives the service.
func TestQuestionsAreDurable(t *testing.T) {
	dir := t.TempDir()
	s := openStore(t, dir)
	issue(t, s, plan(1, 3))
	doubt(t, s, code(1), body("a", 1, 1, 70))
	s.Close()
	if got := asked(t, openStore(t, dir), code(1)); got != "a" {
		t.Errorf("open after a start are %q, want a", got)
	}
}
