package main

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"syscall"

	"brakeside/calc/brake"
	"brakeside/calc/fault"
	"brakeside/calc/notation"
	"brakeside/calc/part"

	_ "embed" // the demo brake
)

//go:embed shop/brake.json
var demoBrake []byte

// readFile reads an input file; larger ones than any part or brake are
// refused unread.
func readFile(name string) ([]byte, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, &inFile{name, plainly(err)}
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, notation.MaxBytes+1))
	if err != nil {
		return nil, &inFile{name, plainly(err)}
	}
	return data, nil
}

func readPart(name string) (part.Part, error) {
	data, err := readFile(name)
	if err != nil {
		return part.Part{}, err
	}
	p, err := part.Read(data)
	if err != nil {
		return p, &inFile{name, err}
	}
	return p, nil
}

// readBrake reads a brake file, or the demo brake when no name is given.
func readBrake(name string) (*brake.Brake, error) {
	data := demoBrake
	if name != "" {
		var err error
		if data, err = readFile(name); err != nil {
			return nil, err
		}
	}
	k, err := brake.Read(data)
	if err != nil {
		return nil, &inFile{name, err}
	}
	return k, nil
}

// writeFile writes a file whole or not at all: beside its place first, then
// renamed over it.
func writeFile(name string, write func(io.Writer) error) (err error) {
	f, err := os.CreateTemp(filepath.Dir(name), "."+filepath.Base(name)+".*")
	if err != nil {
		return &inFile{name, plainly(err)}
	}
	defer func() {
		if err != nil {
			f.Close()
			os.Remove(f.Name())
		}
	}()
	if err := write(f); err != nil {
		return &inFile{name, plainly(err)}
	}
	for _, step := range []func() error{f.Sync, func() error { return f.Chmod(0o644) }, f.Close} {
		if err := step(); err != nil {
			return &inFile{name, plainly(err)}
		}
	}
	if err := os.Rename(f.Name(), name); err != nil {
		return &inFile{name, plainly(err)}
	}
	return nil
}

// plainly words what the operating system refuses.
func plainly(err error) error {
	words := []struct {
		is   error
		text string
	}{
		{os.ErrNotExist, "there is no such file or folder"},
		{os.ErrPermission, "may not be read or written; check its permissions"},
		{syscall.ENOSPC, "the disk is full; free some space and try again"},
		{syscall.EDQUOT, "the disk quota is used up; free some space and try again"},
		{syscall.EROFS, "the disk can only be read; choose another folder"},
		{syscall.EISDIR, "is a folder; name a file"},
		{syscall.ENOTDIR, "lies in something that is not a folder"},
		{syscall.EFBIG, "the file would be larger than this disk or account allows"},
	}
	for _, w := range words {
		if errors.Is(err, w.is) {
			return fault.New(fault.Invalid, "", "%s", w.text)
		}
	}
	return err
}
