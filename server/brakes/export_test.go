package brakes

// What the tests of this room, which ask the whole service for its pages, know of
// its insides.
const (
	AddBar  = addBar
	DropBar = dropBar
)

var (
	WithBars = withBars
)
