package store

import (
	"context"
	"database/sql"
	"errors"

	"brakeside/calc/fault"
)

// Setting gives a kept setting; fault.Missing when it was never kept.
func (s *Store) Setting(ctx context.Context, key string) (string, error) {
	var value string
	err := s.read.QueryRowContext(ctx, `SELECT value FROM setting WHERE key = ?`, key).Scan(&value)
	if errors.Is(err, sql.ErrNoRows) {
		return "", fault.New(fault.Missing, key, "This is not set.")
	}
	return value, worded(err)
}

// KeepSetting keeps a setting in place of the earlier one.
func (s *Store) KeepSetting(ctx context.Context, key, value string) error {
	return s.change(ctx, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, `
			INSERT INTO setting (key, value) VALUES (?, ?)
			ON CONFLICT (key) DO UPDATE SET value = excluded.value`, key, value)
		return err
	})
}

// SetOwner keeps the owner's name and password hash in place of the earlier
// ones and ends all sessions.
func (s *Store) SetOwner(ctx context.Context, owner Owner) error {
	return s.change(ctx, func(tx *sql.Tx) error {
		if _, err := tx.ExecContext(ctx, `DELETE FROM session`); err != nil {
			return err
		}
		_, err := tx.ExecContext(ctx, `
			INSERT INTO person (role, name, password_hash) VALUES ('owner', ?, ?)
			ON CONFLICT (role) DO UPDATE SET name = excluded.name, password_hash = excluded.password_hash`,
			owner.Name, owner.PasswordHash)
		return err
	})
}

// Owner gives the owner; fault.Missing when none was set yet.
func (s *Store) Owner(ctx context.Context) (Owner, error) {
	var o Owner
	err := s.read.QueryRowContext(ctx, `SELECT name, password_hash FROM person WHERE role = 'owner'`).Scan(&o.Name, &o.PasswordHash)
	if errors.Is(err, sql.ErrNoRows) {
		return o, fault.New(fault.Missing, "", "There is no owner yet. Set a password with brakeside owner-password.")
	}
	return o, worded(err)
}

// AddSession keeps a session of the owner and forgets those that are past.
func (s *Store) AddSession(ctx context.Context, session Session) error {
	return s.change(ctx, func(tx *sql.Tx) error {
		if _, err := tx.ExecContext(ctx, `DELETE FROM session WHERE expires <= ?`, stamp(s.now())); err != nil {
			return err
		}
		_, err := tx.ExecContext(ctx, `INSERT INTO session (token_hash, role, expires) VALUES (?, 'owner', ?)`,
			session.TokenHash, stamp(session.Expires))
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
	var expires string
	err := s.read.QueryRowContext(ctx, `SELECT expires FROM session WHERE token_hash = ? AND expires > ?`,
		tokenHash, stamp(s.now())).Scan(&expires)
	if errors.Is(err, sql.ErrNoRows) {
		return Session{}, denied
	}
	if err != nil {
		return Session{}, worded(err)
	}
	at, err := timeOf(expires)
	return Session{TokenHash: tokenHash, Expires: at}, err
}

// EndSession forgets a session; one that is not there is no error.
func (s *Store) EndSession(ctx context.Context, tokenHash string) error {
	return s.change(ctx, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, `DELETE FROM session WHERE token_hash = ?`, tokenHash)
		return err
	})
}
