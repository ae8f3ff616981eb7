package server

import (
	"context"
	"fmt"
	"net/http"
	"strings"

	"brakeside/calc/fault"
	"brakeside/calc/unit"
	"brakeside/server/store"
)

// frameView is what every page of the office shows around its content.
type frameView struct {
	Here, Shop string
	MayChange  bool // the one who looks is the owner
}

// The settings of the shop.
const (
	settingShop    = "shop"
	settingAddress = "address" // that phones use; empty or missing: as the service was started
	settingUnits   = "units"   // mm or in
	settingSetUp   = "set-up"  // kept once the three questions are answered
)

// frame gives the frame of a page; here is the section it belongs to.
func (s *Server) frame(r *http.Request, here string) frameView {
	return frameView{Here: here, Shop: s.setting(r.Context(), settingShop), MayChange: mayChange(r)}
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
	if kept := s.setting(ctx, settingAddress); kept != "" && !s.fixedBase {
		return kept
	}
	return s.base
}

// ruler writes lengths in the units of the shop, with the other beside them.
type ruler struct{ system unit.System }

func (s *Server) ruler(ctx context.Context) ruler {
	if s.setting(ctx, settingUnits) == "in" {
		return ruler{unit.Inch}
	}
	return ruler{unit.Metric}
}

// both writes a length that stands in both units, the shop's first.
func (u ruler) both(mm, in string) string {
	if u.system == unit.Inch {
		return in + " (" + mm + ")"
	}
	return mm + " (" + in + ")"
}

// size writes a length in both units, the shop's first.
func (u ruler) size(l unit.MM) string {
	return u.both(l.Text(1)+" mm", unit.MM(l.Inches()).Text(3)+" in")
}

// sheet writes the thickness of a sheet in both units.
func (u ruler) sheet(l unit.MM) string {
	return u.both(l.Text(2)+" mm", unit.MM(l.Inches()).Text(4)+" in")
}

// short writes a length for the page at the brake, where room is dear: the other
// unit is beside it only where the shop's is not that of the sheet.
func (u ruler) short(l unit.MM) string {
	if u.system == unit.Inch {
		return u.size(l)
	}
	return l.Text(1) + " mm"
}

// difference writes a small length with its sign.
func (u ruler) difference(l unit.MM) string {
	return u.both(fmt.Sprintf("%+.2f mm", float64(l)), fmt.Sprintf("%+.4f in", l.Inches()))
}

// unit is the word behind a field.
func (u ruler) unit() string { return u.system.String() }

// read reads a length that was typed.
func (u ruler) read(name, text string) (unit.MM, error) {
	l, err := unit.ParseMM(strings.TrimSpace(text), u.system)
	if err != nil || l <= 0 {
		return 0, fault.New(fault.Invalid, name, "%.20q is not a size; write for example 1.5, 1.5 mm or 1/16 in", text)
	}
	return l, nil
}
