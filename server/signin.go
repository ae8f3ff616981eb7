package server

import (
	"crypto/sha256"
	"encoding/hex"
	"net/http"
	"net/url"
	"strings"
	"time"

	"brakeside/calc/fault"
	"brakeside/server/store"
)

const (
	sessionCookie = "brakeside-owner"
	sessionLasts  = 14 * 24 * time.Hour
	mostPassword  = 200     // bytes
	mostForm      = 1 << 20 // bytes of any form of the owner
	mostDrawing   = 6 << 20 // bytes of one that carries a drawing
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
func (s *Server) tryPassword(account store.Owner, password string) (bool, error) {
	s.hashing.Lock()
	defer s.hashing.Unlock()
	return CheckPassword(account.PasswordHash, password)
}

func (s *Server) beginSession(w http.ResponseWriter, r *http.Request, role string) error {
	token, err := s.secret(32)
	if err != nil {
		return err
	}
	expires := s.now().Add(sessionLasts)
	if err := s.store.AddSession(r.Context(), store.Session{TokenHash: hashOf(token), Role: role, Expires: expires}); err != nil {
		return err
	}
	// The cookie's time is a span and not a date: the browser's clock may be wrong.
	http.SetCookie(w, s.cookie(r, http.Cookie{
		Name: sessionCookie, Value: token, Path: "/", MaxAge: int(sessionLasts.Seconds()),
	}))
	return nil
}

// cookie makes a cookie that no script can read and no other site can send.
func (s *Server) cookie(r *http.Request, c http.Cookie) *http.Cookie {
	c.HttpOnly, c.SameSite = true, http.SameSiteStrictMode
	c.Secure = r.TLS != nil || strings.HasPrefix(s.base, "https://")
	return &c
}

func (s *Server) signOut(w http.ResponseWriter, r *http.Request) error {
	given, err := r.Cookie(sessionCookie)
	if err != nil {
		return fault.New(fault.Denied, "", "You are not signed in.")
	}
	if err := s.store.EndSession(r.Context(), hashOf(given.Value)); err != nil {
		return err
	}
	http.SetCookie(w, s.cookie(r, http.Cookie{Name: sessionCookie, Path: "/", MaxAge: -1}))
	http.Redirect(w, r, "/signin", http.StatusSeeOther)
	return nil
}

// signedIn is nil for those with an account, whose role it notes, and a refusal
// for all others.
func (s *Server) signedIn(r *http.Request) error {
	given, err := r.Cookie(sessionCookie)
	if err != nil {
		return fault.New(fault.Denied, "", "Sign in first: this page is the owner's.")
	}
	session, err := s.store.Session(r.Context(), hashOf(given.Value))
	if err == nil {
		ticketOf(r).role = session.Role
	}
	return err
}

// askToSignIn sends a person who wants to see a page to the sign-in and back;
// everything else is refused.
func (s *Server) askToSignIn(w http.ResponseWriter, r *http.Request, err error) {
	if fault.KindOf(err) != fault.Denied || (r.Method != http.MethodGet && r.Method != http.MethodHead) || wantsJSON(r) {
		s.refuse(w, r, err)
		return
	}
	http.Redirect(w, r, "/signin?next="+url.QueryEscape(r.URL.RequestURI()), http.StatusSeeOther)
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

// hashOf is what is kept of a session's token.
func hashOf(token string) string {
	digest := sha256.Sum256([]byte(token))
	return hex.EncodeToString(digest[:])
}

// formFault turns the failure to read a form into a refusal.
func formFault(err error) error {
	if statusOf(err) == http.StatusRequestEntityTooLarge {
		return err
	}
	return unreadable("The form could not be read. Open the page again and send it once more.")
}
