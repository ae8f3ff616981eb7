package store

import (
	"os"

	"golang.org/x/sys/windows"
)

// errLocked says that another process has the lock.
const errLocked = windows.ERROR_LOCK_VIOLATION

func lockFile(f *os.File) error {
	const flags = windows.LOCKFILE_EXCLUSIVE_LOCK | windows.LOCKFILE_FAIL_IMMEDIATELY
	return windows.LockFileEx(windows.Handle(f.Fd()), flags, 0, 1, 0, new(windows.Overlapped))
}

// syncFile makes the content of a file durable. The names in a folder are written
// by the journal of the file system there, and cannot be asked for.
func syncFile(path string) error {
	if about, err := os.Stat(path); err == nil && about.IsDir() {
		return nil
	}
	return synced(os.OpenFile(path, os.O_RDWR, 0)) // what was opened for reading cannot be synced there
}
