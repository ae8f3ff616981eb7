package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/mattn/go-sqlite3"

	"brakeside/calc/fault"
)

// Backup writes a consistent copy of the database to a file while the service
// goes on. The file is whole or not there: it is written beside its place,
// checked for damage as Check does it, made durable and then renamed.
//
// It refuses with fault.Conflict to write over a file that is not a backup of
// ours, and with Damaged to copy what is damaged: a good copy that is there stays.
func (s *Store) Backup(ctx context.Context, file string) error { return s.backup(ctx, file, sound) }

// BackupAsIs does what Backup does, also of a damaged database: it may hold
// readings that no good copy has.
func (s *Store) BackupAsIs(ctx context.Context, file string) error {
	return s.backup(ctx, file, asItIs)
}

func asItIs(context.Context, string, *sql.DB) error { return nil }

func (s *Store) backup(ctx context.Context, file string, judge judgeOfCopies) error {
	if err := ours(file); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return fault.New(fault.Conflict, "", "%s is there and is not a backup of this program. Give another name.", file)
	}
	temp, err := copyBeside(ctx, s.read, file, judge)
	if err != nil {
		return err
	}
	if err := os.Rename(temp, file); err != nil {
		return errors.Join(worded(err), os.Remove(temp))
	}
	return syncFile(filepath.Dir(file))
}

// ours reports whether a file is a database of ours that this program can read.
// The error is fs.ErrNotExist when there is no file.
func ours(file string) error {
	if _, err := os.Stat(file); err != nil {
		return err
	}
	pool, err := openPool(readerName(file), 1)
	if err != nil {
		return err
	}
	defer pool.Close()
	version, err := versionOf(pool)
	if err != nil {
		return err
	}
	if version == 0 {
		return fault.New(fault.Invalid, "", "%s is not a database of this program.", file)
	}
	scripts, err := migrations()
	if err != nil {
		return err
	}
	return refuseNewer(version, len(scripts))
}

// judgeOfCopies refuses a copy, opened from its path, that is not fit to be kept.
type judgeOfCopies func(ctx context.Context, path string, pool *sql.DB) error

// sound refuses a damaged copy with Damaged. One of an older version has its
// structure looked at.
func sound(ctx context.Context, path string, pool *sql.DB) error {
	look := (&Store{path: path, read: pool}).Check
	if err := checkVersion(pool); err != nil {
		look = (&Store{read: pool}).checkFile
	}
	found, err := look(ctx)
	if err != nil || len(found) == 0 {
		return err
	}
	return &trouble{fault.New(fault.Busy, "", "The database is damaged, first at %s: %s (places found: %d). It was not copied. "+
		"Put the last good copy back.", found[0].Where, found[0].What, len(found)), Damaged}
}

// copyBeside copies a database into a new file in the folder of file, durably,
// and gives its name, if the copy is fit to be kept. The copy is a single file.
func copyBeside(ctx context.Context, from *sql.DB, file string, judge judgeOfCopies) (temp string, err error) {
	f, err := os.CreateTemp(filepath.Dir(file), ".brakeside-copy-*")
	if err != nil {
		return "", worded(err)
	}
	temp = f.Name()
	defer func() {
		if err != nil {
			err = errors.Join(err, os.Remove(f.Name())) // temp is cleared by then
		}
	}()
	if err := f.Close(); err != nil {
		return "", worded(err)
	}
	to, err := openPool("file:"+escaped(temp)+"?_busy_timeout=5000", 1)
	if err != nil {
		return "", err
	}
	if err = copyPages(ctx, to, from); err == nil {
		if err = settle(to); err == nil {
			err = judge(ctx, temp, to)
		}
	}
	if err := errors.Join(err, to.Close()); err != nil {
		return "", worded(err)
	}
	return temp, syncFile(temp)
}

