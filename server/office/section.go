// Package office shows the pages from which the owner runs the shop: the jobs
// and their sheets, the stock, the settings and the accounts, and the sign-in.
package office

import (
	"cmp"

	"brakeside/server/password"
	"brakeside/server/planning"
	"brakeside/server/shelf"
)

// Options is what these pages need.
type Options struct {
	Shelf shelf.Shelf
	Plans *planning.Plans
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
	addresses []string
	greetings greetings

	tries    *tries
	hashCost password.Cost // of passwords that are set in the browser
}

// New makes the pages of the office.
func New(o Options) *Section {
	return &Section{
		Shelf: o.Shelf, plans: o.Plans, addresses: o.Addresses,
		tries: newTries(), hashCost: cmp.Or(o.PasswordCost, password.Usual),
	}
}
