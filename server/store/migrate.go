package store

import (
	"context"
	"database/sql"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"brakeside/calc/fault"
)

// applicationID tells our databases from all others: the letters "BrkS", see
// PRAGMA application_id in the SQLite documentation.
const applicationID = 0x42726b53

//go:embed migrations/*.sql
var migrationFiles embed.FS

// migrations gives the scripts in their order. The number of a script is the
// version that a database has once it ran; scripts are only ever added.
func migrations() ([]string, error) { return scriptsIn(migrationFiles) }

// scriptsIn reads the scripts of a folder by the numbers that their names begin
// with, which count from 1 without a gap: any other number would shift the versions
// of databases that are in use.
func scriptsIn(files fs.FS) ([]string, error) {
	names, err := fs.Glob(files, "migrations/*.sql")
	if err != nil {
		return nil, fmt.Errorf("list the migrations: %w", err)
	}
	scripts := make([]string, len(names))
	for _, name := range names {
		digits, _, _ := strings.Cut(filepath.Base(name), "_")
		number, err := strconv.Atoi(digits)
		if err != nil || number < 1 || number > len(names) || scripts[number-1] != "" {
			return nil, fmt.Errorf("the migrations do not count from 1 to %d: %s", len(names), name)
		}
		text, err := fs.ReadFile(files, name)
		if err != nil {
			return nil, fmt.Errorf("read a migration: %w", err)
		}
		scripts[number-1] = string(text)
	}
	return scripts, nil
}

// migrate brings the database at path up to date, making it when it is not
// there. Before a database with content is changed, a copy is kept beside it.
func migrate(path string, now time.Time) error {
	if err := makeFile(path); err != nil {
		return err
	}
	pool, err := openPool(writerName(path), 1)
	if err != nil {
		return err
	}
	defer pool.Close()
	version, err := versionOf(pool)
	if err != nil {
		return err
	}
	scripts, err := migrations()
	if err != nil {
		return err
	}
	if err := refuseNewer(version, len(scripts)); err != nil || version == len(scripts) {
		return err
	}
	if version > 0 {
		if err := keepCopy(pool, path, now); err != nil {
			return err
		}
	}
	for number := version + 1; number <= len(scripts); number++ {
		if err := step(pool, number, scripts); err != nil {
			return fmt.Errorf("bring the database to version %d: %w", number, err)
		}
	}
	return pruneCopies(filepath.Dir(path), now)
}

// makeFile makes an empty file that only its owner may read: it will hold the
// owner's password hash. The database's other files take over its rights.
func makeFile(path string) error {
	f, err := os.OpenFile(path, os.O_CREATE|os.O_RDWR, 0o600)
	if err != nil {
		return worded(err)
	}
	return worded(f.Close())
}

// step runs one of the scripts in one transaction, together with the new version.
// What has no seal after the last one gets one: a script that makes a table anew
// removes its seals, and before the last one there are tables that are not made yet.
func step(pool *sql.DB, number int, scripts []string) error {
	tx, err := pool.Begin()
	if err != nil {
		return worded(err)
	}
	script := scripts[number-1] + fmt.Sprintf("; PRAGMA application_id = %d; PRAGMA user_version = %d;", applicationID, number)
	_, err = tx.Exec(script)
	if err == nil && number == len(scripts) {
		err = sealAll(context.Background(), tx)
	}
	if err != nil {
		return errors.Join(worded(err), rollback(tx))
	}
	return worded(tx.Commit())
}

// keepCopy writes a copy of the database beside it.
func keepCopy(pool *sql.DB, path string, now time.Time) error {
	kept := filepath.Join(filepath.Dir(path), now.Format(copyName))
	if err := os.Remove(kept); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return worded(err)
	}
	if _, err := pool.Exec(`VACUUM INTO ?`, kept); err != nil {
		return worded(err)
	}
	return errors.Join(worded(os.Chmod(kept, 0o600)), syncFile(kept), syncFile(filepath.Dir(kept)))
}

// The copies that are kept before a migration are called by their time. They are
// kept for a year, and the three newest of them for ever.
const (
	copyName   = "brakeside-before-20060102T150405Z.db"
	copiesKept = 3
)

// pruneCopies removes the copies beyond those that are kept; nothing else in the
// folder is touched.
func pruneCopies(dir string, now time.Time) error {
	entries, err := os.ReadDir(dir) // in the order of their names, which is that of their times
	if err != nil {
		return worded(err)
	}
	var copies []time.Time
	for _, e := range entries {
		if at, err := time.Parse(copyName, e.Name()); err == nil {
			copies = append(copies, at)
		}
	}
	for _, at := range copies[:max(0, len(copies)-copiesKept)] {
		if at.Before(now.AddDate(-1, 0, 0)) {
			if err := os.Remove(filepath.Join(dir, at.Format(copyName))); err != nil {
				return worded(err)
			}
		}
	}
	return nil
}

// versionOf gives the version of a database of ours, 0 for an empty one.
func versionOf(q queryer) (int, error) {
	var id, version, tables int
	err := q.QueryRowContext(context.Background(), `
		SELECT application_id, user_version, (SELECT count(*) FROM sqlite_schema)
		FROM pragma_application_id, pragma_user_version`).Scan(&id, &version, &tables)
	if err != nil {
		return 0, worded(err)
	}
	if id != applicationID && (id != 0 || version != 0 || tables != 0) {
		return 0, fault.New(fault.Invalid, "", "The file %s is a database of another program. Give another folder with -data.", FileName)
	}
	return version, nil
}

func refuseNewer(version, known int) error {
	if version > known {
		return fault.New(fault.Invalid, "", "The database was written by a newer brakeside "+
			"(version %d of its layout; this one knows %d). Install the newer program.", version, known)
	}
	return nil
}

// checkVersion refuses a database that is not exactly up to date.
func checkVersion(q queryer) error {
	version, err := versionOf(q)
	if err != nil {
		return err
	}
	scripts, err := migrations()
	if err != nil {
		return err
	}
	if version < len(scripts) {
		return fault.New(fault.Invalid, "", "The database is older than this program. Start the service once to bring it up to date.")
	}
	return refuseNewer(version, len(scripts))
}
