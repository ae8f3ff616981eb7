// Package operator shows the pages of who holds a sheet: the bends one after
// the other, the form of a reading and what it means, photos, and who else is at
// the sheet. The code on the sheet is the key.
package operator

import (
	"brakeside/server/admit"
	"brakeside/server/lessons"
	"brakeside/server/planning"
	"brakeside/server/store"
	"brakeside/server/web"
	"html/template"
)

// Section is these pages with what they need.
type Section struct {
	*web.Site
	book  *lessons.Book   // what the log has taught
	plans *planning.Plans // what draws a part as it is folded

	guesses  *admit.Throttle // codes that are of no sheet, by address
	holders  admit.Known     // who has opened which sheet, by address and code
	added    *admit.Throttle // what is added to the log, by address and code
	presence presence
	incoming *admit.Line // of photos that come in
	uploads  *admit.Line // of photos that are worked on
	steps    web.Unchanged[stepKey, stepView]
	fresh    web.Unchanged[moreKey, template.HTML]
	photos   web.Unchanged[string, []store.Photo]
}

// New makes the pages of the operator.
func New(site *web.Site, book *lessons.Book, plans *planning.Plans) *Section {
	return &Section{
		Site: site, book: book, plans: plans,
		guesses: admit.NewThrottle(guessBurst, guessPause), holders: admit.Known{For: holdsFor},
		added:    admit.NewThrottle(addBurst, addPause),
		incoming: admit.NewLine(incomingRule), uploads: admit.NewLine(uploadRule),
	}
}
