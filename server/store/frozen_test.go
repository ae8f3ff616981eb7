package store

import (
	"brakeside/traveler/standing"
	"context"
	"strings"
	"testing"

	"github.com/mattn/go-sqlite3"
)

// Rows that were issued or measured are frozen by the database itself, against
// every statement that could change or displace one.
func TestFrozenRows(t *testing.T) {
	s := openStore(t, t.TempDir())
	issue(t, s, plan(1, 2))
	issue(t, s, plan(2, 2))
	mustPost(t, s, code(1), body("r1", 1, 1, 90))
	mustPost(t, s, code(1), `{"id":"r2","piece":1,"step":1,"measured":90.5,"corrects":"r1"}`)
	ctx := context.Background()
	if err := s.AddEvent(ctx, Event{Code: code(1), Kind: standing.Released, Detail: "seen"}); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Keep(ctx, Parts, Revision{Name: "TR-7", JSON: []byte("{}")}); err != nil {
		t.Fatal(err)
	}
	if err := s.AddPhoto(ctx, Photo{ID: "p1", Code: code(1), Piece: 1, Step: 1, Kind: "image/png"}, []byte("a picture")); err != nil {
		t.Fatal(err)
	}
	columns := map[string]string{
		"photo":          "seq, id, code, piece, step, reading, by_whom, received, kind, digest, size, image",
		"traveler":       "code, digest, job, part, revision, brake, quantity, steps, snapshot, pdf, issued_at",
		"traveler_event": "seq, code, kind, detail, by_whom, at",
		"revision":       "seq, shelf, name, revision, title, json, created",
		"sheet":          "number, code",
		"reading": `seq, id, code, piece, step, measured, given_as, stop, place, by_whom, state, note, flags, leg, pack, gauged, setback_left,
			setback_right, tool, confirmed, at, corrects, error, received, material, thickness, bar, brake, target, tolerance, stop_bend,
			in_tolerance, teaches, body, answer`,
	}
	changes := map[string]string{"traveler": "quantity = 3", "traveler_event": "detail = 'x'", "revision": "title = 'x'", "reading": "measured = 1", "photo": "by_whom = 'x'", "sheet": "code = 'x'"}
	for table, cols := range columns {
		for name, statement := range map[string]string{
			"update":            "UPDATE " + table + " SET " + changes[table],
			"update of the key": "UPDATE " + table + " SET rowid = rowid + 100",
			"delete":            "DELETE FROM " + table,
			"replace":           "REPLACE INTO " + table + " (" + cols + ") SELECT " + cols + " FROM " + table,
			"insert or replace": "INSERT OR REPLACE INTO " + table + " (" + cols + ") SELECT " + cols + " FROM " + table,
			"update or replace": "UPDATE OR REPLACE " + table + " SET " + changes[table],
			"upsert":            "INSERT INTO " + table + " (" + cols + ") SELECT " + cols + " FROM " + table + " WHERE true ON CONFLICT DO UPDATE SET " + changes[table],
		} {
			t.Run(table+" "+name, func(t *testing.T) { checkFrozen(t, s, table, statement) })
		}
	}
}

// Which readings a sheet has is frozen as well.
func TestFiledReadingsAreFrozen(t *testing.T) {
	s := openStore(t, t.TempDir())
	issue(t, s, plan(1, 2))
	issue(t, s, plan(2, 2))
	mustPost(t, s, code(1), body("r1", 1, 1, 90))
	for _, statement := range []string{
		`DELETE FROM sheet_reading`, `UPDATE sheet_reading SET sheet = 2`, `UPDATE OR REPLACE sheet_reading SET reading = 1`,
		`INSERT INTO sheet_reading (sheet, reading) VALUES (1, 1) ON CONFLICT DO UPDATE SET sheet = 2`,
	} {
		t.Run(statement, func(t *testing.T) { checkFrozen(t, s, "sheet_reading", statement) })
	}
}

