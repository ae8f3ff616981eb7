package store

import (
	"bytes"
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"fmt"
)

// checkSeals holds every row to its seal.
func (l *look) checkSeals(ctx context.Context) error {
	for _, t := range sealedTables {
		last, err := l.checkSealed(ctx, t)
		if err != nil {
			return err
		}
		if t == sealedReadings {
			err = l.checkCarriedOn(ctx, last)
		} else {
			err = l.checkUnsealed(ctx, t)
		}
		if err != nil {
			return err
		}
	}
	return l.checkCarriers(ctx)
}

// sealsAtOnce is how many seals are looked at between rests.
const sealsAtOnce = 64

// checkSealed holds the rows of a table to the seals that stand apart, and gives
// the last of these.
func (l *look) checkSealed(ctx context.Context, t *sealed) (last seal, err error) {
	for {
		seals, err := t.sealsAfter(ctx, l.read, last.upto)
		if err != nil || len(seals) == 0 {
			return last, err
		}
		if err := l.checkSpan(ctx, t, last, seals); err != nil {
			return last, err
		}
		last = seals[len(seals)-1]
		if err := l.rest(ctx); err != nil {
			return last, err
		}
	}
}

func (t *sealed) sealsAfter(ctx context.Context, q queryer, upto int64) ([]seal, error) {
	rows, err := q.QueryContext(ctx, `SELECT upto, digest FROM seal WHERE of_table = +? AND upto > ? ORDER BY upto LIMIT ?`,
		t.table, upto, sealsAtOnce)
	return all(rows, err, func(rows *sql.Rows) (s seal, err error) {
		var content sql.RawBytes
		err = rows.Scan(&s.upto, &content)
		copy(s.digest[:], content)
		return s, err
	})
}

// checkSpan holds the rows after one seal to the seals that follow it. What is
// damaged is told once: what comes after it is held to the seal as it is kept.
func (l *look) checkSpan(ctx context.Context, t *sealed, before seal, seals []seal) error {
	making, n, at := newSealing(), 0, before.upto
	making.begin(before.digest)
	closeUpTo := func(row int64) {
		for ; n < len(seals) && seals[n].upto < row; n++ {
			if making.end() != seals[n].digest || at != seals[n].upto {
				l.differs(t, before.upto, seals[n].upto)
			}
			before = seals[n]
			making.begin(before.digest)
		}
	}
	end := seals[len(seals)-1].upto
	err := t.rows(ctx, l.read, before.upto, end, func(row []any) error {
		closeUpTo(row[0].(int64))
		at = row[0].(int64)
		making.add(row)
		l.checkOwnDigest(t, row)
		return nil
	})
	closeUpTo(end + 1)
	return err
}

// checkOwnDigest holds sheets and photos to the digests that they had before there
// were seals: a seal given when a store was brought up to date says nothing of what
// was before.
func (l *look) checkOwnDigest(t *sealed, row []any) {
	switch t {
	case sealedSheets:
		kept := sheet{textIn(row[1]), textIn(row[2]), textIn(row[3]), bytesIn(row[9])}
		if _, what := kept.plan(); what != "" {
			l.found = append(l.found, Damage{Where: "sheet " + kept.code, What: what})
		}
	case sealedPhotos:
		if sum := sha256.Sum256(bytesIn(row[11])); hex.EncodeToString(sum[:]) != textIn(row[9]) {
			l.found = append(l.found, Damage{Where: "photo " + textIn(row[1]), What: "it is no longer what came in: the digest differs"})
		}
	}
}

// textIn and bytesIn give what a column should hold; nothing where it holds
// something else.
func textIn(value any) string  { t, _ := value.(string); return t }
func bytesIn(value any) []byte { c, _ := value.([]byte); return c }

// differs notes that the rows after one, up to another, are not what was stored.
// Those that follow each other are told of together.
func (l *look) differs(t *sealed, after, upto int64) {
	first := after + 1
	if n := len(l.found); n > 0 && l.run.of == t && l.run.upto == after && l.run.at == n-1 {
		first, l.found = l.run.first, l.found[:n-1]
	}
	where := fmt.Sprintf("%s %d", t.table, upto)
	if first < upto {
		where = fmt.Sprintf("%s %d to %d", t.table, first, upto)
	}
	l.run = run{t, first, upto, len(l.found)}
	l.found = append(l.found, Damage{Where: where, What: "it is no longer what was stored: it differs from its seal"})
}

// run is a row of damaged rows that was told of last, and its place in what was
// found.
type run struct {
	of          *sealed
	first, upto int64
	at          int
}

// checkUnsealed looks for rows that another program has put there.
func (l *look) checkUnsealed(ctx context.Context, t *sealed) error {
	var n int
	err := l.read.QueryRowContext(ctx, `
		SELECT count(*) FROM `+t.table+` WHERE rowid > (SELECT coalesce(max(upto), 0) FROM seal WHERE of_table = ?)`, t.table).Scan(&n)
	if err == nil && n > 0 {
		l.found = append(l.found, Damage{Where: t.table, What: fmt.Sprintf("%d of its rows have no seal: another program has put them there", n)})
	}
	return worded(err)
}

// checkCarriedOn holds the readings after those of an older program to the seals
// that they carry.
func (l *look) checkCarriedOn(ctx context.Context, last seal) error {
	carrying := sealed{"reading", readingKept + `, seal`}
	making := newSealing()
	for {
		first := last.upto
		err := carrying.rows(ctx, l.read, first, first+32*sealsAtOnce, func(row []any) error {
			own, _ := row[len(row)-1].([]byte)
			made := making.after(last.digest, row[:len(row)-1])
			if !bytes.Equal(made[:], own) {
				l.differs(sealedReadings, row[0].(int64)-1, row[0].(int64))
			}
			last.upto = row[0].(int64)
			copy(last.digest[:], own)
			return nil
		})
		if err != nil {
			return err
		}
		if last.upto == first { // no more, or a gap, which the next one tells
			if last.upto, err = l.nextReading(ctx, first); err != nil || last.upto == first {
				return err
			}
		}
		if err := l.rest(ctx); err != nil {
			return err
		}
	}
}

// nextReading gives the number before the next reading after one; the same where
// there is none.
func (l *look) nextReading(ctx context.Context, after int64) (before int64, err error) {
	err = l.read.QueryRowContext(ctx, `SELECT coalesce(min(seq) - 1, ?1) FROM reading WHERE seq > ?1`, after).Scan(&before)
	return before, worded(err)
}

// checkCarriers holds what may change to the seals that it carries.
func (l *look) checkCarriers(ctx context.Context) error {
	for _, c := range carriers {
		rows, err := l.read.QueryContext(ctx, `SELECT `+c.key+`, `+c.columns+`, seal FROM `+c.table)
		err = each(rows, err, func(rows *sql.Rows) error {
			row, err := scanAny(rows)
			if err != nil {
				return err
			}
			if own, _ := row[len(row)-1].([]byte); !bytes.Equal(own, sealOf(row[:len(row)-1]...)) {
				l.found = append(l.found, Damage{Where: c.table, What: "a row is no longer what was stored: it differs from its seal"})
			}
			return nil
		})
		if err != nil {
			return err
		}
	}
	return nil
}
