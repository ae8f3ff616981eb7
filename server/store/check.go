package store

import (
	"bytes"
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io"
	"maps"
	"os"
	"slices"
	"sync"

	"brakeside/calc/fault"
	"brakeside/traveler"
)

// Check looks for damage: whether the head and the structure of the file and its
// schema are as they are made, whether rows refer to what is there, whether every
// row is what was stored (by its seal), every sheet what was issued and every
// photo what came in (by the digests that they had before there were seals),
// whether all readings can be found by their sheet, and whether the tally is what
// they add up to. No damage is an empty list; an error means that the check itself
// could not be made.
//
// Rows that were taken off the end of a table together with all that tells of
// them cannot be missed.
func (s *Store) Check(ctx context.Context) ([]Damage, error) {
	return s.look(ctx, func(context.Context) error { return nil })
}

// Scrub does what Check does, with a rest after each small part of it, on a
// connection of its own, so that what the disk holds is read and not what is in
// memory. An error of rest ends it.
func (s *Store) Scrub(ctx context.Context, rest func(context.Context) error) ([]Damage, error) {
	pool, err := openPool(readerName(s.path), 1)
	if err != nil {
		return nil, err
	}
	defer pool.Close()
	return (&Store{path: s.path, read: pool}).look(ctx, rest)
}

// look is one look for damage.
type look struct {
	*Store
	rest  func(context.Context) error
	found []Damage
	run   run
}

func (s *Store) look(ctx context.Context, rest func(context.Context) error) ([]Damage, error) {
	l := &look{Store: s, rest: rest}
	for _, part := range []func(context.Context) error{
		l.noted(s.checkHead), l.noted(s.checkFile), l.noted(s.checkSchema), l.noted(s.checkReferences), l.noted(s.checkFiled),
		l.noted(s.checkTally), l.checkSeals,
	} {
		err := part(ctx)
		if unreadable(err) && ctx.Err() == nil {
			l.found, err = append(l.found, Damage{Where: FileName, What: err.Error()}), nil
		}
		if err == nil {
			err = rest(ctx)
		}
		if err != nil {
			return nil, err
		}
	}
	return l.found, nil
}

// noted adds what a part of the look finds.
func (l *look) noted(part func(context.Context) ([]Damage, error)) func(context.Context) error {
	return func(ctx context.Context) error {
		found, err := part(ctx)
		l.found = append(l.found, found...)
		return err
	}
}

// unreadable reports whether an error comes from what is stored: it is damaged, is
// not of the kind that it was stored as, or stands under another name. Trouble with
// the disk or the service is not.
func unreadable(err error) bool {
	code := codeOf(err)
	return errors.Is(err, Damaged) || err != nil && (code == 0 || code == sqliteError) && fault.KindOf(err) == fault.Internal
}

// head is what the first bytes of a database of ours hold beside what changes with
// every change of it; see "The Database Header" in the description of the file
// format of SQLite.
var head = []struct {
	at   int
	want []byte
}{
	{0, []byte("SQLite format 3\x00")},
	{20, []byte{0, 64, 32, 32}},          // nothing reserved on a page, and three fixed fractions
	{44, []byte{0, 0, 0, 4}},             // form of the schema
	{48, make([]byte, 8)},                // no size suggested for the cache, no automatic vacuum
	{56, []byte{0, 0, 0, 1}},             // UTF-8
	{64, make([]byte, 4)},                // no vacuum bit by bit
	{68, []byte{0x42, 0x72, 0x6b, 0x53}}, // applicationID
	{72, make([]byte, 20)},               // kept for later
}

// checkHead looks at the first bytes of the file, of which the database itself
// does not use all.
func (s *Store) checkHead(context.Context) ([]Damage, error) {
	f, err := os.Open(s.path)
	if err != nil {
		return nil, worded(err)
	}
	defer f.Close()
	first := make([]byte, 100)
	if _, err := io.ReadFull(f, first); errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		return nil, nil // all is in the log still
	} else if err != nil {
		return nil, worded(err)
	}
	sound := bytes.Equal(first[24:28], first[92:96]) && // the count of changes stands twice
		first[18] == first[19] && (first[18] == 1 || first[18] == 2)
	for _, h := range head {
		sound = sound && bytes.Equal(first[h.at:h.at+len(h.want)], h.want)
	}
	if sound {
		return nil, nil
	}
	return []Damage{{Where: FileName, What: "its first bytes are not those of a database of this program"}}, nil
}

// checkFile has the database look at its own structure.
func (s *Store) checkFile(ctx context.Context) ([]Damage, error) {
	rows, err := s.read.QueryContext(ctx, `PRAGMA integrity_check`)
	lines, err := all(rows, err, func(rows *sql.Rows) (Damage, error) {
		d := Damage{Where: FileName}
		err := rows.Scan(&d.What)
		return d, err
	})
	if len(lines) == 1 && lines[0].What == "ok" {
		lines = nil
	}
	return lines, err
}

