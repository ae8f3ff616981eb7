package store

import (
	"errors"
	"io/fs"
	"os"
	"syscall"

	"github.com/mattn/go-sqlite3"

	"brakeside/calc/fault"
)

// Damaged marks the refusal of a database that cannot be read as one:
// errors.Is(err, Damaged).
var Damaged = errors.New("the database is damaged")

// sqliteError is the general code; undoing a transaction that is undone gives
// it.
const sqliteError = sqlite3.ErrNo(1)

// trouble is a refusal in plain words together with what lies behind it, for
// the log.
type trouble struct {
	refusal *fault.Refusal
	cause   error
}

func (t *trouble) Error() string   { return t.refusal.Error() + " (" + t.cause.Error() + ")" }
func (t *trouble) Unwrap() []error { return []error{t.refusal, t.cause} }

func codeOf(err error) sqlite3.ErrNo {
	var e sqlite3.Error
	errors.As(err, &e)
	return e.Code
}

// worded turns what disks and databases answer into a refusal that a person can
// act on. Refusals and mistakes of the program pass unchanged.
func worded(err error) error {
	var refusal *fault.Refusal
	if err == nil || errors.As(err, &refusal) {
		return err
	}
	say := func(words string) error { return &trouble{fault.New(fault.Busy, "", "%s", words), err} }
	switch code := codeOf(err); {
	case code == sqlite3.ErrFull || errors.Is(err, syscall.ENOSPC):
		return say("The disk is full: nothing was stored. Free some space and try again.")
	case code == sqlite3.ErrReadonly || code == sqlite3.ErrPerm || errors.Is(err, fs.ErrPermission) || errors.Is(err, syscall.EROFS):
		return say("The folder or its database cannot be written to: nothing was stored. Give the program the right to write there.")
	case code == sqlite3.ErrCantOpen || errors.Is(err, fs.ErrNotExist) || errors.Is(err, syscall.ENOTDIR):
		return say("The folder or its database cannot be opened. Check that it is there, is a folder and is readable.")
	case code == sqlite3.ErrCorrupt || code == sqlite3.ErrNotADB:
		damaged := fault.New(fault.Busy, "", "The database is damaged or is none. Stop the service and put a backup back.")
		return &trouble{damaged, errors.Join(Damaged, err)}
	case code == sqlite3.ErrIoErr:
		return say("The disk answers with an error. Check its cable and its health before going on.")
	case code == sqlite3.ErrBusy || code == sqlite3.ErrLocked:
		return say("The database is in use by another program. Try again.")
	}
	return err
}

// synced makes an opened file durable and closes it.
func synced(f *os.File, err error) error {
	if err != nil {
		return worded(err)
	}
	return worded(errors.Join(f.Sync(), f.Close()))
}
