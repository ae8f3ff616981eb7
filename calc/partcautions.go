package calc

import (
	"fmt"
	"math"
	"strings"

	"brakeside/calc/bend"
	"brakeside/calc/flat"
	"brakeside/calc/part"
	"brakeside/calc/stock"
	"brakeside/calc/unit"
)

// tooTight refuses a part with a bend that cracks on any brake. Below the least
// radius of the material's table the plan cautions; below half of it the bend is
// refused: that far off it is a slip in the drawing or the wrong temper, and no
// trial strip is worth cutting (common practice, no source). A hem is meant to
// be flat and is not asked.
func tooTight(b *flat.Blank) error {
	for i, j := range b.Joints {
		least, ok := b.Sheet.LeastRadius(j.Bend.Angle, runOf(b, j))
		if !ok || j.Hem != part.NoHem || j.Bend.Radius >= least.Least/2-radiusHair {
			continue
		}
		return b.Part.Refuse(radiusPointer(b, i), "bend %s: an inside radius of %s mm in %s mm %s cracks; at least %s mm is needed, and %s mm or more is advised",
			j.ID, j.Bend.Radius.Text(2), b.Sheet.Thickness.Text(2), b.Sheet.Material.Words, least.Least.Text(2), least.Advised.Text(2))
	}
	return nil
}

// radiusHair forgives the rounding of a radius that was converted from inches.
const radiusHair unit.MM = 0.01

// radiusPointer is where the radius of a bend stands in the part's file.
func radiusPointer(b *flat.Blank, joint int) string {
	if f := b.Part.Flat; f != nil {
		for i, drawn := range f.Bends {
			if drawn.ID == b.Joints[joint].ID && drawn.Radius > 0 {
				return fmt.Sprintf("/flat/bends/%d/radius", i)
			}
		}
	}
	return "/inside_radius"
}

// runOf tells how a bend line lies to the grain.
func runOf(b *flat.Blank, j flat.Joint) stock.Run {
	along := j.Line[1].Sub(j.Line[0])
	x, y := math.Abs(along.X), math.Abs(along.Y)
	switch b.Part.Grain {
	case "x":
		return runAlong(x >= y)
	case "y":
		return runAlong(y >= x)
	}
	return stock.UnknownRun
}

func runAlong(along bool) stock.Run {
	if along {
		return stock.Along
	}
	return stock.Across
}

// said gathers cautions that are true of several bends, each text once, with
// the bends it is true of.
type said struct {
	texts []string
	level map[string]Level
	bends map[string][]string
}

func (s *said) add(level Level, bend, format string, values ...any) {
	text := fmt.Sprintf(format, values...)
	if s.bends == nil {
		s.level, s.bends = map[string]Level{}, map[string][]string{}
	}
	if s.bends[text] == nil {
		s.texts = append(s.texts, text)
		s.level[text] = level
	}
	s.bends[text] = append(s.bends[text], bend)
}

// cautions words them; the text of all bends needs no list of them.
func (s *said) cautions(all int) []Caution {
	var out []Caution
	for _, text := range s.texts {
		led := strings.ToUpper(text[:1]) + text[1:]
		switch ids := s.bends[text]; {
		case len(ids) == 1 && all > 1:
			led = "Bend " + ids[0] + ": " + text
		case len(ids) > 1 && len(ids) < all:
			led = "Bends " + strings.Join(ids, ", ") + ": " + text
		}
		out = append(out, Caution{s.level[text], led})
	}
	return out
}

// wholePart lists what is true of the part whatever the step. What the drawing
// should say otherwise is not for the brake: it stays with the blank, see
// flat.Blank.
func wholePart(p *Plan) []Caution {
	var out []Caution
	if p.Weight.Lift.TwoPeople {
		out = append(out, Caution{Care, "The blank weighs " + p.Weight.Lift.Words + "."})
	}
	var s said
	for i, j := range p.Blank.Joints {
		if j.Hem == part.NoHem {
			s.radius(p, i)
		}
	}
	for i, j := range p.Blank.Joints {
		if j.Hem == part.NoHem {
			s.former(p, i)
		}
	}
	out = append(out, s.cautions(len(p.Bends))...)
	if p.unsettled {
		out = append(out, Caution{Notice, "The blank was worked out for other bars than this order uses, and a bend takes more under one than under another: cut one piece and check its sizes first."})
	}
	return out
}

