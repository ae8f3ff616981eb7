package main

import (
	"bufio"
	"bytes"
	"context"
	"io"
	"log/slog"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"brakeside/server/store"
)

func TestUnitFile(t *testing.T) {
	var out bytes.Buffer
	err := unitFile(context.Background(), []string{"-data", "/srv/b", "-backup", "/mnt/copies", "-url", "http://192.0.2.7:8080", "-words", "/srv/de.po"}, streams{out: &out})
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"serve -data /srv/b -addr :8080 -url http://192.0.2.7:8080 -backup /mnt/copies -words /srv/de.po\n", "ReadWritePaths=/srv/b /mnt/copies", "Restart=on-failure", "User=brakeside"} {
		if !strings.Contains(out.String(), want) {
			t.Errorf("the unit lacks %q:\n%s", want, out.String())
		}
	}
	checkBySystemd(t, out.String())
	for _, bad := range [][]string{{"-data", "srv/b"}, {"-data", "/srv/a b"}, {"-backup", "%h"}, {"more"}} {
		if err := unitFile(context.Background(), bad, streams{out: &out}); err == nil {
			t.Errorf("unit %q = nil, want it refused", bad)
		}
	}
}

// checkBySystemd has systemd's own reader look at a unit, where there is one.
func checkBySystemd(t *testing.T, unit string) {
	t.Helper()
	reader, err := exec.LookPath("systemd-analyze")
	if err != nil && os.Getenv("CI") == "true" {
		t.Fatal("systemd-analyze is not installed, and this run must not skip the check")
	}
	if err != nil {
		t.Log("systemd-analyze is not installed: systemd has not read the unit")
		return
	}
	file := written(t, t.TempDir(), "brakeside.service", unit)
	if said, err := exec.Command(reader, "verify", "--man=no", file).CombinedOutput(); err != nil || len(said) > 0 {
		t.Errorf("systemd-analyze verify: %v\n%s", err, said)
	}
}

// A catalogue puts the pages of a service into another language; one that
// cannot be read keeps the service from starting, with the line.
func TestServeInWords(t *testing.T) {
	folder := t.TempDir()
	good := written(t, folder, "good.po", "msgid \"\"\nmsgstr \"Language: de\\n\"\n\nmsgid \"Sign in\"\nmsgstr \"Anmelden\"\n")
	r := starts(t, "serve", "-addr", "127.0.0.1:0", "-data", filepath.Join(folder, "shop"), "-words", good)
	_, page := get(t, r.says("brakeside is at ")+"/signin")
	for _, want := range []string{`<html lang="de">`, ">Anmelden</button>"} {
		if !strings.Contains(page, want) {
			t.Errorf("the page lacks %q:\n%s", want, page)
		}
	}
	r.stop(syscall.SIGTERM)
	bad := written(t, folder, "bad.po", "msgid \"\"\nmsgstr \"Language: de\\n\"\nhello\n")
	for _, c := range [][2]string{{bad, bad + ": line 3: this is no msgid"}, {folder + "/none.po", folder + "/none.po: there is no such file"}} {
		o := runs(t, "serve", "-addr", "127.0.0.1:0", "-data", filepath.Join(folder, "other"), "-words", c[0])
		if got := o.complaint(t, exitBadInput); !strings.HasPrefix(got, c[1]) {
			t.Errorf("serve -words %s: %q, want %q", c[0], got, c[1])
		}
	}
}

func TestBackupsCheck(t *testing.T) {
	dir := t.TempDir()
	for _, c := range []struct {
		name string
		b    backups
		good bool
	}{{"none", backups{}, true}, {"a folder", backups{dir, 3}, true}, {"none kept", backups{dir, 0}, false}, {"no folder", backups{filepath.Join(dir, "x"), 3}, false}} {
		if err := c.b.check(); (err == nil) != c.good {
			t.Errorf("%s: check() = %v, want fine %v", c.name, err, c.good)
		}
	}
}

