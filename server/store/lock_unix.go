//go:build unix

package store

import (
	"os"
	"syscall"
)

// errLocked says that another process has the lock.
const errLocked = syscall.EWOULDBLOCK

func lockFile(f *os.File) error { return syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB) }

// syncFile makes the content of a file durable, or the names in a folder.
func syncFile(path string) error { return synced(os.Open(path)) }
