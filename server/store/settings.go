package store

import (
	"context"
	"database/sql"
	"errors"

	"brakeside/calc/fault"
)

// The settings of the shop.
const (
	SettingShop    = "shop"
	SettingAddress = "address" // that phones use; empty or missing: as the service was started
	SettingUnits   = "units"   // mm or in
	SettingSetUp   = "set-up"  // kept once the three questions are answered

	// SettingInitials is after how many minutes without a reading a phone asks for
	// initials again; 0: never; empty or missing: the usual pause.
	SettingInitials = "initials-pause"

	SettingDecimal = "decimal" // the sign of decimals in the spreadsheets of the shop: a point or a comma; missing: a point

	// What the service has the owner told; empty or missing: nothing.
	SettingBackupTrouble = "backup-trouble" // why there is no copy
	SettingDamage        = "damage"         // what is damaged in the store
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
			INSERT INTO setting (key, value, seal) VALUES (?, ?, ?)
			ON CONFLICT (key) DO UPDATE SET value = excluded.value, seal = excluded.seal`, key, value, sealOf(key, value))
		return err
	})
}
