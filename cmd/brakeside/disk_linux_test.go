package main

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"
)

// runsAs runs one of the programs in a process of its own.
func runsAs(t *testing.T, program string, args ...string) outcome {
	t.Helper()
	return finished(t, exec.Command(program, args...))
}

func finished(t *testing.T, c *exec.Cmd) outcome {
	t.Helper()
	var out, errs strings.Builder
	c.Stdout, c.Stderr = &out, &errs
	err := c.Run()
	var ended *exec.ExitError
	if err != nil && !errors.As(err, &ended) {
		t.Fatal(err)
	}
	if code := c.ProcessState.ExitCode(); code != cannot {
		return outcome{code, out.String(), errs.String()}
	}
	if os.Getenv("CI") == "true" {
		t.Fatalf("this machine must be able to set the condition: %s", errs.String())
	}
	t.Skipf("this machine does not let a test mount a disk or change its user: %s", errs.String())
	return outcome{}
}

// onDisk runs brakeside with a disk of its own at the folder, and gives what
// was left there.
func onDisk(t *testing.T, folder, options string, args ...string) (o outcome, left []string) {
	t.Helper()
	c := exec.Command("brakeside-with-disk", append([]string{folder, options}, args...)...)
	c.SysProcAttr = &syscall.SysProcAttr{Unshareflags: syscall.CLONE_NEWNS}
	if os.Getuid() != 0 {
		c.SysProcAttr = &syscall.SysProcAttr{
			Cloneflags:  syscall.CLONE_NEWUSER | syscall.CLONE_NEWNS,
			UidMappings: []syscall.SysProcIDMap{{ContainerID: 0, HostID: os.Getuid(), Size: 1}},
			GidMappings: []syscall.SysProcIDMap{{ContainerID: 0, HostID: os.Getgid(), Size: 1}},
		}
	}
	o = finished(t, c)
	var out []string
	for _, line := range strings.SplitAfter(o.out, "\n") {
		if name, found := strings.CutPrefix(line, "left: "); found {
			left = append(left, strings.TrimSpace(name))
			continue
		}
		out = append(out, line)
	}
	o.out = strings.Join(out, "")
	return o, left
}

// TestDiskFull: the disk is full before the file is whole. Nothing stays but
// the one line that says so.
func TestDiskFull(t *testing.T) {
	for _, c := range []struct{ name, room, command, file string }{
		{"traveler", "size=4k", "sheet", "traveler.pdf"},
		{"blank as PDF", "size=4k", "flat", "blank.pdf"},
		{"blank as SVG", "size=4k", "flat", "blank.svg"},
		{"no room for one more file", "nr_inodes=1", "flat", "blank.dxf"},
	} {
		t.Run(c.name, func(t *testing.T) {
			disk := t.TempDir()
			to := filepath.Join(disk, c.file)
			o, left := onDisk(t, disk, c.room, c.command, "shop/drip-tray.json", "-o", to)
			if got, want := o.complaint(t, exitBadInput), to+": the disk is full; free some space and try again"; got != want {
				t.Errorf("%q, want %q", got, want)
			}
			if left != nil {
				t.Errorf("left on the full disk: %q", left)
			}
		})
	}
}

// TestDiskFullKeepsWhatWasThere: a file of an earlier run survives.
func TestDiskFullKeepsWhatWasThere(t *testing.T) {
	folder := t.TempDir()
	to := written(t, folder, "traveler.pdf", "an earlier sheet")
	o := runsAs(t, "brakeside-small-files", "4096", "sheet", "shop/drip-tray.json", "-o", to)
	want := to + ": the file would be larger than this disk or account allows; choose another folder"
	if got := o.complaint(t, exitBadInput); got != want {
		t.Errorf("%q, want %q", got, want)
	}
	wantListing(t, folder, "traveler.pdf")
	if got := readText(t, to); got != "an earlier sheet" {
		t.Errorf("the earlier file holds %q", got)
	}
}

