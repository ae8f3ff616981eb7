package main

import (
	"bytes"
	"database/sql"
	"log/slog"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"brakeside/calc/fault"
	"brakeside/server/store"
)

// A store in which somebody has changed a row with a program for databases: the
// owner is told, copies that are good stay, and what may be in no good copy is kept
// apart. Once it is put right the owner is told nothing.
func TestDamageIsTold(t *testing.T) {
	data, copies := t.TempDir(), backups{t.TempDir(), 1}
	st, err := store.Open(data, time.Now)
	if err != nil {
		t.Fatal(err)
	}
	defer st.Close()
	var log bytes.Buffer
	v := &service{store: st, log: slog.New(slog.NewTextHandler(&log, nil))}
	ctx := t.Context()
	if err := st.AddJob(ctx, store.Job{Number: "J-1", Part: "RB-1", Quantity: 12}); err != nil {
		t.Fatal(err)
	}
	told := func() (damage, trouble string) {
		t.Helper()
		if err := v.scrub(ctx, 0); err != nil {
			t.Fatal(err)
		}
		damage, err := st.Setting(ctx, store.SettingDamage)
		if err != nil && fault.KindOf(err) != fault.Missing {
			t.Fatal(err)
		}
		return damage, log.String()
	}
	if damage, said := told(); damage != "" || said != "" {
		t.Errorf("of a sound store is told %q, %q", damage, said)
	}
	good := copies.file(time.Now().Add(-48 * time.Hour))
	if err := st.Backup(ctx, good); err != nil {
		t.Fatal(err)
	}
	change := func(quantity int) {
		t.Helper()
		other, err := sql.Open("sqlite3", filepath.Join(data, store.FileName))
		if err != nil {
			t.Fatal(err)
		}
		defer other.Close()
		if _, err := other.Exec(`UPDATE job SET quantity = ?`, quantity); err != nil {
			t.Fatal(err)
		}
	}
	change(21)
	if damage, said := told(); !strings.Contains(damage, "first at job 1: it is no longer what was stored") || !strings.Contains(said, "damaged") {
		t.Errorf("of a changed job is told %q, %q", damage, said)
	}
	for range 2 {
		if err := v.backUp(ctx, copies); err == nil || !strings.HasPrefix(firstLine(err), "The database is damaged, first at job 1") {
			t.Errorf("a copy of the damaged store: %v", err)
		}
	}
	wantListing(t, copies.folder, filepath.Base(good), damagedCopy)
	change(12)
	if damage, _ := told(); damage != "" {
		t.Errorf("of a job that was put right is told %q", damage)
	}
	if err := v.backUp(ctx, copies); err != nil {
		t.Error(err)
	}
	if _, err := os.Stat(good); err == nil {
		t.Error("the old copy stays once there is a new one")
	}
}
