//go:build race

package server

// watchedSlower is how many times slower than built the service may be where
// the race detector watches every access to memory.
const watchedSlower = 10
