package store

import (
	"bytes"
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/binary"
	"errors"
	"fmt"
	"hash"
	"math"
	"reflect"
	"strings"

	"brakeside/calc/fault"
)

// sealed is a table that is only added to, whose rows are held to seals. A seal
// is the SHA-256 of the seal before it in its table and of the rows after that
// one: a row that was changed, left out or put between makes it differ.
type sealed struct {
	table   string
	columns string // all of a row but its rowid; a column that is added to the table is added at the end
}

// The sealed tables that are asked for by name.
var (
	sealedReadings = &sealed{"reading", readingKept}
	sealedSheets   = &sealed{"traveler", `code, digest, job, part, revision, brake, quantity, steps, snapshot, pdf, issued_at,
		(SELECT part FROM traveler_basis b WHERE b.code = traveler.code), (SELECT brake FROM traveler_basis b WHERE b.code = traveler.code),
		(SELECT reason FROM traveler_basis b WHERE b.code = traveler.code)`}
	sealedPhotos    = &sealed{"photo", `id, code, piece, step, reading, by_whom, received, kind, digest, size, image`}
	sealedVersions  = &sealed{"revision", `shelf, name, revision, title, json, created`}
	sealedQuestions = &sealed{"question", `id, code, piece, step, words, after, asked, body`}
)

// sealedTables are all of them. Readings come first: they have a desk of their
// own, which seals them.
var sealedTables = []*sealed{
	sealedReadings, sealedSheets, sealedPhotos, sealedVersions, sealedQuestions,
	{"job", `number, part, revision, quantity, brake, due, created`},
	{"job_detail", `job, due, customer, note, turn, by_whom, at`},
	{"sheet", `code`},
	{"sheet_fact", `title, material, thickness, minutes`},
	{"traveler_event", `code, kind, piece, detail, by_whom, at_brake, at`},
	{"question_answer", `id, keep, by_whom, at`},
	{"statement", `kind, brake, person, tool, corner, shown, code, step, stop, after, by_whom, at`},
	{"figure", `kind, material, thickness, radius, brake, bar, angle, was, offered, zero, at90, spread, readings, words, upto, by_whom, at`},
	{"settlement", `subject, name, kind, was, offered, becomes, upon, readings, by_whom, at`},
	{"dropped_draft", `number, revision, upto, by_whom, at`},
	{"part_mark", `number, revision, kind, by_whom, at`},
	{"pack", `name, material, thickness, measured, heat, note, used_up, at`},
	{"trial", `material, thickness, pack, bar, strip, leg_one, leg_two, angle, stop_bend, radius, by_whom, at`},
	{"old_scan", `code, at`},
	{"first_piece_cause", `code, cause, by_whom, at`},
	{"gauge_study", `tool, at, (SELECT json_group_array(json_array(person, bend, turn, measured))
		FROM (SELECT * FROM gauge_reading r WHERE r.study = gauge_study.seq ORDER BY person, bend, turn))`},
}

// digest is a SHA-256.
type digest [sha256.Size]byte

// sealing makes seals, one after the other.
type sealing struct {
	sum    hash.Hash
	buffer []byte
}

func newSealing() *sealing { return &sealing{sum: sha256.New()} }

// begin begins the seal after another one; the first of a table comes after
// zeros.
func (s *sealing) begin(before digest) {
	s.sum.Reset()
	s.sum.Write(before[:])
}

// add takes in one row, its rowid first.
func (s *sealing) add(row []any) {
	s.buffer = appendRow(s.buffer[:0], row)
	s.sum.Write(s.buffer)
}

func (s *sealing) end() (d digest) {
	s.sum.Sum(d[:0])
	return d
}

// after gives the seal of one row.
func (s *sealing) after(before digest, row []any) digest {
	s.begin(before)
	s.add(row)
	return s.end()
}

// appendRow writes the values of a row as bytes that no other row has. What is
// not known is left out at the end, so that a column may be added later.
func appendRow(to []byte, row []any) []byte {
	for len(row) > 0 && row[len(row)-1] == nil {
		row = row[:len(row)-1]
	}
	to = binary.AppendUvarint(to, uint64(len(row)))
	for _, value := range row {
		to = appendValue(to, value)
	}
	return to
}

