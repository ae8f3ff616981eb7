package shelf

import (
	"net/url"
	"time"

	"brakeside/server/store"
)

// JobAddress is the path of the owner's page of one sheet.
func JobAddress(code string) string { return "/jobs/" + url.PathEscape(code) }

// MostPast is how many sheets that are not open any more the list shows.
const MostPast = 100

// JobLine is one sheet in the list of jobs.
type JobLine struct {
	Job, Part, Revision, Address string
	Quantity, Bends, Done        int
	Readings                     int
	Share, Last, State, Due      string
	Late                         bool
}

// Open reports whether a traveler may still be bent from and is not done.
func Open(sheet store.Line) bool {
	return !sheet.Over() && (sheet.Bends == 0 || sheet.Done < sheet.Bends)
}

// JobLine words a sheet for a list of jobs.
func (s *Shelf) JobLine(sheet store.Line) JobLine {
	return JobLine{
		Job: sheet.Job, Part: sheet.Part, Revision: sheet.Revision, Address: JobAddress(sheet.Code),
		Quantity: sheet.Quantity, Bends: sheet.Bends, Done: sheet.Done, Readings: sheet.Readings,
		Last: s.When(sheet.LastReading), State: Standing(sheet), Due: sheet.Due,
		Late: sheet.Due != "" && Open(sheet) && sheet.Due < s.Now().Format(time.DateOnly),
	}
}

// Standing says in a word or two how a traveler stands.
func Standing(sheet store.Line) string {
	word := sheet.Word()
	switch {
	case word != "":
		return word
	case sheet.Bends > 0 && sheet.Done >= sheet.Bends:
		return "all in"
	case sheet.Readings == 0:
		return "not begun"
	}
	return "running"
}
