package store

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"brakeside/calc/fault"
)

// What is done to the files of an open store by hand: readings are refused in
// words, health fails, and at the stop everything is there that was answered,
// under the name it had or, where another file has that, beside it.
func TestFileTakenAway(t *testing.T) {
	for _, c := range []struct {
		name  string
		do    func(path string) error
		words string
		found string // where everything is afterwards
	}{
		{"deleted", os.Remove, "deleted, moved or replaced", FileName},
		{"moved", func(path string) error { return os.Rename(path, path+".away") }, "deleted, moved or replaced", FileName},
		{"replaced", func(path string) error {
			if err := os.WriteFile(path+".new", []byte("another file"), 0o600); err != nil {
				return err
			}
			return os.Rename(path+".new", path)
		}, "deleted, moved or replaced", "brakeside-rescued-1.db"},
		{"its log deleted", func(path string) error { return os.Remove(path + "-wal") }, "deleted, moved or replaced", FileName},
		{"read-only", func(path string) error { return os.Chmod(path, 0o400) }, "may only be read", FileName},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := t.TempDir()
			s, err := Open(dir, atNoon)
			if err != nil {
				t.Fatal(err)
			}
			ctx := context.Background()
			issue(t, s, plan(1, 2))
			mustPost(t, s, code(1), body("kept", 1, 1, 90))
			if err := s.Ping(ctx); err != nil {
				t.Fatalf("Ping = %v before anything was done", err)
			}
			if err := c.do(dbPath(dir)); err != nil {
				t.Fatal(err)
			}
			for range 2 { // sent again: it must not be taken for stored
				_, err := post(s, code(1), body("refused", 1, 2, 45))
				refused(t, err, fault.Busy, "AddReading")
				if err == nil || !strings.Contains(err.Error(), c.words) {
					t.Errorf("AddReading = %v, want it to say %q", err, c.words)
				}
			}
			refused(t, s.KeepSetting(ctx, "a", "b"), fault.Busy, "KeepSetting")
			refused(t, s.Ping(ctx), fault.Busy, "Ping")
			err = s.Close()
			if rescued := c.name == "deleted" || c.name == "moved" || c.name == "replaced"; rescued != (err != nil) {
				t.Errorf("Close = %v, want it to say where everything is if it was rescued: %t", err, rescued)
			}
			keptIn(t, filepath.Join(dir, c.found))
			if left, err := filepath.Glob(filepath.Join(dir, ".*copy*")); err != nil || len(left) > 0 {
				t.Errorf("left: %v, %v", left, err)
			}
		})
	}
}

// keptIn looks whether a file is a sound store with the reading that was answered.
func keptIn(t *testing.T, path string) {
	t.Helper()
	if err := os.Chmod(path, 0o600); err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	if err := Restore(dir, path); err != nil {
		t.Fatal(err)
	}
	s := openStore(t, dir)
	if readings, err := s.Readings(context.Background(), code(1)); err != nil || len(readings) == 0 || readings[0].ID != "kept" {
		t.Errorf("readings = %v, %v, want the one that was answered", readings, err)
	}
}

// A file that comes back is the file again.
func TestFilePutBack(t *testing.T) {
	dir := t.TempDir()
	s := openStore(t, dir)
	issue(t, s, plan(1, 2))
	if err := os.Rename(dbPath(dir), dbPath(dir)+".away"); err != nil {
		t.Fatal(err)
	}
	_, err := post(s, code(1), body("a", 1, 1, 90))
	refused(t, err, fault.Busy, "AddReading")
	if err := os.Rename(dbPath(dir)+".away", dbPath(dir)); err != nil {
		t.Fatal(err)
	}
	mustPost(t, s, code(1), body("a", 1, 1, 90))
	if err := s.Ping(context.Background()); err != nil {
		t.Errorf("Ping = %v", err)
	}
}
