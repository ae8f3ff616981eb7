package store

import (
	"bytes"
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"testing"
)

// When the power goes, the file that is being appended to may end anywhere, and
// behind its end there may be anything. Whatever was answered before is there
// all the same, in its order and without a gap, and the store is sound.
func TestPowerLossTearsTheLastWrite(t *testing.T) {
	dir := t.TempDir()
	s := openStore(t, dir)
	issue(t, s, plan(1, 200))
	start := logSize(t, dir)
	var sizes []int // of the log once so many readings were answered
	for n := range 12 {
		mustPost(t, s, code(1), fmt.Sprintf(`{"id":"r%02d","piece":%d,"step":1,"measured":90,"confirmed":true,"note":"%0*d"}`, n, 1, 20*n+1, 0))
		sizes = append(sizes, logSize(t, dir))
	}
	base, log := readAll(t, dbPath(dir)), readAll(t, dbPath(dir)+"-wal")
	random := rand.New(rand.NewPCG(3, 5))
	for range 30 {
		cut := start + random.IntN(len(log)-start+1)
		answered := 0
		for answered < len(sizes) && sizes[answered] <= cut {
			answered++
		}
		torn := bytes.Clone(log[:cut])
		for range random.IntN(3) * 700 { // what lay on the disk before
			torn = append(torn, byte(random.IntN(256)))
		}
		after := t.TempDir()
		writeAll(t, dbPath(after), base)
		writeAll(t, dbPath(after)+"-wal", torn)
		wantReadings(t, after, answered)
	}
}

// wantReadings opens what is left in a folder, and wants at least so many
// readings, the first ones without a gap, and no damage.
func wantReadings(t *testing.T, dir string, least int) {
	t.Helper()
	s := openStore(t, dir)
	got, err := s.Readings(context.Background(), code(1))
	if err != nil || len(got) < least {
		t.Errorf("%d readings after the cut, %v; want the %d that were answered", len(got), err, least)
	}
	for n, r := range got {
		if r.ID != fmt.Sprintf("r%02d", n) || r.Seq != int64(n+1) {
			t.Errorf("reading %d after the cut is %s, number %d", n, r.ID, r.Seq)
		}
	}
	if damage, err := s.Check(context.Background()); err != nil || len(damage) != 0 {
		t.Errorf("Check after the cut = %v, %v; want nothing", damage, err)
	}
	// It goes on from there.
	mustPost(t, s, code(1), `{"id":"later","piece":1,"step":1,"measured":90,"confirmed":true}`)
}

func logSize(t *testing.T, dir string) int {
	t.Helper()
	info, err := os.Stat(dbPath(dir) + "-wal")
	if err != nil {
		t.Fatal(err)
	}
	return int(info.Size())
}

func readAll(t *testing.T, path string) []byte {
	t.Helper()
	content, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return content
}

func writeAll(t *testing.T, path string, content []byte) {
	t.Helper()
	if err := os.WriteFile(path, content, 0o600); err != nil {
		t.Fatal(err)
	}
}

// The clock of a phone may say anything: the readings stay in the order in which
// they came, and what the phone said stands beside it.
func TestPhoneClocksDoNotOrderTheLog(t *testing.T) {
	s := openStore(t, t.TempDir())
	issue(t, s, plan(1, 3))
	clocks := []string{"2026-05-04T11:59:00Z", "1970-01-01T00:00:07Z", "2099-12-31T23:59:59Z", "", "2026-05-04T11:58:00Z"}
	for n, at := range clocks {
		mustPost(t, s, code(1), fmt.Sprintf(`{"id":"c%d","piece":1,"step":1,"measured":90,"confirmed":true,"at":%q}`, n, at))
	}
	got, err := s.Readings(context.Background(), code(1))
	if err != nil || len(got) != len(clocks) {
		t.Fatalf("Readings() = %v, %v, want %d", got, err, len(clocks))
	}
	for n, r := range got {
		if r.ID != fmt.Sprintf("c%d", n) || r.At != clocks[n] || r.Received != stamp(atNoon()) {
			t.Errorf("reading %d is %s of %q, received %s; want c%d of %q, received %s", n, r.ID, r.At, r.Received, n, clocks[n], stamp(atNoon()))
		}
	}
}
