package operator

import (
	"cmp"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"
	"unicode"

	"brakeside/server/admit"
	"brakeside/server/say"
	"brakeside/server/store"
	"brakeside/server/web"
	"brakeside/traveler/progress"
	"brakeside/traveler/standing"
)

const (
	PhoneCookie  = "brakeside-phone" // the cookie that tells phones apart
	presentFor   = 10 * time.Minute  // a phone that lies dark beside the brake is still at its bend
	mostInitials = 12                // letters shown to others
)

// presence knows which phone has which bend open. It is kept in memory only: it
// helps two people on one sheet, and decides nothing.
type presence struct {
	lock   sync.Mutex
	sheets map[string]map[string]visit // by code, then by phone
	count  int
}

// visit is one bend that is open on one phone.
type visit struct {
	spot progress.Spot
	by   string // initials, may be empty
	seen time.Time
}

// note keeps where a phone is; it is at one bend of a sheet at a time.
func (p *presence) note(code, phone string, v visit) {
	p.lock.Lock()
	defer p.lock.Unlock()
	if p.count >= admit.MostWatched {
		p.forget(v.seen)
	}
	if p.sheets == nil {
		p.sheets = make(map[string]map[string]visit)
	}
	if p.sheets[code] == nil {
		p.sheets[code] = make(map[string]visit)
	}
	if _, known := p.sheets[code][phone]; !known {
		p.count++
	}
	p.sheets[code][phone] = v
}

// leave forgets a phone, if it is still at that bend: the next page may have
// been opened before the last one said that it was closed.
func (p *presence) leave(code, phone string, spot progress.Spot) {
	p.lock.Lock()
	defer p.lock.Unlock()
	if v, known := p.sheets[code][phone]; known && v.spot == spot {
		p.remove(code, phone)
	}
}

func (p *presence) remove(code, phone string) {
	delete(p.sheets[code], phone)
	if len(p.sheets[code]) == 0 {
		delete(p.sheets, code)
	}
	p.count--
}

// forget drops the phones that were not seen for long, and all of them if that
// makes no room: the memory is bounded whatever comes.
func (p *presence) forget(now time.Time) {
	for code, phones := range p.sheets {
		for phone, v := range phones {
			if now.Sub(v.seen) > presentFor {
				p.remove(code, phone)
			}
		}
	}
	if p.count >= admit.MostWatched {
		p.sheets, p.count = nil, 0
	}
}

// others gives the visits of all other phones to a sheet, by piece and step.
func (p *presence) others(code, phone string, now time.Time) []visit {
	p.lock.Lock()
	defer p.lock.Unlock()
	var found []visit
	for other, v := range p.sheets[code] {
		if other != phone && now.Sub(v.seen) <= presentFor {
			found = append(found, v)
		}
	}
	slices.SortFunc(found, func(a, b visit) int {
		return cmp.Or(cmp.Compare(a.spot.Piece, b.spot.Piece), cmp.Compare(a.spot.Step, b.spot.Step), strings.Compare(a.by, b.by))
	})
	return found
}

// phones counts the phones that were seen lately.
func (p *presence) phones(now time.Time) int {
	p.lock.Lock()
	defer p.lock.Unlock()
	n := 0
	for _, phones := range p.sheets {
		for _, v := range phones {
			if now.Sub(v.seen) <= presentFor {
				n++
			}
		}
	}
	return n
}

// CompanyView is who else has a bend of this sheet open, in one line.
type CompanyView struct {
	Words   string         `json:"words"`          // empty when nobody is
	Here    bool           `json:"here"`           // somebody is at the very bend
	Instead *WayView       `json:"instead"`        // where to go when the same bend is open twice
	Halt    *standing.Halt `json:"halt,omitempty"` // of the whole traveler, that may have come since
	Asks    bool           `json:"asks,omitempty"` // the next page asks about the protractor
}

// WayView is a piece that nobody works on.
type WayView struct {
	Words   string `json:"words"`
	Address string `json:"address"`
}

// arrival is a bend that was opened on a phone.
type arrival struct {
	kept store.Kept
	job  *progress.Job // nil: it is read when it is needed
	spot progress.Spot
	by   string
}

