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
)

// beginSession signs in the one who asks.
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

// endSession ends the session of the one who asks.
func (s *Server) endSession(w http.ResponseWriter, r *http.Request) error {
	given, err := r.Cookie(sessionCookie)
	if err != nil {
		return fault.New(fault.Denied, "", "You are not signed in.")
	}
	if err := s.store.EndSession(r.Context(), hashOf(given.Value)); err != nil {
		return err
	}
	http.SetCookie(w, s.cookie(r, http.Cookie{Name: sessionCookie, Path: "/", MaxAge: -1}))
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

// hashOf is what is kept of a session's token.
func hashOf(token string) string {
	digest := sha256.Sum256([]byte(token))
	return hex.EncodeToString(digest[:])
}
