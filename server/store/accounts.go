package store

import (
	"context"
	"database/sql"
	"errors"
	"path/filepath"
	"time"

	"brakeside/calc/fault"
)

// The roles of the people who sign in. The viewer sees what the owner sees and
// changes nothing.
const (
	RoleOwner  = "owner"
	RoleViewer = "viewer"
)

// SetOwner keeps the owner's name and password hash in place of the earlier
// ones and ends all sessions.
func (s *Store) SetOwner(ctx context.Context, owner Owner) error {
	return s.change(ctx, func(tx *sql.Tx) error {
		if _, err := tx.ExecContext(ctx, `DELETE FROM session`); err != nil {
			return err
		}
		return setAccount(ctx, tx, RoleOwner, owner)
	})
}

// SetViewer keeps the account that may only view, in place of the earlier one,
// and ends its sessions. An empty hash takes the account away.
func (s *Store) SetViewer(ctx context.Context, viewer Owner) error {
	return s.change(ctx, func(tx *sql.Tx) error {
		if _, err := tx.ExecContext(ctx, `DELETE FROM session WHERE role = 'viewer'`); err != nil {
			return err
		}
		if viewer.PasswordHash == "" {
			_, err := tx.ExecContext(ctx, `DELETE FROM person WHERE role = 'viewer'`)
			return err
		}
		return setAccount(ctx, tx, RoleViewer, viewer)
	})
}

func setAccount(ctx context.Context, tx *sql.Tx, role string, owner Owner) error {
	_, err := tx.ExecContext(ctx, `
		INSERT INTO person (role, name, password_hash, seal) VALUES (?, ?, ?, ?)
		ON CONFLICT (role) DO UPDATE SET name = excluded.name, password_hash = excluded.password_hash, seal = excluded.seal`,
		role, owner.Name, owner.PasswordHash, sealOf(role, owner.Name, owner.PasswordHash))
	return err
}

// Owner gives the owner; fault.Missing when none was set yet.
func (s *Store) Owner(ctx context.Context) (Owner, error) {
	return s.account(ctx, RoleOwner, "There is no owner yet. Set a password with brakeside owner-password.")
}

// Viewer gives the account that may only view; fault.Missing when there is none.
func (s *Store) Viewer(ctx context.Context) (Owner, error) {
	return s.account(ctx, RoleViewer, "There is no account that may only view.")
}

func (s *Store) account(ctx context.Context, role, missing string) (Owner, error) {
	var o Owner
	err := s.read.QueryRowContext(ctx, `SELECT name, password_hash FROM person WHERE role = ?`, role).Scan(&o.Name, &o.PasswordHash)
	if errors.Is(err, sql.ErrNoRows) {
		return o, fault.New(fault.Missing, "", "%s", missing)
	}
	return o, worded(err)
}

// AddSession keeps a session and forgets those that are past.
func (s *Store) AddSession(ctx context.Context, session Session) error {
	if session.Role == "" {
		session.Role = RoleOwner
	}
	return s.change(ctx, func(tx *sql.Tx) error {
		if _, err := tx.ExecContext(ctx, `DELETE FROM session WHERE expires <= ?`, stamp(s.now())); err != nil {
			return err
		}
		expires := stamp(session.Expires)
		_, err := tx.ExecContext(ctx, `INSERT INTO session (token_hash, role, expires, seal) VALUES (?, ?, ?, ?)`,
			session.TokenHash, session.Role, expires, sealOf(session.TokenHash, session.Role, expires))
		return err
	})
}

// Session finds a session by its token's hash; fault.Denied when there is none
// or it is past. A store opened by View has no clock and no sessions.
func (s *Store) Session(ctx context.Context, tokenHash string) (Session, error) {
	denied := fault.New(fault.Denied, "", "Sign in first.")
	if s.write == nil {
		return Session{}, denied
	}
	found := Session{TokenHash: tokenHash}
	var expires string
	err := s.read.QueryRowContext(ctx, `SELECT role, expires FROM session WHERE token_hash = ? AND expires > ?`,
		tokenHash, stamp(s.now())).Scan(&found.Role, &expires)
	if errors.Is(err, sql.ErrNoRows) {
		return Session{}, denied
	}
	if err != nil {
		return Session{}, worded(err)
	}
	found.Expires, err = timeOf(expires)
	return found, err
}

// Sessions counts the sessions that are not past.
func (s *Store) Sessions(ctx context.Context) (int, error) {
	var n int
	err := s.read.QueryRowContext(ctx, `SELECT count(*) FROM session WHERE expires > ?`, stamp(s.clock())).Scan(&n)
	return n, worded(err)
}

// EndSession forgets a session; one that is not there is no error.
func (s *Store) EndSession(ctx context.Context, tokenHash string) error {
	return s.change(ctx, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, `DELETE FROM session WHERE token_hash = ?`, tokenHash)
		return err
	})
}

// EndSessions forgets all sessions: everybody signs in again.
func (s *Store) EndSessions(ctx context.Context) error {
	return s.change(ctx, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, `DELETE FROM session`)
		return err
	})
}

// Beside opens the database of a folder for a short change while a service may
// have it open: for a forgotten password. It takes in no readings.
//
// It refuses what View refuses.
func Beside(dir string, now func() time.Time) (*Store, error) {
	s, err := View(dir)
	if err != nil {
		return nil, err
	}
	s.now = now
	if s.write, err = openPool(writerName(filepath.Join(dir, FileName)), 1); err != nil {
		return nil, errors.Join(err, s.Close())
	}
	return s, nil
}
