package store

import (
	"context"
	"database/sql"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"testing"
	"time"

	"brakeside/calc/fault"
	"brakeside/traveler/progress"
	"brakeside/traveler/standing"
)

// copier is a play of a program that copies a database as it is written, the way
// general ones for SQLite do: it keeps tables of its own in the database, brings
// the log into the file once, takes the file, holds a reader open so that the log
// is not begun again, and takes the log piece by piece. What it has is the file and
// the log up to some moment; SQLite itself tells where the last whole change ends
// (sqlite.org/walformat.html).
type copier struct {
	testing.TB
	pool   *sql.DB
	reader *sql.Tx
	path   string // of the database that is copied
	to     string // of the copy
}

func startCopier(tb testing.TB, path, dir string) *copier {
	tb.Helper()
	c := &copier{TB: tb, path: path, to: filepath.Join(dir, "copied.db")}
	var err error
	c.pool, err = sql.Open("sqlite3", "file:"+escaped(path)+"?_busy_timeout=5000")
	c.must(err)
	for _, statement := range []string{
		`CREATE TABLE IF NOT EXISTS _copier_position (id INTEGER PRIMARY KEY, seq INTEGER)`,
		`INSERT INTO _copier_position VALUES (1, 1) ON CONFLICT (id) DO UPDATE SET seq = seq + 1`,
		`PRAGMA wal_checkpoint(TRUNCATE)`,
	} {
		_, err := c.pool.Exec(statement)
		c.must(err)
	}
	c.reader, err = c.pool.Begin()
	c.must(err)
	var n int
	c.must(c.reader.QueryRow(`SELECT count(*) FROM _copier_position`).Scan(&n))
	content, err := os.ReadFile(path)
	c.must(err)
	c.must(os.WriteFile(c.to, content, 0o600))
	return c
}

func (c *copier) must(err error) {
	c.Helper()
	if err != nil {
		c.Fatal(err)
	}
}

// take takes what the log has got since.
func (c *copier) take() {
	c.Helper()
	have, err := os.OpenFile(c.to+"-wal", os.O_CREATE|os.O_RDWR|os.O_APPEND, 0o600)
	c.must(err)
	defer have.Close()
	info, err := have.Stat()
	c.must(err)
	log, err := os.ReadFile(c.path + "-wal")
	c.must(err)
	_, err = have.Write(log[info.Size():])
	c.must(err)
}

// stop lets the database go and makes the copy one file, which takes SQLite.
func (c *copier) stop() string {
	c.Helper()
	c.must(c.reader.Rollback())
	c.must(c.pool.Close())
	foldLog(c.to)
	return c.to
}

// A copier beside the store, while people log: what it had taken comes back whole
// after the machine is gone, with every reading that was answered by then, and
// passes for sound with the tables of the copier in it.
func TestCopierBesideTheStore(t *testing.T) {
	dir := t.TempDir()
	s := openStore(t, dir)
	c := startCopier(t, dbPath(dir), t.TempDir())
	people := &crowd{TB: t, store: s, people: 6}
	made := people.readings(people.prepare(30), 30)
	var done sync.WaitGroup
	done.Go(func() { people.log(made[:5]) })
	for range 20 {
		c.take()
		time.Sleep(2 * time.Millisecond)
	}
	done.Wait()
	before := rowsOf(t, s)
	c.take()
	for _, posted := range made[5] { // the copier is gone by then
		if _, err := s.AddReading(context.Background(), posted, progress.Judge); err != nil {
			t.Fatal(err)
		}
	}
	copied := c.stop()
	fresh := t.TempDir()
	if err := Restore(fresh, copied); err != nil {
		t.Fatalf("Restore(what the copier has) = %v", err)
	}
	back := openStore(t, fresh)
	if found, err := back.Check(context.Background()); err != nil || len(found) > 0 {
		t.Errorf("Check = %v, %v, want no damage", found, err)
	}
	after := rowsOf(t, back)
	if len(before["reading"]) < 150 {
		t.Fatalf("%d readings were copied: this shows nothing", len(before["reading"]))
	}
	for table, rows := range before {
		if table != "tally" && !slices.Equal(rows, after[table]) { // the tally is brought up to date by a start
			t.Errorf("%s: %d rows came back of %d, or others", table, len(after[table]), len(rows))
		}
	}
	if _, err := back.read.Exec(`SELECT seq FROM _copier_position`); err != nil {
		t.Errorf("the table of the copier: %v", err)
	}
}

