package web

import (
	"fmt"
	"testing"
	"time"
)

func TestThrottle(t *testing.T) {
	now := time.Date(2026, 5, 4, 9, 30, 0, 0, time.UTC)
	limit := NewThrottle(3, 10*time.Second)
	for range 3 {
		if wait := limit.Wait("a", now); wait != 0 {
			t.Fatalf("wait = %v within the burst, want none", wait)
		}
		limit.Failed("a", now)
	}
	if wait := limit.Wait("a", now); wait != 10*time.Second {
		t.Errorf("wait after three failures = %v, want 10s", wait)
	}
	if wait := limit.Wait("b", now); wait != 0 {
		t.Errorf("wait of another address = %v, want none", wait)
	}
	if wait := limit.Wait("a", now.Add(4*time.Second)); wait != 6*time.Second {
		t.Errorf("wait 4 s later = %v, want 6s", wait)
	}
	if wait := limit.Wait("a", now.Add(10*time.Second)); wait != 0 {
		t.Errorf("wait 10 s later = %v, want none", wait)
	}
	limit.Failed("a", now.Add(10*time.Second))
	if wait := limit.Wait("a", now.Add(10*time.Second)); wait != 10*time.Second {
		t.Errorf("wait after one more failure = %v, want 10s again", wait)
	}
	if wait := limit.Wait("a", now.Add(time.Hour)); wait != 0 {
		t.Errorf("wait an hour later = %v, want none", wait)
	}
}

func TestThrottleForgets(t *testing.T) {
	now := time.Date(2026, 5, 4, 9, 30, 0, 0, time.UTC)
	limit := NewThrottle(1, time.Minute)
	for i := range 3 * MostWatched {
		limit.Failed(fmt.Sprint(i), now)
		if len(limit.full) > MostWatched {
			t.Fatalf("%d addresses remembered, want at most %d", len(limit.full), MostWatched)
		}
	}
	limit = NewThrottle(1, time.Minute)
	limit.Failed("old", now)
	for i := range MostWatched {
		limit.Failed(fmt.Sprint(i), now.Add(2*time.Minute))
	}
	if _, found := limit.full["old"]; found {
		t.Error("an address with all its tries back is still remembered")
	}
	if wait := limit.Wait("17", now.Add(2*time.Minute)); wait == 0 {
		t.Error("an address with failures was forgotten to make room, though an old one could go")
	}
}