// copyPages copies all pages at once: in one step the copy is of one moment,
// and writers are not held up since the log of the database is apart.
func copyPages(ctx context.Context, to, from *sql.DB) error {
	target, err := to.Conn(ctx)
	if err != nil {
		return err
	}
	defer target.Close()
	source, err := from.Conn(ctx)
	if err != nil {
		return err
	}
	defer source.Close()
	return target.Raw(func(t any) error {
		return source.Raw(func(s any) error {
			copying, err := t.(*sqlite3.SQLiteConn).Backup("main", s.(*sqlite3.SQLiteConn), "main")
			if err != nil {
				return err
			}
			done, err := copying.Step(-1)
			if err == nil && !done {
				err = errors.New("copy the database: not all pages were copied")
			}
			return errors.Join(err, copying.Finish())
		})
	})
}

// settle makes a copy one file without a log beside it.
func settle(pool *sql.DB) error {
	var mode string
	if err := pool.QueryRow(`PRAGMA journal_mode = DELETE`).Scan(&mode); err != nil {
		return err
	}
	if mode != "delete" {
		return fmt.Errorf("the copy keeps its log: %s", mode)
	}
	return nil
}

// Restore puts a backup in the place of the database of a folder, which no
// service may have open. What was there is kept beside it under another name.
//
// It refuses with fault.Conflict when what is there holds something later than
// the backup does, or cannot be read to tell: RestoreOver is for those who are
// sure. It refuses with fault.Missing a file that is not there and with
// fault.Invalid one that is not a sound backup.
func Restore(dir, file string) error {
	return restore(dir, file, refuseLater)
}

// RestoreOver does what Restore does, also in the place of a later or a damaged
// database.
func RestoreOver(dir, file string) error {
	return restore(dir, file, func(string, *sql.DB) error { return nil })
}

func restore(dir, file string, refuse func(path string, backup *sql.DB) error) error {
	if err := ours(file); errors.Is(err, fs.ErrNotExist) {
		return fault.New(fault.Missing, "", "There is no file %s. Give the name of a backup.", file)
	} else if err != nil {
		return &trouble{fault.New(fault.Invalid, "", "%s is not a sound backup that this program can read. Give another one.", file), err}
	}
	backup, err := openPool(readerName(file), 1)
	if err != nil {
		return err
	}
	defer backup.Close()
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return worded(err)
	}
	lock, err := lockFolder(dir)
	if err != nil {
		return err
	}
	defer lock.Close()
	path := filepath.Join(dir, FileName)
	if err := refuse(path, backup); err != nil {
		return err
	}
	temp, err := copyBeside(context.Background(), backup, path, sound)
	if err != nil {
		return err
	}
	if err := setAside(path); err != nil {
		return errors.Join(err, os.Remove(temp))
	}
	if err := os.Rename(temp, path); err != nil {
		return worded(err)
	}
	return syncFile(dir)
}

// refuseLater compares what is at path with the backup.
func refuseLater(path string, backup *sql.DB) error {
	if info, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) || (err == nil && info.Size() == 0) {
		return nil
	}
	there, err := openPool(readerName(path), 1)
	var have, bring extent
	if err == nil {
		defer there.Close()
		have, err = extentOf(there)
	}
	if err != nil {
		return &trouble{fault.New(fault.Conflict, "", "What is there cannot be read, so that it may be later than the backup. "+
			"Ask for it to be replaced if you are sure."), err}
	}
	if bring, err = extentOf(backup); err != nil {
		return err
	}
	known, err := holdsReading(backup, have.newest)
	if err != nil {
		return err
	}
	if !known {
		return fault.New(fault.Conflict, "", "What is there holds readings that the backup does not, "+
			"the newest of them among the %d up to %s. Ask for it to be replaced if you are sure.", have.readings, have.last)
	}
	if have.last > bring.last || have.readings > bring.readings {
		return fault.New(fault.Conflict, "", "What is there is later than the backup: it has %d readings and ends %s, "+
			"the backup has %d and ends %s. Ask for it to be replaced if you are sure.",
			have.readings, have.last, bring.readings, bring.last)
	}
	return nil
}