// appendValue writes a value as the database keeps it: whole numbers, fractions,
// texts and bytes are apart.
func appendValue(to []byte, value any) []byte {
	if value == nil {
		return append(to, 'n')
	}
	v := reflect.ValueOf(value)
	switch v.Kind() {
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		return binary.AppendVarint(append(to, 'i'), v.Int())
	case reflect.Bool:
		if v.Bool() {
			return binary.AppendVarint(append(to, 'i'), 1)
		}
		return binary.AppendVarint(append(to, 'i'), 0)
	case reflect.Float64:
		return binary.BigEndian.AppendUint64(append(to, 'f'), math.Float64bits(v.Float()))
	case reflect.String:
		to = binary.AppendUvarint(append(to, 't'), uint64(v.Len()))
		return append(to, v.String()...)
	}
	content := v.Bytes() // a mistake of the program where it is none of these
	to = binary.AppendUvarint(append(to, 'b'), uint64(len(content)))
	return append(to, content...)
}

// reachOf tells how far the tables go that change seals: their greatest rowids,
// in the order of sealedTables without the readings.
func reachOf(ctx context.Context, q queryer) ([]int64, error) {
	reach := make([]int64, len(sealedTables)-1)
	places := make([]any, len(reach))
	for i := range reach {
		places[i] = &reach[i]
	}
	return reach, worded(q.QueryRowContext(ctx, reachQuery).Scan(places...))
}

var reachQuery = func() string {
	var ends []string
	for _, t := range sealedTables[1:] {
		ends = append(ends, `(SELECT coalesce(max(rowid), 0) FROM `+t.table+`)`)
	}
	return `SELECT ` + strings.Join(ends, ", ")
}()

// sealNew seals what was added to the tables since they went so far. What
// another program had put there before stays without a seal.
func sealNew(ctx context.Context, tx *sql.Tx, before []int64) error {
	now, err := reachOf(ctx, tx)
	if err != nil {
		return err
	}
	for i, t := range sealedTables[1:] {
		if now[i] > before[i] {
			if err := t.sealRows(ctx, tx, before[i], now[i]); err != nil {
				return err
			}
		}
	}
	return nil
}

// sealRows seals the rows after one, up to another.
func (t *sealed) sealRows(ctx context.Context, tx *sql.Tx, after, upto int64) error {
	last, err := t.lastSeal(ctx, tx)
	if err != nil {
		return err
	}
	var made []seal
	s, rows := newSealing(), 0
	s.begin(last.digest)
	err = t.rows(ctx, tx, after, upto, func(row []any) error {
		s.add(row)
		last.upto, rows = row[0].(int64), rows+1
		if rows%t.together() == 0 {
			last.digest = s.end()
			made = append(made, last)
			s.begin(last.digest)
		}
		return nil
	})
	if rows%t.together() != 0 {
		last.digest = s.end()
		made = append(made, last)
	}
	for _, m := range made {
		if err == nil {
			err = t.keepSeal(ctx, tx, m)
		}
	}
	return err
}

// together is how many rows one seal covers where many are sealed at once. A row
// that is shown by itself has a seal of its own.
func (t *sealed) together() int {
	if t == sealedReadings {
		return mostAtOnce
	}
	return 1
}

// seal goes up to a rowid.
type seal struct {
	upto   int64
	digest digest
}

// lastSeal gives the newest seal of a table; zeros where there is none.
func (t *sealed) lastSeal(ctx context.Context, q queryer) (m seal, err error) {
	var content []byte
	err = q.QueryRowContext(ctx, `SELECT upto, digest FROM seal WHERE of_table = +? ORDER BY upto DESC LIMIT 1`, t.table).
		Scan(&m.upto, &content)
	copy(m.digest[:], content)
	if errors.Is(err, sql.ErrNoRows) {
		err = nil
	}
	return m, worded(err)
}

func (t *sealed) keepSeal(ctx context.Context, tx *sql.Tx, m seal) error {
	_, err := tx.ExecContext(ctx, `INSERT INTO seal (of_table, upto, digest) VALUES (?, ?, ?)`, t.table, m.upto, m.digest[:])
	return err
}