func checkFrozen(t *testing.T, s *Store, table, statement string) {
	t.Helper()
	before := content(t, s, table)
	_, err := s.write.Exec(statement)
	if err == nil || codeOf(err) != sqlite3.ErrConstraint || !strings.Contains(err.Error(), "never") && !strings.Contains(err.Error(), "exists") {
		t.Errorf("%s = %v, want it refused by a trigger", statement, err)
	}
	if after := content(t, s, table); after != before {
		t.Errorf("%s changed the table to\n%s\nfrom\n%s", statement, after, before)
	}
}

// content gives all rows of a table as a text.
func content(t *testing.T, s *Store, table string) string {
	t.Helper()
	columns := map[string]string{
		"traveler": "code || quantity || digest", "traveler_event": "seq || kind || detail",
		"revision": "seq || name || title", "reading": "seq || id || measured", "photo": "seq || id || by_whom",
		"sheet": "number || code", "sheet_reading": "sheet || '-' || reading",
	}
	var text string
	if err := s.read.QueryRow(`SELECT group_concat(` + columns[table] + `, ' ') FROM ` + table).Scan(&text); err != nil {
		t.Fatal(err)
	}
	return text
}

// A replacement that collides on another unique column than the key must be
// refused too: it would displace the row all the same.
func TestReplaceThroughAnotherColumn(t *testing.T) {
	s := openStore(t, t.TempDir())
	issue(t, s, plan(1, 2))
	mustPost(t, s, code(1), body("r1", 1, 1, 90))
	mustPost(t, s, code(1), `{"id":"r2","piece":1,"step":1,"measured":90.5,"corrects":"r1"}`)
	for name, statement := range map[string]string{
		"traveler by digest": `REPLACE INTO traveler (code, digest, job, part, revision, brake, quantity, steps, snapshot, pdf, issued_at)
			SELECT 'other', digest, job, part, revision, brake, quantity, steps, snapshot, pdf, issued_at FROM traveler`,
		"reading by id": `REPLACE INTO reading SELECT seq + 10, id, code, piece, step, measured, given_as, stop, place, by_whom, state, note, flags,
			leg, pack, gauged, setback_left, setback_right, tool, confirmed, at, NULL, error, received, material, thickness, bar, brake, target,
			tolerance, stop_bend, in_tolerance, teaches, body, answer, seal FROM reading WHERE id = 'r1'`,
		"reading by what it corrects": `REPLACE INTO reading SELECT seq + 10, 'r9', code, piece, step, measured, given_as, stop, place, by_whom, state, note, flags,
			leg, pack, gauged, setback_left, setback_right, tool, confirmed, at, corrects, error, received, material, thickness, bar, brake, target,
			tolerance, stop_bend, in_tolerance, teaches, body, answer, seal FROM reading WHERE id = 'r2'`,
	} {
		t.Run(name, func(t *testing.T) { checkFrozen(t, s, strings.Fields(name)[0], statement) })
	}
}

func TestForeignKeysHold(t *testing.T) {
	s := openStore(t, t.TempDir())
	for name, statement := range map[string]string{
		"event of no sheet": `INSERT INTO traveler_event (code, kind, detail, by_whom, at) VALUES ('none', 'closed', '', '', '')`,
		"sheet of no job": `INSERT INTO traveler (code, digest, job, part, revision, brake, quantity, steps, snapshot, pdf, issued_at)
			VALUES ('a', 'b', 'none', '', '', '', 1, 1, x'00', x'00', '')`,
		"session of nobody": `INSERT INTO session (token_hash, role, expires) VALUES ('a', 'owner', '')`,
	} {
		if _, err := s.write.Exec(statement); codeOf(err) != sqlite3.ErrConstraint {
			t.Errorf("%s: %v, want a constraint to refuse it", name, err)
		}
	}
}

// STRICT tables take no text for a number.
func TestStrictTables(t *testing.T) {
	s := openStore(t, t.TempDir())
	var loose int
	err := s.read.QueryRow(`SELECT count(*) FROM pragma_table_list WHERE schema = 'main' AND type = 'table' AND name NOT LIKE 'sqlite_%' AND strict = 0`).Scan(&loose)
	if err != nil || loose != 0 {
		t.Errorf("tables that are not strict = %d, %v, want 0", loose, err)
	}
}
