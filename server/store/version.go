package store

import "github.com/mattn/go-sqlite3"

// SQLiteVersion is that of the SQLite this program was built with, such as 3.51.1.
func SQLiteVersion() string {
	version, _, _ := sqlite3.Version()
	return version
}
