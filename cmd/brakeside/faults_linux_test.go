package main

import (
	"bufio"
	"errors"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"
)

// TestDiskFails lets the disk fail under a service with phones at it: files that
// may grow no further stand for a full disk, and strace, put on the service while
// it works, has writes or syncs answered with EIO. Readings are then refused with
// 503, health fails, and what was answered is there after a kill. Where the disk
// does its work again so does the service.
func TestDiskFails(t *testing.T) {
	for _, c := range []struct{ name, program, fault string }{
		{"no room", "brakeside-small-files", ""},
		{"EIO on write", "brakeside", "pwrite64:error=EIO"},
		{"EIO on sync", "brakeside", "fdatasync,fsync:error=EIO"},
	} {
		t.Run(c.name, func(t *testing.T) {
			data := filepath.Join(t.TempDir(), "shop")
			codes := crowdSheets(t, data, 8)
			args := []string{"serve", "-addr", "127.0.0.1:0", "-data", data}
			if c.fault == "" {
				args = append([]string{"400000"}, args...)
			}
			r := startsCommand(t, exec.Command(c.program, args...))
			base := r.says("brakeside is at ")
			var phones []*phone
			for i := range 4 {
				phones = append(phones, &phone{number: i, codes: codes[2*i : 2*i+2], enough: 20})
			}
			stopped, some := atWork(phones, base, 100)
			if c.fault != "" {
				<-some
				mend := spoiled(t, r.command.Process.Pid, c.fault)
				<-stopped
				wantHealth(t, base, http.StatusServiceUnavailable)
				mend()
				wantHealth(t, base, http.StatusOK)
			} else {
				<-stopped
				wantHealth(t, base, http.StatusServiceUnavailable)
			}
			r.kill()
			answered, lost, stored := 0, 0, storedReadings(t, data)
			for _, p := range phones {
				answered, lost = answered+len(p.kept), lost+unkept(t, stored, p.kept)
				if len(p.statuses) != 1 || p.statuses[http.StatusServiceUnavailable] != 20 {
					t.Errorf("refused with %v, want 503 alone", p.statuses)
				}
			}
			t.Logf("%d answered, %d refused, %d lost", answered, 20*len(phones), lost)
			if answered == 0 {
				t.Error("nothing was answered: this shows nothing")
			}
			sound(t, data)
		})
	}
}

// spoiled has strace answer calls of a process with an error, until it is told to
// let go.
func spoiled(t *testing.T, pid int, fault string) (mend func()) {
	t.Helper()
	calls, _, _ := strings.Cut(fault, ":")
	tracer := exec.Command("strace", "-f", "-o", os.DevNull, "-p", strconv.Itoa(pid), "-e", "trace="+calls, "-e", "inject="+fault)
	said, err := tracer.StderrPipe()
	if err == nil {
		err = tracer.Start()
	}
	if err == nil {
		if line, _ := bufio.NewReader(said).ReadString('\n'); !strings.Contains(line, "attached") {
			err = errors.New(line)
		}
	}
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatalf("strace must be able to spoil calls of the service: %v", err)
		}
		t.Skipf("strace cannot spoil calls of the service: %v", err)
	}
	return func() {
		if err := tracer.Process.Signal(syscall.SIGINT); err != nil {
			t.Error(err)
		}
		tracer.Wait()
	}
}

func wantHealth(t *testing.T, base string, want int) {
	t.Helper()
	client := http.Client{Timeout: 10 * time.Second}
	answer, err := client.Get(base + "/healthz")
	if err != nil {
		t.Fatal(err)
	}
	answer.Body.Close()
	if answer.StatusCode != want {
		t.Errorf("health is %d, want %d", answer.StatusCode, want)
	}
}
