package server

import (
	"net/http"
	"net/url"
	"strings"
	"time"

	"brakeside/calc/fault"
	"brakeside/server/store"
)

const mostPassword = 200 // bytes

// Wrong passwords: so many at once from an address, and one more for each pause.
const (
	signInBurst = 6
	signInPause = 20 * time.Second
)

type signInView struct{ Next, Message string }

func (s *Server) signInPage(w http.ResponseWriter, r *http.Request) error {
	return s.show(w, page{0, "owner/signin", signInView{Next: ownPath(r.URL.Query().Get("next"))}})
}

// signIn checks the password and begins a session. Wrong ones are counted by
// address, and one password is worked on at a time, so that trying them out
// takes neither the memory nor the processor of the shop's machine.
func (s *Server) signIn(w http.ResponseWriter, r *http.Request) error {
	if err := postedWithin(w, r, 4<<10); err != nil {
		return err
	}
	if wait := s.signins.wait(address(r), s.now()); wait > 0 {
		return tooOften(wait)
	}
	next := ownPath(r.PostForm.Get("next"))
	role, err := s.roleOfPassword(r)
	if err != nil {
		return err
	}
	if role == "" {
		s.signins.failed(address(r), s.now())
		return s.show(w, page{http.StatusForbidden, "owner/signin", signInView{next, "That is not the password."}})
	}
	if err := s.beginSession(w, r, role); err != nil {
		return err
	}
	http.Redirect(w, r, next, http.StatusSeeOther)
	return nil
}

// roleOfPassword gives the role of the account a password belongs to, empty
// when it is of none: the password alone says who signs in.
func (s *Server) roleOfPassword(r *http.Request) (string, error) {
	password := r.PostForm.Get("password")
	if len(password) > mostPassword {
		return "", nil
	}
	owner, err := s.store.Owner(r.Context())
	if fault.KindOf(err) == fault.Missing {
		return "", fault.New(fault.Denied, "password", "No owner's password has been set. Set one on the machine that runs the service.")
	}
	if err != nil {
		return "", err
	}
	if right, err := s.tryPassword(owner, password); right || err != nil {
		return store.RoleOwner, err
	}
	viewer, err := s.store.Viewer(r.Context())
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
func (s *Server) tryPassword(account store.Owner, tried string) (bool, error) {
	s.hashing.Lock()
	defer s.hashing.Unlock()
	return CheckPassword(account.PasswordHash, tried)
}

func (s *Server) signOut(w http.ResponseWriter, r *http.Request) error {
	if err := s.endSession(w, r); err != nil {
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
