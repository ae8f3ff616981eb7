package operator

import (
	"cmp"
	"context"
	"encoding/json"
	"net/http"
	"net/url"
	"slices"

	"brakeside/calc/unit"
	"brakeside/server/store"
	"brakeside/server/web"
	"brakeside/traveler/progress"
)

// askView is the page that asks about readings that may be slips of the thumb: the
// one that was just sent, or all of a traveler that wait.
type askView struct {
	Code      string
	Head      headView
	Waiting   bool // the list of those that wait; they are kept and hold up nothing
	Questions []questionView
}

// questionView is one question with its answers, the likeliest first.
type questionView struct {
	Code, ID, Words string
	Piece, Step     int
	Again           bool // a reading was stored from the same page before; there is nothing to take away
	Choices         []choiceView
}

// choiceView is one answer to a question: the same form again, with a little
// changed.
type choiceView struct {
	Words, Look string
	Fields      []web.Pair
}

// askPage asks about a reading that is possible but improbable. It is not stored
// until one of the answers is given, here or where the questions wait.
func (s *Section) askPage(w http.ResponseWriter, refused refusedReading) error {
	_, words := web.MessageOf(refused.err)
	return s.showQuestion(w, refused, questionOf(refused.kept, readingFields(refused.posted.form), words))
}

// showQuestion asks one question in place of storing a reading.
func (s *Section) showQuestion(w http.ResponseWriter, refused refusedReading, question questionView) error {
	view := askView{Code: refused.kept.Traveler.Code, Head: headOf(refused.kept), Questions: []questionView{question}}
	return s.Show(w, web.Page{Status: web.StatusOf(refused.err), Name: "operator/ask", View: view})
}

// again asks about a reading from a page that was gone back to after it had saved
// another: whether it is a second one or corrects the first, each under a new id.
// It reports false where the first one is not of the same bend.
func (s *Section) again(ctx context.Context, refused refusedReading) (question questionView, asks bool, err error) {
	fields := readingFields(refused.posted.form)
	stored, err := s.Store.Readings(ctx, refused.kept.Traveler.Code)
	if err != nil {
		return question, false, err
	}
	at := slices.IndexFunc(stored, func(r progress.Reading) bool { return r.ID == fields.Get("id") })
	if at < 0 || (progress.Spot{Piece: stored[at].Piece, Step: stored[at].Step}) != spotIn(fields) {
		return question, false, nil
	}
	first, angle := stored[at], fields.Get("measured")+"°"
	id, err := s.NewID()
	if err != nil {
		return question, false, err
	}
	fields.Set("id", id)
	question = questionOf(refused.kept, fields, "This page has saved "+first.Measured.Text(1)+"° already. What is "+angle+"?")
	question.Again, question.Choices = true, []choiceView{
		choose(angle+" is a second reading of this bend", fields, web.Pair{Name: "id", Value: id}),
		choose(angle+" corrects the "+first.Measured.Text(1)+"°", fields, web.Pair{Name: "corrects", Value: first.ID}),
	}
	return question, true, nil
}

// QuestionsPage lists the questions of a traveler that wait for an answer.
func (s *Section) QuestionsPage(w http.ResponseWriter, r *http.Request) error {
	kept, err := s.sheet(r)
	if err != nil {
		return err
	}
	waiting, err := s.Store.Questions(r.Context(), kept.Traveler.Code)
	if err != nil {
		return err
	}
	view := askView{Code: kept.Traveler.Code, Head: headOf(kept), Waiting: true}
	for _, q := range waiting {
		fields, err := fieldsOf(q.Reading)
		if err != nil {
			return err
		}
		view.Questions = append(view.Questions, questionOf(kept, fields, q.Words))
	}
	return s.Show(w, web.Page{Name: "operator/ask", View: view})
}

// questions counts those of a traveler that wait.
func (s *Section) questions(ctx context.Context, kept store.Kept) (int, error) {
	waiting, err := s.Store.Questions(ctx, kept.Traveler.Code)
	return len(waiting), err
}

