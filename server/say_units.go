package server

import (
	"fmt"
	"strings"

	"brakeside/calc/fault"
	"brakeside/calc/unit"
)

// ruler writes lengths in the units of the shop, with the other beside them.
type ruler struct{ system unit.System }

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

// typed gives a length as it is typed in the units of the shop.
func (u ruler) typed(l unit.MM) string { return fmt.Sprint(unit.MM(l / u.system.PerUnit())) }

// read reads a length that was typed.
func (u ruler) read(name, text string) (unit.MM, error) {
	l, err := unit.ParseMM(strings.TrimSpace(text), u.system)
	if err != nil || l <= 0 {
		return 0, fault.New(fault.Invalid, name, "%.20q is not a size; write for example 1.5, 1.5 mm or 1/16 in", text)
	}
	return l, nil
}
