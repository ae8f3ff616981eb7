package store

import (
	"context"
	"fmt"
	"path/filepath"
	"testing"
	"time"

	"brakeside/calc/fault"
	"brakeside/calc/unit"
	"brakeside/traveler"
	"brakeside/traveler/progress"
)

// noon is the time at which all tests take place.
var noon = time.Date(2026, 5, 4, 12, 0, 0, 0, time.UTC)

func atNoon() time.Time { return noon }

// openStore opens a store on real files in dir.
func openStore(tb testing.TB, dir string) *Store {
	tb.Helper()
	s, err := Open(dir, atNoon)
	if err != nil {
		tb.Fatal(err)
	}
	tb.Cleanup(func() {
		if err := s.Close(); err != nil {
			tb.Error(err)
		}
	})
	return s
}

// code makes the code of test sheet n.
func code(n int) string { return fmt.Sprintf("abcdefghjkm%06d", n) }

// plan is a made-up drip tray wall with two bends, for sheet n.
func plan(n, quantity int) *traveler.Traveler {
	step := func(number int, target unit.CentiDeg, bar string) traveler.Step {
		return traveler.Step{Number: number, Bend: fmt.Sprintf("b%d", number), Target: target, Tolerance: 100,
			Stop: target + 200, StopBend: target + 200, Bar: bar}
	}
	return &traveler.Traveler{
		Form: traveler.Form, Code: code(n), Job: fmt.Sprintf("J-%d", n), Quantity: quantity, Run: traveler.ByStep,
		IssuedAt: "2026-05-04T08:00:00Z", IssuedBy: "owner",
		Part:  traveler.Part{Number: "TR-7", Revision: "A", MaterialID: "mild-steel", Thickness: 1500},
		Brake: traveler.Brake{Name: "long brake", Reads: "bend", MaxAngle: 13000},
		Steps: []traveler.Step{step(1, 9000, "wide"), step(2, 4500, "narrow")},
	}
}

// issue keeps a job and its sheet.
func issue(tb testing.TB, s *Store, t *traveler.Traveler) {
	tb.Helper()
	ctx := context.Background()
	job := Job{Number: t.Job, Part: t.Part.Number, Revision: t.Part.Revision, Quantity: t.Quantity, Brake: t.Brake.Name}
	if err := s.AddJob(ctx, job); err != nil {
		tb.Fatal(err)
	}
	if err := s.KeepTraveler(ctx, issued(tb, t)); err != nil {
		tb.Fatal(err)
	}
}

func issued(tb testing.TB, t *traveler.Traveler) Issued {
	tb.Helper()
	snapshot, err := traveler.Encode(t)
	if err != nil {
		tb.Fatal(err)
	}
	return Issued{Traveler: t, Snapshot: snapshot, PDF: []byte("%PDF of " + t.Code)}
}

// post reads a body as the server does and offers it to the store.
func post(s *Store, code, body string) (Answer, error) {
	r, err := progress.ReadReading([]byte(body))
	if err != nil {
		return Answer{}, err
	}
	return s.AddReading(context.Background(), Posted{Code: code, Reading: r, Body: []byte(body)}, progress.Judge)
}

// body is a plain reading.
func body(id string, piece, step int, measured float64) string {
	return fmt.Sprintf(`{"id":%q,"piece":%d,"step":%d,"measured":%g}`, id, piece, step, measured)
}

// mustPost posts a reading that must be taken.
func mustPost(tb testing.TB, s *Store, code, body string) Answer {
	tb.Helper()
	a, err := post(s, code, body)
	if err != nil {
		tb.Fatalf("AddReading(%s) = %v", body, err)
	}
	return a
}

// refused fails unless err is of a kind.
func refused(tb testing.TB, err error, want fault.Kind, what string) {
	tb.Helper()
	if err == nil || fault.KindOf(err) != want {
		tb.Errorf("%s = %v, want a refusal of kind %d", what, err, want)
	}
}

// exec runs a statement on the writer's connection.
func exec(tb testing.TB, s *Store, statement string) {
	tb.Helper()
	if _, err := s.write.Exec(statement); err != nil {
		tb.Fatalf("%s: %v", statement, err)
	}
}

func dbPath(dir string) string { return filepath.Join(dir, FileName) }