// AnswerQuestion takes a yes or a no. After a no the bend is shown, to be measured
// and typed anew.
func (s *Section) AnswerQuestion(w http.ResponseWriter, r *http.Request) error {
	kept, err := s.sheetToAdd(r)
	if err != nil {
		return err
	}
	if err := web.PostedWithin(w, r, 1<<10); err != nil {
		return err
	}
	id, yes := r.PostForm.Get("id"), r.PostForm.Get("answer") == "yes"
	by := initials(cmp.Or(r.PostForm.Get("by"), web.Remembered(r, InitialsCookie)))
	if _, err := s.Store.AnswerQuestion(r.Context(), kept.Traveler.Code, id, yes, by); err != nil {
		return err
	}
	s.News.Tell()
	to := savedAddress(kept.Traveler.Code, id)
	if !yes {
		to = spotAddress(kept.Traveler.Code, spotIn(r.PostForm)) + "&bent=yes"
	}
	http.Redirect(w, r, to, http.StatusSeeOther)
	return nil
}

func questionOf(kept store.Kept, fields url.Values, words string) questionView {
	spot := spotIn(fields)
	return questionView{
		Code: kept.Traveler.Code, ID: fields.Get("id"), Words: words, Piece: spot.Piece, Step: spot.Step, Choices: choices(kept, fields),
	}
}

// choices gives the answers that store a reading, the likeliest first: the angle
// with its decimal point in another place, or as the other kind of angle, where
// that fits the target; last the angle as it was sent.
func choices(kept store.Kept, fields url.Values) []choiceView {
	all := likely(kept, fields)
	if len(all) > 0 {
		all[0].Look = "main"
	}
	return append(all, choose("Yes, it is "+fields.Get("measured")+"°", fields, web.Pair{Name: "confirmed", Value: "true"}))
}

func likely(kept store.Kept, fields url.Values) []choiceView {
	body, err := progress.FormBody(fields)
	if err != nil {
		return nil
	}
	r, err := progress.ReadReading(body)
	if err != nil {
		return nil
	}
	step, found := progress.StepOf(kept.Traveler, r.Step)
	if !found {
		return nil
	}
	var all []choiceView
	for _, moved := range []unit.CentiDeg{10 * r.Measured, r.Measured / 10} {
		if other := r; near(&other, step.Target, func() { other.Measured = moved }) {
			all = append(all, choose(moved.Text(1)+"°?", fields, web.Pair{Name: "measured", Value: moved.Text(1)}))
		}
	}
	as := progress.GivenOpening
	if r.GivenAs == progress.GivenOpening {
		as = progress.GivenBend
	}
	if other := r; near(&other, step.Target, func() { other.GivenAs = as }) {
		all = append(all, choose("Save it as "+as+" "+fields.Get("measured")+"°", fields, web.Pair{Name: "given_as", Value: as}))
	}
	return all
}

// near reports whether a reading fits the target once it is changed.
func near(r *progress.Reading, target unit.CentiDeg, change func()) bool {
	change()
	off := r.Bend() - target
	return off < progress.FarOff && off > -progress.FarOff
}

// choose gives one answer: the fields of the form with one of them set.
func choose(words string, fields url.Values, set web.Pair) choiceView {
	choice := choiceView{Words: words, Look: "plain"}
	names := make([]string, 0, len(fields))
	for name := range fields {
		if name != set.Name {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	for _, name := range names {
		for _, value := range fields[name] {
			choice.Fields = append(choice.Fields, web.Pair{Name: name, Value: value})
		}
	}
	choice.Fields = append(choice.Fields, set)
	return choice
}

// fieldsOf writes a reading as the fields of a form, from its JSON: what was not
// said, and what the service adds, is left out.
func fieldsOf(r progress.Reading) (url.Values, error) {
	text, err := r.MarshalJSON()
	if err != nil {
		return nil, err
	}
	var members map[string]json.RawMessage
	if err := json.Unmarshal(text, &members); err != nil {
		return nil, err
	}
	fields := url.Values{}
	for name, value := range members {
		var many []json.RawMessage
		if json.Unmarshal(value, &many) != nil {
			many = []json.RawMessage{value}
		}
		for _, one := range many {
			var words string
			if json.Unmarshal(one, &words) != nil {
				words = string(one)
			}
			fields.Add(name, words)
		}
	}
	for _, name := range []string{"error", "stop_bend", "seq", "received", "confirmed"} {
		fields.Del(name)
	}
	return fields, nil
}
