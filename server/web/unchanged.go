package web

import "sync"

// mostUnchanged bounds what is held of one kind.
const mostUnchanged = 1000

// Unchanged holds what was read from the store, or made of it, for as long as
// nothing changes there besides readings. The zero value is empty.
type Unchanged[K comparable, V any] struct {
	lock    sync.Mutex
	changes int64
	values  map[K]V
}

// Get gives what belongs to a key, made anew when it is not held since as many
// changes of the store.
func (u *Unchanged[K, V]) Get(changes int64, key K, fresh func() (V, error)) (V, error) {
	u.lock.Lock()
	value, held := u.values[key]
	held = held && u.changes == changes
	u.lock.Unlock()
	if held {
		return value, nil
	}
	value, err := fresh()
	if err != nil {
		return value, err
	}
	u.lock.Lock()
	defer u.lock.Unlock()
	if u.values == nil || u.changes != changes || len(u.values) >= mostUnchanged {
		u.changes, u.values = changes, make(map[K]V)
	}
	u.values[key] = value
	return value, nil
}
