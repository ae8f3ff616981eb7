package web

import (
	"context"
	"net/http"
	"time"

	"brakeside/calc/fault"
	"brakeside/calc/unit"
	"brakeside/server/say"
	"brakeside/server/store"
)

// Frame is what every page of the office shows around its content.
type Frame struct {
	Here, Shop string
	MayChange  bool   // the one who looks is the owner
	Said       string // what the button did that led here
	Next       *Step  // what a new shop does next; nil in one that has begun
}

// Frame gives the frame of a page; here is the section it belongs to.
func (s *Site) Frame(r *http.Request, here string) Frame {
	return Frame{
		Here: here, Shop: s.Setting(r.Context(), store.SettingShop), MayChange: MayChange(r), Said: sentences[SaidTo(r)], Next: s.next(r),
	}
}

// MayChange reports whether the one who asks is the owner.
func MayChange(r *http.Request) bool { return TicketOf(r).role == store.RoleOwner }

// Account is the account of the one who asks; empty without one.
func Account(r *http.Request) string { return TicketOf(r).role }

// Setting gives a setting, empty when it was never kept. One that cannot be read
// counts as not kept: no page fails for the name of the shop.
func (s *Site) Setting(ctx context.Context, key string) string {
	value, err := s.settings.Get(s.Store.Changes(), key, func() (string, error) {
		kept, err := s.Store.Setting(ctx, key)
		if fault.KindOf(err) == fault.Missing {
			return "", nil
		}
		return kept, err
	})
	if err != nil {
		s.Log.Warn("setting not read", "key", key, "error", err)
	}
	return value
}

// Address that phones use: the one the owner gave, unless the service was
// started with one.
func (s *Site) Address(ctx context.Context) string {
	if kept := s.Setting(ctx, store.SettingAddress); kept != "" && !s.FixedBase {
		return kept
	}
	return s.Base
}

// Ruler gives the units of the shop.
func (s *Site) Ruler(ctx context.Context) say.Ruler {
	if s.Setting(ctx, store.SettingUnits) == "in" {
		return say.Ruler{System: unit.Inch}
	}
	return say.Ruler{System: unit.Metric}
}

// When words a moment in the time of the shop; nothing for none.
func (s *Site) When(t time.Time) string { return say.When(t, s.Now()) }
