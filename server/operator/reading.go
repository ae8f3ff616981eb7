package operator

import (
	"io"
	"net/http"
	"net/url"
	"strconv"

	"brakeside/calc/fault"
	"brakeside/server/store"
	"brakeside/server/web"
	"brakeside/traveler/progress"
)

const (
	InitialsCookie   = "brakeside-initials"   // the cookie with the initials chosen last
	ThereCookie      = "brakeside-there"      // the cookie that says that they were given lately
	ProtractorCookie = "brakeside-protractor" // the cookie with what the protractor shows
	rememberSeconds  = 180 * 24 * 3600
)

// post is one reading as it came in: a form or JSON.
type post struct {
	form url.Values
	body []byte
}

// AddReading stores one reading, and answers a program with JSON and a form
// with a page.
func (s *Section) AddReading(w http.ResponseWriter, r *http.Request) error {
	kept, err := s.sheetToAdd(r)
	if err != nil {
		return err
	}
	posted, err := readPost(w, r)
	if err != nil {
		return err
	}
	reading, answered, err := s.keepReading(r, kept, posted)
	if err != nil {
		return s.refuseReading(w, r, refusedReading{kept, posted, err})
	}
	s.remember(w, r, reading)
	if posted.form != nil {
		to := savedAddress(kept.Traveler.Code, reading.ID)
		if toBoard(posted.form) {
			to = sheetAddress(kept.Traveler.Code) + "/board"
		}
		http.Redirect(w, r, to, http.StatusSeeOther)
		return nil
	}
	status := http.StatusCreated
	if answered.Repeated {
		status = http.StatusOK
	}
	return web.Write(w, s.Worded(web.Reply{Status: status, Kind: web.JSONKind, Body: answered.Body}))
}

// keepReading reads, judges and stores a reading. It comes back only once the
// reading is safe on disk.
func (s *Section) keepReading(r *http.Request, kept store.Kept, posted post) (reading progress.Reading, answered store.Answer, err error) {
	body := posted.body
	if posted.form != nil {
		if body, err = progress.FormBody(readingFields(posted.form)); err != nil {
			return reading, answered, err
		}
	}
	if reading, err = progress.ReadReading(body); err != nil {
		return reading, answered, err
	}
	answered, err = s.Store.AddReading(r.Context(),
		store.Posted{Code: kept.Traveler.Code, Reading: reading, Body: body}, progress.Judge)
	if err == nil && !answered.Repeated {
		s.News.Tell()
	}
	return reading, answered, err
}

// readPost reads the body of a posted reading.
func readPost(w http.ResponseWriter, r *http.Request) (post, error) {
	r.Body = http.MaxBytesReader(w, r.Body, web.MostReading)
	if web.IsForm(r) {
		if err := web.ReadForm(r); err != nil {
			return post{}, web.FormFault(err)
		}
		return post{form: r.PostForm}, nil
	}
	body, err := io.ReadAll(r.Body)
	if err != nil && web.StatusOf(err) != http.StatusRequestEntityTooLarge {
		return post{}, web.Unreadable("The reading did not come through whole. Send it again.")
	}
	return post{body: body}, err
}

// readingFields turns what the page calls its fields into those of a reading.
// An angle that was typed goes before one that was picked from the pad, whose
// angles are in the convention the page was made with. A stop that was typed in
// place of the told one goes before the one that was tapped.
func readingFields(form url.Values) url.Values {
	fields := url.Values{}
	for name, values := range form {
		fields[name] = values
	}
	if typed := form.Get("typed"); typed != "" {
		fields.Set("measured", typed)
	} else if picked := form.Get("pad"); picked != "" {
		fields.Set("measured", picked)
		fields.Set("given_as", form.Get("pad_as"))
	}
	if stop := form.Get("stop_as"); stop != "" && form.Get("stop") == form.Get("told") {
		fields.Set("stop", stop)
	}
	for _, name := range []string{"typed", "pad", "pad_as", "stop_as", "told", "from"} {
		fields.Del(name)
	}
	return fields
}

// remember keeps the initials, the protractor and what it shows on the phone, so that
// they are given once and not at every bend.
func (s *Section) remember(w http.ResponseWriter, r *http.Request, reading progress.Reading) {
	for name, value := range map[string]string{InitialsCookie: reading.By, ProtractorCookie: reading.GivenAs, toolCookie: reading.Tool} {
		if value != "" && value != web.Remembered(r, name) {
			s.setCookie(w, r, http.Cookie{Name: name, Value: value, MaxAge: rememberSeconds})
		}
	}
	if pause := s.pause(r); pause > 0 && reading.By != "" {
		s.setCookie(w, r, http.Cookie{Name: ThereCookie, Value: "yes", MaxAge: int(pause.Seconds())})
	}
}

