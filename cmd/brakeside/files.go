package main

import (
	"errors"
	"io"
	"os"
	"os/signal"
	"path/filepath"
	"strings"
	"syscall"

	"brakeside/calc/brake"
	"brakeside/calc/fault"
	"brakeside/calc/notation"
	"brakeside/calc/part"
	"brakeside/templates/words"

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

// isFile reports in words why there is no file to be read.
func isFile(name string) error {
	f, err := os.Open(name)
	if err != nil {
		return &inFile{name, plainly(err)}
	}
	defer f.Close()
	return onlyFiles(name)
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

// readWords reads the words of another language; nil when no file is named.
func readWords(name string) (*words.Catalogue, error) {
	if name == "" {
		return nil, nil
	}
	data, err := readFile(name)
	if err != nil {
		return nil, err
	}
	c, err := words.Read(data)
	if err != nil {
		return nil, inWords(name, "%v", err)
	}
	return c, nil
}

// writeFile writes a file whole or not at all: beside its place first, then
// renamed over it.
func writeFile(name string, write func(io.Writer) error) error {
	if err := placeFor(name); err != nil {
		return err
	}
	return undisturbed(func() error { return writeBeside(name, write) })
}

// placeFor looks where a file is to be written, so that a slip in its name is
// told as one.
func placeFor(name string) error {
	folder := filepath.Dir(name)
	if _, err := os.Stat(folder); errors.Is(err, os.ErrNotExist) {
		return inWords(name, "there is no folder %s; make it first, or name a file in another one", folder)
	}
	return onlyFiles(name)
}

// onlyFiles refuses a name that is taken by a folder or a device.
func onlyFiles(name string) error {
	if info, err := os.Stat(name); err == nil && !info.Mode().IsRegular() {
		return inWords(name, "is there and is not a file; give another name")
	}
	return nil
}

func inWords(name, format string, values ...any) error {
	return &inFile{name, fault.New(fault.Invalid, "", format, values...)}
}

// inFolder leads what is wrong with a store by its folder, unless the words
// name it already.
func inFolder(name string, err error) error {
	var r *fault.Refusal
	if err == nil || errors.As(err, &r) && strings.Contains(r.Message, name) {
		return err
	}
	return &inFile{name, err}
}

func writeBeside(name string, write func(io.Writer) error) (err error) {
	f, err := os.CreateTemp(filepath.Dir(name), "."+filepath.Base(name)+".*")
	if errors.Is(err, os.ErrPermission) {
		return inWords(name, "this user may not write in the folder %s; choose another folder", filepath.Dir(name))
	}
	if err != nil {
		return &inFile{name, plainly(err)}
	}
	defer func() {
		if err != nil {
			f.Close()
			os.Remove(f.Name())
		}
	}()
	for _, step := range []func() error{
		func() error { return write(f) }, f.Sync, func() error { return f.Chmod(0o644) }, f.Close,
		func() error { return os.Rename(f.Name(), name) },
	} {
		if err := step(); err != nil {
			return &inFile{name, plainly(err)}
		}
	}
	return nil
}

// undisturbed does what must not stop half-way. A signal to end that comes
// meanwhile is put off: the work is done in a moment, and with it the program.
func undisturbed(do func() error) error {
	told := make(chan os.Signal, 1)
	signal.Notify(told, os.Interrupt, syscall.SIGTERM)
	defer signal.Stop(told)
	return do()
}

// plainly words what the operating system refuses.
func plainly(err error) error {
	words := []struct {
		is   error
		text string
	}{
		{os.ErrNotExist, "there is no such file; check its name and folder"},
		{os.ErrPermission, "this user may not read it; check its permissions"},
		{syscall.ENOSPC, "the disk is full; free some space and try again"},
		{syscall.EDQUOT, "the disk quota is used up; free some space and try again"},
		{syscall.EROFS, "the disk can only be read; choose another folder"},
		{syscall.EISDIR, "is a folder; name a file"},
		{syscall.ENOTDIR, "lies in something that is not a folder; check its name"},
		{syscall.EFBIG, "the file would be larger than this disk or account allows; choose another folder"},
		{syscall.ENAMETOOLONG, "the name is too long; give a shorter one"},
	}
	for _, w := range words {
		if errors.Is(err, w.is) {
			return fault.New(fault.Invalid, "", "%s", w.text)
		}
	}
	return err
}
