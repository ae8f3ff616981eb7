package shelf

import (
	"net/url"
	"time"

	"brakeside/server/store"
	"brakeside/traveler/standing"
)

// JobAddress is the path of the owner's page of one sheet.
func JobAddress(code string) string { return "/jobs/" + url.PathEscape(code) }

// MostPast is how many sheets that are not open any more the list shows.
const MostPast = 100

// JobLine is one sheet in the list of jobs.
type JobLine struct {
	Code, Job, Part, Revision, Address, Title string
	Quantity, Bends, Done                     int
	Readings                                  int
	Share, Last, State, Due                   string
	Brake, Customer, Note                     string
	Late                                      bool
}

// Open reports whether a traveler may still be bent from and is not done.
func Open(sheet store.Line) bool {
	return !sheet.Over() && (sheet.Bends == 0 || sheet.Done < sheet.Bends)
}

// JobLine words a sheet for a list of jobs.
func (s *Shelf) JobLine(sheet store.Line) JobLine {
	return JobLine{
		Code: sheet.Code, Job: sheet.Job, Part: sheet.Part, Revision: sheet.Revision, Title: sheet.Title, Address: JobAddress(sheet.Code),
		Brake: sheet.Brake, Customer: sheet.Customer, Note: sheet.Note,
		Quantity: sheet.Quantity, Bends: sheet.Bends, Done: sheet.Done, Readings: sheet.Readings,
		Last: s.When(sheet.LastReading), State: Standing(sheet), Due: sheet.Due,
		Late: sheet.Due != "" && Open(sheet) && sheet.Due < s.Now().Format(time.DateOnly),
	}
}

// State is one of the four ways in which a traveler stands in the day's work.
type State string

// States are all of them, in the order in which they need somebody.
var States = []State{Waiting, Running, OnHold, Done}

// The states.
const (
	Waiting State = "waiting" // nothing is logged yet
	Running State = "running"
	OnHold  State = "on hold"
	Done    State = "done" // all is logged, or nothing more is made from it
)

// StateOf tells the state of a traveler.
func StateOf(sheet store.Line) State {
	switch {
	case !Open(sheet):
		return Done
	case sheet.Hold != standing.Hold{}:
		return OnHold
	case sheet.Readings == 0:
		return Waiting
	}
	return Running
}

// Standing says how a traveler stands: its state, or in a few words what is decided
// about it or waits to be.
func Standing(sheet store.Line) string {
	if word := sheet.Word(); word != "" {
		return word
	}
	return string(StateOf(sheet))
}
