package admit

import (
	"sync"
	"time"
)

// Known remembers parties for a while after each was last seen. The zero value
// remembers nobody.
type Known struct {
	For time.Duration

	lock sync.Mutex
	seen map[string]time.Time
}

// Has reports whether a party was seen lately.
func (k *Known) Has(party string, now time.Time) bool {
	k.lock.Lock()
	defer k.lock.Unlock()
	at, known := k.seen[party]
	return known && now.Sub(at) < k.For
}

// See notes that a party was seen. Where there is no room all are forgotten: they
// come back with their next page.
func (k *Known) See(party string, now time.Time) {
	k.lock.Lock()
	defer k.lock.Unlock()
	if k.seen == nil || len(k.seen) >= MostWatched {
		k.seen = make(map[string]time.Time)
	}
	k.seen[party] = now
}

// Forget forgets everybody.
func (k *Known) Forget() {
	k.lock.Lock()
	defer k.lock.Unlock()
	clear(k.seen)
}