// rows shows the rows after one, up to another, each with its rowid first.
func (t *sealed) rows(ctx context.Context, q queryer, after, upto int64, take func(row []any) error) error {
	rows, err := q.QueryContext(ctx, `SELECT rowid, `+t.columns+` FROM `+t.table+` WHERE rowid > ? AND rowid <= ? ORDER BY rowid`, after, upto)
	return each(rows, err, func(rows *sql.Rows) error {
		row, err := scanAny(rows)
		if err != nil {
			return err
		}
		return take(row)
	})
}

// scanAny scans all columns of a row as the database keeps them.
func scanAny(rows *sql.Rows) ([]any, error) {
	columns, err := rows.Columns()
	if err != nil {
		return nil, err
	}
	row, places := make([]any, len(columns)), make([]any, len(columns))
	for i := range row {
		places[i] = &row[i]
	}
	return row, rows.Scan(places...)
}

// at is the place of a column in a row.
func (t *sealed) at(column string) int {
	for i, name := range strings.Split(t.columns, ",") {
		if strings.TrimSpace(name) == column {
			return i + 1
		}
	}
	panic("the seals of " + t.table + " do not cover " + column)
}

// proven gives the one row of a table that a condition finds, its rowid first,
// when it is as its seal says; the rows before it need not be. It gives
// sql.ErrNoRows when there is none, and refuses a row that cannot be proven good
// with Damaged: what is then sent nowhere is better than what may be wrong.
func (t *sealed) proven(ctx context.Context, q queryer, where string, values ...any) (row []any, err error) {
	found, err := t.provenAll(ctx, q, where, values...)
	if err == nil && len(found) == 0 {
		return nil, sql.ErrNoRows
	}
	if err != nil {
		return nil, err
	}
	return found[0], nil
}

// provenAll gives all rows that a condition finds, as proven does.
func (t *sealed) provenAll(ctx context.Context, q queryer, where string, values ...any) (found [][]any, err error) {
	rows, err := q.QueryContext(ctx, `
		SELECT (SELECT digest FROM seal WHERE of_table = '`+t.table+`' AND upto = `+t.table+`.rowid),
		       (SELECT digest FROM seal WHERE of_table = '`+t.table+`' AND upto < `+t.table+`.rowid ORDER BY upto DESC LIMIT 1),
		       rowid, `+t.columns+` FROM `+t.table+` WHERE `+where, values...)
	s := newSealing()
	err = each(rows, err, func(rows *sql.Rows) error {
		row, err := scanAny(rows)
		if err != nil {
			return err
		}
		own, _ := row[0].([]byte)
		earlier, _ := row[1].([]byte)
		var before digest
		copy(before[:], earlier)
		if d := s.after(before, row[2:]); !bytes.Equal(d[:], own) {
			return unproven(fmt.Sprintf("%s %v", t.table, row[2]))
		}
		found = append(found, row[2:])
		return nil
	})
	return found, err
}

// unproven refuses to give what is damaged.
func unproven(what string) error {
	return &trouble{fault.New(fault.Busy, "", "What is stored here is damaged and is not shown, since it may be wrong. "+
		"Whoever keeps the service must put a good copy back."), errors.Join(Damaged, fmt.Errorf("%s differs from its seal", what))}
}

// sealOf is the seal that a row which may change carries.
func sealOf(row ...any) []byte {
	sum := sha256.Sum256(appendRow(nil, row))
	return sum[:]
}

// carriers are the tables whose rows carry their seals.
var carriers = []struct{ table, key, columns string }{
	{"setting", "key", "value"},
	{"person", "role", "name, password_hash"},
	{"session", "token_hash", "role, expires"},
}

// sealAll gives seals to what a migration has made or found without any.
func sealAll(ctx context.Context, tx *sql.Tx) error {
	for _, t := range sealedTables {
		last, err := t.lastSeal(ctx, tx)
		if err == nil && last.upto == 0 {
			err = t.sealRows(ctx, tx, 0, math.MaxInt64)
		}
		if err != nil {
			return err
		}
	}
	for _, c := range carriers {
		rows, err := tx.QueryContext(ctx, `SELECT `+c.key+`, `+c.columns+` FROM `+c.table+` WHERE seal IS NULL`)
		found, err := all(rows, err, scanAny)
		for _, row := range found {
			if err == nil {
				_, err = tx.ExecContext(ctx, `UPDATE `+c.table+` SET seal = ? WHERE `+c.key+` = ?`, sealOf(row...), row[0])
			}
		}
		if err != nil {
			return err
		}
	}
	return nil
}
