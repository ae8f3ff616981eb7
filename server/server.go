// Package server answers the shop's browsers: the operator's page behind the
// code on each sheet, and the owner's pages behind a password.
//
// It puts the rooms together: every address is one line in routes.go, with who
// may use it. What all addresses have in common stands in server/web, the pages
// of each room beside it: operator for who holds a sheet, office, parts, brakes
// and review for the owner. Rooms know nothing of each other.
//
// They show and store; they decide nothing. What a reading means stands in
// traveler/progress, what must not be lost in server/store, and the words of
// the pages in templates. Pages are whole or absent: each is filled into a
// buffer and written once.
//
// It is made for plain http on the shop's own network, so nothing in it needs
// what browsers keep for secure pages, and the operator's page works without
// script.
package server

import (
	"errors"
	"io"
	"log/slog"
	"time"

	"brakeside/server/brakes"
	"brakeside/server/lessons"
	"brakeside/server/office"
	"brakeside/server/operator"
	"brakeside/server/parts"
	"brakeside/server/password"
	"brakeside/server/planning"
	"brakeside/server/review"
	"brakeside/server/shelf"
	"brakeside/server/store"
	"brakeside/server/web"
	"brakeside/templates/words"
)

// Options is what a Server needs. All but Planner must be given.
type Options struct {
	Store   *store.Store
	Base    string // the address phones use, such as http://192.0.2.7:8080
	Now     func() time.Time
	Random  io.Reader // of cryptographic quality
	Log     *slog.Logger
	Planner planning.Planner // nil: sheets cannot be issued from the browser
	// FixedBase keeps Base whatever address the owner gave: the service was
	// started with it.
	FixedBase bool
	// Names are those that this machine goes by beside its own: a request that comes
	// under any other is refused.
	Names []string
	// Addresses are those under which this machine may be reached, for the owner
	// to choose from.
	Addresses []string
	// Book is what the log has taught, where the planner goes by it as well; nil:
	// one of its own.
	Book *lessons.Book
	// Words are those of another language; nil: English.
	Words *words.Catalogue
	// ExampleBrake is the brake file that a new brake begins with.
	ExampleBrake []byte
	// PasswordCost is that of passwords set in the browser; the zero value: the
	// usual one.
	PasswordCost password.Cost
}

// Server is the service of one shop. Use New to make one.
type Server struct {
	site *web.Site
	book *lessons.Book // what the log has taught

	operator *operator.Section
	office   *office.Section
	parts    *parts.Section
	brakes   *brakes.Section
	review   *review.Section
}

// New makes a server, with all pages parsed. An option that is missing is an
// error.
func New(o Options) (*Server, error) {
	if o.Store == nil || o.Now == nil || o.Random == nil || o.Log == nil || o.Base == "" {
		return nil, errors.New("server: Store, Base, Now, Random and Log must all be given")
	}
	site, err := web.New(web.Options{
		Store: o.Store, Base: o.Base, FixedBase: o.FixedBase, Names: o.Names, Now: o.Now, Random: o.Random, Log: o.Log, Words: o.Words,
	})
	if err != nil {
		return nil, err
	}
	book := o.Book
	if book == nil {
		book = lessons.Open(o.Store)
	}
	o.Store.GoBy(lessons.NewStops(book, o.Log))
	plans := planning.New(o.Store, o.Planner, o.Log)
	kept := shelf.Shelf{Site: site}
	return &Server{
		site: site, book: book,
		operator: operator.New(site, book, plans),
		office:   office.New(office.Options{Shelf: kept, Plans: plans, Book: book, Addresses: o.Addresses, PasswordCost: o.PasswordCost}),
		parts:    parts.New(kept, plans),
		brakes:   brakes.New(kept, o.ExampleBrake),
		review:   review.New(site, book),
	}, nil
}