// setCookie keeps something on a phone, for the pages of sheets.
func (s *Section) setCookie(w http.ResponseWriter, r *http.Request, c http.Cookie) {
	c.Value, c.Path = url.QueryEscape(c.Value), "/t/"
	http.SetCookie(w, s.Cookie(r, c))
}

// KeepConvention remembers what the protractor of a phone shows, which is asked
// once before the first angle.
func (s *Section) KeepConvention(w http.ResponseWriter, r *http.Request) error {
	kept, err := s.sheet(r)
	if err != nil {
		return err
	}
	if err := web.PostedWithin(w, r, 1<<10); err != nil {
		return err
	}
	shows := r.PostForm.Get("given_as")
	if shows != progress.GivenBend && shows != progress.GivenOpening {
		return fault.New(fault.Invalid, "given_as", "Say which of the two angles the protractor shows.")
	}
	s.setCookie(w, r, http.Cookie{Name: ProtractorCookie, Value: shows, MaxAge: rememberSeconds})
	to := sheetAddress(kept.Traveler.Code)
	if spot := spotIn(r.PostForm); refuseSpot(kept, spot) == nil {
		to = spotAddress(kept.Traveler.Code, spot)
		if r.PostForm.Get("bent") != "" {
			to += "&bent=yes"
		}
	}
	http.Redirect(w, r, to, http.StatusSeeOther)
	return nil
}

// refusedReading is a reading that was not stored, and why.
type refusedReading struct {
	kept   store.Kept
	posted post
	err    error
}

// readingStatus is statusOf for a reading: what could not even be read as one
// is a bad request.
func readingStatus(err error) int {
	if field, _ := web.MessageOf(err); fault.KindOf(err) == fault.Invalid && field == "" {
		return http.StatusBadRequest
	}
	return web.StatusOf(err)
}

// refuseReading says why a reading was not stored, in the way it came: to a
// program as JSON, to a person as the page that helps.
func (s *Section) refuseReading(w http.ResponseWriter, r *http.Request, refused refusedReading) error {
	status := readingStatus(refused.err)
	if status >= http.StatusInternalServerError {
		return refused.err
	}
	if refused.posted.form == nil {
		return s.ShowJSON(w, status, web.RefusalBody(refused.err))
	}
	switch {
	case fault.KindOf(refused.err) == fault.Unsure:
		return s.askPage(w, refused)
	case fault.KindOf(refused.err) == fault.Invalid:
		return s.showAgain(w, r, refused)
	}
	field, message := web.MessageOf(refused.err)
	if fault.KindOf(refused.err) == fault.Conflict && field == "id" {
		if question, asks, err := s.again(r.Context(), refused); err != nil {
			return err
		} else if asks {
			return s.showQuestion(w, refused, question)
		}
	}
	return s.Show(w, web.Page{Status: status, Name: "operator/refused", View: web.RefusedView{
		Heading: web.Headings[status], Words: message,
		Back: sheetAddress(refused.kept.Traveler.Code), BackWords: "Go to the next bend",
	}})
}

// showAgain shows the page of the bend once more, with what was typed and what
// is wrong with it.
func (s *Section) showAgain(w http.ResponseWriter, r *http.Request, refused refusedReading) error {
	spot := spotIn(refused.posted.form)
	_, stepKnown := progress.StepOf(refused.kept.Traveler, spot.Step)
	if !stepKnown || spot.Piece < 1 || spot.Piece > refused.kept.Pieces() {
		return refused.err
	}
	job, err := s.Store.Progress(r.Context(), refused.kept.Traveler.Code)
	if err != nil {
		return err
	}
	return s.showBend(w, r, bendRequest{
		kept: refused.kept, job: job, spot: spot, corrects: refused.posted.form.Get("corrects"),
		given: refused.posted.form, refused: refused.err,
	})
}

// spotIn reads the bend a form is about; zeros where it does not say.
func spotIn(form url.Values) progress.Spot {
	piece, _ := strconv.Atoi(form.Get("piece"))
	step, _ := strconv.Atoi(form.Get("step"))
	return progress.Spot{Piece: piece, Step: step}
}
