package review

import (
	"brakeside/calc/spc"
	"brakeside/calc/unit"
	"brakeside/server/store"
)

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
	StudyField = studyField
)

// Reading words a group of these errors at today's stop, with a tolerance of a
// degree.
func Reading(errors []float64, proposed unit.Deg, moved bool) string {
	g := group{Cell: store.Cell{N: len(errors)}, errors: errors, moved: moved, proposed: proposed}
	for range errors {
		g.tolerance = append(g.tolerance, 1)
	}
	var err error
	if g.Summary, err = spc.Summarize(errors); err != nil {
		panic(err)
	}
	return g.reading()
}
