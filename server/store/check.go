package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"

	"brakeside/traveler"
)

// Check looks for damage: the structure of the file, references between rows,
// for every sheet whether its snapshot still has its digest and can be read,
// whether all readings can be found by their sheet, and whether the tally is
// what they add up to. No damage is an empty list; an error means that the check
// itself could not be made.
func (s *Store) Check(ctx context.Context) ([]Damage, error) {
	var found []Damage
	for _, look := range []func(context.Context) ([]Damage, error){
		s.checkFile, s.checkReferences, s.checkTravelers, s.checkFiled, s.checkTally, s.checkPhotos,
	} {
		damage, err := look(ctx)
		if errors.Is(err, Damaged) {
			damage, err = append(damage, Damage{Where: FileName, What: err.Error()}), nil
		}
		if err != nil {
			return nil, err
		}
		found = append(found, damage...)
	}
	return found, nil
}

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

func (s *Store) checkTravelers(ctx context.Context) ([]Damage, error) {
	var found []Damage
	rows, err := s.read.QueryContext(ctx, `SELECT code, digest, job, snapshot FROM traveler ORDER BY rowid`)
	err = each(rows, err, func(rows *sql.Rows) error {
		var kept sheet
		if err := rows.Scan(&kept.code, &kept.digest, &kept.job, &kept.snapshot); err != nil {
			return err
		}
		if what := kept.damage(); what != "" {
			found = append(found, Damage{Where: "sheet " + kept.code, What: what})
		}
		return nil
	})
	return found, err
}

// damage says what is wrong with a sheet; nothing when it is as issued.
func (k sheet) damage() string {
	if traveler.Digest(k.snapshot) != k.digest {
		return "its plan is no longer the one that was issued: the digest differs"
	}
	t, err := traveler.Decode(k.snapshot)
	switch {
	case err != nil:
		return "its plan cannot be read: " + err.Error()
	case traveler.TidyCode(t.Code) != k.code || t.Job != k.job:
		return "its plan is that of another sheet: " + t.Code + " of job " + t.Job
	}
	return ""
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