// TestDiskFullUnderTheStore: a service that finds no room says so and ends; a
// backup that finds none leaves nothing.
func TestDiskFullUnderTheStore(t *testing.T) {
	disk := t.TempDir()
	o, _ := onDisk(t, disk, "size=64k", "demo", "-once", "-addr", "127.0.0.1:0", "-data", filepath.Join(disk, "shop"))
	if got := o.complaint(t, exitBadInput); !strings.HasPrefix(got, disk) || !strings.Contains(got, "The disk is full") {
		t.Errorf("demo: %q", got)
	}
	data := stocked(t)
	to := filepath.Join(disk, "copy.db")
	o, left := onDisk(t, disk, "size=64k", "backup", "-data", data, to)
	if got := o.complaint(t, exitBadInput); !strings.HasPrefix(got, to) || !strings.Contains(got, "The disk is full") {
		t.Errorf("backup: %q", got)
	}
	if left != nil {
		t.Errorf("backup left %q", left)
	}
}

// TestOutputFull: what is printed cannot be written.
func TestOutputFull(t *testing.T) {
	full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
	if err != nil {
		t.Skipf("this machine has no /dev/full: %v", err)
	}
	defer full.Close()
	for _, args := range [][]string{{"plan", "shop/drip-tray.json"}, {"plan", "shop/drip-tray.json", "-json"}, {"plan", "../../testdata/suite/parts/P2v.json", "-json"}} {
		c := exec.Command("brakeside", args...)
		var errs strings.Builder
		c.Stdout, c.Stderr = full, &errs
		c.Run()
		o := outcome{c.ProcessState.ExitCode(), "", errs.String()}
		if got, want := o.complaint(t, exitBadInput), "standard output: the disk is full; free some space and try again"; got != want {
			t.Errorf("%q: %q, want %q", args, got, want)
		}
	}
}

func TestUnwritableFolder(t *testing.T) {
	folder := openFolder(t)
	locked := filepath.Join(folder, "locked")
	if err := os.Mkdir(locked, 0o555); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name string
		args []string
		want string
	}{
		{"sheet", []string{"sheet", "PART", "-o", "LOCKED/t.pdf"}, "LOCKED/t.pdf: this user may not write in the folder LOCKED; choose another folder"},
		{"flat", []string{"flat", "PART", "-o", "LOCKED/t.dxf"}, "LOCKED/t.dxf: this user may not write in the folder LOCKED; choose another folder"},
		{"demo", []string{"demo", "-addr", "127.0.0.1:0", "-data", "LOCKED/shop"}, "LOCKED/shop: The folder or its database cannot be written to"},
		{"serve", []string{"serve", "-addr", "127.0.0.1:0", "-data", "LOCKED"}, "LOCKED: The folder or its database cannot be written to"},
		{"unreadable part", []string{"plan", "SECRET"}, "SECRET: this user may not read it; check its permissions"},
		{"unreadable brake", []string{"plan", "PART", "-brake", "SECRET"}, "SECRET: this user may not read it; check its permissions"},
		{"unreadable backup", []string{"restore", "-data", "FOLDER/new", "SECRET"}, "SECRET: this user may not read it; check its permissions"},
		{"port of the system", []string{"serve", "-addr", "127.0.0.1:1", "-data", "FOLDER/new"}, "-addr: this user may not listen on 127.0.0.1:1; choose a port above 1023"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if c.name == "port of the system" && lowPortsOpen() {
				t.Skip("this machine lets every user listen on low ports")
			}
			words := strings.NewReplacer("LOCKED", locked, "SECRET", secret(t, folder), "FOLDER", folder, "PART", openPart(t, folder))
			for i, a := range c.args {
				c.args[i] = words.Replace(a)
			}
			o := runsAs(t, "brakeside-as-nobody", c.args...)
			if got := o.complaint(t, exitBadInput); !strings.HasPrefix(got, words.Replace(c.want)) {
				t.Errorf("%q, want %q", got, words.Replace(c.want))
			}
			wantListing(t, locked)
			if names := listing(t, folder); slices.Contains(names, "new") {
				t.Errorf("the folder holds %q: a refused command made new", names)
			}
		})
	}
}

