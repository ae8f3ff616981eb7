// Package operator shows the pages of who holds a sheet: the bends one after
// the other, the form of a reading and what it means, photos, and who else is at
// the sheet. The code on the sheet is the key.
package operator

import (
	"brakeside/server/lessons"
	"brakeside/server/store"
	"brakeside/server/web"
	"html/template"
)

// Section is these pages with what they need.
type Section struct {
	*web.Site
	book *lessons.Book // what the log has taught

	guesses  *web.Throttle // codes that are of no sheet, by address
	holders  holders
	presence presence
	uploads  chan struct{} // a place for each photo that is worked on
	steps    web.Unchanged[stepKey, stepView]
	fresh    web.Unchanged[moreKey, template.HTML]
	photos   web.Unchanged[string, []store.Photo]
}

// New makes the pages of the operator.
func New(site *web.Site, book *lessons.Book) *Section {
	return &Section{
		Site: site, book: book, guesses: web.NewThrottle(guessBurst, guessPause), uploads: make(chan struct{}, uploadsAtOnce),
	}
}
