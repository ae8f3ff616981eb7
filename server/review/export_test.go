package review

// What the tests of this room, which ask the whole service for its pages, know of
// its insides.
const (
	MostTabled  = mostTabled
	StudyBends  = studyBends
	StudyPeople = studyPeople
	StudyTurns  = studyTurns
)

var (
	GroupsOf   = groupsOf
	Reading    = reading
	StudyField = studyField
)
