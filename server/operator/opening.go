package operator

import (
	"math"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"brakeside/calc/fault"
	"brakeside/calc/learn"
	"brakeside/calc/unit"
	"brakeside/server/store"
	"brakeside/server/web"
	"brakeside/traveler/progress"
)

// The cookies of what a protractor is asked about.
const (
	toolCookie  = "brakeside-tool"      // the protractor named last
	laterCookie = "brakeside-ask-later" // who has put the question off
)

const (
	laterSeconds = 8 * 3600
	// cornerReach is how far a protractor may be off a known corner: beyond it
	// something else was read. Common practice, no source.
	cornerReach unit.Deg = 5
)

// corners are the angles of a set square that are not 90, on which opening and
// bend angle differ.
var corners = []string{"45", "60", "30"}

// openingView asks what somebody's protractor shows: either which of two angles,
// with a picture of both, or what it shows on a corner of a set square.
type openingView struct {
	Code     string
	Head     headView
	Who      learn.Reader
	Corner   bool
	Corners  []string
	Later    string // address of the bend, asked for another time
	Piece    int
	Step     int
	Message  string
	Shown    string // as typed
	Offcut   *offcutView
	Selected string
}

// asksReader shows a question in place of a bend where one is to be asked of who
// holds the phone: whether the opening was logged for the bend angle, or, when a
// protractor was named that never was held against a known corner, what it shows
// there; or for a bend on an offcut of a new pack. None holds anything up.
func (s *Section) asksReader(w http.ResponseWriter, r *http.Request, b bendRequest) (asked bool, err error) {
	if r.Method != http.MethodGet || b.corrects != "" || r.URL.Query().Get("bent") != "" {
		return false, nil
	}
	if r.URL.Query().Get("asked") != "" {
		http.SetCookie(w, s.Cookie(r, http.Cookie{Name: laterCookie, Value: "yes", Path: "/t/", MaxAge: laterSeconds}))
		return false, nil
	}
	if web.Remembered(r, laterCookie) != "" {
		return false, nil
	}
	view := openingView{Code: b.kept.Traveler.Code, Head: headOf(b.kept), Piece: b.spot.Piece, Step: b.spot.Step}
	if view.Who, view.Corner, asked, err = s.toAsk(r); err == nil && !asked {
		view.Offcut, err = s.offcutDue(r, b)
		asked = view.Offcut != nil
	}
	if !asked || err != nil {
		return false, err
	}
	return true, s.showOpening(w, view, http.StatusOK)
}

func (s *Section) showOpening(w http.ResponseWriter, v openingView, status int) error {
	v.Corners = corners
	v.Later = spotAddress(v.Code, progress.Spot{Piece: v.Piece, Step: v.Step}) + "&asked=later"
	return s.Show(w, web.Page{Status: status, Name: "operator/opening", View: v})
}

// asksReaderNext reports whether the next page asks about the protractor.
func (s *Section) asksReaderNext(r *http.Request) (asked bool, err error) {
	if web.Remembered(r, laterCookie) == "" {
		_, _, asked, err = s.toAsk(r)
	}
	return asked, err
}

// toAsk finds what is to be asked of who last logged from this phone.
func (s *Section) toAsk(r *http.Request) (who learn.Reader, corner, asked bool, err error) {
	here := learn.Reader{Person: web.Remembered(r, InitialsCookie), Tool: web.Remembered(r, toolCookie)}
	all, err := s.book.Asked(r.Context())
	if err != nil {
		return who, false, false, err
	}
	for _, q := range all {
		if q == here || q.Person != "" && q.Person == here.Person {
			return q, false, true, nil
		}
	}
	if here.Tool == "" {
		return who, false, false, nil
	}
	said, err := s.Store.Statements(r.Context())
	held := slices.ContainsFunc(said, func(x store.Statement) bool { return x.Kind == store.Corner && x.Tool == here.Tool })
	return here, true, !held, err
}

