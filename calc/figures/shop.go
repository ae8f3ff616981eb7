// Package figures holds what one shop has settled and measured: the rule it
// reckons bends by, its own materials, its trial strips, and the shop file they
// are kept in.
//
// It gives what follows from them before a brake is chosen: the sheet of a part,
// its blank and the arithmetic of its bends.
package figures

import (
	"brakeside/calc/bend"
	"brakeside/calc/fault"
	"brakeside/calc/flat"
	"brakeside/calc/part"
	"brakeside/calc/process"
	"brakeside/calc/stock"
	"brakeside/calc/unit"
)

// Shop is what one shop has settled and measured, beside its brakes. The zero
// Shop knows the built-in materials and goes by the textbook. It is data: see
// ReadShop for its file.
type Shop struct {
	bend.Practice
	Materials []stock.Material // its own, before the built-in ones
}

// materials lists what the shop can name, its own first.
func (s Shop) materials() []stock.Material {
	return append(append([]stock.Material(nil), s.Materials...), stock.All()...)
}

// Material finds a material by its id; an unknown one is refused as
// fault.Missing on the field "material".
func (s Shop) Material(id string) (stock.Material, error) {
	for _, m := range s.Materials {
		if m.ID == id {
			return m, nil
		}
	}
	if m, err := stock.Find(id); err == nil {
		return m, nil
	}
	return stock.FindIn(s.materials(), id)
}

// SheetOf finds a sheet by the id of its material and by a thickness or a gauge,
// whichever is given. A gauge without a material is refused with all it could
// mean.
func (s Shop) SheetOf(material, gauge string, thickness unit.MM) (stock.Sheet, error) {
	switch {
	case material == "" && gauge != "":
		return stock.Sheet{}, stock.GaugeAlone(gauge)
	case (thickness == 0) == (gauge == ""):
		return stock.Sheet{}, fault.New(fault.Invalid, "thickness", "give the thickness or the gauge, one of them")
	}
	m, err := s.Material(material)
	if err != nil || gauge == "" {
		return stock.Sheet{Material: m, Thickness: thickness}, err
	}
	thickness, err = m.Thickness(gauge)
	return stock.Sheet{Material: m, Thickness: thickness}, err
}

// Sheet finds the sheet a part is made from: its material, and its thickness
// or its gauge in the series that belongs to the material.
func (s Shop) Sheet(p part.Part) (stock.Sheet, error) {
	sheet, err := s.SheetOf(p.Material, p.Gauge, p.Thickness)
	if r, ok := err.(*fault.Refusal); ok {
		return sheet, p.Refuse("/"+r.Field, "%s", r.Message)
	}
	return sheet, err
}

// Develop works out the blank of a part before any bar is chosen.
func (s Shop) Develop(p part.Part) (*flat.Blank, error) { return s.DevelopFor(p, nil) }

// DevelopFor works out the blank for the bars it will be bent with, by bend.
func (s Shop) DevelopFor(p part.Part, tools map[string]bend.Tool) (*flat.Blank, error) {
	sheet, err := s.Sheet(p)
	if err != nil {
		return nil, err
	}
	b, err := flat.DevelopFor(p, sheet, flat.Making{Practice: s.Practice, Tools: tools})
	if err != nil {
		return nil, err
	}
	if err := refused(b); err != nil {
		return nil, err
	}
	return b, nil
}

// Draft works out the blank and the arithmetic of every bend, before any brake
// is chosen.
func (s Shop) Draft(p part.Part) (*process.Plan, error) {
	blank, err := s.Develop(p)
	if err != nil {
		return nil, err
	}
	plan := process.New(blank, nil)
	plan.Weigh()
	return plan, nil
}
