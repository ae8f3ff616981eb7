package review

// What the tests of the whole service know of the insides of this room.
const MostTabled = mostTabled
const StudyBends = studyBends
const StudyPeople = studyPeople
const StudyTurns = studyTurns

var GroupsOf = groupsOf
var Reading = reading
var StudyField = studyField
