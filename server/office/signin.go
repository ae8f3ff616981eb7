package office

import (
	"context"
	"net/http"
	"net/url"
	"strings"

	"brakeside/calc/fault"
	"brakeside/server/password"
	"brakeside/server/store"
	"brakeside/server/web"
)

const MostPassword = 200 // bytes

type signInView struct{ Next, Message string }

// SignInPage asks for the password.
func (s *Section) SignInPage(w http.ResponseWriter, r *http.Request) error {
	return s.Show(w, web.Page{Name: "owner/signin", View: signInView{Next: ownPath(r.URL.Query().Get("next"))}})
}

// SignIn checks the password and begins a session. How many are tried, and by whom,
// is decided before any is worked on, so that trying them out takes neither the
// memory nor the processor of the shop's machine, and keeps the owner out of nothing.
func (s *Section) SignIn(w http.ResponseWriter, r *http.Request) error {
	if err := web.PostedWithin(w, r, 4<<10); err != nil {
		return err
	}
	next := ownPath(r.PostForm.Get("next"))
	owner, err := s.Store.Owner(r.Context())
	if fault.KindOf(err) == fault.Missing {
		return fault.New(fault.Denied, "password", "No owner's password has been set. Set one on the machine that runs the service.")
	}
	if err != nil {
		return err
	}
	role, err := s.roleOfPassword(r, owner)
	if err != nil {
		return err
	}
	if role == "" {
		return s.Show(w, web.Page{Status: http.StatusForbidden, Name: "owner/signin", View: signInView{next, "That is not the password."}})
	}
	if err := s.BeginSession(w, r, role); err != nil {
		return err
	}
	if err := s.rememberBrowser(w, r, role, owner); err != nil {
		return err
	}
	http.Redirect(w, r, next, http.StatusSeeOther)
	return nil
}

// roleOfPassword gives the role of the account a password belongs to, empty
// when it is of none: the password alone says who signs in.
func (s *Section) roleOfPassword(r *http.Request, owner store.Owner) (role string, err error) {
	tried := r.PostForm.Get("password")
	if len(tried) > MostPassword {
		return "", nil
	}
	try, err := s.admitTry(r, owner)
	if err != nil {
		return "", err
	}
	defer try.leave()
	for _, of := range []struct {
		role    string
		account func(context.Context) (store.Owner, error)
	}{{store.RoleOwner, s.Store.Owner}, {store.RoleViewer, s.Store.Viewer}} {
		account, err := of.account(r.Context())
		if fault.KindOf(err) == fault.Missing {
			continue
		}
		if err != nil {
			return "", err
		}
		if right, err := password.Check(account.PasswordHash, tried); err != nil {
			return "", err
		} else if right {
			try.right()
			return of.role, nil
		}
	}
	return "", nil
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
