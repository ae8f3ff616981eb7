package store

import (
	"context"
	"errors"
	"strings"
	"testing"
)

func TestCheckFindsDamage(t *testing.T) {
	cases := []struct {
		name  string
		spoil []string // statements, without triggers and foreign keys
		where string
		what  string
	}{
		{"sound", nil, "", ""},
		{"a changed plan", []string{`UPDATE traveler SET snapshot = CAST(replace(CAST(snapshot AS TEXT), '"target":9000', '"target":9100') AS BLOB)`},
			"sheet " + code(1), "the digest differs"},
		{"a changed digest", []string{`UPDATE traveler SET digest = 'ff'`}, "sheet " + code(1), "the digest differs"},
		{"another sheet's plan", []string{`UPDATE traveler SET code = 'other'`}, "sheet other", "that of another sheet: " + code(1)},
		{"another job", []string{`INSERT INTO job (number, part, revision, quantity, brake, due, created) VALUES ('J-9', '', '', 1, '', '', '')`,
			`UPDATE traveler SET job = 'J-9'`}, "sheet " + code(1), "of job J-1"},
		{"a reading of no sheet", []string{`UPDATE reading SET code = 'other'`}, "reading", "refers to a traveler that is not there"},
		{"an index that lacks a row", []string{`PRAGMA writable_schema = ON`,
			`UPDATE sqlite_schema SET sql = 'CREATE INDEX traveler_by_job ON traveler (part)' WHERE name = 'traveler_by_job'`},
			FileName, "traveler_by_job"},
		{"a reading that its sheet does not know of", []string{`DROP TRIGGER sheet_reading_no_loss`, `DELETE FROM sheet_reading`},
			"sheet " + code(1), "1 of its readings"},
		{"a reading counted twice", []string{`INSERT INTO tally SELECT code, bar, '2026-05-04', 'TR-7', 'J-1', material, thickness, brake, 2, 1, 1, 0, 0, 1, 0, 0, 0, 0, 0, 0, 0, seq FROM reading`},
			FileName, "is not what the readings add up to"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			dir := t.TempDir()
			s, err := Open(dir, atNoon)
			if err != nil {
				t.Fatal(err)
			}
			issue(t, s, plan(1, 2))
			mustPost(t, s, code(1), body("r1", 1, 1, 90))
			if c.spoil != nil {
				exec(t, s, `PRAGMA foreign_keys = OFF`)
				exec(t, s, `DROP TRIGGER traveler_no_change`)
				exec(t, s, `DROP TRIGGER reading_no_change`)
			}
			for _, statement := range c.spoil {
				exec(t, s, statement)
			}
			if err := s.Close(); err != nil {
				t.Fatal(err)
			}
			v, err := View(dir)
			if err != nil {
				t.Fatal(err)
			}
			defer v.Close()
			found, err := v.Check(context.Background())
			if err != nil {
				t.Fatal(err)
			}
			if c.where == "" {
				if len(found) != 0 {
					t.Errorf("Check() = %v, want none", found)
				}
				return
			}
			for _, d := range found {
				if strings.Contains(d.Where, c.where) && strings.Contains(d.What, c.what) {
					return
				}
			}
			t.Errorf("Check() = %v, want one at %q with %q", found, c.where, c.what)
		})
	}
}

// Bytes that a disk has lost in the middle of the file are found, as damage and
// not as a failure of the check.
func TestCheckFindsLostPages(t *testing.T) {
	dir := t.TempDir()
	s := openStore(t, dir)
	for n := range 50 {
		issue(t, s, plan(n, 2))
	}
	var size int
	if err := s.read.QueryRow(`SELECT page_count * page_size FROM pragma_page_count, pragma_page_size`).Scan(&size); err != nil {
		t.Fatal(err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	spoil(t, dbPath(dir), size/2/4096*4096, 10*4096)
	v, err := View(dir)
	if err != nil {
		if errors.Is(err, Damaged) {
			return
		}
		t.Fatal(err)
	}
	defer v.Close()
	if found, err := v.Check(context.Background()); err != nil || len(found) == 0 {
		t.Errorf("Check(lost pages) = %v, %v, want damage", found, err)
	}
}
