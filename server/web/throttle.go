package web

import (
	"sync"
	"time"
)

// MostWatched is how many addresses a throttle remembers.
const MostWatched = 4096

// Throttle counts failures by network address. Each address may fail burst
// times at once, and once more for every pause that goes by.
type Throttle struct {
	burst int
	pause time.Duration

	lock sync.Mutex
	// full is when each address will have all its tries back. Its distance from
	// now says how many tries are used up.
	full map[string]time.Time
}

// NewThrottle makes one that nobody has failed at yet.
func NewThrottle(burst int, pause time.Duration) *Throttle {
	return &Throttle{burst: burst, pause: pause, full: make(map[string]time.Time)}
}

// Wait gives how long the address has to wait before it may try again, 0 if it
// may now.
func (t *Throttle) Wait(address string, now time.Time) time.Duration {
	t.lock.Lock()
	defer t.lock.Unlock()
	used := max(0, t.full[address].Sub(now))
	return max(0, used-time.Duration(t.burst-1)*t.pause)
}

// Failed notes a failure.
func (t *Throttle) Failed(address string, now time.Time) {
	t.lock.Lock()
	defer t.lock.Unlock()
	if len(t.full) >= MostWatched {
		t.forget(now)
	}
	from := t.full[address]
	if from.Before(now) {
		from = now
	}
	t.full[address] = from.Add(t.pause)
}

// forget drops the addresses that have all tries back, and all of them if that
// makes no room: the memory is bounded whatever comes.
func (t *Throttle) forget(now time.Time) {
	for address, full := range t.full {
		if !full.After(now) {
			delete(t.full, address)
		}
	}
	if len(t.full) >= MostWatched {
		clear(t.full)
	}
}
