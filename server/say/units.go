// Package say puts lengths, times and counts into the words that pages show.
package say

import (
	"fmt"
	"strings"

	"brakeside/calc/fault"
	"brakeside/calc/unit"
)

// Ruler writes lengths in the units of the shop, with the other beside them.
type Ruler struct{ System unit.System }

// both writes a length that stands in both units, the shop's first.
func (u Ruler) both(mm, in string) string {
	if u.System == unit.Inch {
		return in + " (" + mm + ")"
	}
	return mm + " (" + in + ")"
}

// Size writes a length in both units, the shop's first.
func (u Ruler) Size(l unit.MM) string {
	return u.both(l.Text(1)+" mm", unit.MM(l.Inches()).Text(3)+" in")
}

// Sheet writes the thickness of a sheet in both units.
func (u Ruler) Sheet(l unit.MM) string {
	return u.both(l.Text(2)+" mm", unit.MM(l.Inches()).Text(4)+" in")
}

// Short writes a length for the page at the brake, where room is dear: the other
// unit is beside it only where the shop's is not that of the sheet.
func (u Ruler) Short(l unit.MM) string {
	if u.System == unit.Inch {
		return u.Size(l)
	}
	return l.Text(1) + " mm"
}

// Worked writes a length that was worked out, without its unit: to the hundredth of a
// millimetre, or to the ten-thousandth of an inch.
func (u Ruler) Worked(l unit.MM) string {
	if u.System == unit.Inch {
		return unit.MM(l.Inches()).Text(4)
	}
	return l.Text(2)
}

// Difference writes a small length with its sign.
func (u Ruler) Difference(l unit.MM) string {
	return u.both(fmt.Sprintf("%+.2f mm", float64(l)), fmt.Sprintf("%+.4f in", l.Inches()))
}

// Unit is the word behind a field.
func (u Ruler) Unit() string { return u.System.String() }

// Typed gives a length as it is typed in the units of the shop.
func (u Ruler) Typed(l unit.MM) string { return fmt.Sprint(unit.MM(l / u.System.PerUnit())) }

// Read reads a length that was typed.
func (u Ruler) Read(name, text string) (unit.MM, error) {
	l, err := unit.ParseMM(strings.TrimSpace(text), u.System)
	if err != nil || l <= 0 {
		return 0, fault.New(fault.Invalid, name, "%.20q is not a size; write for example 1.5, 1.5 mm or 1/16 in", text)
	}
	return l, nil
}
