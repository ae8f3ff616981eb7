package office

import (
	"net/http"
	"net/url"
	"strings"
	"time"

	"brakeside/calc/fault"
	"brakeside/server/password"
	"brakeside/server/store"
	"brakeside/server/web"
)

const MostPassword = 200 // bytes

// Wrong passwords: so many at once from an address, and one more for each pause.
const (
	SignInBurst = 6
	SignInPause = 20 * time.Second
)

type signInView struct{ Next, Message string }

// SignInPage asks for the password.
func (s *Section) SignInPage(w http.ResponseWriter, r *http.Request) error {
	return s.Show(w, web.Page{Name: "owner/signin", View: signInView{Next: ownPath(r.URL.Query().Get("next"))}})
}

// SignIn checks the password and begins a session. Wrong ones are counted by
// address, and one password is worked on at a time, so that trying them out
// takes neither the memory nor the processor of the shop's machine.
func (s *Section) SignIn(w http.ResponseWriter, r *http.Request) error {
	if err := web.PostedWithin(w, r, 4<<10); err != nil {
		return err
	}
	if wait := s.signins.Wait(web.AddressOf(r), s.Now()); wait > 0 {
		return web.TooOften(wait)
	}
	next := ownPath(r.PostForm.Get("next"))
	role, err := s.roleOfPassword(r)
	if err != nil {
		return err
	}
	if role == "" {
		s.signins.Failed(web.AddressOf(r), s.Now())
		return s.Show(w, web.Page{Status: http.StatusForbidden, Name: "owner/signin", View: signInView{next, "That is not the password."}})
	}
	if err := s.BeginSession(w, r, role); err != nil {
		return err
	}
	http.Redirect(w, r, next, http.StatusSeeOther)
	return nil
}

// roleOfPassword gives the role of the account a password belongs to, empty
// when it is of none: the password alone says who signs in.
func (s *Section) roleOfPassword(r *http.Request) (string, error) {
	password := r.PostForm.Get("password")
	if len(password) > MostPassword {
		return "", nil
	}
	owner, err := s.Store.Owner(r.Context())
	if fault.KindOf(err) == fault.Missing {
		return "", fault.New(fault.Denied, "password", "No owner's password has been set. Set one on the machine that runs the service.")
	}
	if err != nil {
		return "", err
	}
	if right, err := s.tryPassword(owner, password); right || err != nil {
		return store.RoleOwner, err
	}
	viewer, err := s.Store.Viewer(r.Context())
	if fault.KindOf(err) == fault.Missing {
		return "", nil
	}
	if err != nil {
		return "", err
	}
	if right, err := s.tryPassword(viewer, password); right || err != nil {
		return store.RoleViewer, err
	}
	return "", nil
}

// tryPassword works on one password at a time.
func (s *Section) tryPassword(account store.Owner, tried string) (bool, error) {
	s.hashing.Lock()
	defer s.hashing.Unlock()
	return password.Check(account.PasswordHash, tried)
}

// SignOut ends the session.
func (s *Section) SignOut(w http.ResponseWriter, r *http.Request) error {
	if err := s.EndSession(w, r); err != nil {
		return err
	}
	http.Redirect(w, r, "/signin", http.StatusSeeOther)
	return nil
}

// ownPath keeps a way back to a page of this service, and nothing else: an
// address of another site would lead the owner away with a fresh session.
func ownPath(next string) string {
	to, err := url.Parse(next)
	if err != nil || to.IsAbs() || to.Host != "" || !strings.HasPrefix(next, "/") || strings.HasPrefix(next, "//") ||
		strings.ContainsAny(next, "\\\r\n\t") {
		return "/"
	}
	return next
}
