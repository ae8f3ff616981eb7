package server

import (
	"context"
	"net/http"
	"time"

	"brakeside/calc/fault"
	"brakeside/calc/unit"
	"brakeside/server/store"
)

// frameView is what every page of the office shows around its content.
type frameView struct {
	Here, Shop string
	MayChange  bool // the one who looks is the owner
}

// frame gives the frame of a page; here is the section it belongs to.
func (s *Server) frame(r *http.Request, here string) frameView {
	return frameView{Here: here, Shop: s.setting(r.Context(), store.SettingShop), MayChange: mayChange(r)}
}

// mayChange reports whether the one who asks is the owner.
func mayChange(r *http.Request) bool { return ticketOf(r).role == store.RoleOwner }

// setting gives a setting, empty when it was never kept. One that cannot be read
// counts as not kept: no page fails for the name of the shop.
func (s *Server) setting(ctx context.Context, key string) string {
	value, err := s.store.Setting(ctx, key)
	if err != nil && fault.KindOf(err) != fault.Missing {
		s.log.Warn("setting not read", "key", key, "error", err)
	}
	return value
}

// address that phones use: the one the owner gave, unless the service was
// started with one.
func (s *Server) address(ctx context.Context) string {
	if kept := s.setting(ctx, store.SettingAddress); kept != "" && !s.fixedBase {
		return kept
	}
	return s.base
}

func (s *Server) ruler(ctx context.Context) ruler {
	if s.setting(ctx, store.SettingUnits) == "in" {
		return ruler{unit.Inch}
	}
	return ruler{unit.Metric}
}

// when words a moment in the time of the shop; nothing for none.
func (s *Server) when(t time.Time) string { return when(t, s.now()) }
