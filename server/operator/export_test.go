package operator

// What the tests of this room, which ask the whole service for its pages, know of
// its insides.
const (
	GuessPause = guessPause
	PresentFor = presentFor
)

var (
	Changes       = changes
	PieceList     = pieceList
	ReadingFields = readingFields
	Sampling      = sampling
)
