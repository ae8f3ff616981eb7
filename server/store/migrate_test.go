package store

import (
	"compress/gzip"
	"context"
	"database/sql"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/google/go-cmp/cmp"

	"brakeside/traveler/standing"
)

const oldFile = "testdata/version1.db.gz"

// oldDatabase unpacks the kept database of version 1: one job, its sheet and
// two readings.
func oldDatabase(t *testing.T, dir string) {
	t.Helper()
	packed, err := os.Open(oldFile)
	if err != nil {
		t.Fatal(err)
	}
	defer packed.Close()
	plain, err := gzip.NewReader(packed)
	if err != nil {
		t.Fatal(err)
	}
	content, err := io.ReadAll(plain)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(dbPath(dir), content, 0o600); err != nil {
		t.Fatal(err)
	}
}

func TestKeptOldDatabase(t *testing.T) {
	dir := t.TempDir()
	oldDatabase(t, dir)
	if _, err := View(dir); err == nil || !strings.Contains(err.Error(), "older than this program") {
		t.Errorf("View(old database) = %v, want it to say that it is older", err)
	}
	s := openStore(t, dir)
	ctx := context.Background()
	if got, want := schema(t, s.read), schema(t, openStore(t, t.TempDir()).read); !slices.Equal(got, want) {
		t.Errorf("schema of a migrated database =\n%s\nwant that of a fresh one:\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
	readings, err := s.Readings(ctx, code(1))
	if err != nil || len(readings) != 2 || readings[0].ID != "old-1" || readings[1].Bend() != 4530 {
		t.Errorf("Readings(old sheet) = %+v, %v, want old-1 and one of 45.3", readings, err)
	}
	mustPost(t, s, code(1), body("new-1", 2, 1, 90))
	if damage, err := s.Check(ctx); err != nil || len(damage) != 0 {
		t.Errorf("Check(migrated) = %v, %v, want none", damage, err)
	}
	checkKeptCopy(t, dir)
}

// What was decided about a sheet survives the script that makes its table anew.
func TestEventsSurviveTheirNewTable(t *testing.T) {
	dir := t.TempDir()
	oldDatabase(t, dir)
	pool, err := openPool(writerName(dbPath(dir)), 1)
	if err != nil {
		t.Fatal(err)
	}
	_, err = pool.Exec(`INSERT INTO traveler_event (seq, code, kind, detail, by_whom, at)
		VALUES (4, ?1, 'quantity', '7', 'owner', '2026-05-03T09:30:00Z'), (9, ?1, 'override', 'agreed', 'owner', '2026-05-03T09:31:00Z')`, code(1))
	if err := errors.Join(err, pool.Close()); err != nil {
		t.Fatal(err)
	}
	s := openStore(t, dir)
	if got := content(t, s, "traveler_event"); got != "4quantity7 9overrideagreed" {
		t.Errorf("events after the migration = %q, want both as they were", got)
	}
	if err := s.AddEvent(context.Background(), Event{Code: code(1), Kind: standing.Resampled, Detail: "10"}); err != nil {
		t.Errorf("AddEvent(sampling) = %v, want it kept", err)
	}
	k, err := s.TravelerByCode(context.Background(), code(1))
	if err != nil || k.Quantity != 7 || !k.Override || k.Every != 10 {
		t.Errorf("standing = %+v, %v, want 7 pieces, let go on, every tenth measured", k.Standing, err)
	}
}

// checkKeptCopy looks at the copy that was made before the migration.
func checkKeptCopy(t *testing.T, dir string) {
	t.Helper()
	pool, err := openPool(readerName(filepath.Join(dir, "brakeside-before-20260504T120000Z.db")), 1)
	if err != nil {
		t.Fatalf("the copy made before the migration: %v", err)
	}
	defer pool.Close()
	version, err := versionOf(pool)
	if err != nil || version != 1 {
		t.Errorf("version of the kept copy = %d, %v, want 1", version, err)
	}
	var n int
	if err := pool.QueryRow(`SELECT count(*) FROM reading`).Scan(&n); err != nil || n != 2 {
		t.Errorf("readings in the kept copy = %d, %v, want 2", n, err)
	}
}

// A database that is new or up to date is not copied.
func TestNoNeedlessCopy(t *testing.T) {
	dir := t.TempDir()
	openStore(t, dir).Close()
	openStore(t, dir)
	if copies, err := filepath.Glob(filepath.Join(dir, "brakeside-before-*")); err != nil || len(copies) != 0 {
		t.Errorf("copies = %v, %v, want none", copies, err)
	}
}

func schema(t *testing.T, pool *sql.DB) []string {
	t.Helper()
	rows, err := pool.Query(`SELECT type || ' ' || name || ': ' || coalesce(sql, '') FROM sqlite_schema ORDER BY type, name`)
	lines, err := all(rows, err, func(rows *sql.Rows) (string, error) {
		var line string
		err := rows.Scan(&line)
		return line, err
	})
	if err != nil || len(lines) < 20 {
		t.Fatalf("schema = %d lines, %v", len(lines), err)
	}
	return lines
}

// A script that fails half-way leaves the database as it was.
func TestStepIsWhole(t *testing.T) {
	s := openStore(t, t.TempDir())
	before := schema(t, s.write)
	scripts, err := migrations()
	if err != nil {
		t.Fatal(err)
	}
	broken := append(slices.Clone(scripts), `CREATE TABLE half (a) STRICT; CREATE TABLE nonsense (`)
	if err := step(s.write, len(broken), broken); err == nil {
		t.Error("step(broken script) = nil, want an error")
	}
	if version, err := versionOf(s.write); err != nil || version != len(scripts) {
		t.Errorf("version after a broken script = %d, %v, want %d", version, err, len(scripts))
	}
	if got := schema(t, s.write); !slices.Equal(got, before) {
		t.Errorf("schema after a broken script = %v, want it unchanged", got)
	}
}

// Scripts are counted by their numbers, not by the order of their names; a gap or
// a double would shift versions and is refused.
func TestScriptsAreCounted(t *testing.T) {
	names := func(numbers ...string) fs.FS {
		files := fstest.MapFS{}
		for _, n := range numbers {
			files["migrations/"+n+"_x.sql"] = &fstest.MapFile{Data: []byte("script " + n)}
		}
		return files
	}
	scripts, err := scriptsIn(names("1", "2", "3", "4", "5", "6", "7", "8", "9", "10", "0011"))
	if err != nil || scripts[1] != "script 2" || scripts[9] != "script 10" || scripts[10] != "script 0011" {
		t.Errorf("scripts = %q, %v, want them by their numbers", scripts, err)
	}
	for _, wrong := range []fs.FS{names("0001", "0003"), names("0001", "0002", "2"), names("0000", "0001"), names("0001", "first"), names("0002")} {
		if scripts, err := scriptsIn(wrong); err == nil {
			t.Errorf("scripts = %q, want a gap or a double refused", scripts)
		}
	}
	if scripts, err := migrations(); err != nil || len(scripts) < 13 {
		t.Errorf("our own %d scripts: %v", len(scripts), err)
	}
}

// A database of each version that had seals already is brought on, and found whole.
func TestFromSealedVersions(t *testing.T) {
	scripts, err := migrations()
	if err != nil {
		t.Fatal(err)
	}
	for version := 12; version < len(scripts); version++ {
		dir := t.TempDir()
		pool, err := openPool(writerName(filepath.Join(dir, FileName)), 1)
		if err != nil {
			t.Fatal(err)
		}
		for number := 1; number <= version; number++ {
			if err := step(pool, number, scripts); err != nil {
				t.Fatalf("version %d: %v", number, err)
			}
		}
		if err := pool.Close(); err != nil {
			t.Fatal(err)
		}
		s := openStore(t, dir)
		issue(t, s, plan(1, 3))
		if found, err := s.Check(context.Background()); err != nil || len(found) != 0 {
			t.Errorf("from version %d: %v, %v, want no damage", version, found, err)
		}
	}
}

// Copies from before a migration are kept for a year, the three newest for ever.
func TestOldKeptCopiesGo(t *testing.T) {
	dir := t.TempDir()
	oldDatabase(t, dir)
	day := func(years, days int) string { return noon.AddDate(-years, 0, -days).Format(copyName) }
	copies := []string{day(4, 0), day(3, 0), day(1, 1), day(0, 364), day(0, 1)} // oldest first; the migration adds one
	others := []string{"brakeside-before-notes.db", "brakeside-20200101T000000Z.db"}
	for _, name := range append(slices.Clone(copies), others...) {
		if err := os.WriteFile(filepath.Join(dir, name), []byte("x"), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	openStore(t, dir)
	left, err := filepath.Glob(filepath.Join(dir, "brakeside-before-*"))
	want := []string{day(0, 364), day(0, 1), noon.Format(copyName), others[0]}
	for i := range left {
		left[i] = filepath.Base(left[i])
	}
	if err != nil || !slices.Equal(left, want) {
		t.Errorf("left %q, %v, want %q", left, err, want)
	}
	if _, err := os.Stat(filepath.Join(dir, others[1])); err != nil {
		t.Errorf("a copy of another kind: %v", err)
	}
	alone := t.TempDir() // the three newest stay however old they are
	for _, name := range copies[:3] {
		if err := os.WriteFile(filepath.Join(alone, name), []byte("x"), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if err := pruneCopies(alone, noon.AddDate(20, 0, 0)); err != nil {
		t.Fatal(err)
	}
	if left, err := os.ReadDir(alone); err != nil || len(left) != 3 {
		t.Errorf("%d of three old copies are left, %v", len(left), err)
	}
}

// A database whose tally left flagged bends out, as version 5 filled it, gets the
// one of its readings at the next start.
func TestTallyOfOldReadings(t *testing.T) {
	s, _ := twoSheets(t)
	startAgain(t, s)
	before := keptTally(t, s)
	exec(t, s, `DELETE FROM tally`)
	exec(t, s, backfill(t))
	if before[2] == keptTally(t, s)[2] {
		t.Error("the old tally counts the flagged bend too: this test shows nothing")
	}
	scripts, err := migrations()
	if err != nil {
		t.Fatal(err)
	}
	exec(t, s, scripts[10])
	startAgain(t, s)
	if diff := cmp.Diff(before, keptTally(t, s)); diff != "" || len(before) != 4 {
		t.Errorf("made anew, of %d rows:\n%s", len(before), diff)
	}
}

// backfill is the statement of the migration that fills the tally.
func backfill(t *testing.T) string {
	t.Helper()
	scripts, err := migrations()
	if err != nil {
		t.Fatal(err)
	}
	const begins, ends = "\nINSERT INTO tally", ";"
	for _, script := range scripts {
		if _, after, found := strings.Cut(script, begins); found {
			statement, _, _ := strings.Cut(after, ends)
			return "INSERT INTO tally" + statement
		}
	}
	t.Fatal("no migration fills the tally")
	return ""
}
