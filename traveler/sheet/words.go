package sheet

import (
	"brakeside/calc/unit"
	"brakeside/traveler"
	"brakeside/traveler/phrase"
)

// Labels and sentences that every sheet prints. What depends on the traveler is
// worded by phrase.
const (
	wordsThickness   = "THICKNESS"
	wordsMeasured    = "MEASURED"
	wordsMagnet      = "MAGNET TEST"
	wordsSizes       = "SIZES ARE"
	wordsAngles      = "ANGLES"
	wordsBefore      = "before"
	wordsAfter       = "after"
	wordsStop        = "STOP"
	wordsBar         = "BAR"
	wordsCheck       = "CHECK"
	wordsNoseSetback = "NOSE SETBACK"
	wordsPiece       = "piece"
	wordsMeasuredNow = "measured"
	wordsFirst       = "first piece"
	wordsLast        = "last piece"
	wordsBare        = "no bar"
	wordsPast        = "past"
	wordsEndOfBrake  = "end of brake"
	wordsPrepare     = "BEFORE THE FIRST BEND"
	wordsBehind      = " (they stand behind the last bend)"
	wordsStart       = "Lay the blank as drawn: face A up, its lower edge towards you."
	wordsPictures    = "In the pictures you stand at the lower left. Striped: bar. Thick: swings."
	wordsEnds        = "Bed and leaf end at the same place, left and right."
	wordsNoseLine    = "NOSE LINE"
	wordsBackStop    = "BACK STOP"
	wordsNoseHalf    = "Nose edge on the middle of the line. Nose setback: bed's front edge to nose edge. A strip as thick, " +
		"between raised leaf and nose, sets it."
	wordsNoseShows    = "Edge on the middle of the line: half of it shows."
	wordsNoseFaceB    = "Edge on the middle of the line on face B: half of it shows."
	wordsBarSeen      = "bar"
	wordsGridTitle    = "ANGLES BY HAND"
	wordsGridUse      = "If phones fail: angles before rework, a stop where it was another. The office types them in."
	wordsGridStopUsed = "stop used"
	wordsGridReads    = "Angles are written as"
	wordsGridBy       = "Measured by"
	wordsGridTool     = "Tool"
	wordsGridPack     = "Lot of the sheet"
	wordsGridMore     = "More than 20 pieces: copy this page first and number the copies on."
	wordsNoTurn       = "no turn"
	wordsFace         = "face"
	wordsUp           = "up"
)

// gridTarget heads a column of the table, and gridStop begins it: what is wanted,
// and where the leaf is stopped unless another stop is written.
func gridTarget(s traveler.Step) string { return phrase.Angle(s.Target) }

func gridStop(s traveler.Step) string { return phrase.Angle(s.Stop) }

func bendLengthWords(in unit.System, length unit.Micron) string {
	return "bend " + in.Figure(length) + " long"
}