// schemaOf lists what a database is made of, as it was written.
func schemaOf(ctx context.Context, q queryer) (map[string]string, error) {
	made := make(map[string]string)
	rows, err := q.QueryContext(ctx, `SELECT type || ' ' || name, coalesce(tbl_name || ': ' || sql, tbl_name) FROM sqlite_schema`)
	err = each(rows, err, func(rows *sql.Rows) error {
		var name, text string
		err := rows.Scan(&name, &text)
		made[name] = text
		return err
	})
	return made, err
}

// newSchema is the schema that the migrations make.
var newSchema = sync.OnceValues(func() (map[string]string, error) {
	pool, err := sql.Open("sqlite3", ":memory:")
	if err != nil {
		return nil, err
	}
	defer pool.Close()
	pool.SetMaxOpenConns(1)
	scripts, err := migrations()
	if err != nil {
		return nil, err
	}
	for i := range scripts {
		if err := step(pool, i+1, scripts); err != nil {
			return nil, err
		}
	}
	return schemaOf(context.Background(), pool)
})

// checkSchema looks whether all that the migrations make is there: tables, indexes
// and the triggers that freeze what is kept. Other programs may have tables of
// their own beside.
func (s *Store) checkSchema(ctx context.Context) ([]Damage, error) {
	want, err := newSchema()
	if err != nil {
		return nil, err
	}
	have, err := schemaOf(ctx, s.read)
	if err != nil {
		return nil, err
	}
	var found []Damage
	for _, name := range slices.Sorted(maps.Keys(want)) {
		if text, there := have[name]; !there {
			found = append(found, Damage{Where: name, What: "it is not there"})
		} else if text != want[name] {
			found = append(found, Damage{Where: name, What: "it is not as this program makes it"})
		}
	}
	return found, nil
}

func (s *Store) checkReferences(ctx context.Context) ([]Damage, error) {
	rows, err := s.read.QueryContext(ctx, `SELECT "table", parent FROM pragma_foreign_key_check`)
	return all(rows, err, func(rows *sql.Rows) (Damage, error) {
		var table, parent string
		err := rows.Scan(&table, &parent)
		return Damage{Where: table, What: "a row refers to a " + parent + " that is not there"}, err
	})
}

// sheet is a stored traveler, not yet trusted.
type sheet struct {
	code, digest, job string
	snapshot          []byte
}

// plan decodes the plan of a sheet, or says what is wrong with it.
func (k sheet) plan() (t *traveler.Traveler, what string) {
	if traveler.Digest(k.snapshot) != k.digest {
		return nil, "its plan is no longer the one that was issued: the digest differs"
	}
	t, err := traveler.Decode(k.snapshot)
	switch {
	case err != nil:
		return nil, "its plan cannot be read: " + err.Error()
	case traveler.TidyCode(t.Code) != k.code || t.Job != k.job:
		return nil, "its plan is that of another sheet: " + t.Code + " of job " + t.Job
	}
	return t, ""
}

// checkFiled looks for readings that are there and cannot be found by their
// sheet.
func (s *Store) checkFiled(ctx context.Context) ([]Damage, error) {
	rows, err := s.read.QueryContext(ctx, `
		SELECT r.code, count(*) FROM reading r
		WHERE NOT EXISTS (SELECT 1 FROM sheet s JOIN sheet_reading l ON l.sheet = s.number WHERE s.code = r.code AND l.reading = r.seq)
		GROUP BY r.code`)
	return all(rows, err, func(rows *sql.Rows) (Damage, error) {
		var code string
		var n int
		err := rows.Scan(&code, &n)
		return Damage{Where: "sheet " + code, What: fmt.Sprintf("%d of its readings are stored but not filed under it", n)}, err
	})
}

// checkTally adds up the readings anew, up to where the tally goes.
func (s *Store) checkTally(ctx context.Context) ([]Damage, error) {
	tx, err := s.read.BeginTx(ctx, nil) // of one moment, should a service start meanwhile
	if err != nil {
		return nil, worded(err)
	}
	defer tx.Rollback()
	var upTo int64
	if err := tx.QueryRowContext(ctx, `SELECT coalesce(max(last), 0) FROM tally`).Scan(&upTo); err != nil {
		return nil, worded(err)
	}
	const kept = `SELECT ` + tallyColumns + ` FROM tally`
	var differ int
	err = tx.QueryRowContext(ctx, `
		WITH anew AS (SELECT * FROM (`+fold+`))
		SELECT (SELECT count(*) FROM (SELECT * FROM anew EXCEPT `+kept+`))
		     + (SELECT count(*) FROM (`+kept+` EXCEPT SELECT * FROM anew))`, 0, upTo).Scan(&differ)
	if err != nil || differ == 0 {
		return nil, worded(err)
	}
	return []Damage{{Where: FileName, What: "what the review adds up is not what the readings add up to"}}, nil
}