func TestBackupsDueAndPrune(t *testing.T) {
	b := backups{t.TempDir(), 2}
	now := time.Date(2026, 5, 4, 2, 0, 0, 0, time.UTC)
	if due := b.due(now); due != 0 {
		t.Errorf("due in an empty folder = %v, want at once", due)
	}
	for _, days := range []int{-1, -3, -2, -9} {
		if err := os.WriteFile(b.file(now.AddDate(0, 0, days).Add(time.Hour)), nil, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	others := []string{"brakeside-before-20260101T000000Z.db", "brakeside-notes.db", "keep.txt"}
	for _, name := range others {
		if err := os.WriteFile(filepath.Join(b.folder, name), nil, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if due := b.due(now); due != time.Hour {
		t.Errorf("due 23 hours after the last copy = %v, want 1h", due)
	}
	if err := b.prune(now.AddDate(0, 0, -1).Add(time.Hour)); err != nil {
		t.Fatal(err)
	}
	copies, err := b.copies()
	if err != nil || len(copies) != 2 || !copies[1].Equal(now.AddDate(0, 0, -2).Add(time.Hour)) {
		t.Errorf("copies left = %v, %v, want the newest two", copies, err)
	}
	for _, name := range others {
		if _, err := os.Stat(filepath.Join(b.folder, name)); err != nil {
			t.Errorf("%s is gone: %v", name, err)
		}
	}
}

// The clock is set back by a day, or was a year ahead when copies were made: the
// next copy is made no later than a day from now, and it stays once it is made.
func TestBackupsAfterTheClockWasSetBack(t *testing.T) {
	b := backups{t.TempDir(), 2}
	now := time.Date(2026, 5, 4, 2, 0, 0, 0, time.UTC)
	for _, at := range []time.Time{now.AddDate(1, 0, 0), now.Add(23 * time.Hour), now.Add(-time.Hour)} {
		if err := os.WriteFile(b.file(at), nil, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if due := b.due(now); due != 23*time.Hour {
		t.Errorf("due an hour after the last copy of before = %v, want 23h", due)
	}
	if err := os.Remove(b.file(now.Add(-time.Hour))); err != nil {
		t.Fatal(err)
	}
	if due := b.due(now); due != 0 {
		t.Errorf("due with copies of tomorrow and of next year = %v, want at once", due)
	}
	if err := os.WriteFile(b.file(now), nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := b.prune(now.Add(300 * time.Millisecond)); err != nil {
		t.Fatal(err)
	}
	copies, err := b.copies()
	if err != nil || len(copies) != 2 || !copies[1].Equal(now) {
		t.Errorf("copies left = %v, %v, want the one just made among two", copies, err)
	}
}

// A copy in which the program fails is a line in the log: the service lives, and
// its other copies are made.
func TestPanicInACopyIsLogged(t *testing.T) {
	said, log := io.Pipe()
	broken := &service{store: new(store.Store), log: slog.New(slog.NewTextHandler(log, nil))} // nothing was opened: a copy of it panics
	ctx, stop := context.WithCancel(t.Context())
	done := broken.backUpDaily(ctx, backups{folder: t.TempDir(), keep: 1})
	lines := bufio.NewScanner(said)
	for _, want := range []string{`"no backup" error="panic: `, "trouble not noted"} { // and the next copy is waited for
		if !lines.Scan() || !strings.Contains(lines.Text(), want) {
			t.Errorf("the log says %q, want %q", lines.Text(), want)
		}
	}
	stop()
	<-done
}

// A service with a folder for copies makes one at once, says so, and can be
// restored from it; a password is set beside it while it runs.
func TestBackupAndPasswordBesideARunningService(t *testing.T) {
	data, copies := t.TempDir(), backups{t.TempDir(), 3}
	st, err := store.Open(data, time.Now)
	if err != nil {
		t.Fatal(err)
	}
	defer st.Close()
	v := &service{store: st}
	ctx := context.Background()
	if _, err := newOwner(ctx, st); err != nil {
		t.Fatal(err)
	}
	before, err := st.Owner(ctx)
	if err != nil {
		t.Fatal(err)
	}
	if err := v.backUp(ctx, copies); err != nil {
		t.Fatal(err)
	}
	if said, err := st.Setting(ctx, "last-backup"); err != nil || !strings.Contains(said, copies.folder) {
		t.Errorf("last-backup = %q, %v", said, err)
	}
	made, err := copies.copies()
	if err != nil || len(made) != 1 {
		t.Fatalf("copies = %v, %v", made, err)
	}
	var out, trouble bytes.Buffer
	if err := ownerPassword(ctx, []string{"-data", data}, streams{strings.NewReader("a password while it runs\n"), &out, &trouble}); err != nil {
		t.Fatalf("owner-password beside a running service: %v", err)
	}
	if after, err := st.Owner(ctx); err != nil || after.PasswordHash == before.PasswordHash {
		t.Errorf("the running service still has the old password: %v", err)
	}
	if err := store.Restore(filepath.Join(t.TempDir(), "fresh"), copies.file(made[0])); err != nil {
		t.Errorf("restore of the copy: %v", err)
	}
}
