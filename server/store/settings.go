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
