package store

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"brakeside/calc/fault"
	"brakeside/traveler/standing"
)

// A backup taken while readings pour in is sound and holds everything that was
// answered before it began.
func TestBackupWhileWriting(t *testing.T) {
	s := openStore(t, t.TempDir())
	for n := range 4 {
		issue(t, s, plan(n, 1000))
		if err := s.AddEvent(context.Background(), Event{Code: code(n), Kind: standing.Released, Detail: "seen"}); err != nil {
			t.Fatal(err)
		}
	}
	stop := make(chan struct{})
	halfway := make(chan struct{}, 4)
	var wait sync.WaitGroup
	for n := range 4 {
		wait.Go(func() {
			for i := range 1000 {
				mustPost(t, s, code(n), fmt.Sprintf(`{"id":"p%d-%d","piece":%d,"step":1,"measured":90,"confirmed":true}`, n, i, i+1))
				if i == 50 {
					halfway <- struct{}{}
				}
				select {
				case <-stop:
					return
				default:
				}
			}
		})
	}
	for range 4 {
		<-halfway
	}
	file := filepath.Join(t.TempDir(), "backup.db")
	err := s.Backup(context.Background(), file)
	close(stop)
	wait.Wait()
	if err != nil {
		t.Fatal(err)
	}
	checkBackup(t, file, 4*51)
	names, err := os.ReadDir(filepath.Dir(file))
	if err != nil || len(names) != 1 {
		t.Errorf("files beside the backup = %v, %v, want none", names, err)
	}
	if err := s.Backup(context.Background(), file); err != nil {
		t.Errorf("Backup(over an earlier one) = %v, want nil", err)
	}
}

// checkBackup restores a backup into a fresh folder and looks at it.
func checkBackup(t *testing.T, file string, least int) {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "restored")
	if err := Restore(dir, file); err != nil {
		t.Fatal(err)
	}
	s := openStore(t, dir)
	damage, err := s.Check(context.Background())
	if err != nil || len(damage) != 0 {
		t.Errorf("Check(restored) = %v, %v, want none", damage, err)
	}
	var n int
	if err := s.read.QueryRow(`SELECT count(*) FROM reading`).Scan(&n); err != nil || n < least {
		t.Errorf("readings in the backup = %d, %v, want at least the %d answered before it began", n, err, least)
	}
}

func TestBackupRefuses(t *testing.T) {
	s := openStore(t, t.TempDir())
	file := filepath.Join(t.TempDir(), "letter.txt")
	if err := os.WriteFile(file, []byte("Dear customer, please find enclosed"), 0o600); err != nil {
		t.Fatal(err)
	}
	refused(t, s.Backup(context.Background(), file), fault.Conflict, "Backup(over a letter)")
	if content, err := os.ReadFile(file); err != nil || !strings.HasPrefix(string(content), "Dear customer") {
		t.Errorf("the letter = %q, %v, want it untouched", content, err)
	}
	refused(t, s.Backup(context.Background(), filepath.Join(t.TempDir(), "none", "b.db")), fault.Busy, "Backup(into no folder)")
}

func TestRestore(t *testing.T) {
	ctx := context.Background()
	dir := t.TempDir()
	file := filepath.Join(t.TempDir(), "backup.db")
	s := openStore(t, dir)
	issue(t, s, plan(1, 3))
	mustPost(t, s, code(1), body("r1", 1, 1, 90))
	if err := s.Backup(ctx, file); err != nil {
		t.Fatal(err)
	}
	refused(t, Restore(dir, file), fault.Busy, "Restore(folder in use)")
	mustPost(t, s, code(1), body("r2", 1, 2, 45))
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	err := Restore(dir, file)
	refused(t, err, fault.Conflict, "Restore(over a later one)")
	if err != nil && !strings.Contains(err.Error(), "holds readings that the backup does not, the newest of them among the 2") {
		t.Errorf("Restore(over a later one) = %q, want it to say what is there", err)
	}
	checkReadings(t, dir, 2)
	other := filepath.Join(t.TempDir(), "other.db") // made in the same second, with as many readings
	s2 := openStore(t, t.TempDir())
	issue(t, s2, plan(1, 3))
	mustPost(t, s2, code(1), body("o1", 1, 1, 90))
	mustPost(t, s2, code(1), body("o2", 1, 2, 45))
	if err := s2.Backup(ctx, other); err != nil {
		t.Fatal(err)
	}
	refused(t, Restore(dir, other), fault.Conflict, "Restore(over another shop's)")
	if err := RestoreOver(dir, file); err != nil {
		t.Fatal(err)
	}
	checkReadings(t, dir, 1)
	if err := Restore(dir, file); err != nil { // over an equal one
		t.Errorf("Restore(over an equal one) = %v, want nil", err)
	}
	aside := t.TempDir()
	if err := os.Rename(filepath.Join(dir, "brakeside-replaced-1.db"), dbPath(aside)); err != nil {
		t.Fatal(err)
	}
	checkReadings(t, aside, 2)
	if _, err := os.Stat(filepath.Join(dir, "brakeside-replaced-2.db")); err != nil {
		t.Errorf("the second one replaced: %v", err)
	}
}

