package admit

import (
	"sync"
	"time"
)

// Throttle counts tries by party. Each may try burst times at once, and once more
// for every pause that goes by; who tries oftener is refused and not charged, so
// that nobody ever waits longer than one pause.
type Throttle struct {
	burst int
	pause time.Duration

	lock sync.Mutex
	// full is when each party will have all its tries back. Its distance from now
	// says how many tries are used up.
	full map[string]time.Time
}

// NewThrottle makes one at which nobody has tried yet.
func NewThrottle(burst int, pause time.Duration) *Throttle {
	return &Throttle{burst: burst, pause: pause, full: make(map[string]time.Time)}
}

// Book takes a try before it is made, so that tries side by side are counted like
// those that follow each other. It gives how long the party has to wait when there
// is none left; 0: it may try now.
func (t *Throttle) Book(party string, now time.Time) (wait time.Duration) {
	t.lock.Lock()
	defer t.lock.Unlock()
	used := max(0, t.full[party].Sub(now))
	if used > time.Duration(t.burst)*t.pause { // the clock was set back: what was counted by the other is worth nothing
		used = 0
	}
	if wait = used - time.Duration(t.burst-1)*t.pause; wait > 0 {
		return wait
	}
	if _, known := t.full[party]; !known && len(t.full) >= MostWatched {
		t.forget(now)
	}
	t.full[party] = now.Add(used + t.pause)
	return 0
}

// GiveBack returns a booked try that did no harm.
func (t *Throttle) GiveBack(party string) {
	t.lock.Lock()
	defer t.lock.Unlock()
	if full, known := t.full[party]; known {
		t.full[party] = full.Add(-t.pause)
	}
}

// forget drops the parties that have all tries back. If that makes no room it drops
// those that are nearest to it: a crowd of strangers that try once each clears nobody
// of many tries.
func (t *Throttle) forget(now time.Time) {
	nearest := now.Add(time.Duration(t.burst) * t.pause)
	for party, full := range t.full {
		if !full.After(now) {
			delete(t.full, party)
		} else if full.Before(nearest) {
			nearest = full
		}
	}
	if len(t.full) < MostWatched {
		return
	}
	for party, full := range t.full {
		if full.Sub(nearest) < t.pause {
			delete(t.full, party)
		}
	}
}