// rowsOf gives every row of every table, as texts.
func rowsOf(t *testing.T, s *Store) map[string][]string {
	t.Helper()
	found := make(map[string][]string)
	for _, table := range tablesOf(t, s) {
		rows, err := s.read.Query(`SELECT * FROM ` + table)
		found[table], err = all(rows, err, func(rows *sql.Rows) (string, error) {
			row, err := scanAny(rows)
			return fmt.Sprintf("%q", row), err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	return found
}

// Tables of a copier come through all migrations as they are.
func TestCopierTablesAreMigratedAlong(t *testing.T) {
	dir := t.TempDir()
	oldDatabase(t, dir)
	c := startCopier(t, dbPath(dir), t.TempDir())
	c.must(c.reader.Rollback())
	c.must(c.pool.Close())
	s := openStore(t, dir)
	if got := rowsOf(t, s)["_copier_position"]; len(got) != 1 {
		t.Errorf("the copier's table has %q", got)
	}
	if found, err := s.Check(context.Background()); err != nil || len(found) > 0 {
		t.Errorf("Check = %v, %v, want no damage", found, err)
	}
	mustPost(t, s, code(1), body("new", 2, 1, 90))
}

// Copies that are made while people log are each of one moment: restored, every
// table of them holds the first rows of what the store held in the end.
func TestCopiesUnderLoad(t *testing.T) {
	s := openStore(t, t.TempDir())
	people := &crowd{TB: t, store: s, people: 8}
	made := people.readings(people.prepare(40), 40)
	var done sync.WaitGroup
	done.Go(func() { people.log(made) })
	var copies []map[string][]string
	for range 5 {
		file, dir := filepath.Join(t.TempDir(), "copy.db"), t.TempDir()
		if err := s.Backup(context.Background(), file); err != nil {
			t.Fatal(err)
		}
		if err := Restore(dir, file); err != nil {
			t.Fatal(err)
		}
		v, err := View(dir)
		if err != nil {
			t.Fatal(err)
		}
		copies = append(copies, rowsOf(t, v))
		if err := v.Close(); err != nil {
			t.Fatal(err)
		}
	}
	done.Wait()
	end := rowsOf(t, s)
	for _, copied := range copies {
		for table, rows := range copied {
			if table == "tally" || table == "sheet_reading" { // not in the order of their making
				continue
			}
			if n := len(rows); n > len(end[table]) || !slices.Equal(rows, end[table][:n]) {
				t.Errorf("%s: the %d rows of a copy are not the first of the store's", table, n)
			}
		}
		if len(copied["reading"]) != len(copied["sheet_reading"]) {
			t.Errorf("%d readings and %d of them filed: the copy is not of one moment", len(copied["reading"]), len(copied["sheet_reading"]))
		}
	}
}

// The clock is set back by a day while the store is open: readings keep their
// order, what was decided holds, and nothing is damage.
func TestClockSetBack(t *testing.T) {
	dir := t.TempDir()
	s := openStore(t, dir)
	ctx := context.Background()
	issue(t, s, plan(1, 2))
	mustPost(t, s, code(1), body("before", 1, 1, 90))
	copied := filepath.Join(t.TempDir(), "copy.db")
	if err := s.Backup(ctx, copied); err != nil {
		t.Fatal(err)
	}
	s.now = func() time.Time { return noon.AddDate(0, 0, -1) }
	mustPost(t, s, code(1), body("after", 1, 2, 45))
	if err := s.AddEvent(ctx, Event{Code: code(1), Kind: standing.Closed, Detail: "all made", By: "owner"}); err != nil {
		t.Fatal(err)
	}
	issue(t, s, plan(2, 2))
	readings, err := s.Readings(ctx, code(1))
	if err != nil || len(readings) != 2 || readings[0].ID != "before" || readings[1].ID != "after" {
		t.Errorf("readings = %v, %v, want them in the order they came in", readings, err)
	}
	startAgain(t, s)
	if totals, err := s.Totals(ctx, Choice{}); err != nil || totals.Readings != 2 {
		t.Errorf("totals = %+v, %v, want two readings", totals, err)
	}
	if lines, err := s.Travelers(ctx); err != nil || len(lines) != 2 {
		t.Errorf("lines = %v, %v, want both sheets", lines, err)
	}
	if found, err := s.Check(ctx); err != nil || len(found) > 0 {
		t.Errorf("Check = %v, %v, want no damage", found, err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	refused(t, Restore(dir, copied), fault.Conflict, "Restore(a copy from before, with a later time)")
}