func checkReadings(t *testing.T, dir string, want int) {
	t.Helper()
	s, err := Open(dir, atNoon)
	if err != nil {
		t.Fatal(err)
	}
	got, err := s.Readings(context.Background(), code(1))
	if err != nil || len(got) != want {
		t.Errorf("Readings() = %d, %v, want %d", len(got), err, want)
	}
	if err := s.Close(); err != nil {
		t.Error(err)
	}
}

// A service that was killed leaves its last readings in the log beside the
// file: they must go aside with it.
func TestRestoreOverKeepsTheLog(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(t.TempDir(), "backup.db")
	s := openStore(t, dir)
	issue(t, s, plan(1, 3))
	if err := s.Backup(context.Background(), file); err != nil {
		t.Fatal(err)
	}
	mustPost(t, s, code(1), body("r1", 1, 1, 90))
	killed := t.TempDir()
	for _, ending := range []string{"", "-wal"} {
		content, err := os.ReadFile(dbPath(dir) + ending)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(dbPath(killed)+ending, content, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	refused(t, Restore(killed, file), fault.Conflict, "Restore(over one with a log)")
	if err := RestoreOver(killed, file); err != nil {
		t.Fatal(err)
	}
	checkReadings(t, killed, 0)
	aside := t.TempDir()
	if err := os.Rename(filepath.Join(killed, "brakeside-replaced-1.db"), dbPath(aside)); err != nil {
		t.Fatal(err)
	}
	checkReadings(t, aside, 1)
}

func TestRestoreOverDamaged(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(t.TempDir(), "backup.db")
	s := openStore(t, dir)
	issue(t, s, plan(1, 3))
	if err := errors.Join(s.Backup(context.Background(), file), s.Close()); err != nil {
		t.Fatal(err)
	}
	spoil(t, dbPath(dir), 0, 8000)
	err := Restore(dir, file)
	refused(t, err, fault.Conflict, "Restore(over a damaged one)")
	if err := RestoreOver(dir, file); err != nil {
		t.Fatal(err)
	}
	checkReadings(t, dir, 0)
}

func TestRestoreRefusesWhatIsNoBackup(t *testing.T) {
	dir := t.TempDir()
	letter := filepath.Join(dir, "letter.txt")
	empty := filepath.Join(dir, "empty.db")
	if err := errors.Join(os.WriteFile(letter, []byte(strings.Repeat("Dear customer ", 100)), 0o600), os.WriteFile(empty, nil, 0o600)); err != nil {
		t.Fatal(err)
	}
	for name, want := range map[string]fault.Kind{letter: fault.Invalid, empty: fault.Invalid, filepath.Join(dir, "none.db"): fault.Missing} {
		target := filepath.Join(t.TempDir(), "data")
		refused(t, Restore(target, name), want, "Restore("+filepath.Base(name)+")")
		if _, err := os.Stat(target); err == nil {
			t.Errorf("Restore(%s) made the folder", filepath.Base(name))
		}
	}
}

// The newest readings taken out with their seals leave a store that no seal can prove
// wrong; its last copy tells.
func TestLastCopyTellsWhatIsGone(t *testing.T) {
	ctx := context.Background()
	s := openStore(t, t.TempDir())
	file := filepath.Join(t.TempDir(), "last.db")
	issue(t, s, plan(1, 3))
	mustPost(t, s, code(1), body("r1", 1, 1, 90))
	mustPost(t, s, code(1), body("r2", 1, 2, 45))
	if err := s.Backup(ctx, file); err != nil {
		t.Fatal(err)
	}
	if err := s.LacksOf(file); err != nil {
		t.Errorf("LacksOf(a copy of now) = %v", err)
	}
	mustPost(t, s, code(1), body("r3", 2, 1, 90))
	if err := s.LacksOf(file); err != nil {
		t.Errorf("LacksOf(an earlier copy) = %v", err)
	}
	edited(t, s, `DELETE FROM reading WHERE seq > 1`)
	edited(t, s, `DELETE FROM seal WHERE of_table = 'reading' AND upto > 1`)
	if err := s.LacksOf(file); !errors.Is(err, Damaged) || !strings.Contains(err.Error(), "last.db has 2 readings") {
		t.Errorf("LacksOf(a copy with more) = %v, want it to say that some are gone", err)
	}
	if err := s.LacksOf(filepath.Join(t.TempDir(), "none.db")); err == nil || errors.Is(err, Damaged) {
		t.Errorf("LacksOf(no file) = %v, want an error that is no damage", err)
	}
}
