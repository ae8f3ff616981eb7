package office

import (
	"context"
	"fmt"
	"net/http"

	"brakeside/server/shelf"
	"brakeside/server/web"
)

// questionView is a reading that may be a slip of the thumb and waits for a yes or
// a no.
type questionView struct{ ID, Where, Words, By, When string }

func (s *Section) questions(ctx context.Context, code string) ([]questionView, error) {
	waiting, err := s.Store.Questions(ctx, code)
	if err != nil {
		return nil, err
	}
	var all []questionView
	for _, q := range waiting {
		where := fmt.Sprintf("piece %d, step %d", q.Reading.Piece, q.Reading.Step)
		all = append(all, questionView{q.Reading.ID, where, q.Words, q.Reading.By, s.When(q.Asked)})
	}
	return all, nil
}

// AnswerQuestion takes the office's yes or no.
func (s *Section) AnswerQuestion(w http.ResponseWriter, r *http.Request) error {
	r.Body = http.MaxBytesReader(w, r.Body, web.MostReading)
	if err := web.ReadForm(r); err != nil {
		return web.FormFault(err)
	}
	kept, err := s.Store.TravelerByCode(r.Context(), web.Variable(r, "code"))
	if err != nil {
		return err
	}
	yes := r.PostForm.Get("answer") == "yes"
	if _, err := s.Store.AnswerQuestion(r.Context(), kept.Traveler.Code, r.PostForm.Get("id"), yes, "owner"); err != nil {
		return err
	}
	s.News.Tell()
	return web.GoOn(w, r, shelf.JobAddress(kept.Traveler.Code), web.SaidAnswered)
}
