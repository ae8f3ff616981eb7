package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"github.com/mattn/go-sqlite3"

	"brakeside/calc/fault"
)

// Every connection of both pools must have the settings, not only the first.
func TestSettingsOfEveryConnection(t *testing.T) {
	s := openStore(t, t.TempDir())
	ctx := context.Background()
	pools := []struct {
		name      string
		pool      *sql.DB
		count     int
		queryOnly int
	}{{"writer", s.write, 1, 0}, {"readers", s.read, readers, 1}}
	for _, p := range pools {
		for i := range p.count {
			c, err := p.pool.Conn(ctx) // all are held, so that each is another one
			if err != nil {
				t.Fatal(err)
			}
			defer c.Close()
			checkPragmas(t, c, fmt.Sprintf("%s %d", p.name, i), p.queryOnly)
		}
		if got := p.pool.Stats().OpenConnections; got != p.count {
			t.Errorf("%s: %d connections open, want %d", p.name, got, p.count)
		}
	}
}

func checkPragmas(t *testing.T, c *sql.Conn, name string, queryOnly int) {
	t.Helper()
	for pragma, want := range map[string]string{
		"journal_mode": "wal", "synchronous": "2" /* FULL */, "foreign_keys": "1", "busy_timeout": "5000", "query_only": fmt.Sprint(queryOnly),
	} {
		var got string
		if err := c.QueryRowContext(context.Background(), "PRAGMA "+pragma).Scan(&got); err != nil || got != want {
			t.Errorf("%s: PRAGMA %s = %s, %v, want %s", name, pragma, got, err, want)
		}
	}
}

func TestOneServiceOnAFolder(t *testing.T) {
	dir := t.TempDir()
	first := openStore(t, dir)
	_, err := Open(dir, atNoon)
	refused(t, err, fault.Busy, "Open(folder in use)")
	if err != nil && !strings.Contains(err.Error(), "in use by another service") {
		t.Errorf("Open(folder in use) = %q, want it to say so", err)
	}
	if err := first.Close(); err != nil {
		t.Fatal(err)
	}
	second, err := Open(dir, atNoon)
	if err != nil {
		t.Fatalf("Open(folder let go) = %v", err)
	}
	if err := errors.Join(second.Close(), second.Close()); err != nil {
		t.Errorf("Close() twice = %v, want nil", err)
	}
}

// A failed Open must not keep the folder locked.
func TestFailedOpenLetsGo(t *testing.T) {
	dir := t.TempDir()
	if err := os.WriteFile(dbPath(dir), []byte(strings.Repeat("not a database ", 100)), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := Open(dir, atNoon); err == nil {
		t.Fatal("Open(garbage) succeeded")
	}
	if err := os.Remove(dbPath(dir)); err != nil {
		t.Fatal(err)
	}
	openStore(t, dir)
}

func TestOpenRefuses(t *testing.T) {
	database := func(statements string) func(*testing.T, string) {
		return func(t *testing.T, dir string) {
			db, err := sql.Open("sqlite3", "file:"+dbPath(dir))
			if err != nil {
				t.Fatal(err)
			}
			_, err = db.Exec(statements)
			if err := errors.Join(err, db.Close()); err != nil {
				t.Fatal(err)
			}
		}
	}
	write := func(content string) func(*testing.T, string) {
		return func(t *testing.T, dir string) {
			if err := os.WriteFile(dbPath(dir), []byte(content), 0o600); err != nil {
				t.Fatal(err)
			}
		}
	}
	cases := []struct {
		name    string
		prepare func(*testing.T, string)
		kind    fault.Kind
		words   string
		damaged bool
	}{
		{"newer", database(fmt.Sprintf(`PRAGMA application_id = %d; PRAGMA user_version = 99; CREATE TABLE a (b)`, applicationID)),
			fault.Invalid, "newer brakeside (version 99 of its layout; this one knows ", false},
		{"another program's", database(`PRAGMA application_id = 77; CREATE TABLE a (b)`), fault.Invalid, "another program", false},
		{"nobody's, with tables", database(`CREATE TABLE a (b)`), fault.Invalid, "another program", false},
		{"nobody's, with a version", database(`PRAGMA user_version = 1`), fault.Invalid, "another program", false},
		{"no database", write(strings.Repeat("these are words ", 300)), fault.Busy, "damaged", true},
		{"damaged within", func(t *testing.T, dir string) {
			openStore(t, dir).Close()
			spoil(t, dbPath(dir), 100, 4000)
		}, fault.Busy, "damaged", true},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			dir := t.TempDir()
			c.prepare(t, dir)
			for what, open := range map[string]func() (*Store, error){
				"Open": func() (*Store, error) { return Open(dir, atNoon) },
				"View": func() (*Store, error) { return View(dir) },
			} {
				_, err := open()
				refused(t, err, c.kind, what)
				if err != nil && (!strings.Contains(err.Error(), c.words) || errors.Is(err, Damaged) != c.damaged) {
					t.Errorf("%s = %q, damaged %t, want %q in it, damaged %t", what, err, errors.Is(err, Damaged), c.words, c.damaged)
				}
			}
		})
	}
}