func TestReadOnlyDisk(t *testing.T) {
	disk := t.TempDir()
	to := filepath.Join(disk, "t.pdf")
	o, left := onDisk(t, disk, "ro", "sheet", "shop/drip-tray.json", "-o", to)
	if got, want := o.complaint(t, exitBadInput), to+": the disk can only be read; choose another folder"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if left != nil {
		t.Errorf("left %q", left)
	}
	o, _ = onDisk(t, disk, "ro", "serve", "-addr", "127.0.0.1:0", "-data", disk)
	if got := o.complaint(t, exitBadInput); !strings.HasPrefix(got, disk+": The folder or its database cannot be written to") {
		t.Errorf("serve: %q", got)
	}
}

// openFolder is a folder that any user may go through.
func openFolder(t *testing.T) string {
	t.Helper()
	folder, err := os.MkdirTemp("", "brakeside-test-")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.RemoveAll(folder) })
	if err := os.Chmod(folder, 0o777); err != nil {
		t.Fatal(err)
	}
	return folder
}

// openPart copies a part to where any user may read it.
func openPart(t *testing.T, folder string) string {
	t.Helper()
	return written(t, folder, "part.json", readText(t, "shop/rail-bracket.json"))
}

// secret is a file that only its owner, who is another user, or nobody may
// read.
func secret(t *testing.T, folder string) string {
	t.Helper()
	path := filepath.Join(folder, "secret.json")
	if err := os.WriteFile(path, []byte("{}"), 0o600); err != nil {
		t.Fatal(err)
	}
	mode := os.FileMode(0o600)
	if os.Getuid() != 0 {
		mode = 0
	}
	if err := os.Chmod(path, mode); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.Remove(path) })
	return path
}

// lowPortsOpen tells whether the machine lets any user take ports below 1024.
func lowPortsOpen() bool {
	text, err := os.ReadFile("/proc/sys/net/ipv4/ip_unprivileged_port_start")
	return err == nil && strings.TrimSpace(string(text)) != "1024"
}

// TestSignalEndsPlanning: what is no service ends at once when told to, here
// while it waits for a file that never comes.
func TestSignalEndsPlanning(t *testing.T) {
	pipe := filepath.Join(t.TempDir(), "part.json")
	if err := syscall.Mkfifo(pipe, 0o600); err != nil {
		t.Fatal(err)
	}
	c := exec.Command("brakeside", "plan", pipe)
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	// Opening the pipe for writing waits until the program reads it.
	writer, err := os.OpenFile(pipe, os.O_WRONLY, 0)
	if err != nil {
		t.Fatal(err)
	}
	defer writer.Close()
	if err := c.Process.Signal(syscall.SIGINT); err != nil {
		t.Fatal(err)
	}
	guard := time.AfterFunc(20*time.Second, func() { c.Process.Kill() })
	c.Wait()
	if !guard.Stop() {
		t.Fatal("an interrupt did not end the program")
	}
	if status := c.ProcessState.Sys().(syscall.WaitStatus); !status.Signaled() || status.Signal() != syscall.SIGINT {
		t.Errorf("ended with %v, want by the interrupt", c.ProcessState)
	}
}

// TestUndisturbed: a signal that comes while a file is written waits until it
// is whole.
func TestUndisturbed(t *testing.T) {
	folder := t.TempDir()
	to := filepath.Join(folder, "file.txt")
	if o := runsAs(t, "told-while-writing", to); o.code != exitFine {
		t.Errorf("ended with %d, %q", o.code, o.err)
	}
	wantListing(t, folder, "file.txt")
	if got := readText(t, to); got != "first half, second half" {
		t.Errorf("the file holds %q", got)
	}
}
