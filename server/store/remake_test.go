package store

import (
	"context"
	"fmt"
	"sync"
	"testing"

	"brakeside/calc/fault"
	"brakeside/traveler/progress"
	"brakeside/traveler/standing"
)

func TestRemake(t *testing.T) {
	s := openStore(t, t.TempDir())
	ctx := context.Background()
	issue(t, s, plan(1, 2))
	mustPost(t, s, code(1), body("a", 1, 1, 90))
	_, err := s.Remake(ctx, code(1), 1, "AB")
	refused(t, err, fault.Conflict, "Remake(a good piece)")
	mustPost(t, s, code(1), `{"id":"b","piece":1,"step":2,"measured":60,"state":"scrapped","note":"torn"}`)
	for range 2 { // a double tap makes one piece
		if piece, err := s.Remake(ctx, code(1), 1, "AB"); err != nil || piece != 3 {
			t.Errorf("Remake(the scrapped piece) = %d, %v, want piece 3", piece, err)
		}
	}
	job, err := s.Progress(ctx, code(1))
	if err != nil || job.Quantity != 3 || fmt.Sprint(progress.Sample(job)) != "[2 3]" {
		t.Errorf("after it %d pieces, sample %v, %v; want 3 pieces, 2 and 3 of them good", job.Quantity, progress.Sample(job), err)
	}
	lines, err := s.Travelers(ctx)
	if err != nil || lines[0].Bends != 4 || lines[0].Scrapped != 1 {
		t.Errorf("line = %+v, %v, want 4 bends to log on the two good pieces", lines[0], err)
	}
	events, err := s.Events(ctx, code(1))
	if err != nil || len(events) != 1 || events[0].Detail != "3 for 1" || events[0].By != "AB" || Replacements(events)[1] != 3 {
		t.Errorf("events = %+v, %v, want one that says 3 for 1 by AB", events, err)
	}
}

// The owner's word on the quantity stands over an earlier replacement.
func TestRemakeAfterTheOwnerLoweredTheQuantity(t *testing.T) {
	s := openStore(t, t.TempDir())
	ctx := context.Background()
	issue(t, s, plan(1, 2))
	mustPost(t, s, code(1), `{"id":"b","piece":1,"step":1,"measured":60,"state":"scrapped","note":"torn"}`)
	if _, err := s.Remake(ctx, code(1), 1, "AB"); err != nil {
		t.Fatal(err)
	}
	if err := s.AddEvent(ctx, Event{Code: code(1), Kind: standing.Requantified, Detail: "2"}); err != nil {
		t.Fatal(err)
	}
	if k, err := s.TravelerByCode(ctx, code(1)); err != nil || k.Quantity != 2 {
		t.Errorf("quantity = %d, %v, want the owner's 2", k.Quantity, err)
	}
	if piece, err := s.Remake(ctx, code(1), 1, "AB"); err != nil || piece != 3 {
		t.Errorf("Remake once more = %d, %v, want piece 3 again", piece, err)
	}
}

func TestRemakeRefuses(t *testing.T) {
	s := openStore(t, t.TempDir())
	ctx := context.Background()
	issue(t, s, plan(1, 2))
	mustPost(t, s, code(1), `{"id":"b","piece":1,"step":1,"measured":60,"state":"scrapped","note":"torn"}`)
	_, err := s.Remake(ctx, code(7), 1, "AB")
	refused(t, err, fault.Missing, "Remake(unknown sheet)")
	_, err = s.Remake(ctx, code(1), 9, "AB")
	refused(t, err, fault.Conflict, "Remake(no such piece)")
	if err := s.AddEvent(ctx, Event{Code: code(1), Kind: standing.Voided, Detail: "wrong"}); err != nil {
		t.Fatal(err)
	}
	_, err = s.Remake(ctx, code(1), 1, "AB")
	refused(t, err, fault.Conflict, "Remake(void sheet)")
}

// Two people who both ask for the same piece get the same one; two scrapped
// pieces get two.
func TestRemakeAtTheSameMoment(t *testing.T) {
	s := openStore(t, t.TempDir())
	issue(t, s, plan(1, 4))
	for _, piece := range []int{1, 2} {
		mustPost(t, s, code(1), fmt.Sprintf(`{"id":"s%d","piece":%d,"step":1,"measured":60,"state":"scrapped","note":"torn"}`, piece, piece))
	}
	var wait sync.WaitGroup
	got := make([]int, 20)
	for i := range got {
		wait.Go(func() {
			piece, err := s.Remake(context.Background(), code(1), 1+i%2, "AB")
			if err != nil {
				t.Error(err)
			}
			got[i] = piece
		})
	}
	wait.Wait()
	for i := range got {
		if got[i] != got[i%2] {
			t.Errorf("Remake gave %v, want one number for each of the two pieces", got)
			break
		}
	}
	if got[0]+got[1] != 11 {
		t.Errorf("Remake gave %d and %d, want 5 and 6", got[0], got[1])
	}
}

func TestEventDetails(t *testing.T) {
	s := openStore(t, t.TempDir())
	issue(t, s, plan(1, 2))
	for _, e := range []Event{
		{Kind: standing.Resampled, Detail: "0"}, {Kind: standing.Resampled, Detail: "1001"}, {Kind: standing.Resampled, Detail: "ten"},
		{Kind: standing.Remade, Detail: "2"}, {Kind: standing.Remade, Detail: "1 for 2"}, {Kind: standing.Remade, Detail: "3 for 2 x"}, {Kind: standing.Remade, Detail: "03 for 2"},
	} {
		e.Code = code(1)
		refused(t, s.AddEvent(context.Background(), e), fault.Invalid, "AddEvent("+e.Kind+" "+e.Detail+")")
	}
}

func TestBatches(t *testing.T) {
	dir := t.TempDir()
	s := openStore(t, dir)
	issue(t, s, plan(1, 2))
	mustPost(t, s, code(1), body("a", 1, 1, 90))
	mustPost(t, s, code(1), body("a", 1, 1, 90)) // is there already
	if _, err := post(s, code(1), body("b", 9, 1, 90)); err == nil {
		t.Fatal("a piece that is not there was taken")
	}
	if got := s.Batches(); got[1] != 1 || len(got) != mostAtOnce+1 {
		t.Errorf("Batches = %v, want one of one reading", got)
	}
	if size, err := s.Size(context.Background()); err != nil || size < 4096 || size%4096 != 0 {
		t.Errorf("Size = %d, %v, want whole pages", size, err)
	}
	view, err := View(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer view.Close()
	if got := view.Batches(); got != nil {
		t.Errorf("Batches of a view = %v, want none", got)
	}
}
