package office

import (
	"crypto/hmac"
	"crypto/sha256"
	"encoding/hex"
	"net/http"
	"strings"
	"time"

	"brakeside/server/admit"
	"brakeside/server/store"
	"brakeside/server/web"
)

// Wrong passwords: so many at once, and one more for each pause. An address at
// which somebody is signed in has a few more.
const (
	SignInBurst = 6
	SignInPause = 20 * time.Second
	MoreTries   = 3
)

// hashingRule is how many passwords are worked on side by side: each takes 19 MiB
// and a processor for some 30 ms.
var hashingRule = admit.Rule{Places: 2, Each: 1, Wait: 4, Behind: 2, Rest: 250 * time.Millisecond}

const (
	browserCookie = "brakeside-browser" // the cookie of a browser in which somebody was signed in
	browserLasts  = 400 * 24 * time.Hour
)

// tries admits whoever wants a password worked on. A browser that was signed in
// before is counted for itself, and everybody else by address, so that no stranger
// crowds out the owner, not even one behind the same address.
type tries struct {
	each *admit.Throttle
	more *admit.Throttle // of addresses at which somebody is signed in
	line *admit.Line
}

func newTries() *tries {
	return &tries{
		each: admit.NewThrottle(SignInBurst, SignInPause), more: admit.NewThrottle(MoreTries, SignInPause),
		line: admit.NewLine(hashingRule),
	}
}

// try is a place at which one password may be worked on.
type try struct {
	leave  func()
	booked *admit.Throttle
	party  string
}

// right ends a try that led somewhere: it is given back.
func (t *try) right() { t.booked.GiveBack(t.party) }

// admitTry books a try and waits for a place. It must be left.
func (s *Section) admitTry(r *http.Request, account store.Owner) (*try, error) {
	t, enter := &try{booked: s.tries.each, party: web.Party(r)}, s.tries.line.Enter
	if browser := knownBrowser(r, account); browser != "" {
		t.party, enter = browser, s.tries.line.EnterKnown
	}
	wait := t.booked.Book(t.party, s.Now())
	// One at a time: a crowd that comes at once takes none of these.
	if wait > 0 && s.Lived.Has(t.party, s.Now()) && s.tries.line.Idle() {
		t.booked = s.tries.more
		wait = t.booked.Book(t.party, s.Now())
	}
	if wait > 0 {
		return nil, web.TooOften(wait)
	}
	var err error
	if t.leave, err = enter(r.Context(), t.party); err != nil {
		t.right() // nothing was tried
		return nil, web.Admitted(err)
	}
	return t, nil
}

// seal tells the names of browsers that were given out from those that are made
// up. The owner's kept password is its key: with a new one all are forgotten.
func seal(id string, account store.Owner) string {
	mac := hmac.New(sha256.New, []byte("browser of "+account.PasswordHash))
	mac.Write([]byte(id))
	return hex.EncodeToString(mac.Sum(nil))
}

// knownBrowser gives the name of a browser in which somebody was signed in before;
// empty for all others.
func knownBrowser(r *http.Request, account store.Owner) string {
	id, sealed, _ := strings.Cut(web.Remembered(r, browserCookie), ".")
	if id == "" || !hmac.Equal([]byte(sealed), []byte(seal(id, account))) {
		return ""
	}
	return "browser " + id
}

// viewersName is the name of every browser in which only the viewer was signed in: by
// signing in again and again nobody comes to more tries at the owner's password.
const viewersName = "viewer"

// rememberBrowser has a browser known again, under the name it has if it has one.
func (s *Section) rememberBrowser(w http.ResponseWriter, r *http.Request, role string, account store.Owner) error {
	if known := knownBrowser(r, account); known != "" && (role != store.RoleOwner || known != "browser "+viewersName) {
		return nil
	}
	id := viewersName
	if role == store.RoleOwner {
		var err error
		if id, err = s.Secret(16); err != nil {
			return err
		}
	}
	http.SetCookie(w, s.Cookie(r, http.Cookie{
		Name: browserCookie, Value: id + "." + seal(id, account), Path: "/", MaxAge: int(browserLasts.Seconds()),
	}))
	return nil
}