// spoil overwrites part of a file.
func spoil(t *testing.T, path string, from, count int) {
	t.Helper()
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		t.Fatal(err)
	}
	_, err = f.WriteAt([]byte(strings.Repeat("#", count)), int64(from))
	if err := errors.Join(err, f.Close()); err != nil {
		t.Fatal(err)
	}
}

func TestFolderThatIsAFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "data")
	if err := os.WriteFile(path, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	_, err := Open(path, atNoon)
	refused(t, err, fault.Busy, "Open(a file)")
	_, err = Open(filepath.Join(path, "below"), atNoon)
	refused(t, err, fault.Busy, "Open(below a file)")
}

func TestOddFolderNames(t *testing.T) {
	for _, name := range []string{"with blanks", "what?mode=memory", "50%20", "a#b", "größe"} {
		dir := filepath.Join(t.TempDir(), name)
		s := openStore(t, dir)
		if err := s.KeepSetting(context.Background(), "shop", name); err != nil {
			t.Errorf("KeepSetting in %q = %v", name, err)
		}
		info, err := os.Stat(dbPath(dir))
		if err != nil {
			t.Errorf("folder %q: %v", name, err)
			continue
		}
		if got := info.Mode().Perm(); got != 0o600 {
			t.Errorf("folder %q: the database has rights %o, want 600", name, got)
		}
	}
}

func TestPing(t *testing.T) {
	s := openStore(t, t.TempDir())
	if err := s.Ping(context.Background()); err != nil {
		t.Errorf("Ping() = %v, want nil", err)
	}
	s.Close()
	if err := s.Ping(context.Background()); err == nil {
		t.Error("Ping() after Close = nil, want an error")
	}
}

// A full disk is made by forbidding the database to grow.
func TestDiskFull(t *testing.T) {
	s := openStore(t, t.TempDir())
	issue(t, s, plan(1, 100))
	mustPost(t, s, code(1), body("before", 1, 1, 90))
	var pages int
	if err := s.write.QueryRow(`PRAGMA page_count`).Scan(&pages); err != nil {
		t.Fatal(err)
	}
	exec(t, s, fmt.Sprintf(`PRAGMA max_page_count = %d`, pages))
	big := Revision{Name: "TR-7", JSON: []byte(strings.Repeat("x", 100_000))}
	_, err := s.Keep(context.Background(), Parts, big)
	refused(t, err, fault.Busy, "Keep(on a full disk)")
	if err != nil && !strings.Contains(err.Error(), "The disk is full: nothing was stored") {
		t.Errorf("Keep(on a full disk) = %q, want it to say so", err)
	}
	taken := fillReadings(t, s)
	exec(t, s, `PRAGMA max_page_count = 1000000`)
	mustPost(t, s, code(1), `{"id":"after","piece":1,"step":1,"measured":90,"confirmed":true}`)
	readings, err := s.Readings(context.Background(), code(1))
	if err != nil || len(readings) != taken+2 {
		t.Errorf("Readings = %d, %v, want %d: those that were answered and no other", len(readings), err, taken+2)
	}
}

