package calc

import (
	"math"

	"brakeside/calc/bend"
	"brakeside/calc/brake"
	"brakeside/calc/fault"
	"brakeside/calc/flat"
	"brakeside/calc/fold"
	"brakeside/calc/part"
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
func (s Shop) Material(id string) (stock.Material, error) { return stock.FindIn(s.materials(), id) }

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
func (s Shop) Develop(p part.Part) (*flat.Blank, error) { return s.developFor(p, nil) }

// developFor works out the blank for the bars it will be bent with.
func (s Shop) developFor(p part.Part, tools map[string]bend.Tool) (*flat.Blank, error) {
	sheet, err := s.Sheet(p)
	if err != nil {
		return nil, err
	}
	b, err := flat.DevelopFor(p, sheet, flat.Making{Practice: s.Practice, Tools: tools})
	if err != nil {
		return nil, err
	}
	for _, check := range []func(*flat.Blank) error{tooTight, throughItself, hemsBegin} {
		if err := check(b); err != nil {
			return nil, err
		}
	}
	return b, nil
}

// Draft works out the blank and the arithmetic of every bend, before any brake
// is chosen.
func (s Shop) Draft(p part.Part) (*Plan, error) {
	blank, err := s.Develop(p)
	if err != nil {
		return nil, err
	}
	plan := &Plan{Blank: blank}
	plan.listBends()
	plan.weigh()
	return plan, nil
}

// mostRounds is how often a blank is worked out anew for the bars that were
// chosen for it.
const mostRounds = 4

// attempt is one search for an order, on one blank.
type attempt struct {
	plan *Plan
	shop *shop
}

// settle plans a part until the blank and the bars agree. What a bend uses may
// depend on the bar, see bend.Calibration, and which bar is chosen may depend
// on the blank: so the blank is worked out without bars, or with the round bars
// that its radii ask for, then for the bars chosen, and so on until they stay
// the same. Few blanks change a bar by a tenth of a millimetre; one that has
// not settled after a few rounds is left with the bars of the last round and
// says so in a caution.
func (o Options) settle(p part.Part, k *brake.Brake) (attempt, error) {
	a, err := o.start(p, k)
	for range mostRounds {
		if err != nil || !a.plan.Feasible {
			return a, err
		}
		again, err := o.Shop.developFor(p, a.plan.tools())
		if err != nil {
			return a, err
		}
		if alike(a.plan.Blank, again) {
			a.plan.Blank.Making, a.plan.Bends = again.Making, nil
			for i, j := range again.Joints {
				a.plan.Blank.Joints[i].Rule = j.Rule
			}
			a.plan.listBends()
			return a, nil
		}
		next, err := o.attempt(again, k)
		if err != nil {
			return a, err
		}
		if !next.plan.Feasible {
			break
		}
		next.plan.notOver = a.plan.notOver
		a = next
	}
	a.plan.unsettled = true
	return a, nil
}

// start plans a part before its bars are known. A bend of a radius that a round
// bar makes is made over it; when the round bar cannot stand where it would
// have to, the bars with an edge are tried.
func (o Options) start(p part.Part, k *brake.Brake) (attempt, error) {
	blank, err := o.Shop.Develop(p)
	if err != nil {
		return attempt{}, err
	}
	tools := formers(blank, k)
	if len(tools) == 0 {
		return o.attempt(blank, k)
	}
	over, err := o.Shop.developFor(p, tools)
	if err != nil {
		return attempt{}, err
	}
	a, err := o.attempt(over, k)
	if err != nil || a.plan.Feasible {
		return a, err
	}
	edged, err := o.attempt(blank, k)
	if err != nil || !edged.plan.Feasible {
		return a, err
	}
	edged.plan.notOver = a.shop.notOver()
	return edged, nil
}

// notOver tells why the bends that a round bar would make are not made over it.
func (s *shop) notOver() map[string]string {
	out := map[string]string{}
	for op, joints := range s.operations {
		for i, bar := range s.plan.Brake.Bars {
			b := s.plan.Bends[joints[0]]
			if b.Former == 0 || ToolOf(bar).Former != b.Former {
				continue
			}
			why := s.weak(bar, joints[0], s.benches[op][0].Length)
			if why == "" {
				why = "cannot stand there"
			}
			out[b.ID] = barName(&s.plan.Brake.Bars[i]) + ": " + why
		}
	}
	return out
}

// attempt searches for an order on one blank.
func (o Options) attempt(blank *flat.Blank, k *brake.Brake) (attempt, error) {
	if n := len(blank.Joints); n > fold.MostJoints {
		return attempt{}, fault.New(fault.TooLarge, "", "the part has %d bends, counted piece by piece; at most %d are planned", n, fold.MostJoints)
	}
	plan := &Plan{Blank: blank, Brake: k, Quantity: max(o.Quantity, 1), Run: o.Run}
	if plan.Run == "" {
		plan.Run = ByStep
	}
	plan.listBends()
	s := newShop(plan)
	found, err := s.search(o)
	if err != nil {
		return attempt{}, err
	}
	plan.Searched = Searched{States: found.States, Checks: found.Checks}
	plan.Feasible, plan.ProvenCheapest = found.Actions != nil, found.Actions != nil && found.Proven
	plan.Undecided = !plan.Feasible && !found.Proven
	if plan.Feasible {
		plan.Minutes = float64(found.Minutes)
		plan.Steps = s.steps(found.Actions)
	}
	return attempt{plan, s}, nil
}

// tools are the bars that the steps use, by bend.
func (p *Plan) tools() map[string]bend.Tool {
	out := map[string]bend.Tool{}
	for _, s := range p.Steps {
		for _, j := range s.Joints {
			out[p.Blank.Joints[j].ID] = ToolOf(s.Bar)
		}
	}
	return out
}

// ToolOf is what a bar is to the arithmetic of a bend.
func ToolOf(b brake.Bar) bend.Tool {
	if b.Kind == brake.Round {
		return bend.Tool{Bar: b.Name, Former: b.OutsideRadius}
	}
	return bend.Tool{Bar: b.Name}
}

// alike reports whether two blanks of one part bend alike.
func alike(a, b *flat.Blank) bool {
	for i := range a.Joints {
		if a.Joints[i].Bend != b.Joints[i].Bend || expected(a, i) != expected(b, i) {
			return false
		}
	}
	return true
}

// expected is the springback expected of a bend, without where it is from.
func expected(b *flat.Blank, joint int) bend.Expected {
	e := b.Making.Practice.Expect(b.Made(joint))
	e.From = ""
	return e
}

// roundMatch is by what share the inside radius a round bar makes may differ
// from that of the drawing (common practice, no source).
const roundMatch = 0.05

// formers finds the bends that a round bar of the brake makes: those drawn with
// the radius it leaves after springback, or with its own.
func formers(b *flat.Blank, k *brake.Brake) map[string]bend.Tool {
	out := map[string]bend.Tool{}
	for i, j := range b.Joints {
		if j.Hem != part.NoHem {
			continue
		}
		drawn := float64(j.Bend.Radius)
		closest := math.Inf(1)
		for _, bar := range k.Bars {
			if bar.Kind != brake.Round {
				continue
			}
			made := b.Made(i)
			made.Tool = ToolOf(bar)
			finished, _ := b.Making.Practice.Reckon(made)
			off := math.Abs(float64(finished.Radius) - drawn)
			own := math.Abs(float64(bar.OutsideRadius) - drawn)
			if min(off, own) <= roundMatch*drawn && off < closest-tiny {
				closest, out[j.ID] = off, made.Tool
			}
		}
	}
	return out
}
