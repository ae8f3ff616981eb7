package store

import (
	"context"
	"testing"
	"time"

	"brakeside/calc/fault"
)

func TestSettings(t *testing.T) {
	s := openStore(t, t.TempDir())
	ctx := context.Background()
	_, err := s.Setting(ctx, "shop")
	refused(t, err, fault.Missing, "Setting(never kept)")
	for _, value := range []string{"Rail and Tray", ""} {
		if err := s.KeepSetting(ctx, "shop", value); err != nil {
			t.Fatal(err)
		}
		if got, err := s.Setting(ctx, "shop"); err != nil || got != value {
			t.Errorf("Setting(shop) = %q, %v, want %q", got, err, value)
		}
	}
}

func TestOwnerAndSessions(t *testing.T) {
	now := noon
	s, err := Open(t.TempDir(), func() time.Time { return now })
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	ctx := context.Background()
	_, err = s.Owner(ctx)
	refused(t, err, fault.Missing, "Owner(none)")
	for _, o := range []Owner{{"Ada", "hash-1"}, {"Ada B.", "hash-2"}} {
		if err := s.SetOwner(ctx, o); err != nil {
			t.Fatal(err)
		}
		if got, err := s.Owner(ctx); err != nil || got != o {
			t.Errorf("Owner() = %+v, %v, want %+v", got, err, o)
		}
	}
	want := Session{TokenHash: "aa", Role: RoleOwner, Expires: noon.Add(time.Hour)}
	for _, session := range []Session{want, {TokenHash: "bb", Expires: noon.Add(time.Minute)}} {
		if err := s.AddSession(ctx, session); err != nil {
			t.Fatal(err)
		}
	}
	if got, err := s.Session(ctx, "aa"); err != nil || got != want {
		t.Errorf("Session(aa) = %+v, %v, want %+v", got, err, want)
	}
	_, err = s.Session(ctx, "cc")
	refused(t, err, fault.Denied, "Session(unknown)")
	now = noon.Add(time.Minute)
	_, err = s.Session(ctx, "bb")
	refused(t, err, fault.Denied, "Session(past)")
	if err := s.EndSession(ctx, "aa"); err != nil {
		t.Fatal(err)
	}
	_, err = s.Session(ctx, "aa")
	refused(t, err, fault.Denied, "Session(ended)")
}

// A new password must throw everybody out.
func TestSetOwnerEndsSessions(t *testing.T) {
	s := openStore(t, t.TempDir())
	ctx := context.Background()
	if err := s.SetOwner(ctx, Owner{"Ada", "hash-1"}); err != nil {
		t.Fatal(err)
	}
	if err := s.AddSession(ctx, Session{TokenHash: "aa", Expires: noon.Add(time.Hour)}); err != nil {
		t.Fatal(err)
	}
	if err := s.SetOwner(ctx, Owner{"Ada", "hash-2"}); err != nil {
		t.Fatal(err)
	}
	_, err := s.Session(ctx, "aa")
	refused(t, err, fault.Denied, "Session(after a new password)")
}