// fillReadings posts readings until the disk is full and gives how many were
// taken.
func fillReadings(t *testing.T, s *Store) int {
	t.Helper()
	for n := range 1000 {
		_, err := post(s, code(1), fmt.Sprintf(`{"id":"fill-%d","piece":1,"step":1,"measured":90,"confirmed":true,"note":%q}`, n, strings.Repeat("n", 500)))
		if err != nil {
			refused(t, err, fault.Busy, "AddReading(on a full disk)")
			return n
		}
	}
	t.Fatal("the disk never became full")
	return 0
}

func TestView(t *testing.T) {
	dir := t.TempDir()
	_, err := View(dir)
	refused(t, err, fault.Missing, "View(empty folder)")

	s := openStore(t, dir)
	issue(t, s, plan(1, 2))
	v, err := View(dir) // beside the service
	if err != nil {
		t.Fatal(err)
	}
	defer v.Close()
	mustPost(t, s, code(1), body("r1", 1, 1, 90))
	if got, err := v.Readings(context.Background(), code(1)); err != nil || len(got) != 1 {
		t.Errorf("Readings beside the service = %d, %v, want 1", len(got), err)
	}
	refused(t, v.KeepSetting(context.Background(), "a", "b"), fault.Denied, "KeepSetting in a View")
	_, err = v.Keep(context.Background(), Parts, Revision{Name: "TR-7", JSON: []byte("{}")})
	refused(t, err, fault.Denied, "Keep in a View")
	_, err = post(v, code(1), body("r2", 1, 2, 45))
	refused(t, err, fault.Denied, "AddReading in a View")
	_, err = v.Session(context.Background(), "hash")
	refused(t, err, fault.Denied, "Session in a View")
	if _, err := v.read.Exec(`DELETE FROM setting`); err == nil {
		t.Error("a View's connection could write")
	}
}

func TestWorded(t *testing.T) {
	refusal := fault.New(fault.Missing, "", "no such thing")
	plain := errors.New("a mistake")
	cases := []struct {
		name  string
		err   error
		kind  fault.Kind
		words string
	}{
		{"full", sqlite3.Error{Code: sqlite3.ErrFull}, fault.Busy, "The disk is full"},
		{"full, from the system", &fs.PathError{Op: "write", Path: "x", Err: syscall.ENOSPC}, fault.Busy, "The disk is full"},
		{"read-only", sqlite3.Error{Code: sqlite3.ErrReadonly}, fault.Busy, "cannot be written to"},
		{"read-only disk", &fs.PathError{Op: "open", Path: "x", Err: syscall.EROFS}, fault.Busy, "cannot be written to"},
		{"no right", &fs.PathError{Op: "mkdir", Path: "x", Err: fs.ErrPermission}, fault.Busy, "cannot be written to"},
		{"cannot open", sqlite3.Error{Code: sqlite3.ErrCantOpen}, fault.Busy, "cannot be opened"},
		{"corrupt", sqlite3.Error{Code: sqlite3.ErrCorrupt}, fault.Busy, "damaged"},
		{"disk error", fmt.Errorf("store: %w", sqlite3.Error{Code: sqlite3.ErrIoErr}), fault.Busy, "The disk answers with an error"},
		{"locked", sqlite3.Error{Code: sqlite3.ErrBusy}, fault.Busy, "in use by another program"},
		{"a refusal passes", fmt.Errorf("while: %w", refusal), fault.Missing, "no such thing"},
		{"a mistake passes", plain, fault.Internal, "a mistake"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			got := worded(c.err)
			if fault.KindOf(got) != c.kind || !strings.Contains(got.Error(), c.words) || !errors.Is(got, c.err) {
				t.Errorf("worded(%v) = kind %d, %q, want kind %d with %q around it", c.err, fault.KindOf(got), got, c.kind, c.words)
			}
		})
	}
	if worded(nil) != nil {
		t.Errorf("worded(nil) = %v, want nil", worded(nil))
	}
}
