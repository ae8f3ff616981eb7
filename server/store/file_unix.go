//go:build unix

package store

import (
	"io/fs"
	"os"
)

// fileAt tells which file stands at a path. It must not be opened: closing it would
// give up the locks that SQLite holds on it.
func fileAt(path string) (fs.FileInfo, error) { return os.Stat(path) }
