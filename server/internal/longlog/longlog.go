// Package longlog fills a folder with a log of many years, to see how the
// service fares with one. It is for tests and timings only: it writes to the
// database past the store, since a million readings through the desk would take
// minutes.
//
// The log is invented and the same every time: jobs of 50 bends on two brakes,
// six materials, three bars, four hundred parts, some notes, some corrections.
package longlog

import (
	"database/sql"
	"errors"
	"fmt"
	"math/rand/v2"
	"net/url"
	"os"
	"path/filepath"
	"time"

	_ "github.com/mattn/go-sqlite3" // the database driver

	"brakeside/calc/unit"
	"brakeside/server/store"
	"brakeside/traveler"
)

// Each job has so many readings, and each working day so many jobs.
const (
	PerJob     = 50
	jobsPerDay = 3
)

// End is the day on which every log ends.
var End = time.Date(2026, 5, 4, 12, 0, 0, 0, time.UTC)

var (
	materials   = []string{"mild-steel", "galvanised", "304", "430", "5251-H22", "copper"}
	thicknesses = []unit.Micron{800, 1000, 1200, 1500, 2000}
	bars        = []string{"wide", "narrow", "fingers"}
	brakes      = []string{"long brake", "short brake"}
)

// Fill writes a log of about so many readings into a folder.
func Fill(dir string, readings int) error {
	s, err := store.Open(dir, func() time.Time { return End })
	if err != nil {
		return err
	}
	if err := s.Close(); err != nil {
		return err
	}
	path := (&url.URL{Path: filepath.Join(dir, store.FileName)}).EscapedPath()
	db, err := sql.Open("sqlite3", "file:"+path+"?_synchronous=OFF&_journal_mode=WAL")
	if err != nil {
		return err
	}
	defer db.Close()
	if _, err := db.Exec(withoutSeals); err != nil {
		return fmt.Errorf("take the seals away: %w", err)
	}
	tx, err := db.Begin()
	if err != nil {
		return err
	}
	w, err := newWriter(tx)
	if err != nil {
		return err
	}
	jobs := readings / PerJob
	for n := range jobs {
		if err := w.job(n, jobs); err != nil {
			return fmt.Errorf("job %d: %w", n, err)
		}
	}
	const file = `INSERT INTO sheet_reading (sheet, reading)
		SELECT s.number, r.seq FROM reading r JOIN sheet s ON s.code = r.code`
	if _, err := tx.Exec(file); err != nil {
		return fmt.Errorf("file the readings: %w", err)
	}
	if err := errors.Join(tx.Commit(), db.Close()); err != nil {
		return err
	}
	return seal(dir)
}

// withoutSeals makes an empty database one of before there were seals, which is
// what a log has that was written past the store.
const withoutSeals = `
	DROP TRIGGER fact_of_sheet; DROP VIEW sheet_told; DROP TABLE sheet_fact; DROP TABLE job_detail; DROP TABLE dropped_draft;
	DROP TABLE seal;
	ALTER TABLE reading DROP COLUMN seal; ALTER TABLE setting DROP COLUMN seal;
	ALTER TABLE person DROP COLUMN seal; ALTER TABLE session DROP COLUMN seal;
	PRAGMA user_version = 11`

// seal has the store bring the log up to date, and takes away the copy that it
// keeps of what was before.
func seal(dir string) error {
	s, err := store.Open(dir, func() time.Time { return End })
	if err != nil {
		return err
	}
	copies, err := filepath.Glob(filepath.Join(dir, "brakeside-before-*.db"))
	for _, name := range copies {
		err = errors.Join(err, os.Remove(name))
	}
	return errors.Join(err, s.Close())
}

// writer writes jobs in one transaction.
type writer struct {
	random                 *rand.Rand
	addJob, sheet, reading *sql.Stmt
	seq                    int64
}

func newWriter(tx *sql.Tx) (*writer, error) {
	w := &writer{random: rand.New(rand.NewPCG(2026, 5))}
	for _, s := range []struct {
		into  **sql.Stmt
		query string
	}{
		{&w.addJob, `INSERT INTO job (number, part, revision, quantity, brake, due, created) VALUES (?, ?, 'A', 25, ?, '', ?)`},
		{&w.sheet, `INSERT INTO traveler (code, digest, job, part, revision, brake, quantity, steps, snapshot, pdf, issued_at)
		  VALUES (?, ?, ?, ?, 'A', ?, 25, 2, ?, x'25504446', ?)`},
		{&w.reading, `INSERT INTO reading (seq, id, code, piece, step, measured, given_as, stop, place, by_whom, state, note, flags, leg, pack,
		  gauged, setback_left, setback_right, tool, confirmed, at, corrects, error, received,
		  material, thickness, bar, brake, target, tolerance, stop_bend, in_tolerance, teaches, body, answer)
		  VALUES (?, ?, ?, ?, ?, ?, 'bend', NULL, 'middle', ?, ?, ?, ?, NULL, ?,
		  NULL, NULL, NULL, 'bevel protractor', 0, ?, ?, ?, ?, ?, ?, ?, ?, ?, 100, ?, ?, ?, ?, ?)`},
	} {
		stmt, err := tx.Prepare(s.query)
		if err != nil {
			return nil, err
		}
		*s.into = stmt
	}
	return w, nil
}