// radius cautions where the inside radius is small for the sheet.
func (s *said) radius(p *Plan, joint int) {
	b, sheet, id := p.Bends[joint].Bend, p.Blank.Sheet, p.Bends[joint].ID
	run := runOf(p.Blank, p.Blank.Joints[joint])
	least, ok := sheet.LeastRadius(b.Angle, run)
	if !ok {
		return
	}
	grain := ""
	if across, _ := sheet.LeastRadius(b.Angle, stock.Across); run == stock.Along && least.Advised > across.Advised {
		grain = " along the grain"
	}
	switch least.Judge(b.Radius) {
	case stock.TooTight:
		s.add(Notice, id, "inside radius %s mm is below the %s mm at which this sheet is expected to crack%s: try a strip first, or make the radius larger.", b.Radius.Text(1), least.Least.Text(1), grain)
	case stock.Tight:
		s.add(Notice, id, "inside radius %s mm is tighter than the %s mm advised for this sheet%s: look for cracks on the outside.", b.Radius.Text(1), least.Advised.Text(1), grain)
	default:
		along, known := sheet.LeastRadius(b.Angle, stock.Along)
		if known && run == stock.UnknownRun && least.Least > 0 && along.Judge(b.Radius) != stock.Wide {
			s.add(Notice, id, "the grain is not given: lay the blank so that this bend runs across it; along it %s mm inside radius is advised, this one has %s.", along.Advised.Text(1), b.Radius.Text(1))
		}
	}
}

// noseReaches is up to how many thicknesses of inside radius the edge of a bar
// and its nose setback make a true radius (common practice, no source).
const noseReaches stock.Multiple = 4

// former cautions where a radius comes out other than drawn: over a round bar
// that is not made for it, or without one.
func (s *said) former(p *Plan, joint int) {
	b := p.Bends[joint]
	drawn := p.drawnRadius(joint)
	switch {
	case b.Former > 0 && math.Abs(float64(b.Bend.Radius-drawn)) > roundMatch*float64(drawn):
		s.add(Notice, b.ID, "a round bar of radius %s mm leaves an inside radius of %s mm after springback, the drawing has %s; one of about %s mm would make it.",
			b.Former.Text(1), b.Bend.Radius.Text(1), drawn.Text(1), p.formerFor(joint).Text(1))
	case b.Former == 0 && b.Bend.Radius > noseReaches.Of(b.Bend.Thickness):
		but := ""
		if why := p.notOver[b.ID]; why != "" {
			but = " (" + why + ")"
		}
		s.add(Notice, b.ID, "inside radius %s mm is larger than the nose of a bar makes and will come out uneven: a round bar of radius about %s mm would make it%s.",
			b.Bend.Radius.Text(1), p.formerFor(joint).Text(1), but)
	}
}

// drawnRadius is the inside radius before it is known what a bend is made over.
func (p *Plan) drawnRadius(joint int) unit.MM {
	if f := p.Blank.Part.Flat; f != nil {
		for _, drawn := range f.Bends {
			if drawn.ID == p.Bends[joint].ID && drawn.Radius > 0 {
				return drawn.Radius
			}
		}
	}
	if p.Blank.Part.InsideRadius > 0 {
		return p.Blank.Part.InsideRadius
	}
	return p.Blank.Making.Practice.RadiusFor(p.Blank.Sheet, p.Blank.Made(joint).Tool.Bar)
}

// formerFor is the radius of the round bar that leaves the drawn radius.
func (p *Plan) formerFor(joint int) unit.MM {
	making := p.Blank.Made(joint)
	making.Bend.Radius = p.drawnRadius(joint)
	low, high := unit.MM(0), making.Bend.Radius
	for range 40 {
		making.Tool = bend.Tool{Bar: making.Tool.Bar, Former: (low + high) / 2}
		if made, _ := p.Blank.Making.Practice.Reckon(making); made.Radius < making.Bend.Radius {
			low = making.Tool.Former
		} else {
			high = making.Tool.Former
		}
	}
	return high
}

// SizesPastSquare tells to where sizes run at bends of more than a right angle;
// it is empty where no size of the part meets such a bend.
func (p *Plan) SizesPastSquare() part.Over90 {
	if p.Blank.Part.Form() == part.FlatForm {
		return ""
	}
	for _, j := range p.Blank.Joints {
		if j.Bend.Angle > 90 && j.Hem == part.NoHem {
			return p.Blank.Part.Over90
		}
	}
	return ""
}
