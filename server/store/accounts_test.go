package store

import (
	"context"
	"testing"
	"time"

	"brakeside/calc/fault"
)

// signedIn reports which of the tokens are signed in, as letters.
func signedIn(t *testing.T, s *Store, tokens ...string) (out string) {
	t.Helper()
	for _, token := range tokens {
		found, err := s.Session(context.Background(), token)
		if err == nil && found.TokenHash == token {
			out += token
		} else if fault.KindOf(err) != fault.Denied {
			t.Errorf("Session(%s) = %+v, %v, want it denied", token, found, err)
		}
	}
	return out
}

func TestAccounts(t *testing.T) {
	s := openStore(t, t.TempDir())
	ctx := context.Background()
	if _, err := s.Owner(ctx); fault.KindOf(err) != fault.Missing {
		t.Errorf("Owner of a new store = %v, want it missing", err)
	}
	if _, err := s.Viewer(ctx); fault.KindOf(err) != fault.Missing {
		t.Errorf("Viewer of a new store = %v, want it missing", err)
	}
	for _, hash := range []string{"first", "second"} {
		if err := s.SetOwner(ctx, Owner{Name: "owner", PasswordHash: hash}); err != nil {
			t.Fatal(err)
		}
		if err := s.SetViewer(ctx, Owner{Name: "viewer", PasswordHash: "look " + hash}); err != nil {
			t.Fatal(err)
		}
		owner, err := s.Owner(ctx)
		if err != nil || owner != (Owner{Name: "owner", PasswordHash: hash}) {
			t.Errorf("Owner() = %+v, %v", owner, err)
		}
		viewer, err := s.Viewer(ctx)
		if err != nil || viewer.PasswordHash != "look "+hash {
			t.Errorf("Viewer() = %+v, %v", viewer, err)
		}
	}
	if err := s.SetViewer(ctx, Owner{}); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Viewer(ctx); fault.KindOf(err) != fault.Missing {
		t.Errorf("Viewer() after the account was taken away = %v, want it missing", err)
	}
	if _, err := s.Owner(ctx); err != nil {
		t.Errorf("the owner went with the viewer: %v", err)
	}
}

// people makes both accounts: a session belongs to one.
func people(t *testing.T, s *Store) {
	t.Helper()
	if err := s.SetOwner(t.Context(), Owner{Name: "owner", PasswordHash: "h"}); err != nil {
		t.Fatal(err)
	}
	if err := s.SetViewer(t.Context(), Owner{Name: "viewer", PasswordHash: "v"}); err != nil {
		t.Fatal(err)
	}
}

func TestNoSessionWithoutAnAccount(t *testing.T) {
	s := openStore(t, t.TempDir())
	if err := s.AddSession(t.Context(), Session{TokenHash: "v", Role: RoleViewer, Expires: noon.Add(time.Hour)}); err == nil {
		t.Error("somebody who has no account is signed in")
	}
}

// Who is signed in after each thing that can end a session.
func TestSessionsEnd(t *testing.T) {
	for _, c := range []struct {
		name string
		do   func(s *Store, now *time.Time) error
		want string
	}{
		{"nothing", func(*Store, *time.Time) error { return nil }, "ov"},
		{"one signs out", func(s *Store, _ *time.Time) error { return s.EndSession(t.Context(), "o") }, "v"},
		{"one that is not there", func(s *Store, _ *time.Time) error { return s.EndSession(t.Context(), "x") }, "ov"},
		{"everybody", func(s *Store, _ *time.Time) error { return s.EndSessions(t.Context()) }, ""},
		{"a new owner's password", func(s *Store, _ *time.Time) error { return s.SetOwner(t.Context(), Owner{PasswordHash: "h"}) }, ""},
		{"a new viewer's password", func(s *Store, _ *time.Time) error { return s.SetViewer(t.Context(), Owner{PasswordHash: "h"}) }, "o"},
		{"the viewer's account goes", func(s *Store, _ *time.Time) error { return s.SetViewer(t.Context(), Owner{}) }, "o"},
		{"time", func(_ *Store, now *time.Time) error { *now = noon.Add(time.Hour); return nil }, "v"},
	} {
		t.Run(c.name, func(t *testing.T) {
			now := noon
			s := clockOf(t, &now)
			people(t, s)
			for _, session := range []Session{{TokenHash: "o", Expires: noon.Add(time.Hour)}, {TokenHash: "v", Role: RoleViewer, Expires: noon.Add(2 * time.Hour)}} {
				if err := s.AddSession(t.Context(), session); err != nil {
					t.Fatal(err)
				}
			}
			if err := c.do(s, &now); err != nil {
				t.Fatal(err)
			}
			if got := signedIn(t, s, "o", "v"); got != c.want {
				t.Errorf("signed in are %q, want %q", got, c.want)
			}
			if n, err := s.Sessions(t.Context()); err != nil || n != len(c.want) {
				t.Errorf("Sessions() = %d, %v, want %d", n, err, len(c.want))
			}
		})
	}
}

// A session without a role is the owner's; one that is past is forgotten with
// the next sign-in.
func TestSessionRoles(t *testing.T) {
	now := noon
	s := clockOf(t, &now)
	people(t, s)
	for token, role := range map[string]string{"a": "", "b": RoleOwner, "c": RoleViewer} {
		if err := s.AddSession(t.Context(), Session{TokenHash: token, Role: role, Expires: noon.Add(time.Minute)}); err != nil {
			t.Fatal(err)
		}
		want := role
		if want == "" {
			want = RoleOwner
		}
		if got, err := s.Session(t.Context(), token); err != nil || got.Role != want || !got.Expires.Equal(noon.Add(time.Minute)) {
			t.Errorf("Session(%s) = %+v, %v, want role %s", token, got, err, want)
		}
	}
	now = noon.Add(2 * time.Minute)
	if err := s.AddSession(t.Context(), Session{TokenHash: "d", Expires: now.Add(time.Minute)}); err != nil {
		t.Fatal(err)
	}
	var left int
	if err := s.read.QueryRow(`SELECT count(*) FROM session`).Scan(&left); err != nil || left != 1 {
		t.Errorf("%d sessions are left in the file, %v, want 1", left, err)
	}
}

// A forgotten password is set beside a running service, which then knows nobody.
func TestBesideARunningService(t *testing.T) {
	dir := t.TempDir()
	running := openStore(t, dir)
	people(t, running)
	if err := running.AddSession(t.Context(), Session{TokenHash: "o", Expires: noon.Add(time.Hour)}); err != nil {
		t.Fatal(err)
	}
	beside, err := Beside(dir, atNoon)
	if err != nil {
		t.Fatal(err)
	}
	if err := beside.SetOwner(t.Context(), Owner{Name: "owner", PasswordHash: "new"}); err != nil {
		t.Fatal(err)
	}
	if err := beside.Close(); err != nil {
		t.Fatal(err)
	}
	if owner, err := running.Owner(t.Context()); err != nil || owner.PasswordHash != "new" {
		t.Errorf("the running service has the owner %+v, %v", owner, err)
	}
	if got := signedIn(t, running, "o"); got != "" {
		t.Errorf("signed in are %q, want nobody", got)
	}
	if _, err := Beside(t.TempDir(), atNoon); err == nil {
		t.Error("Beside opens a folder without a database")
	}
}
