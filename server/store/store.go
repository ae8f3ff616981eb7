// Package store keeps everything the shop must not lose, in one SQLite file.
//
// What was issued or measured is only ever added to: travelers, their events,
// readings and the versions of parts, brakes and materials are frozen by the
// database itself. AddReading returns only after the reading is durable on the
// disk. Lengths are whole micrometres, angles whole hundredths of a degree and
// times RFC 3339 texts in UTC.
//
// One service writes to a folder at a time; a lock file sees to that. Reading
// beside it (View) is always possible. The store judges nothing: the rules of
// the log are those of package progress, which AddReading is given, and those of
// what happens to travelers and parts are those of package standing.
package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"sync"
	"sync/atomic"
	"time"

	_ "github.com/mattn/go-sqlite3" // the database driver

	"brakeside/calc/fault"
	"brakeside/server/panics"
	"brakeside/traveler"
)

// FileName is the name of the database within its folder.
const FileName = "brakeside.db"

const readers = 4

// Store is an open folder. All its methods may be called at the same time.
type Store struct {
	now  func() time.Time
	path string // of the database
	read *sql.DB
	// write has exactly one connection, so that writers queue up here and never
	// find the database locked. It is nil when the store was opened by View.
	write   *sql.DB
	lock    *os.File
	footing footing
	desk    *desk // takes in readings; nil when the store was opened by View

	books     shelfOfBooks // what reviews add up
	lines     shelfOfLines // the list of sheets
	plansLock sync.Mutex
	plans     map[string]*traveler.Traveler // decoded snapshots by code
	kepts     map[string]keptAt             // sheets in use, by code
	// changes counts all changes but readings. No other program changes a sheet:
	// the folder is locked.
	changes atomic.Int64
	stops   Stops // nil: as printed

	closing sync.Mutex
	closed  bool
}

// Open opens the folder for the service, making it and its database when they
// are not there and bringing an older database up to date. A copy of an older
// one is kept beside it. The clock now gives the time of every change.
//
// It refuses, each in one plain sentence: a folder that another service has
// open, one that cannot be written to, a file that is damaged (errors.Is
// Damaged), is not ours or was written by a newer program.
func Open(dir string, now func() time.Time) (*Store, error) {
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return nil, worded(err)
	}
	lock, err := lockFolder(dir)
	if err != nil {
		return nil, err
	}
	s := &Store{now: now, path: filepath.Join(dir, FileName), lock: lock, plans: make(map[string]*traveler.Traveler)}
	if err := s.open(s.path); err != nil {
		return nil, errors.Join(err, s.Close())
	}
	return s, nil
}

func (s *Store) open(path string) error {
	if err := migrate(path, s.now().UTC()); err != nil {
		return err
	}
	var err error
	if s.write, err = openPool(writerName(path)+writerCache, 1); err != nil {
		return err
	}
	if s.read, err = openPool(readerName(path), readers); err != nil {
		return err
	}
	if err := s.bringTallyUpToDate(); err != nil {
		return err
	}
	if err := s.footing.stand(path); err != nil {
		return err
	}
	s.desk = newDesk(s)
	return nil
}

// View opens the database of a folder for reading only, also while a service
// has it open: for backups, exports and checks. What would change it is refused
// with fault.Denied.
//
// It refuses with fault.Missing a folder without a database, and otherwise what
// Open refuses; an older database must first be opened by the service.
func View(dir string) (*Store, error) {
	path := filepath.Join(dir, FileName)
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
		return nil, fault.New(fault.Missing, "", "There is no %s in %s. Give the folder of the service with -data.", FileName, dir)
	}
	read, err := openPool(readerName(path), readers)
	if err != nil {
		return nil, err
	}
	if err := checkVersion(read); err != nil {
		return nil, errors.Join(err, read.Close())
	}
	return &Store{path: path, read: read, plans: make(map[string]*traveler.Traveler)}, nil
}

// Close waits for what is being written and lets go of the folder. It may be
// called more than once. Where the database was taken away while it was open, what
// it holds is put back, and an error says where.
func (s *Store) Close() error {
	if s.desk != nil {
		s.desk.close()
	}
	s.closing.Lock()
	defer s.closing.Unlock()
	if s.closed {
		return nil
	}
	s.closed = true
	put, err := s.rescue()
	errs := []error{err}
	for _, pool := range []*sql.DB{s.read, s.write} {
		if pool != nil {
			errs = append(errs, pool.Close())
		}
	}
	errs = append(errs, put())
	if s.lock != nil {
		errs = append(errs, s.lock.Close())
	}
	return errors.Join(errs...)
}