// LacksOf refuses with Damaged when a former copy of the database, in a file, holds
// readings that the database does not: somebody took them out, and their seals with
// them, which no seal that is left can tell. Another error says that the copy cannot
// be compared.
func (s *Store) LacksOf(file string) error {
	if err := ours(file); err != nil {
		return err
	}
	copied, err := openPool(readerName(file), 1)
	if err != nil {
		return err
	}
	defer copied.Close()
	had, err := extentOf(copied)
	if err != nil {
		return err
	}
	have, err := extentOf(s.read)
	if err != nil {
		return err
	}
	known, err := holdsReading(s.read, had.newest)
	if err != nil || known && had.readings <= have.readings {
		return err
	}
	return &trouble{fault.New(fault.Busy, "", "The copy %s has %d readings up to %s, the database %d: some are gone. "+
		"Put that copy back, or move it out of the folder if an older one was put back on purpose.",
		filepath.Base(file), had.readings, had.last, have.readings), Damaged}
}

// extent is how far a database reaches.
type extent struct {
	last     string // time of the last change
	newest   string // id of the newest reading
	readings int
}

func extentOf(pool *sql.DB) (extent, error) {
	var e extent
	err := pool.QueryRow(`
		SELECT coalesce(max(at), ''), (SELECT count(*) FROM reading),
		       (SELECT coalesce(max(id), '') FROM reading WHERE seq = (SELECT max(seq) FROM reading)) FROM (
		  SELECT max(received) AS at FROM reading UNION ALL SELECT max(at) FROM traveler_event UNION ALL
		  SELECT max(issued_at) FROM traveler UNION ALL SELECT max(created) FROM job UNION ALL
		  SELECT max(created) FROM revision)`).Scan(&e.last, &e.readings, &e.newest)
	if err != nil {
		return e, worded(err)
	}
	photos, err := lastPhoto(pool)
	e.last = max(e.last, photos)
	return e, err
}

// holdsReading reports whether a database knows a reading; all know none. Times
// are kept to the second, so that they alone do not tell two databases apart.
func holdsReading(pool *sql.DB, id string) (known bool, err error) {
	if id == "" {
		return true, nil
	}
	err = pool.QueryRow(`SELECT EXISTS (SELECT 1 FROM reading WHERE id = ?)`, id).Scan(&known)
	return known, err
}

// lastPhoto gives the time of the last photo; an older database has none.
func lastPhoto(pool *sql.DB) (last string, err error) {
	var tables int
	err = pool.QueryRow(`SELECT count(*) FROM sqlite_schema WHERE name = 'photo'`).Scan(&tables)
	if err == nil && tables > 0 {
		err = pool.QueryRow(`SELECT coalesce(max(received), '') FROM photo`).Scan(&last)
	}
	return last, worded(err)
}

// setAside gives the database at path a second name, brakeside-replaced-N.db,
// and takes its log out of the way. The first name goes only when another file
// is renamed onto it, so that there is a database at every moment.
func setAside(path string) error {
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	foldLog(path)
	aside := ""
	for n := 1; aside == ""; n++ {
		name := filepath.Join(filepath.Dir(path), fmt.Sprintf("brakeside-replaced-%d.db", n))
		err := os.Link(path, name)
		if err == nil {
			aside = name
		} else if !errors.Is(err, fs.ErrExist) {
			return worded(err)
		}
	}
	for _, log := range []string{"-wal", "-shm"} {
		if err := os.Rename(path+log, aside+log); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return worded(err)
		}
	}
	return nil
}

// foldLog brings what is in the log of a database into its file. A damaged one
// keeps its log: setAside moves it along.
func foldLog(path string) {
	pool, err := openPool(writerName(path), 1)
	if err == nil {
		pool.Close() // closing the last connection does it
	}
}
