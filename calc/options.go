package calc

import (
	"brakeside/calc/figures"
	"brakeside/calc/process"
)

// Options are what a plan depends on beside part and brake.
type Options struct {
	Quantity int          // pieces that set-up minutes are shared over; below 1 counts as 1
	Run      process.Run  // empty is ByStep
	First    string       // the bend to begin with; empty leaves it free
	Without  []string     // bars that are not to be used
	Next     int          // how many better orders to pass over
	Shop     figures.Shop // what the shop has settled and measured
	// Watch, if set, is told how far planning has come, and says whether to go
	// on.
	Watch func(done, all int) bool
}
