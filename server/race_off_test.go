//go:build !race

package server

const watchedSlower = 1
