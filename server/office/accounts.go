package office

import (
	"context"
	"net/http"

	"brakeside/calc/fault"
	"brakeside/server/password"
	"brakeside/server/store"
	"brakeside/server/web"
)

// SetPassword changes the owner's password and signs everybody out.
func (s *Section) SetPassword(w http.ResponseWriter, r *http.Request) error {
	form, err := s.ReadOffice(w, r)
	if err != nil {
		return err
	}
	owner, err := s.Store.Owner(r.Context())
	if err != nil {
		return err
	}
	right, err := s.isPassword(r, owner, form.Get("old"))
	if err != nil {
		return err
	}
	if !right {
		return s.showShop(w, r, web.Filled{Values: form, Fail: fault.New(fault.Invalid, "old", "That is not the password.")})
	}
	hash, err := s.hashOfNew(r, "new", form.Get("new"))
	if web.IsRefusal(err) {
		return s.showShop(w, r, web.Filled{Values: form, Fail: err})
	}
	if err != nil {
		return err
	}
	if err := s.Store.SetOwner(r.Context(), store.Owner{Name: owner.Name, PasswordHash: hash}); err != nil {
		return err
	}
	s.Lived.Forget()
	http.Redirect(w, r, "/signin", http.StatusSeeOther)
	return nil
}

// isPassword tries a password of an account.
func (s *Section) isPassword(r *http.Request, account store.Owner, tried string) (bool, error) {
	if len(tried) > MostPassword {
		return false, nil
	}
	try, err := s.admitTry(r, account)
	if err != nil {
		return false, err
	}
	defer try.leave()
	right, err := password.Check(account.PasswordHash, tried)
	if right {
		try.right()
	}
	return right, err
}

// hashOfNew hashes a new password. It must be long enough, and of one account
// only: the password alone says who signs in.
func (s *Section) hashOfNew(r *http.Request, field, chosen string) (string, error) {
	if n := len([]rune(chosen)); n < 12 || len(chosen) > MostPassword {
		return "", fault.New(fault.Invalid, field, "This has %d letters; take 12 to %d.", n, MostPassword)
	}
	leave, err := s.tries.line.EnterKnown(r.Context(), web.Party(r))
	if err != nil {
		return "", web.Admitted(err)
	}
	defer leave()
	accounts := []func(context.Context) (store.Owner, error){s.Store.Owner, s.Store.Viewer}
	for _, of := range accounts {
		account, err := of(r.Context())
		if fault.KindOf(err) == fault.Missing {
			continue
		}
		if err != nil {
			return "", err
		}
		same, err := password.Check(account.PasswordHash, chosen)
		if err != nil {
			return "", err
		}
		if same {
			return "", fault.New(fault.Invalid, field, "This password is in use. Take another one.")
		}
	}
	return s.hashCost.Hash(chosen, s.Random)
}

// SetViewer sets the account that may only view, or takes it away.
func (s *Section) SetViewer(w http.ResponseWriter, r *http.Request) error {
	form, err := s.ReadOffice(w, r)
	if err != nil {
		return err
	}
	if form.Get("act") == "remove" {
		if err := s.Store.SetViewer(r.Context(), store.Owner{}); err != nil {
			return err
		}
		http.Redirect(w, r, "/shop?done=no-viewer", http.StatusSeeOther)
		return nil
	}
	hash, err := s.hashOfNew(r, "viewer", form.Get("viewer"))
	if web.IsRefusal(err) {
		return s.showShop(w, r, web.Filled{Values: form, Fail: err})
	}
	if err != nil {
		return err
	}
	if err := s.Store.SetViewer(r.Context(), store.Owner{Name: store.RoleViewer, PasswordHash: hash}); err != nil {
		return err
	}
	http.Redirect(w, r, "/shop?done=viewer", http.StatusSeeOther)
	return nil
}

// SignOutAll ends every session.
func (s *Section) SignOutAll(w http.ResponseWriter, r *http.Request) error {
	if err := s.Store.EndSessions(r.Context()); err != nil {
		return err
	}
	s.Lived.Forget()
	http.Redirect(w, r, "/signin", http.StatusSeeOther)
	return nil
}
