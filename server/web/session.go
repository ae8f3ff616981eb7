package web

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
	SessionCookie = "brakeside-owner"   // the cookie that holds the token
	SessionLasts  = 14 * 24 * time.Hour // without a new sign-in
)

// BeginSession signs in the one who asks.
func (s *Site) BeginSession(w http.ResponseWriter, r *http.Request, role string) error {
	token, err := s.Secret(32)
	if err != nil {
		return err
	}
	expires := s.Now().Add(SessionLasts)
	if err := s.Store.AddSession(r.Context(), store.Session{TokenHash: HashOf(token), Role: role, Expires: expires}); err != nil {
		return err
	}
	s.Lived.See(Party(r), s.Now())
	// The cookie's time is a span and not a date: the browser's clock may be wrong.
	http.SetCookie(w, s.Cookie(r, http.Cookie{
		Name: SessionCookie, Value: token, Path: "/", MaxAge: int(SessionLasts.Seconds()),
	}))
	return nil
}

// Cookie makes a cookie that no script can read and no other site can send.
func (s *Site) Cookie(r *http.Request, c http.Cookie) *http.Cookie {
	c.HttpOnly, c.SameSite = true, http.SameSiteStrictMode
	c.Secure = r.TLS != nil || strings.HasPrefix(s.Base, "https://")
	return &c
}

// EndSession ends the session of the one who asks.
func (s *Site) EndSession(w http.ResponseWriter, r *http.Request) error {
	given, err := r.Cookie(SessionCookie)
	if err != nil {
		return fault.New(fault.Denied, "", "You are not signed in.")
	}
	if err := s.Store.EndSession(r.Context(), HashOf(given.Value)); err != nil {
		return err
	}
	http.SetCookie(w, s.Cookie(r, http.Cookie{Name: SessionCookie, Path: "/", MaxAge: -1}))
	return nil
}

// signedIn is nil for those with an account, whose role it notes, and a refusal
// for all others.
func (s *Site) signedIn(r *http.Request) error {
	given, err := r.Cookie(SessionCookie)
	if err != nil {
		return fault.New(fault.Denied, "", "Sign in first: this page is the owner's.")
	}
	session, err := s.Store.Session(r.Context(), HashOf(given.Value))
	if err == nil {
		TicketOf(r).role = session.Role
		s.Lived.See(Party(r), s.Now())
	}
	return err
}

// onlyLooks reports whether the one who asks is signed in as the viewer. Phones that
// log are signed in as nobody.
func (s *Site) onlyLooks(r *http.Request) bool {
	given, err := r.Cookie(SessionCookie)
	if err != nil {
		return false
	}
	session, err := s.Store.Session(r.Context(), HashOf(given.Value))
	return err == nil && session.Role == store.RoleViewer
}

// askToSignIn sends a person who wants to see a page to the sign-in and back;
// everything else is refused.
func (s *Site) askToSignIn(w http.ResponseWriter, r *http.Request, err error) {
	if fault.KindOf(err) != fault.Denied || (r.Method != http.MethodGet && r.Method != http.MethodHead) || WantsJSON(r) {
		s.refuse(w, r, err)
		return
	}
	http.Redirect(w, r, "/signin?next="+url.QueryEscape(r.URL.RequestURI()), http.StatusSeeOther)
}

// HashOf is what is kept of a session's token.
func HashOf(token string) string {
	digest := sha256.Sum256([]byte(token))
	return hex.EncodeToString(digest[:])
}