// plan is one job of the log.
type plan struct {
	*traveler.Traveler
	spring, pack float64 // degrees at 90
	at           time.Time
}

func (w *writer) plan(n, jobs int) plan {
	back := (jobs - 1 - n) / jobsPerDay
	at := End.AddDate(0, 0, -back-back/5*2).Add(time.Duration(n%jobsPerDay) * 2 * time.Hour) // five days a week
	material := w.random.IntN(len(materials))
	p := plan{at: at, spring: []float64{2.1, 1.9, 4.6, 2.8, 2.2, 0.6}[material], pack: 0.5 * w.random.NormFloat64()}
	step := func(number int, target unit.CentiDeg) traveler.Step {
		return traveler.Step{
			Number: number, Bend: fmt.Sprintf("b%d", number), Target: target, Tolerance: 100,
			Stop: target + 200, StopBend: target + 200, Springback: 200, StopFrom: "common practice",
			Bar: bars[w.random.IntN(len(bars))],
		}
	}
	thickness := thicknesses[w.random.IntN(len(thicknesses))]
	p.Traveler = &traveler.Traveler{
		Form: traveler.Form, Code: fmt.Sprintf("bcdfghj%010d", n), Job: fmt.Sprintf("J-%06d", n),
		Quantity: PerJob / 2, Run: traveler.ByPiece, Minutes: 200,
		IssuedAt: at.Add(-time.Hour).Format(time.RFC3339), IssuedBy: "owner",
		Part: traveler.Part{
			Number: fmt.Sprintf("BR-%03d", w.random.IntN(400)), Revision: "A",
			MaterialID: materials[material], Material: materials[material], Thickness: thickness, InsideRadius: thickness,
		},
		Brake: traveler.Brake{Name: brakes[w.random.IntN(len(brakes))], Reads: "bend", MaxAngle: 13000},
		Blank: traveler.Blank{Lines: []traveler.BendLine{{Bend: "b1", Step: 1, Radius: thickness}, {Bend: "b2", Step: 2, Radius: thickness}}},
		Steps: []traveler.Step{step(1, 9000), step(2, []unit.CentiDeg{9000, 4500, 9000}[w.random.IntN(3)])},
	}
	return p
}

func (w *writer) job(n, jobs int) error {
	p := w.plan(n, jobs)
	if _, err := w.addJob.Exec(p.Job, p.Part.Number, p.Brake.Name, p.IssuedAt); err != nil {
		return err
	}
	snapshot, err := traveler.Encode(p.Traveler)
	if err != nil {
		return err
	}
	if _, err := w.sheet.Exec(p.Code, traveler.Digest(snapshot), p.Job, p.Part.Number, p.Brake.Name, snapshot, p.IssuedAt); err != nil {
		return err
	}
	for i := range PerJob {
		if err := w.bend(p, i); err != nil {
			return err
		}
	}
	return nil
}

// bend writes one reading. One in fifty is flagged, one in a hundred corrects the
// one before it.
func (w *writer) bend(p plan, i int) error {
	step, piece := p.Steps[i%2], i/2+1
	w.seq++
	id, corrects := fmt.Sprintf("r%09d", w.seq), any(nil)
	back := (p.spring + p.pack) * float64(step.Target) / 9000
	measured := unit.Deg(float64(step.StopBend.Deg())-back+0.4*w.random.NormFloat64()).CentiDeg() / 10 * 10
	flags, note, teaches := "", "", 1
	switch w.random.IntN(100) {
	case 0, 1:
		flags, note, teaches = "bar-lifted", "came up at the left", 0
	case 2:
		if i > 0 {
			corrects = fmt.Sprintf("r%09d", w.seq-1)
		}
	}
	off := measured - step.Target
	good := 0
	if max(off, -off) <= step.Tolerance {
		good = 1
	}
	if max(off, -off) >= 800 {
		teaches = 0
	}
	at := p.at.Add(time.Duration(i) * 90 * time.Second).Format(time.RFC3339)
	body := fmt.Sprintf(`{"id":%q,"piece":%d,"step":%d,"measured":%s,"given_as":"bend","place":"middle","by":"AB",`+
		`"state":"as-bent","flags":[],"tool":"bevel protractor","at":%q}`, id, piece, step.Number, measured.Text(1), at)
	answer := fmt.Sprintf(`{"reading":%s,"error":%s,"in_tolerance":%t,"advice":"In tolerance: go on.",`+
		`"next":{"piece":%d,"step":%d}}`, body, off.Text(1), good == 1, piece, step.Number)
	_, err := w.reading.Exec(w.seq, id, p.Code, piece, step.Number, measured, "AB", "as-bent", note, flags, fmt.Sprintf("heat %d", w.seq/400),
		at, corrects, off, at, p.Part.MaterialID, p.Part.Thickness, step.Bar, p.Brake.Name, step.Target, step.StopBend,
		good, teaches, []byte(body), []byte(answer))
	return err
}
