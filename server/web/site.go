// Package web is what all pages of the service have in common: routes with who
// may use them, forms, refusals, sessions, and pages that are filled and sent.
//
// It knows nothing of what a page tells. A room of pages holds a Site and gives
// Answers; the Site calls them, and turns the errors they give into refusals.
// Every refusal gets its status from the one table in refuse.go.
package web

import (
	"encoding/hex"
	"fmt"
	"io"
	"log/slog"
	"strings"
	"sync"
	"time"

	"brakeside/server/admit"
	"brakeside/server/store"
	"brakeside/templates"
	"brakeside/templates/words"
)

// Options is what a Site needs; all but Words and Names must be given.
type Options struct {
	Store     *store.Store
	Base      string   // the address phones use
	FixedBase bool     // whatever address the owner gave
	Names     []string // that this machine goes by beside its own
	Now       func() time.Time
	Random    io.Reader // of cryptographic quality; need not be safe to share
	Log       *slog.Logger
	Words     *words.Catalogue // of another language; nil: English
}

// Site is what the rooms of the service share. Use New to make one.
type Site struct {
	Store     *store.Store
	Base      string
	FixedBase bool
	Now       func() time.Time
	Random    io.Reader // safe to share
	Log       *slog.Logger
	News      *News
	Lived     admit.Known // parties among which somebody is signed in

	hosts    hosts
	words    *words.Catalogue
	pages    *templates.Set
	metrics  *metrics
	settings Unchanged[string, string]
	started  time.Time
	begun    begun
}

// New makes a site, with all pages parsed.
func New(o Options) (*Site, error) {
	pages, err := templates.Parse()
	if err != nil {
		return nil, fmt.Errorf("pages: %w", err)
	}
	return &Site{
		Store: o.Store, Base: strings.TrimRight(o.Base, "/"), FixedBase: o.FixedBase, Now: o.Now, Random: &shared{from: o.Random},
		Log: o.Log, News: newNews(), words: o.Words, pages: pages, metrics: newMetrics(), started: o.Now(),
		hosts: hostsOf(o.Base, o.Names), Lived: admit.Known{For: SessionLasts},
	}, nil
}

// PagesDigest changes with the pages and with the language they are put in.
func (s *Site) PagesDigest() string {
	if s.words == nil {
		return s.pages.Digest()
	}
	return s.pages.Digest() + s.words.Language
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

// NewID makes an id for what one form stores: 24 digits, the time first. What is
// stored together then lies together on the disk.
func (s *Site) NewID() (string, error) {
	unique, err := s.Secret(6)
	return fmt.Sprintf("%012x", s.Now().UnixMilli()) + unique, err
}

// Secret gives so many random bytes in hexadecimal.
func (s *Site) Secret(bytes int) (string, error) {
	raw := make([]byte, bytes)
	if _, err := io.ReadFull(s.Random, raw); err != nil {
		return "", fmt.Errorf("random bytes: %w", err)
	}
	return hex.EncodeToString(raw), nil
}
