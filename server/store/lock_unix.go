//go:build unix

package store

import (
	"errors"
	"os"
	"path/filepath"
	"syscall"

	"brakeside/calc/fault"
)

// lockFolder makes sure that only one service writes to a folder. The lock ends
// with the process, however it ends; the file stays.
func lockFolder(dir string) (*os.File, error) {
	f, err := os.OpenFile(filepath.Join(dir, "brakeside.lock"), os.O_CREATE|os.O_RDWR, 0o600)
	if err != nil {
		return nil, worded(err)
	}
	err = syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
	if errors.Is(err, syscall.EWOULDBLOCK) {
		err = fault.New(fault.Busy, "", "The folder %s is in use by another service. Stop that one, or give another folder with -data.", dir)
	}
	if err != nil {
		return nil, errors.Join(worded(err), f.Close())
	}
	return f, nil
}