// writerCache gives the writer's connection 16 MiB for pages, so that the
// indexes it adds to stay in memory.
const writerCache = "&_cache_size=-16384"

// swift spares the database its own lock on each connection, since database/sql
// uses a connection from one goroutine at a time, and lets each connection keep
// its statements, so that none is prepared again for every use.
const swift = "?_mutex=no&_stmt_cache_size=64"

// writerName and readerName are the names by which the driver opens the file:
// every connection of a pool gets the same settings. The path is escaped since
// a question mark in it would end it.
func writerName(path string) string {
	return "file:" + escaped(path) + swift + "&_journal_mode=WAL&_synchronous=FULL&_busy_timeout=5000&_txlock=immediate&_foreign_keys=on"
}

func readerName(path string) string {
	return "file:" + escaped(path) + swift + "&mode=ro&_query_only=1&_synchronous=FULL&_busy_timeout=5000&_foreign_keys=on"
}

func escaped(path string) string { return (&url.URL{Path: path}).EscapedPath() }

func openPool(name string, connections int) (*sql.DB, error) {
	pool, err := sql.Open("sqlite3", name)
	if err != nil {
		return nil, fmt.Errorf("open the store: %w", err)
	}
	pool.SetMaxOpenConns(connections)
	pool.SetMaxIdleConns(connections)
	if err := pool.Ping(); err != nil {
		return nil, errors.Join(worded(err), pool.Close())
	}
	return pool, nil
}

// change runs do in one transaction of the writer: all of it is kept, durably
// and sealed, or nothing.
func (s *Store) change(ctx context.Context, do func(*sql.Tx) error) error {
	if s.write == nil {
		return fault.New(fault.Denied, "", "The store was opened for reading only.")
	}
	conn, err := s.write.Conn(ctx)
	if err != nil {
		return worded(err)
	}
	defer conn.Close()
	// The change is counted while the only writing connection is still held, so
	// that the next one to hold it knows.
	defer s.changes.Add(1)
	return s.footing.wrote(transact(ctx, conn, func(tx *sql.Tx) error {
		before, err := reachOf(ctx, tx)
		if err != nil {
			return err
		}
		if err := do(tx); err != nil {
			return err
		}
		return sealNew(ctx, tx, before)
	}))
}

// beginner is what a pool and a connection have in common.
type beginner interface {
	BeginTx(ctx context.Context, options *sql.TxOptions) (*sql.Tx, error)
}

// transact does something in one transaction, whole or not at all. A panic in it
// is an error, so that nothing it began is left open.
func transact(ctx context.Context, on beginner, do func(*sql.Tx) error) error {
	tx, err := on.BeginTx(ctx, nil)
	if err != nil {
		return worded(err)
	}
	if err := panics.Caught(func() error { return do(tx) }); err != nil {
		return errors.Join(worded(err), rollback(tx))
	}
	return worded(tx.Commit())
}

// rollback undoes a transaction. One that the database has undone by itself, as
// on a full disk, is no further error.
func rollback(tx *sql.Tx) error {
	err := tx.Rollback()
	if errors.Is(err, sql.ErrTxDone) || codeOf(err) == sqliteError {
		return nil
	}
	return err
}

// stamp writes a time as the store keeps it.
func stamp(t time.Time) string { return t.UTC().Format(time.RFC3339) }

// timeOf reads a stamp; an empty one is the zero time.
func timeOf(text string) (time.Time, error) {
	if text == "" {
		return time.Time{}, nil
	}
	t, err := time.Parse(time.RFC3339, text)
	if err != nil {
		return t, fmt.Errorf("stored time %q: %w", text, err)
	}
	return t, nil
}

// queryer is what a pool and a transaction have in common.
type queryer interface {
	QueryContext(ctx context.Context, query string, args ...any) (*sql.Rows, error)
	QueryRowContext(ctx context.Context, query string, args ...any) *sql.Row
}

// all scans every row of a query.
func all[T any](rows *sql.Rows, err error, scan func(*sql.Rows) (T, error)) ([]T, error) {
	var list []T
	err = each(rows, err, func(rows *sql.Rows) error {
		item, err := scan(rows)
		list = append(list, item)
		return err
	})
	if err != nil {
		return nil, err
	}
	return list, nil
}

// each shows every row of a query to take, up to an error.
func each(rows *sql.Rows, err error, take func(*sql.Rows) error) error {
	if err != nil {
		return worded(err)
	}
	defer rows.Close()
	for rows.Next() {
		if err := take(rows); err != nil {
			return worded(err)
		}
	}
	return worded(rows.Err())
}
