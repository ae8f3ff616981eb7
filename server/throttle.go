package server

import (
	"sync"
	"time"
)

// mostWatched is how many addresses a throttle remembers.
const mostWatched = 4096

// throttle counts failures by network address. Each address may fail burst
// times at once, and once more for every pause that goes by.
type throttle struct {
	burst int
	pause time.Duration

	lock sync.Mutex
	// full is when each address will have all its tries back. Its distance from
	// now says how many tries are used up.
	full map[string]time.Time
}

func newThrottle(burst int, pause time.Duration) *throttle {
	return &throttle{burst: burst, pause: pause, full: make(map[string]time.Time)}
}

// wait gives how long the address has to wait before it may try again, 0 if it
// may now.
func (t *throttle) wait(address string, now time.Time) time.Duration {
	t.lock.Lock()
	defer t.lock.Unlock()
	used := max(0, t.full[address].Sub(now))
	return max(0, used-time.Duration(t.burst-1)*t.pause)
}

// failed notes a failure.
func (t *throttle) failed(address string, now time.Time) {
	t.lock.Lock()
	defer t.lock.Unlock()
	if len(t.full) >= mostWatched {
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
func (t *throttle) forget(now time.Time) {
	for address, full := range t.full {
		if !full.After(now) {
			delete(t.full, address)
		}
	}
	if len(t.full) >= mostWatched {
		clear(t.full)
	}
}

// holders remembers which address has opened which sheet, so that a phone that
// works on a sheet is not shut out because another one behind the same address
// guesses. It helps no guesser: a code that is new to an address is not in it.
type holders struct {
	lock  sync.Mutex
	known map[holder]bool
}

type holder struct{ address, code string }

func (h *holders) has(who holder) bool {
	h.lock.Lock()
	defer h.lock.Unlock()
	return h.known[who]
}

func (h *holders) add(who holder) {
	h.lock.Lock()
	defer h.lock.Unlock()
	if h.known == nil || len(h.known) >= mostWatched {
		h.known = make(map[holder]bool) // they come back with their next page
	}
	h.known[who] = true
}
