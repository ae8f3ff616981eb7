package store

import (
	"context"
	"fmt"
	"testing"

	"brakeside/calc/fault"
)

func TestRevisions(t *testing.T) {
	s := openStore(t, t.TempDir())
	ctx := context.Background()
	for i, r := range []Revision{
		{Name: "TR-7", Revision: "A", Title: "Drip tray", JSON: []byte(`{"n":1}`)},
		{Name: "BR-2", Revision: "A", Title: "Rail bracket", JSON: []byte(`{"n":2}`)},
		{Name: "TR-7", Revision: "B", Title: "Drip tray", JSON: []byte(`{"n":3}`)},
		{Name: "TR-7", Revision: "A", Title: "Drip tray", JSON: []byte(`{"n":4}`)},
	} {
		kept, err := s.Keep(ctx, Parts, r)
		if err != nil || kept.Seq != int64(i+1) || !kept.Created.Equal(noon) {
			t.Fatalf("Keep(%d) = %d at %v, %v, want %d at noon", i, kept.Seq, kept.Created, err, i+1)
		}
	}
	if _, err := s.Keep(ctx, Brakes, Revision{Name: "TR-7", JSON: []byte(`{"n":5}`)}); err != nil {
		t.Fatal(err)
	}
	newest, err := s.Newest(ctx, Parts)
	checkRevisions(t, "Newest(parts)", newest, err, `BR-2 A {"n":2}`, `TR-7 A {"n":4}`)
	history, err := s.History(ctx, Parts, "TR-7")
	checkRevisions(t, "History(TR-7)", history, err, `TR-7 A {"n":4}`, `TR-7 B {"n":3}`, `TR-7 A {"n":1}`)
	brake, err := s.Find(ctx, Brakes, "TR-7")
	checkRevisions(t, "Find(brake)", []Revision{brake}, err, `TR-7  {"n":5}`)
	one, err := s.PartRevision(ctx, "TR-7", "B")
	checkRevisions(t, "PartRevision(TR-7, B)", []Revision{one}, err, `TR-7 B {"n":3}`)
	materials, err := s.Newest(ctx, Materials)
	checkRevisions(t, "Newest(materials)", materials, err)

	_, err = s.Find(ctx, Parts, "XX")
	refused(t, err, fault.Missing, "Find(unknown)")
	_, err = s.PartRevision(ctx, "TR-7", "C")
	refused(t, err, fault.Missing, "PartRevision(unknown)")
	_, err = s.Keep(ctx, Parts, Revision{JSON: []byte("{}")})
	refused(t, err, fault.Invalid, "Keep(no name)")
	_, err = s.Keep(ctx, Parts, Revision{Name: "TR-7"})
	refused(t, err, fault.Invalid, "Keep(no content)")
}

func checkRevisions(t *testing.T, what string, got []Revision, err error, want ...string) {
	t.Helper()
	if err != nil || len(got) != len(want) {
		t.Errorf("%s = %d, %v, want %d", what, len(got), err, len(want))
		return
	}
	for i, r := range got {
		if text := fmt.Sprintf("%s %s %s", r.Name, r.Revision, r.JSON); text != want[i] {
			t.Errorf("%s: number %d = %s, want %s", what, i+1, text, want[i])
		}
	}
}

func TestJobs(t *testing.T) {
	s := openStore(t, t.TempDir())
	ctx := context.Background()
	first := Job{Number: "J-1", Part: "TR-7", Revision: "A", Quantity: 12, Brake: "long brake", Due: "2026-05-20"}
	second := Job{Number: "J-2", Part: "BR-2", Revision: "C", Quantity: 1}
	for _, j := range []Job{first, second} {
		if err := s.AddJob(ctx, j); err != nil {
			t.Fatal(err)
		}
	}
	first.Created, second.Created = noon, noon
	if got, err := s.Job(ctx, "J-1"); err != nil || got != first {
		t.Errorf("Job(J-1) = %+v, %v, want %+v", got, err, first)
	}
	if got, err := s.Jobs(ctx); err != nil || len(got) != 2 || got[0] != second || got[1] != first {
		t.Errorf("Jobs() = %+v, %v, want J-2, J-1", got, err)
	}
	_, err := s.Job(ctx, "J-3")
	refused(t, err, fault.Missing, "Job(unknown)")
	refused(t, s.AddJob(ctx, Job{Number: "J-1", Quantity: 1}), fault.Conflict, "AddJob(same number)")
	refused(t, s.AddJob(ctx, Job{Quantity: 1}), fault.Invalid, "AddJob(no number)")
	refused(t, s.AddJob(ctx, Job{Number: "J-4"}), fault.Invalid, "AddJob(no quantity)")
	if got, err := s.Job(ctx, "J-1"); err != nil || got != first {
		t.Errorf("Job(J-1) after a refusal = %+v, %v, want it unchanged", got, err)
	}
}
