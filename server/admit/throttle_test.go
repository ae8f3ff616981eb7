package admit

import (
	"fmt"
	"sync"
	"sync/atomic"
	"testing"
	"time"
)

var start = time.Date(2026, 5, 4, 9, 30, 0, 0, time.UTC)

func TestThrottle(t *testing.T) {
	limit := NewThrottle(3, 10*time.Second)
	for _, c := range []struct {
		party string
		after time.Duration
		want  time.Duration
	}{
		{"a", 0, 0}, {"a", 0, 0}, {"a", 0, 0},
		{"a", 0, 10 * time.Second}, // the burst is used up
		{"a", 0, 10 * time.Second}, // and who goes on trying does not wait longer for it
		{"b", 0, 0},                // nor does anybody else
		{"a", 4 * time.Second, 6 * time.Second},
		{"a", 10*time.Second - 1, 1},
		{"a", 10 * time.Second, 0},                // one is back
		{"a", 10 * time.Second, 10 * time.Second}, // and no more
		{"a", time.Hour, 0},
		{"a", -100 * 24 * time.Hour, 0}, // the clock was set back: what it counted is forgotten
	} {
		if wait := limit.Book(c.party, start.Add(c.after)); wait != c.want {
			t.Errorf("%s after %v waits %v, want %v", c.party, c.after, wait, c.want)
		}
	}
}

// A try that is given back is as if it had not been made.
func TestGiveBack(t *testing.T) {
	limit := NewThrottle(2, time.Minute)
	for range 5 {
		if wait := limit.Book("a", start); wait != 0 {
			t.Fatalf("wait = %v though all tries before were given back", wait)
		}
		limit.GiveBack("a")
	}
	limit.GiveBack("nobody")
	limit.Book("a", start)
	limit.Book("a", start)
	if wait := limit.Book("a", start); wait != time.Minute {
		t.Errorf("wait after two that count = %v, want a minute", wait)
	}
}

// Tries side by side are counted like those that follow each other.
func TestThrottleSideBySide(t *testing.T) {
	limit := NewThrottle(6, time.Minute)
	var through atomic.Int32
	var all sync.WaitGroup
	for range 200 {
		all.Go(func() {
			if limit.Book("a", start) == 0 {
				through.Add(1)
			}
		})
	}
	if all.Wait(); through.Load() != 6 {
		t.Errorf("%d of 200 got through, want 6", through.Load())
	}
}

func TestThrottleForgets(t *testing.T) {
	limit := NewThrottle(3, time.Minute)
	for range 3 {
		limit.Book("guesser", start)
	}
	for i := range 3 * MostWatched {
		limit.Book(fmt.Sprint(i), start)
		if len(limit.full) > MostWatched {
			t.Fatalf("%d parties remembered, want at most %d", len(limit.full), MostWatched)
		}
	}
	if wait := limit.Book("guesser", start); wait == 0 {
		t.Error("a crowd of strangers made the guesser forgotten")
	}
	limit = NewThrottle(1, time.Minute)
	limit.Book("old", start)
	for i := range MostWatched {
		limit.Book(fmt.Sprint(i), start.Add(2*time.Minute))
	}
	if _, found := limit.full["old"]; found {
		t.Error("a party with all its tries back is still remembered")
	}
	if wait := limit.Book("17", start.Add(2*time.Minute)); wait == 0 {
		t.Error("a party without tries was forgotten to make room, though an old one could go")
	}
}

func TestParty(t *testing.T) {
	for address, want := range map[string]string{
		"192.0.2.7":            "192.0.2.7",
		"::ffff:192.0.2.7":     "192.0.2.7",
		"2001:db8:1:2:3:4:5:6": "2001:db8:1:2::/64",
		"2001:db8:1:2:ffff::1": "2001:db8:1:2::/64",
		"2001:db8:1:3::1":      "2001:db8:1:3::/64",
		"fe80::1%eth0":         "fe80::/64",
		"::1":                  "::/64",
		"no address":           "no address",
	} {
		if got := Party(address); got != want {
			t.Errorf("Party(%q) = %q, want %q", address, got, want)
		}
	}
}

func TestKnown(t *testing.T) {
	known := Known{For: time.Hour}
	if known.Has("a", start) {
		t.Error("somebody is known before any came")
	}
	known.See("a", start)
	if !known.Has("a", start.Add(time.Hour-1)) || known.Has("a", start.Add(time.Hour)) || known.Has("b", start) {
		t.Error("a must be known for an hour, b not at all")
	}
	for i := range 2 * MostWatched {
		known.See(fmt.Sprint(i), start)
		if len(known.seen) > MostWatched {
			t.Fatalf("%d remembered, want at most %d", len(known.seen), MostWatched)
		}
	}
	if known.Forget(); known.Has("1", start) {
		t.Error("somebody is known after all were forgotten")
	}
}
