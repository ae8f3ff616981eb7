package store

import (
	"context"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// What is said comes back in order, with the reading it was said after; with its
// decisions it is kept whole or not at all.
func TestSay(t *testing.T) {
	s := openStore(t, t.TempDir())
	ctx := context.Background()
	want := []Statement{
		{Kind: Corner, Person: "AB", Tool: "bevel", Corner: 13500, Shown: 13550, By: "AB"},
		{Kind: ShowsOpening, Person: "CD", By: "CD"},
		{Kind: ScaleSet, Brake: "north", By: "owner"},
		{Kind: Offcut, Code: code(1), Step: 2, Shown: 8900, Stop: 9200, Person: "AB", By: "AB"},
	}
	for i := range want {
		if err := s.Say(ctx, want[i], Decision{Kind: DecisionReturned, Cell: cellOne}); err != nil {
			t.Fatal(err)
		}
		want[i].Seq, want[i].At = int64(i+1), s.clock()
	}
	for _, x := range []Statement{{Kind: "guessed"}} {
		if err := s.Say(ctx, x, Decision{Kind: DecisionReturned, Cell: cellOne}); err == nil {
			t.Errorf("Say(%+v) was kept", x)
		}
	}
	if err := s.Say(ctx, want[2], Decision{Kind: "guessed", Cell: cellOne}); err == nil {
		t.Error("a statement with a decision that cannot be was kept")
	}
	got, err := s.Statements(ctx)
	if diff := cmp.Diff(want, got); err != nil || diff != "" {
		t.Errorf("Statements, %v:\n%s", err, diff)
	}
	if all, err := s.Decisions(ctx); err != nil || len(all) != len(want) {
		t.Errorf("%d decisions are kept, %v, want the %d of what was said", len(all), err, len(want))
	}
}
