package operator

// What the tests of this room, which ask the whole service for its pages, know of
// its insides.
const (
	AheadHeader = aheadHeader
	BendsAhead  = bendsAhead
	GuessPause  = guessPause
	PresentFor  = presentFor
)

var (
	Ahead         = ahead
	Changes       = changes
	PieceList     = pieceList
	ReadingFields = readingFields
	Sampling      = sampling
)
