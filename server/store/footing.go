package store

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"sync/atomic"

	"github.com/mattn/go-sqlite3"

	"brakeside/calc/fault"
)

// footing is what the store stands on: its file and the files beside it, as they
// were when it was opened. A file that is taken away while it is open goes on
// taking what is written, and all of it is gone once it is closed.
type footing struct {
	files  []stood
	failed atomic.Bool // the last write
	probe  sync.Mutex
}

type stood struct {
	path string
	info fs.FileInfo
}

// stand notes what stands there once the database is open.
func (f *footing) stand(path string) error {
	for _, name := range []string{path, path + "-wal", path + "-shm"} {
		info, err := fileAt(name)
		if err != nil {
			return worded(err)
		}
		f.files = append(f.files, stood{name, info})
	}
	return nil
}

// there refuses with fault.Busy where a file is gone, is another one or may not be
// written any more.
func (f *footing) there() error {
	for _, file := range f.files {
		now, err := fileAt(file.path)
		switch {
		case err != nil || !os.SameFile(now, file.info):
			return &trouble{fault.New(fault.Busy, "", "The file of the service was deleted, moved or replaced while it runs: nothing was stored. "+
				"Put the file back, or stop the service and start it again."), errors.Join(errAway, err, errors.New(file.path))}
		case now.Mode()&0o200 == 0:
			return &trouble{fault.New(fault.Busy, "", "The file of the service may only be read: nothing was stored. "+
				"Give the program the right to write there."), errors.New(file.path)}
		}
	}
	return nil
}

var errAway = errors.New("not the file that was opened")

// wrote notes how a write ended. What was written to a file that is not there any
// more is not stored.
func (f *footing) wrote(err error) error {
	if err == nil {
		err = f.there()
	}
	switch code := codeOf(err); {
	case err == nil:
		f.failed.Store(false)
	case code == sqlite3.ErrFull || code == sqlite3.ErrIoErr || code == sqlite3.ErrReadonly || code == sqlite3.ErrCantOpen:
		f.failed.Store(true)
	}
	return err
}

// settingWritten is when a write was tried after one had failed, with as many
// bytes as many readings have.
const (
	settingWritten = "written"
	roomTried      = 128 << 10
)

// Ping reports whether the database answers and takes what is to be stored: its
// file is there, the disk has room and takes it. Nothing is stored to find out
// while all is well.
func (s *Store) Ping(ctx context.Context) error {
	var one int
	if err := s.read.QueryRowContext(ctx, `SELECT 1 FROM setting UNION SELECT 1`).Scan(&one); err != nil || s.desk == nil {
		return worded(err)
	}
	if err := s.footing.there(); err != nil {
		return err
	}
	s.footing.probe.Lock()
	defer s.footing.probe.Unlock()
	if s.footing.failed.Load() {
		return errors.Join(s.KeepSetting(ctx, settingWritten, strings.Repeat(" ", roomTried)),
			s.KeepSetting(ctx, settingWritten, stamp(s.clock())))
	}
	return worded(tryFile(filepath.Dir(s.path)))
}

// tryFile writes a page to a file of the folder and takes it away again.
func tryFile(dir string) error {
	f, err := os.CreateTemp(dir, ".brakeside-room-*")
	if err != nil {
		return err
	}
	_, err = f.Write(make([]byte, 4096))
	return errors.Join(err, f.Close(), os.Remove(f.Name()))
}

// rescue copies a database whose file was taken away, while it is still open. The
// copy is put in place by what it gives, once the database is closed: under its
// own name, or where another file has that, beside it.
func (s *Store) rescue() (put func() error, err error) {
	none := func() error { return nil }
	if s.desk == nil || len(s.footing.files) == 0 {
		return none, nil
	}
	file := s.footing.files[0]
	if now, err := fileAt(file.path); err == nil && os.SameFile(now, file.info) {
		return none, nil
	}
	temp, err := copyBeside(context.Background(), s.read, s.path, asItIs)
	if err != nil {
		return none, fmt.Errorf("the database was taken away while the service ran and could not be copied: %w", err)
	}
	return func() error {
		name := s.path
		err := os.Link(temp, name)
		for n := 1; errors.Is(err, fs.ErrExist); n++ {
			name = filepath.Join(filepath.Dir(s.path), fmt.Sprintf("brakeside-rescued-%d.db", n))
			err = os.Link(temp, name)
		}
		if err != nil {
			return worded(err)
		}
		return errors.Join(fault.New(fault.Busy, "", "The database was taken away while the service ran. All that was stored is in %s.", name),
			os.Remove(temp), syncFile(filepath.Dir(name)))
	}, nil
}
