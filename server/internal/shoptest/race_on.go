//go:build race

package shoptest

// WatchedSlower is how many times slower than built the service may be where
// the race detector watches every access to memory.
const WatchedSlower = 10
