package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"brakeside/calc/fault"
	"brakeside/calc/unit"
	"brakeside/traveler"
	"brakeside/traveler/standing"
)

// workedShop is a store with something in every table, in a folder. It is made
// once.
func workedShop(t *testing.T, dir string) *Store {
	t.Helper()
	if madeShop == nil {
		made := t.TempDir()
		s := openStore(t, made)
		work(t, s)
		if err := s.Close(); err != nil {
			t.Fatal(err)
		}
		var err error
		if madeShop, err = os.ReadFile(dbPath(made)); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.WriteFile(dbPath(dir), madeShop, 0o600); err != nil {
		t.Fatal(err)
	}
	return openStore(t, dir)
}

var madeShop []byte

// work does all that a shop may do: two dozen sheets with their readings, papers,
// photos and versions, and one of each decision.
func work(t *testing.T, s *Store) {
	t.Helper()
	ctx := context.Background()
	random := rand.New(rand.NewPCG(4, 5))
	some := func(n int) []byte {
		made := make([]byte, n)
		for i := range made {
			made[i] = byte(random.Uint32())
		}
		return made
	}
	must := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	var part Revision
	for n := range 12 {
		var err error
		part, err = s.Keep(ctx, Parts, Revision{Name: "TR-7", Revision: "A", Title: fmt.Sprint("tray ", n), JSON: fmt.Appendf(nil, `{"n":"%x"}`, some(300))})
		must(err)
	}
	for n := range 24 {
		x := issued(t, plan(n, 4))
		x.PDF, x.Basis = append([]byte("%PDF"), some(9000)...), Basis{Part: part.Seq}
		if n == 23 {
			x.Supersedes = []string{code(22)}
		}
		must(s.AddJob(ctx, Job{Number: x.Traveler.Job, Part: "TR-7", Revision: "A", Quantity: 4, Brake: "long brake"}))
		must(s.KeepTraveler(ctx, x))
		must(s.AddEvent(ctx, Event{Code: code(n), Kind: standing.Released, Detail: "seen", By: "owner"}))
		for i := range 8 {
			mustPost(t, s, code(n), fmt.Sprintf(`{"id":"r%d-%d","piece":%d,"step":%d,"measured":%g,"by":"AB","note":"as drawn","confirmed":true}`,
				n, i, i/2+1, i%2+1, []float64{90, 45}[i%2]+random.Float64()))
		}
		must(s.AddPhoto(ctx, aPhoto(fmt.Sprint("p", n), n), some(6000)))
	}
	mustPost(t, s, code(1), `{"id":"c1","piece":1,"step":1,"measured":90.5,"corrects":"r1-0"}`)
	for _, id := range []string{"q1", "q2"} {
		if _, err := post(s, code(2), body(id, 3, 1, 9)); fault.KindOf(err) != fault.Unsure {
			t.Fatalf("a reading of 9 for 90 = %v, want it doubted", err)
		}
	}
	_, err := s.AnswerQuestion(ctx, code(2), "q1", false, "owner")
	must(err)
	must(s.AddMark(ctx, Mark{Number: "TR-7", Revision: "A", Kind: MarkReady, By: "owner"}))
	_, err = s.Keep(ctx, Parts, Revision{Name: "TR-8", Revision: "A", Title: "Tray", JSON: []byte(`{}`)})
	must(err)
	must(s.DropDraft(ctx, Revision{Name: "TR-8", Revision: "A"}))
	must(s.DetailJob(ctx, JobDetail{Job: "J-1", Due: "2026-06-01", Customer: "Hillside Pumps", Note: "crate of 20", Turn: 1, By: "owner"}))
	must(s.KeepPack(ctx, Pack{Name: "rack 2", Material: "mild-steel", Thickness: 1500}))
	must(s.AddTrial(ctx, Trial{Material: "mild-steel", Thickness: 1500, Strip: 100000, Legs: [2]unit.Micron{51000, 52000}, Angle: 9000}))
	must(s.AddDecision(ctx, Decision{Kind: DecisionAccepted, Cell: CellKey{"mild-steel", 1500, 1500, "long brake", "wide"}, Printed: &Printed{0, 200, 30}}))
	must(s.NoteOldScan(ctx, code(22)))
	must(s.SayCause(ctx, code(3), "other pack", "owner"))
	must(s.AddStudy(ctx, Study{Tool: "bevel protractor", People: []string{"AB", "CD"}, Readings: [][][]unit.CentiDeg{{{9000, 9010}}, {{9020, 9030}}}}))
	must(s.Settle(ctx, Settlement{Subject: SubjectK, Name: "mild-steel", Kind: DecisionAccepted, Was: 0.33, Becomes: 0.35}, nil))
	must(s.Say(ctx, Statement{Kind: ScaleSet, Brake: "long brake", By: "owner"}))
	must(s.SetOwner(ctx, Owner{"owner", "hash"}))
	must(s.SetViewer(ctx, Owner{"viewer", "other hash"}))
	must(s.AddSession(ctx, Session{TokenHash: "aa", Expires: noon.Add(time.Hour)}))
	must(s.KeepSetting(ctx, SettingShop, "Example Fabrications"))
	must(s.KeepSetting(ctx, SettingShop, "Example Fabricators"))
	startAgain(t, s)
}

// derived are the tables that are made from others and held to them, and those
// whose rows the seals of others cover.
var derived = []string{"tally", "sheet_reading", "traveler_basis", "gauge_reading", "seal"}

// Every table is held to something, and the seals of a row cover all its columns.
func TestEveryTableIsSealed(t *testing.T) {
	s := workedShop(t, t.TempDir())
	covered := slices.Clone(derived)
	for _, x := range sealedTables {
		covered = append(covered, x.table)
		for _, column := range columnsOf(t, s, x.table) {
			if column != "seq" && column != "number" && column != "seal" && x.at(column) == 0 {
				t.Errorf("the seals of %s do not cover %s", x.table, column)
			}
		}
	}
	for _, c := range carriers {
		covered = append(covered, c.table)
	}
	for _, table := range tablesOf(t, s) {
		if !slices.Contains(covered, table) {
			t.Errorf("the rows of %s are held to nothing", table)
		}
		var n int
		if err := s.read.QueryRow(`SELECT count(*) FROM ` + table).Scan(&n); err != nil || n == 0 {
			t.Errorf("%s has %d rows, %v: nothing can be damaged there", table, n, err)
		}
	}
}

func tablesOf(t *testing.T, s *Store) []string {
	return named(t, s, `SELECT name FROM sqlite_schema WHERE type = 'table' ORDER BY name`)
}

func columnsOf(t *testing.T, s *Store, table string) []string {
	return named(t, s, `SELECT name FROM pragma_table_info('`+table+`')`)
}

func named(t *testing.T, s *Store, query string) []string {
	t.Helper()
	rows, err := s.read.Query(query)
	names, err := all(rows, err, func(rows *sql.Rows) (name string, err error) { return name, rows.Scan(&name) })
	if err != nil {
		t.Fatal(err)
	}
	return names
}

// edited does something to a store as a person with a program for databases
// would: without the triggers, which are then put back, and without references.
func edited(t *testing.T, s *Store, statement string) {
	t.Helper()
	triggers := named(t, s, `SELECT sql FROM sqlite_schema WHERE type = 'trigger' ORDER BY rowid`)
	names := named(t, s, `SELECT name FROM sqlite_schema WHERE type = 'trigger'`)
	exec(t, s, `PRAGMA foreign_keys = OFF`)
	for _, name := range names {
		exec(t, s, `DROP TRIGGER `+name)
	}
	exec(t, s, `PRAGMA ignore_check_constraints = ON`)
	exec(t, s, statement)
	for _, trigger := range triggers {
		exec(t, s, trigger)
	}
}

// What somebody does to any column of a row of any table with a program for
// databases, or to a whole row, is found. A setting or a session may go: nothing
// tells that it was there.
func TestEditsAreFound(t *testing.T) {
	s := workedShop(t, t.TempDir())
	for _, name := range named(t, s, `SELECT name FROM sqlite_schema WHERE type = 'trigger'`) {
		exec(t, s, `DROP TRIGGER `+name)
	}
	exec(t, s, `PRAGMA foreign_keys = OFF`)
	exec(t, s, `PRAGMA ignore_check_constraints = ON`)
	edits := 0
	for _, table := range tablesOf(t, s) {
		if table == "tally" { // see TestCheckFindsDamage: it is added up anew
			continue
		}
		tried := []string{`DELETE FROM ` + table + ` WHERE ` + first(table)}
		if table == "setting" || table == "session" {
			tried = nil
		}
		for _, column := range columnsOf(t, s, table) {
			tried = append(tried, `UPDATE `+table+` SET `+column+` = `+otherThan(table, column)+` WHERE `+first(table))
		}
		for _, statement := range tried {
			edits++
			if !foundOnceEdited(t, s, statement) {
				t.Errorf("not found: %s", statement)
			}
		}
	}
	t.Logf("%d edits", edits)
	if foundOnceEdited(t, s, `SELECT 1`) {
		t.Error("nothing done is found too")
	}
}

// foundOnceEdited edits the store, looks for damage and takes the edit back.
func foundOnceEdited(t *testing.T, s *Store, statement string) bool {
	t.Helper()
	exec(t, s, `BEGIN`)
	defer exec(t, s, `ROLLBACK`)
	exec(t, s, statement)
	inside := &Store{path: s.path, read: s.write}
	l := &look{Store: inside, rest: func(context.Context) error { return nil }}
	for _, part := range []func(context.Context) error{l.checkSeals, l.noted(inside.checkReferences), l.noted(inside.checkFiled)} {
		if err := part(context.Background()); err != nil && !unreadable(err) {
			t.Fatal(err)
		} else if err != nil || len(l.found) > 0 {
			return true
		}
	}
	return false
}

// first is a condition that the first row of a table meets.
func first(table string) string {
	switch table {
	case "setting", "person", "session", "sheet_reading", "seal", "traveler_basis", "gauge_reading", "tally":
		key := map[string]string{"setting": "key", "person": "role", "session": "token_hash", "sheet_reading": "sheet, reading",
			"seal": "of_table, upto", "traveler_basis": "code", "gauge_reading": "study, person, bend, turn", "tally": "code, bar, day"}[table]
		return `(` + key + `) = (SELECT ` + key + ` FROM ` + table + ` ORDER BY ` + key + ` LIMIT 1)`
	}
	return `rowid = (SELECT min(rowid) FROM ` + table + `)`
}

// otherThan gives another value of the same kind as a column holds, in SQL.
func otherThan(table, column string) string {
	return `CASE typeof(` + column + `) WHEN 'integer' THEN ` + column + ` + 1000 WHEN 'real' THEN ` + column + ` + 0.5
	  WHEN 'text' THEN ` + column + ` || 'x' WHEN 'blob' THEN zeroblob(length(` + column + `))
	  ELSE (SELECT CASE type WHEN 'INTEGER' THEN 7 WHEN 'BLOB' THEN zeroblob(32) ELSE 'x' END FROM pragma_table_info('` + table + `') WHERE name = '` + column + `') END`
}

// A row that another program adds has no seal, and those that the service stores
// after it do not cover it.
func TestForeignRowsAreFound(t *testing.T) {
	s := workedShop(t, t.TempDir())
	ctx := context.Background()
	sound := func() bool {
		t.Helper()
		found, err := s.Check(ctx)
		if err != nil {
			t.Fatal(err)
		}
		return len(found) == 0
	}
	if !sound() {
		t.Fatal("damage before anything was done")
	}
	exec(t, s, `INSERT INTO pack (name, material, thickness, heat, note, used_up, at) VALUES ('foreign', '304', 1000, '', '', 0, '')`)
	if sound() {
		t.Error("a foreign pack is not found")
	}
	if err := s.KeepPack(ctx, Pack{Name: "own", Material: "304", Thickness: 1000}); err != nil || sound() {
		t.Errorf("a foreign pack is not found once another one is kept (%v)", err)
	}
}

// What is damaged is not shown, in words, while all else is.
func TestDamagedIsNotServed(t *testing.T) {
	s := workedShop(t, t.TempDir())
	ctx := context.Background()
	for _, c := range []struct {
		what, spoil string
		serve       func() error
	}{
		{"a printed sheet", `UPDATE traveler SET pdf = zeroblob(length(pdf)) WHERE code = '` + code(3) + `'`,
			func() error { _, err := s.SheetPDF(ctx, code(3)); return err }},
		{"a photo", `UPDATE photo SET image = zeroblob(length(image)) WHERE seq = 4`,
			func() error { _, _, err := s.Picture(ctx, code(3), 4); return err }},
		{"a part file", `UPDATE revision SET json = '{}' WHERE seq = 5`,
			func() error { _, err := s.Version(ctx, Parts, 5); return err }},
		{"the name of a version", `UPDATE revision SET title = 'another' WHERE seq = 6`,
			func() error { _, err := s.Version(ctx, Parts, 6); return err }},
	} {
		if err := c.serve(); err != nil {
			t.Fatalf("%s before it is damaged: %v", c.what, err)
		}
		edited(t, s, strings.Replace(c.spoil, `'{}'`, `CAST('{}' AS BLOB)`, 1))
		err := c.serve()
		refused(t, err, fault.Busy, c.what)
		if !errors.Is(err, Damaged) {
			t.Errorf("%s = %v, want it said to be damaged", c.what, err)
		}
	}
	if _, err := s.SheetPDF(ctx, code(4)); err != nil {
		t.Errorf("another sheet: %v", err)
	}
	s.plans = map[string]*traveler.Traveler{}
	edited(t, s, `UPDATE traveler SET snapshot = zeroblob(20) WHERE code = '`+code(5)+`'`)
	if _, err := s.plan(ctx, s.read, code(5)); !errors.Is(err, Damaged) {
		t.Errorf("a damaged plan = %v", err)
	}
}

// A copy of a damaged store takes the place of no good one, and is not restored.
func TestDamagedIsNotCopied(t *testing.T) {
	s := workedShop(t, t.TempDir())
	ctx := context.Background()
	kept := filepath.Join(t.TempDir(), "copy.db")
	if err := s.Backup(ctx, kept); err != nil {
		t.Fatal(err)
	}
	edited(t, s, `UPDATE reading SET measured = measured + 1 WHERE seq = 30`)
	if err := s.Backup(ctx, kept); !errors.Is(err, Damaged) || fault.KindOf(err) != fault.Busy || !strings.Contains(err.Error(), "reading 30") {
		t.Errorf("Backup(damaged) = %v, want it refused with the reading that is damaged", err)
	}
	if left, err := os.ReadDir(filepath.Dir(kept)); err != nil || len(left) != 1 {
		t.Errorf("%v, %v are left, want the good copy alone", left, err)
	}
	if err := Restore(filepath.Join(t.TempDir(), "new"), kept); err != nil {
		t.Errorf("Restore(good copy) = %v", err)
	}
	bad := filepath.Join(t.TempDir(), "bad.db")
	if err := s.BackupAsIs(ctx, bad); err != nil {
		t.Fatal(err)
	}
	if err := RestoreOver(filepath.Join(t.TempDir(), "new"), bad); !errors.Is(err, Damaged) {
		t.Errorf("Restore(damaged copy) = %v, want it refused", err)
	}
}

// Tables of another program beside ours, as one that copies the log as it is
// written may keep, are no damage.
func TestTablesOfOthersAreNoDamage(t *testing.T) {
	s := workedShop(t, t.TempDir())
	exec(t, s, `CREATE TABLE _copier_position (id INTEGER PRIMARY KEY, seq INTEGER)`)
	exec(t, s, `INSERT INTO _copier_position VALUES (1, 7)`)
	if found, err := s.Check(context.Background()); err != nil || len(found) != 0 {
		t.Errorf("Check = %v, %v, want no damage", found, err)
	}
}

// A scrub finds what a check does, and rests on its way.
func TestScrub(t *testing.T) {
	s := workedShop(t, t.TempDir())
	ctx := context.Background()
	rests := 0
	rest := func(context.Context) error { rests++; return nil }
	if found, err := s.Scrub(ctx, rest); err != nil || len(found) != 0 || rests < len(sealedTables) {
		t.Errorf("Scrub = %v, %v with %d rests, want no damage and a rest for each table", found, err, rests)
	}
	edited(t, s, `UPDATE person SET password_hash = 'mine' WHERE role = 'owner'`)
	if found, err := s.Scrub(ctx, rest); err != nil || len(found) != 1 || found[0].Where != "person" {
		t.Errorf("Scrub(changed account) = %v, %v, want it found", found, err)
	}
	stopped := errors.New("stopped")
	if _, err := s.Scrub(ctx, func(context.Context) error { return stopped }); !errors.Is(err, stopped) {
		t.Errorf("Scrub(stopped) = %v", err)
	}
}
