//go:build !race

package suite

const raced = false
