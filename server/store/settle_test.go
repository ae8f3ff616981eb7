package store

import (
	"context"
	"testing"
)

// A decision and the version it makes are kept together, or neither is; none is
// changed or removed afterwards.
func TestSettle(t *testing.T) {
	s, ctx := openStore(t, t.TempDir()), context.Background()
	x := Settlement{Subject: SubjectMinutes, Name: "north", Kind: DecisionAccepted, Was: 1, Offered: 1.3, Becomes: 1.3, Upon: 4, N: 5, By: "owner"}
	version := &Shelved{Brakes, Revision{Name: "north", JSON: []byte(`{}`)}}
	if err := s.Settle(ctx, x, version); err != nil {
		t.Fatal(err)
	}
	if err := s.Settle(ctx, Settlement{Subject: SubjectK, Name: "steel", Kind: DecisionRefused, Offered: 0.4}, nil); err != nil {
		t.Fatal(err)
	}
	if err := s.Settle(ctx, Settlement{Subject: "weather", Name: "north", Kind: DecisionAccepted}, version); err == nil {
		t.Error("a decision about the weather was kept")
	}
	if err := s.Settle(ctx, Settlement{Subject: SubjectK, Name: "steel", Kind: "dreamt"}, version); err == nil {
		t.Error("a dreamt decision was kept")
	}
	history, err := s.History(ctx, Brakes, "north")
	if err != nil || len(history) != 1 {
		t.Errorf("History(north) = %d versions, %v, want the one", len(history), err)
	}
	got, err := s.Settlements(ctx, SubjectMinutes)
	if err != nil || len(got) != 1 {
		t.Fatalf("Settlements(minutes) = %+v, %v, want one", got, err)
	}
	x.Seq, x.At = 1, noon
	if got[0] != x {
		t.Errorf("Settlements(minutes) = %+v, want %+v", got[0], x)
	}
	for _, query := range []string{`UPDATE settlement SET becomes = 2`, `DELETE FROM settlement`, `INSERT OR REPLACE INTO settlement SELECT * FROM settlement WHERE seq = 1`} {
		if _, err := s.write.Exec(query); err == nil {
			t.Errorf("%s went through", query)
		}
	}
}
