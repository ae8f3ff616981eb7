// Package server answers the shop's browsers: the operator's page behind the
// code on each sheet, and the owner's pages behind a password.
//
// It shows and stores; it decides nothing. What a reading means stands in
// traveler/progress, what must not be lost in server/store, and the words of
// the pages in templates. Every address is one line in routes.go, every refusal
// gets its status from the one table in refuse.go. Pages are whole or absent:
// each is filled into a buffer and written once.
//
// It is made for plain http on the shop's own network, so nothing in it needs
// what browsers keep for secure pages, and the operator's page works without
// script.
package server

import (
	"cmp"
	"context"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"strings"
	"sync"
	"time"

	"brakeside/calc"
	"brakeside/server/lessons"
	"brakeside/server/store"
	"brakeside/templates"
	"brakeside/templates/words"
)

// Options is what a Server needs. All but Planner must be given.
type Options struct {
	Store   *store.Store
	Base    string // the address phones use, such as http://192.0.2.7:8080
	Now     func() time.Time
	Random  io.Reader // of cryptographic quality
	Log     *slog.Logger
	Planner Planner // nil: sheets cannot be issued from the browser
	// FixedBase keeps Base whatever address the owner gave: the service was
	// started with it.
	FixedBase bool
	// Addresses are those under which this machine may be reached, for the owner
	// to choose from.
	Addresses []string
	// Words are those of another language; nil: English.
	Words *words.Catalogue
	// ExampleBrake is the brake file that a new brake begins with.
	ExampleBrake []byte
	// PasswordCost is that of passwords set in the browser; the zero value: the
	// usual one.
	PasswordCost cost
}

// Server is the service of one shop. Use New to make one.
type Server struct {
	store     *store.Store
	base      string
	fixedBase bool
	addresses []string
	example   []byte
	plans     *plansKept
	greetings greetings
	now       func() time.Time
	log       *slog.Logger
	book      *lessons.Book // what the log has taught
	pages     *templates.Set
	words     *words.Catalogue
	news      *news

	guesses *throttle // codes that are of no sheet, by address
	holders holders

	presence presence
	metrics  *metrics
	uploads  chan struct{} // a place for each photo that is worked on
	started  time.Time

	signins  *throttle // wrong passwords, by address
	hashing  sync.Mutex
	hashCost cost // of passwords that are set in the browser

	random io.Reader
}

// New makes a server, with all pages parsed. An option that is missing is an
// error.
func New(o Options) (*Server, error) {
	if o.Store == nil || o.Now == nil || o.Random == nil || o.Log == nil || o.Base == "" {
		return nil, errors.New("server: Store, Base, Now, Random and Log must all be given")
	}
	pages, err := templates.Parse()
	if err != nil {
		return nil, fmt.Errorf("server: %w", err)
	}
	figures := func(ctx context.Context) (calc.Shop, error) { return Figures(ctx, o.Store) }
	return &Server{
		book:  lessons.NewBook(o.Store, figures),
		store: o.Store, base: strings.TrimRight(o.Base, "/"), now: o.Now, log: o.Log, random: &shared{from: o.Random},
		plans: newPlans(o.Store, o.Planner), pages: pages, words: o.Words, news: newNews(),
		fixedBase: o.FixedBase, addresses: o.Addresses, example: o.ExampleBrake,
		guesses: newThrottle(guessBurst, guessPause),
		signins: newThrottle(signInBurst, signInPause), hashCost: cmp.Or(o.PasswordCost, usualCost),
		metrics: newMetrics(), uploads: make(chan struct{}, uploadsAtOnce), started: o.Now(),
	}, nil
}

// HTTP gives a server of the standard library for these pages, with a limit on
// every wait, so that no slow or silent client holds anything for long. Its
// Shutdown also ends the streams of the owner's open pages.
func (s *Server) HTTP() *http.Server {
	served := &http.Server{
		Handler:           s.Handler(),
		ReadHeaderTimeout: 5 * time.Second,
		ReadTimeout:       20 * time.Second,
		WriteTimeout:      60 * time.Second,
		IdleTimeout:       90 * time.Second,
		MaxHeaderBytes:    16 << 10,
		ErrorLog:          slog.NewLogLogger(s.log.Handler(), slog.LevelWarn),
	}
	served.RegisterOnShutdown(s.news.stop) // streams would hold up the stop
	go s.warm()
	return served
}

// warm reads the list of jobs and what the log teaches, so that the first page
// that asks need not wait. It is only a head start: a failure shows again where
// it matters.
func (s *Server) warm() {
	ctx := context.Background()
	_, err := s.store.Travelers(ctx)
	if err := errors.Join(err, s.book.Warm(ctx)); err != nil {
		s.log.Warn("the log was not read ahead", "error", err)
	}
}

// shared is a source of randomness that need not be safe to share.
type shared struct {
	lock sync.Mutex
	from io.Reader
}

// Read implements io.Reader.
func (s *shared) Read(into []byte) (int, error) {
	s.lock.Lock()
	defer s.lock.Unlock()
	return s.from.Read(into)
}

// newID makes an id for what one form stores: 24 digits, the time first. What is
// stored together then lies together on the disk.
func (s *Server) newID() (string, error) {
	unique, err := s.secret(6)
	return fmt.Sprintf("%012x", s.now().UnixMilli()) + unique, err
}

// secret gives so many random bytes in hexadecimal.
func (s *Server) secret(bytes int) (string, error) {
	raw := make([]byte, bytes)
	if _, err := io.ReadFull(s.random, raw); err != nil {
		return "", fmt.Errorf("random bytes: %w", err)
	}
	return hex.EncodeToString(raw), nil
}
