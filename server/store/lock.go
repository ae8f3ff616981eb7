package store

import (
	"errors"
	"os"
	"path/filepath"

	"brakeside/calc/fault"
)

// lockFolder makes sure that only one service writes to a folder. The lock ends
// with the process, however it ends; the file stays.
func lockFolder(dir string) (*os.File, error) {
	f, err := os.OpenFile(filepath.Join(dir, "brakeside.lock"), os.O_CREATE|os.O_RDWR, 0o600)
	if err != nil {
		return nil, worded(err)
	}
	err = lockFile(f)
	if errors.Is(err, errLocked) {
		err = fault.New(fault.Busy, "", "The folder %s is in use by another service. Stop that one, or give another folder with -data.", dir)
	}
	if err != nil {
		return nil, errors.Join(worded(err), f.Close())
	}
	return f, nil
}
