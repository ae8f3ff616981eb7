package main

import (
	"bytes"
	"context"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"testing"
	"time"

	"brakeside/server/store"
)

// TestPowerLoss records all that a service with 20 phones at it tells the disk
// and the phones, and then lets the power go at many moments of that: of what was
// not yet durable each write is on the disk, or not, or in part. Every reading
// that had been answered is there, none twice, without a gap, and the store is
// sound. That the disk keeps what it says is durable is taken for granted.
func TestPowerLoss(t *testing.T) {
	tracer, err := exec.LookPath("strace")
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("strace is not installed: it records what the service does")
		}
		t.Skip("strace is not installed: it records what the service does")
	}
	moments, readings := 20, 1200
	switch {
	case *soak:
		moments, readings = 2000, 2500
	case os.Getenv("CI") == "true":
		moments, readings = 40, 2500
	}
	data := filepath.Join(t.TempDir(), "shop")
	codes := crowdSheets(t, data, 2*killers)
	before, err := os.ReadFile(filepath.Join(data, store.FileName))
	if err != nil {
		t.Fatal(err)
	}
	calls := recorded(t, tracer, data, codes, readings)
	promises := promisesIn(calls)
	checkpoints := countOf(calls, func(c *call) bool { return c.name == "fsync" && c.file == store.FileName })
	t.Logf("%d calls, %d readings answered, the log was brought into the database %d times", len(calls), len(promises), checkpoints)
	if len(promises) < 1000 || checkpoints == 0 {
		t.Fatal("too little was recorded to tell anything")
	}
	if countOf(calls, func(c *call) bool {
		return c.name == "fsync" && c.file == filepath.Base(data) && c.done < promises[0].line
	}) == 0 {
		t.Error("the folder was not made durable before the first answer: the name of the log may be gone")
	}
	random := rand.New(rand.NewPCG(11, 2026))
	last := calls[len(calls)-1].begun
	for range moments {
		line := promises[0].line + random.IntN(last-promises[0].line)
		left, err := afterPowerLoss(t, before, calls, line, random)
		if err != nil {
			t.Fatalf("line %d: %v", line, err)
		}
		for _, p := range promises {
			if p.line <= line && !left.ids[p.id] {
				t.Fatalf("line %d: reading %s had been answered and is gone", line, p.id)
			}
		}
		if left.gap || len(left.damage) > 0 {
			t.Errorf("line %d: gap %t, damage %v", line, left.gap, left.damage)
		}
	}
	forgetful(t, before, calls, promises, last)
}

// forgetful makes sure that the test would notice: a disk that makes nothing
// durable loses readings, or the whole store where the log was being brought into
// the database.
func forgetful(t *testing.T, before []byte, calls []*call, promises []promise, last int) {
	t.Helper()
	unsynced := slices.DeleteFunc(slices.Clone(calls), func(c *call) bool { return c.name == "fsync" && c.file == store.FileName+"-wal" })
	left, err := afterPowerLoss(t, before, unsynced, last, rand.New(rand.NewPCG(1, 1)))
	if err != nil {
		return // noticed
	}
	lost := 0
	for _, p := range promises {
		if !left.ids[p.id] {
			lost++
		}
	}
	if lost == 0 {
		t.Error("a disk that makes nothing durable lost nothing: this test notices nothing")
	}
}

// recorded runs a service under strace until so many readings were answered, and
// gives what it did.
func recorded(t *testing.T, tracer, data string, codes []string, answers int) []*call {
	t.Helper()
	trace := filepath.Join(t.TempDir(), "trace")
	r := startsCommand(t, exec.Command(tracer, "-D", "-f", "-y", "-xx", "-s", "100000", "-o", trace,
		"-e", "trace=pwrite64,write,fsync,fdatasync,ftruncate", "brakeside", "serve", "-addr", "127.0.0.1:0", "-data", data))
	var phones []*phone
	for i := range killers {
		phones = append(phones, &phone{number: i, codes: codes[2*i : 2*i+2]})
	}
	r.killAtWork(phones, answers)
	for ends := time.Now().Add(testPatience); ; time.Sleep(50 * time.Millisecond) { // strace writes what it has seen
		text, err := os.ReadFile(trace)
		if err != nil {
			t.Fatal(err)
		}
		if bytes.Contains(text[max(0, len(text)-4000):], []byte("+++ killed by SIGKILL +++")) {
			break
		}
		if time.Now().After(ends) {
			t.Fatal("strace did not end with the service")
		}
	}
	return readTrace(t, trace)
}

// promise is an answer that a reading is stored.
type promise struct {
	id   string
	line int // of the trace, from which on the phone may have read it
}

var answered = regexp.MustCompile(`(?s)^HTTP/1.1 20[01] .*?"id":"([^"]+)"`)

func promisesIn(calls []*call) (promises []promise) {
	for _, c := range calls {
		if c.name != "write" {
			continue
		}
		if found := answered.FindSubmatch(c.data); found != nil {
			promises = append(promises, promise{string(found[1]), c.begun})
		}
	}
	return promises
}

func countOf(calls []*call, is func(*call) bool) (n int) {
	for _, c := range calls {
		if is(c) {
			n++
		}
	}
	return n
}

// remains is what a service finds after a power loss.
type remains struct {
	ids    map[string]bool
	gap    bool // the numbers of the readings have one
	damage []store.Damage
}

// afterPowerLoss starts on what a disk may hold after a line of the trace. It fails
// where the store cannot be opened or read.
func afterPowerLoss(t *testing.T, before []byte, calls []*call, line int, random *rand.Rand) (left remains, err error) {
	t.Helper()
	data := t.TempDir()
	for name, content := range map[string][]byte{
		store.FileName: disk(before, calls, store.FileName, line, random), store.FileName + "-wal": disk(nil, calls, store.FileName+"-wal", line, random),
	} {
		if err := os.WriteFile(filepath.Join(data, name), content, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	st, err := store.Open(data, time.Now)
	if err != nil {
		return left, err
	}
	defer st.Close()
	left.ids = map[string]bool{}
	err = st.Export(context.Background(), func(s store.Sample) error {
		left.gap = left.gap || left.ids[s.Reading.ID] || s.Reading.Seq != int64(len(left.ids)+1)
		left.ids[s.Reading.ID] = true
		return nil
	})
	if err == nil {
		left.damage, err = st.Check(context.Background())
	}
	return left, err
}
