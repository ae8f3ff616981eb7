package store

import (
	"context"
	"database/sql"
	"errors"
	"reflect"
	"time"

	"brakeside/calc/fault"
	"brakeside/traveler"
	"brakeside/traveler/progress"
)

// Question is a reading that may be a slip of the thumb and was not stored. It
// waits for a yes or a no and holds up nothing.
type Question struct {
	Code    string           // of the traveler
	Reading progress.Reading // as it was sent; its ID is that of the question
	Words   string           // what is asked
	Asked   time.Time
	body    []byte
}

// ask keeps the question that a judge had about a reading, once.
func (b *batch) ask(ctx context.Context, p Posted, doubt error) error {
	var refusal *fault.Refusal
	if !errors.As(doubt, &refusal) {
		return doubt
	}
	kept, err := b.tx.ExecContext(ctx, `
		INSERT INTO question (id, code, piece, step, words, after, asked, body) VALUES (?, ?, ?, ?, ?, ?, ?, ?)
		ON CONFLICT (id) DO NOTHING`,
		p.Reading.ID, p.Code, p.Reading.Piece, p.Reading.Step, refusal.Message, b.last, b.received, p.Body)
	if err != nil {
		return err
	}
	if n, err := kept.RowsAffected(); err != nil || n == 0 {
		return err
	}
	row, err := kept.LastInsertId()
	if err != nil {
		return err
	}
	return sealedQuestions.sealRows(ctx, b.tx, row-1, row)
}

// answeredFor reports whether the stored body under an id is the posted one,
// except that a question about it was answered with yes in between: the phone
// that sent it then says yes as well, or sends it as it was.
func (b *batch) answeredFor(ctx context.Context, p Posted, body []byte) bool {
	var n int
	err := b.tx.QueryRowContext(ctx, `SELECT count(*) FROM question WHERE id = ?`, p.Reading.ID).Scan(&n)
	if err != nil || n == 0 {
		return false
	}
	stored, err := progress.ReadReading(body)
	posted := p.Reading
	stored.Confirmed, posted.Confirmed = true, true
	return err == nil && reflect.DeepEqual(stored, posted)
}

// openQuestions are those of one traveler, or of all when ?1 is empty. A newer
// reading of the same bend takes a question away.
const openQuestions = `
	SELECT q.code, q.words, q.asked, q.body FROM question q
	WHERE (?1 = '' OR q.code = ?1)
	  AND NOT EXISTS (SELECT 1 FROM question_answer a WHERE a.id = q.id)
	  AND NOT EXISTS (SELECT 1 FROM reading r WHERE r.id = q.id)
	  AND NOT EXISTS (SELECT 1 FROM ` + ofSheet + ` WHERE s.code = q.code AND l.reading > q.after AND r.piece = q.piece AND r.step = q.step)
	ORDER BY q.rowid`

// Questions lists the open questions of a traveler, or of all when the code is
// empty, oldest first.
func (s *Store) Questions(ctx context.Context, code string) ([]Question, error) {
	return questionsOf(ctx, s.read, traveler.TidyCode(code))
}

func questionsOf(ctx context.Context, q queryer, code string) ([]Question, error) {
	rows, err := q.QueryContext(ctx, openQuestions, code)
	return all(rows, err, func(rows *sql.Rows) (Question, error) {
		var x Question
		var asked string
		err := rows.Scan(&x.Code, &x.Words, &asked, &x.body)
		if err != nil {
			return x, err
		}
		if x.Reading, err = progress.ReadReading(x.body); err != nil {
			return x, err
		}
		x.Asked, err = timeOf(asked)
		return x, err
	})
}

// AnswerQuestion ends an open question of a traveler: with yes the reading is
// stored as it was sent, and the answer is that of AddReading; with no it is
// dropped, which is kept as well. Questions are answered in any order.
//
// It refuses with fault.Conflict a question that is not open any more, and what
// AddReading refuses.
func (s *Store) AnswerQuestion(ctx context.Context, code, id string, yes bool, by string) (Answer, error) {
	open, err := s.Questions(ctx, code)
	if err != nil {
		return Answer{}, err
	}
	for _, q := range open {
		if q.Reading.ID != id {
			continue
		}
		var answer Answer
		if yes {
			q.Reading.Confirmed = true
			if answer, err = s.AddReading(ctx, Posted{Code: q.Code, Reading: q.Reading, Body: q.body}, progress.Judge); err != nil {
				return answer, err
			}
		}
		return answer, s.noteAnswer(ctx, id, yes, by)
	}
	return Answer{}, fault.New(fault.Conflict, "id", "This question is not open any more.")
}

func (s *Store) noteAnswer(ctx context.Context, id string, yes bool, by string) error {
	return s.change(ctx, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, `INSERT INTO question_answer (id, keep, by_whom, at) VALUES (?, ?, ?, ?) ON CONFLICT (id) DO NOTHING`,
			id, yes, by, stamp(s.clock()))
		return err
	})
}
