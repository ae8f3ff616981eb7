package main

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"syscall"
	"time"
)

// The programs of this file stand in for brakeside under the conditions of a
// bad day. Each runs in a process of its own, sets the condition and runs the
// rest of its command line.

func init() {
	programs["brakeside-as-nobody"] = asNobody
	programs["brakeside-with-disk"] = withDisk
	programs["brakeside-small-files"] = smallFiles
	programs["measured"] = measured
	programs["told-while-writing"] = toldWhileWriting
}

// nobody is the user without rights on every Unix.
const nobody = 65534

// asNobody runs brakeside as a user without rights.
func asNobody() {
	if os.Getuid() == 0 {
		must(syscall.Setgroups(nil))
		must(syscall.Setgid(nobody))
		must(syscall.Setuid(nobody))
	}
	os.Exit(runHere(os.Args[1:]))
}

// withDisk FOLDER OPTIONS runs brakeside with a disk of its own at the folder,
// in a name space of its own, and then lists what the folder holds. The options
// are those of tmpfs: size=64k, or ro.
func withDisk() {
	folder, options := os.Args[1], os.Args[2]
	flags := uintptr(0)
	if options == "ro" {
		flags, options = syscall.MS_RDONLY, ""
	}
	must(syscall.Mount("tmpfs", folder, "tmpfs", flags, options))
	code := runHere(os.Args[3:])
	entries, err := os.ReadDir(folder)
	must(err)
	for _, e := range entries {
		fmt.Println("left:", e.Name())
	}
	os.Exit(code)
}

// smallFiles SIZE runs brakeside where no file may be larger than so many bytes.
func smallFiles() {
	most, err := strconv.ParseUint(os.Args[1], 10, 64)
	must(err)
	must(syscall.Setrlimit(syscall.RLIMIT_FSIZE, &syscall.Rlimit{Cur: most, Max: most}))
	os.Exit(runHere(os.Args[2:]))
}

// toldWhileWriting FILE writes a file and is told to end in the middle of it.
func toldWhileWriting() {
	must(writeFile(os.Args[1], func(w io.Writer) error {
		if _, err := io.WriteString(w, "first half, "); err != nil {
			return err
		}
		must(syscall.Kill(os.Getpid(), syscall.SIGTERM))
		for signalsWait() {
		}
		_, err := io.WriteString(w, "second half")
		return err
	}))
}

// signalsWait tells whether a signal to this process has not been taken yet.
func signalsWait() bool {
	status, err := os.ReadFile("/proc/self/status")
	must(err)
	_, waiting, _ := strings.Cut(string(status), "ShdPnd:")
	number, _, _ := strings.Cut(strings.TrimSpace(waiting), "\n")
	return strings.Trim(number, "0") != ""
}

func runHere(args []string) int {
	return run(context.Background(), args, streams{os.Stdin, os.Stdout, os.Stderr})
}

// cannot is the exit code of a helper that could not set its condition.
const cannot = 77

func must(err error) {
	if err != nil {
		fmt.Fprintln(os.Stderr, "cannot set the condition:", err)
		os.Exit(cannot)
	}
}

// measure is what running a program took.
type measure struct {
	Wall   time.Duration
	CPU    time.Duration
	Memory int64 // bytes, of the largest process
}

// measured PROGRAM ARGUMENT... runs a program and prints its measure as JSON.
// It stands between a benchmark and the program because the kernel counts the
// memory of the process that starts another as that one's own: this process is
// small.
func measured() {
	program := exec.Command(os.Args[1], os.Args[2:]...)
	began := time.Now()
	output, err := program.CombinedOutput()
	took := time.Since(began)
	if err != nil && program.ProcessState.ExitCode() != exitUnbendable { // which is an answer too
		fmt.Fprintf(os.Stderr, "%s: %v: %s\n", os.Args[1], err, output)
		os.Exit(1)
	}
	used := program.ProcessState.SysUsage().(*syscall.Rusage)
	must(json.NewEncoder(os.Stdout).Encode(measure{
		Wall: took, CPU: program.ProcessState.UserTime() + program.ProcessState.SystemTime(), Memory: used.Maxrss * 1024,
	}))
}
