package store

import (
	"context"
	"database/sql"

	"github.com/mattn/go-sqlite3"
)

// tallyColumns are the columns of the tally in the order of scanTally.
const tallyColumns = `code, bar, day, part, job, material, thickness, brake, readings, taught, good, total, squares,
	  first, first_bad, reworked, scrapped, lifted, opened, torn, noted, last`

// fold adds up what the readings after ?1, up to ?2, change in the tally. A
// reading that one of them corrects is taken out again, with its sign turned;
// one that only takes another back is never in.
const fold = `
	WITH moved (seq, sign, mover) AS (
	  SELECT seq, 1, seq FROM reading WHERE seq > ?1 AND seq <= ?2
	  UNION ALL
	  SELECT o.seq, -1, c.seq FROM reading c CROSS JOIN reading o ON o.id = c.corrects WHERE c.seq > ?1 AND c.seq <= ?2
	)
	SELECT r.code, r.bar, substr(r.received, 1, 10) AS day, t.part, t.job, r.material, r.thickness, r.brake,
	  sum(sign), sum(sign * r.teaches), sum(sign * (r.state <> 'reworked') * r.in_tolerance),
	  sum(sign * r.teaches * r.error), sum(sign * r.teaches * r.error * r.error),
	  sum(sign * (r.piece = 1)), sum(sign * (r.piece = 1 AND (r.in_tolerance = 0 OR r.state <> 'as-bent'))),
	  sum(sign * (r.state = 'reworked')), sum(sign * (r.state = 'scrapped')),
	  sum(sign * (instr(r.flags, 'bar-lifted') > 0)), sum(sign * (instr(r.flags, 'setback-opened') > 0)),
	  sum(sign * (instr(r.flags, 'corner-torn') > 0)), sum(sign * (r.note <> '')), max(mover)
	FROM moved CROSS JOIN reading r ON r.seq = moved.seq JOIN traveler t ON t.code = r.code
	WHERE instr(r.flags, 'withdrawn') = 0
	GROUP BY r.code, r.bar, day ORDER BY max(mover)`

const foldIntoTally = `
	INSERT INTO tally (` + tallyColumns + `)` + fold + `
	ON CONFLICT (code, bar, day) DO UPDATE SET
	  readings = readings + excluded.readings, taught = taught + excluded.taught, good = good + excluded.good,
	  total = total + excluded.total, squares = squares + excluded.squares,
	  first = first + excluded.first, first_bad = first_bad + excluded.first_bad,
	  reworked = reworked + excluded.reworked, scrapped = scrapped + excluded.scrapped,
	  lifted = lifted + excluded.lifted, opened = opened + excluded.opened, torn = torn + excluded.torn,
	  noted = noted + excluded.noted, last = excluded.last`

// bringTallyUpToDate adds to the tally what came since it was last brought up to
// date, so that a review after the next start need not read all readings. It is
// done when the service starts and not with each reading, which it would make
// dearer by a fifth. What the tally holds ends with its newest row: readings
// after that which touched none add nothing.
//
// On a full disk it stays as it was; reviews then read a little more.
func (s *Store) bringTallyUpToDate() error {
	ctx := context.Background()
	err := s.change(ctx, func(tx *sql.Tx) error {
		var from, to int64
		err := tx.QueryRowContext(ctx, `
			SELECT (SELECT coalesce(max(last), 0) FROM tally), (SELECT coalesce(max(seq), 0) FROM reading)`).Scan(&from, &to)
		if err != nil {
			return err
		}
		_, err = tx.ExecContext(ctx, foldIntoTally, from, to)
		return err
	})
	if codeOf(err) == sqlite3.ErrFull {
		return nil
	}
	return err
}

// tallyUpTo gives the rows of the tally as it was brought up to date last, and
// the seq of the reading up to which that was.
func (s *Store) tallyUpTo(ctx context.Context) (rows []tallyRow, upTo int64, err error) {
	found, err := s.read.QueryContext(ctx, `SELECT `+tallyColumns+` FROM tally ORDER BY last`)
	rows, err = all(found, err, scanTally)
	if len(rows) > 0 {
		upTo = rows[len(rows)-1].last
	}
	return rows, upTo, err
}

// folded gives what the readings after one, up to another, change in the tally.
func (s *Store) folded(ctx context.Context, after, upTo int64) ([]tallyRow, error) {
	rows, err := s.read.QueryContext(ctx, fold, after, upTo)
	return all(rows, err, scanTally)
}

func scanTally(rows *sql.Rows) (tallyRow, error) {
	var r tallyRow
	err := rows.Scan(&r.code, &r.bar, &r.day, &r.part, &r.job, &r.material, &r.thickness, &r.brake,
		&r.readings, &r.taught, &r.good, &r.total, &r.squares,
		&r.first, &r.firstBad, &r.reworked, &r.scrapped, &r.lifted, &r.opened, &r.torn, &r.noted, &r.last)
	return r, err
}

// add adds a change to a row of the same sheet, bar and day.
func (r *tallyRow) add(c tallyRow) {
	r.readings, r.taught, r.good = r.readings+c.readings, r.taught+c.taught, r.good+c.good
	r.total, r.squares = r.total+c.total, r.squares+c.squares
	r.first, r.firstBad = r.first+c.first, r.firstBad+c.firstBad
	r.reworked, r.scrapped = r.reworked+c.reworked, r.scrapped+c.scrapped
	r.lifted, r.opened, r.torn, r.noted = r.lifted+c.lifted, r.opened+c.opened, r.torn+c.torn, r.noted+c.noted
	r.last = c.last
}
