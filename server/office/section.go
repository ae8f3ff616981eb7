// Package office shows the pages from which the owner runs the shop: the jobs
// and their sheets, the stock, the settings and the accounts, and the sign-in.
package office

import (
	"cmp"
	"context"

	"brakeside/server/lessons"
	"brakeside/server/password"
	"brakeside/server/planning"
	"brakeside/server/shelf"
	"brakeside/server/web"
)

// Options is what these pages need.
type Options struct {
	Shelf shelf.Shelf
	Plans *planning.Plans
	Book  *lessons.Book
	// Addresses are those under which this machine may be reached, for the owner
	// to choose from.
	Addresses []string
	// PasswordCost is that of passwords set in the browser; the zero value: the
	// usual one.
	PasswordCost password.Cost
}

// Section is these pages with what they need. Use New to make one.
type Section struct {
	shelf.Shelf
	plans     *planning.Plans
	book      *lessons.Book
	paces     web.Unchanged[string, map[string]float64] // by the hour
	addresses []string
	greetings greetings

	tries    *tries
	hashCost password.Cost // of passwords that are set in the browser
}

// New makes the pages of the office.
func New(o Options) *Section {
	return &Section{
		Shelf: o.Shelf, plans: o.Plans, book: o.Book, addresses: o.Addresses,
		tries: newTries(), hashCost: cmp.Or(o.PasswordCost, password.Usual),
	}
}

// pace tells how many times as long as planned jobs take at each brake. The log of
// some hundred jobs is read for it, once an hour.
func (s *Section) pace(ctx context.Context) (map[string]float64, error) {
	hour := s.Now().Format("2006-01-02T15")
	return s.paces.Get(s.Store.Changes(), hour, func() (map[string]float64, error) { return s.book.PaceOf(ctx) })
}
