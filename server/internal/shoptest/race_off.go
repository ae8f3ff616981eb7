//go:build !race

package shoptest

// WatchedSlower is how many times slower than built the service may be: nobody
// watches.
const WatchedSlower = 1