// AnswerOpening takes what a protractor shows, and remembers it on the phone.
func (s *Section) AnswerOpening(w http.ResponseWriter, r *http.Request) error {
	kept, err := s.sheetToAdd(r)
	if err != nil {
		return err
	}
	if err := web.PostedWithin(w, r, 1<<10); err != nil {
		return err
	}
	form := r.PostForm
	said, err := statementOf(form)
	if err == nil && said.Kind != store.Corner {
		err = s.isAsked(r, learn.Reader{Person: said.Person, Tool: said.Tool})
	}
	if fault.KindOf(err) == fault.Invalid {
		_, message := web.MessageOf(err)
		spot := spotIn(form)
		return s.showOpening(w, openingView{
			Code: kept.Traveler.Code, Head: headOf(kept), Who: learn.Reader{Person: said.Person, Tool: said.Tool}, Corner: true,
			Piece: spot.Piece, Step: spot.Step, Message: message, Shown: form.Get("shown"), Selected: form.Get("corner"),
		}, web.StatusOf(err))
	}
	if err == nil {
		err = s.Store.Say(r.Context(), said)
	}
	if err != nil {
		return err
	}
	shows := progress.GivenBend
	if said.Kind == store.ShowsOpening || form.Get("given_as") == progress.GivenOpening {
		shows = progress.GivenOpening
	}
	http.SetCookie(w, s.Cookie(r, http.Cookie{Name: ProtractorCookie, Value: shows, Path: "/t/", MaxAge: rememberSeconds}))
	http.Redirect(w, r, spotAddress(kept.Traveler.Code, spotIn(form)), http.StatusSeeOther)
	return nil
}

// isAsked refuses an answer to what is not asked any more.
func (s *Section) isAsked(r *http.Request, who learn.Reader) error {
	all, err := s.book.Asked(r.Context())
	if err == nil && !slices.Contains(all, who) {
		return fault.New(fault.Conflict, "", "This was answered already. Go on with the next bend.")
	}
	return err
}

// statementOf reads an answer. Of a corner it also sets given_as to the angle that
// the protractor shows.
func statementOf(form url.Values) (store.Statement, error) {
	x := store.Statement{Kind: form.Get("kind"), Person: tidied(form.Get("person")), Tool: tidied(form.Get("tool"))}
	x.By = x.Person
	switch x.Kind {
	case store.ShowsOpening, store.ShowsBend:
		return x, nil
	case store.Corner:
	default:
		return x, fault.New(fault.Invalid, "kind", "Say what the protractor shows.")
	}
	corner, shown, err := cornerOf(form)
	if err != nil {
		return x, err
	}
	bend := 180 - corner // what is left of it is the opening
	x.Corner = bend.CentiDeg()
	switch {
	case math.Abs(float64(shown-corner)) <= float64(cornerReach):
		form.Set("given_as", progress.GivenOpening)
		x.Shown = (180 - shown).CentiDeg()
	case math.Abs(float64(shown-bend)) <= float64(cornerReach):
		x.Shown = shown.CentiDeg()
	default:
		return x, fault.New(fault.Invalid, "shown", "On a corner of %s a protractor shows about %s or %s. Lay it on again.",
			corner.Text(0), corner.Text(0), bend.Text(0))
	}
	return x, nil
}

func cornerOf(form url.Values) (corner, shown unit.Deg, err error) {
	if !slices.Contains(corners, form.Get("corner")) {
		return 0, 0, fault.New(fault.Invalid, "corner", "Choose the corner that was measured.")
	}
	whole, _ := strconv.Atoi(form.Get("corner"))
	v, err := strconv.ParseFloat(strings.Replace(strings.TrimSpace(form.Get("shown")), ",", ".", 1), 64)
	if err != nil || !(v > 0 && v < 180) {
		return 0, 0, fault.New(fault.Invalid, "shown", "Type what the protractor shows, in degrees.")
	}
	return unit.Deg(whole), unit.Deg(v), nil
}

// mostLetters bounds initials and the name of a protractor.
const mostLetters = 60

func tidied(name string) string {
	letters := []rune(strings.ToValidUTF8(name, ""))
	return string(letters[:min(len(letters), mostLetters)])
}
