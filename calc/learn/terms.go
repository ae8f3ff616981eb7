package learn

import (
	"brakeside/calc/stock"
	"brakeside/calc/unit"
)

// kind is what sort of unknown an effect is.
type kind int

const (
	zero kind = iota
	material
	grain
	cell
	band
	pack
	person
	tool
)

// effect names one unknown.
type effect struct {
	kind              kind
	name              string // of the brake, material, pack, person or tool
	brake, bar        string
	thickness, radius unit.Micron
	angles            int // 0 flat, 1 square, 2 sharp
}

// term is an unknown in a bend: what it counts in the springback, and how far it
// may be from 0 before anything is read.
type term struct {
	effect
	weight float64
	sd     unit.Deg
}

// terms lists the unknowns of the springback of a bend. What the trade knows of
// a material may be vaguer than the settings say.
func (b Bend) terms(s Settings) []term {
	at := share(b.Bend.Angle)
	out := make([]term, 0, 8)
	out = append(out,
		term{effect{kind: zero, name: b.Brake}, 1, s.Zero},
		term{effect{kind: material, name: b.Sheet.Material.ID}, at, max(s.Material, b.usual90().SD())})
	if b.Run == stock.Along {
		out = append(out, term{effect{kind: grain, name: b.Sheet.Material.ID}, at, s.Grain})
	}
	out = append(out, term{b.cell(), at, s.Cell}, term{b.band(), at, s.Band})
	if b.Pack != "" {
		out = append(out, term{b.pack(), at, s.Pack})
	}
	return out
}

// cell names material, thickness, radius and bar. A bar is that of its brake:
// equal names on two brakes are two bars.
func (b Bend) cell() effect {
	radius := b.Bend.Radius
	if b.Tool.Former > 0 {
		radius = b.Tool.Former
	}
	const tenth, hundredth = 100, 10
	return effect{
		kind: cell, name: b.Sheet.Material.ID, brake: b.Brake, bar: b.Tool.Bar,
		thickness: rounded(b.Sheet.Thickness, hundredth), radius: rounded(radius, tenth),
	}
}

func rounded(length unit.MM, to unit.Micron) unit.Micron { return (length.Micron() + to/2) / to * to }

// Between flat, square and sharp bends. Common practice, no source.
const (
	squareFrom  unit.Deg = 60
	squareUpTo  unit.Deg = 105
	squareBends          = 1
)

// band is the cell at flat, square or sharp angles.
func (b Bend) band() effect {
	e := b.cell()
	e.kind, e.angles = band, squareBends
	switch {
	case b.Bend.Angle < squareFrom:
		e.angles = 0
	case b.Bend.Angle > squareUpTo:
		e.angles = 2
	}
	return e
}

func (b Bend) pack() effect {
	return effect{kind: pack, name: b.Sheet.Material.ID + "|" + b.Pack}
}

// terms lists the unknowns of a reader.
func (r Reader) terms(s Settings) []term {
	var out []term
	if r.Person != "" {
		out = append(out, term{effect{kind: person, name: r.Person}, -1, s.Person})
	}
	if r.Tool != "" {
		out = append(out, term{effect{kind: tool, name: r.Tool}, -1, s.Tool})
	}
	return out
}

// terms lists the unknowns of a reading.
func (r Reading) terms(s Settings) []term { return append(r.Bend.terms(s), r.Reader.terms(s)...) }

// unnamed is the variance that comes of not knowing who read, and with what.
func (r Reader) unnamed(s Settings) (v float64) {
	if r.Person == "" {
		v += square(s.Person)
	}
	if r.Tool == "" {
		v += square(s.Tool)
	}
	return v
}
