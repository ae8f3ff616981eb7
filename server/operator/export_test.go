package operator

// What the tests of the whole service know of the insides of this room.
const AheadHeader = aheadHeader
const BendsAhead = bendsAhead
const GuessPause = guessPause
const PresentFor = presentFor

var Ahead = ahead
var Changes = changes
var PieceList = pieceList
var ReadingFields = readingFields
var Sampling = sampling
