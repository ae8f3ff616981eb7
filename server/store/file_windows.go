package store

import (
	"io/fs"
	"os"
)

// fileAt tells which file stands at a path. It is asked by a handle: os.Stat finds out
// the file's number only when it is compared, and asks for the file alone, which is
// refused while SQLite has it mapped.
func fileAt(path string) (fs.FileInfo, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return f.Stat()
}