// arrive notes that a phone has a bend open and gives who else is at the sheet.
// When the bend itself is open elsewhere it offers the next piece that is free.
func (s *Section) arrive(w http.ResponseWriter, r *http.Request, at arrival) (CompanyView, error) {
	phone, err := s.phone(w, r)
	if err != nil {
		return CompanyView{}, err
	}
	code := at.kept.Traveler.Code
	if phone != "" {
		s.presence.note(code, phone, visit{at.spot, initials(at.by), s.Now()})
	}
	others, busy := s.presence.others(code, phone, s.Now()), make(map[progress.Spot]bool)
	for _, o := range others {
		busy[o.spot] = true
	}
	view := CompanyView{Words: companyWords(others, at.spot, s.Now()), Here: busy[at.spot], Halt: at.kept.Halt()}
	if !view.Here {
		return view, nil
	}
	if at.job == nil {
		job, err := s.Store.Progress(r.Context(), code)
		if err != nil {
			return view, err
		}
		at.job = &job
	}
	view.Instead = freePiece(at, busy)
	return view, nil
}

// companyWords says how many others are at a sheet, and where the one is who matters
// most: at the same bend, or else the only one.
func companyWords(others []visit, here progress.Spot, now time.Time) string {
	same := slices.IndexFunc(others, func(v visit) bool { return v.spot == here })
	switch {
	case len(others) == 0:
		return ""
	case len(others) == 1:
		return visitWords(others[0], here, now)
	case same < 0:
		return fmt.Sprintf("%d others are at this traveler.", len(others))
	}
	return fmt.Sprintf("%d others are at this traveler.", len(others)) + " " + visitWords(others[same], here, now)
}

func visitWords(v visit, here progress.Spot, now time.Time) string {
	who := "Somebody else"
	if v.by != "" {
		who = say.Typed(v.by)
	}
	where := fmt.Sprintf("has piece %d, step %d open", v.spot.Piece, v.spot.Step)
	if v.spot == here {
		where = "has this bend open too"
	}
	if minutes := int(now.Sub(v.seen).Minutes()); minutes > 0 {
		return fmt.Sprintf("%s %s (seen %d min ago).", who, where, minutes)
	}
	return who + " " + where + "."
}

// freePiece is the way to another piece for the same step, if one may be begun.
func freePiece(at arrival, busy map[progress.Spot]bool) *WayView {
	spot, found := progress.Free(*at.job, at.spot, func(spot progress.Spot) bool { return busy[spot] })
	if !found {
		return nil
	}
	return &WayView{fmt.Sprintf("Mine is piece %d", spot.Piece), spotAddress(at.kept.Traveler.Code, spot)}
}

// phone gives the name of the phone that asks. One that has none yet is given one,
// and counts once it comes back with it: what keeps no cookies, such as a scanner or
// a program, is no phone at the brake. The name opens nothing.
func (s *Section) phone(w http.ResponseWriter, r *http.Request) (string, error) {
	if name := web.Remembered(r, PhoneCookie); len(name) == 24 {
		return name, nil
	}
	name, err := s.Secret(12)
	if err != nil {
		return "", err
	}
	s.setCookie(w, r, http.Cookie{Name: PhoneCookie, Value: name, MaxAge: rememberSeconds})
	return "", nil
}

// initials keeps what is fit to be shown to others.
func initials(by string) string {
	by = strings.TrimSpace(strings.Map(func(c rune) rune {
		if unicode.IsPrint(c) {
			return c
		}
		return -1
	}, by))
	if letters := []rune(by); len(letters) > mostInitials {
		by = string(letters[:mostInitials])
	}
	return by
}

// Present takes the sign of life of an open page: which bend it shows, or that
// it is left. It answers with who else is there.
func (s *Section) Present(w http.ResponseWriter, r *http.Request) error {
	kept, err := s.sheet(r)
	if err != nil {
		return err
	}
	if err := web.PostedWithin(w, r, 1<<10); err != nil {
		return err
	}
	spot := spotIn(r.PostForm)
	if err := refuseSpot(kept, spot); err != nil {
		return err
	}
	if left, _ := strconv.ParseBool(r.PostForm.Get("left")); left {
		s.presence.leave(kept.Traveler.Code, web.Remembered(r, PhoneCookie), spot)
		return s.ShowJSON(w, http.StatusOK, CompanyView{})
	}
	view, err := s.arrive(w, r, arrival{kept, nil, spot, r.PostForm.Get("by")})
	if err != nil {
		return err
	}
	if view.Asks, err = s.asksReaderNext(r); err != nil {
		return err
	}
	return s.ShowJSON(w, http.StatusOK, view)
}

// Phones counts the phones that had a bend open in the last minutes.
func (s *Section) Phones() int { return s.presence.phones(s.Now()) }
