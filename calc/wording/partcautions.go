package wording

import (
	"fmt"
	"math"
	"strings"

	"brakeside/calc/bend"
	"brakeside/calc/fitting"
	"brakeside/calc/flat"
	"brakeside/calc/part"
	"brakeside/calc/process"
	"brakeside/calc/stock"
	"brakeside/calc/unit"
)

// said gathers cautions that are true of several bends, each text once, with
// the bends it is true of.
type said struct {
	texts []string
	about map[string]process.Caution // what else is said of it
	bends map[string][]string
}

func (s *said) add(about process.Caution, bend, format string, values ...any) {
	text := fmt.Sprintf(format, values...)
	if s.bends == nil {
		s.about, s.bends = map[string]process.Caution{}, map[string][]string{}
	}
	if s.bends[text] == nil {
		s.texts = append(s.texts, text)
		s.about[text] = about
	}
	s.bends[text] = append(s.bends[text], bend)
}

// cautions words them; the text of all bends needs no list of them.
func (s *said) cautions(all int) []process.Caution {
	var out []process.Caution
	for _, text := range s.texts {
		led := strings.ToUpper(text[:1]) + text[1:]
		switch bends := s.bends[text]; {
		case len(bends) == 1 && all > 1:
			led = "Bend " + bends[0] + ": " + text
		case len(bends) > 1 && len(bends) < all:
			led = "Bends " + strings.Join(bends, ", ") + ": " + text
		}
		c := s.about[text]
		c.Hazard = led
		out = append(out, c)
	}
	return out
}

// PartCautions lists what is true of the part whatever the step. What the drawing
// should say otherwise is not for the brake: it stays with the blank, see
// flat.Blank, and only CutToFit goes on paper with it.
func PartCautions(p *process.Plan) []process.Caution {
	var out []process.Caution
	if p.Weight.Lift.TwoPeople {
		out = append(out, process.Caution{
			Level: process.Care, Hazard: "The blank weighs " + p.Weight.Lift.Words + ".", Do: "Lift it with two people or a hoist."})
	}
	var s said
	for i, j := range p.Blank.Joints {
		if j.Hem == part.NoHem {
			s.radius(p, i)
			s.springback(p, i)
		}
	}
	for i, j := range p.Blank.Joints {
		if j.Hem == part.NoHem {
			s.former(p, i)
		}
	}
	return append(out, s.cautions(len(p.Bends))...)
}

// CutToFit is the caution, for the paper that goes with the blank, that corners of
// it are cut otherwise than drawn; none where they are cut as drawn.
func CutToFit(b *flat.Blank) []process.Caution {
	if b.CutToFit == "" {
		return nil
	}
	return []process.Caution{{
		Level: process.Notice, Hazard: b.CutToFit, Do: "Cut these corners by the blank as drawn here, not by the drawing of the part.",
	}}
}

// Unsettled is the caution that blank and bars did not come to agree.
var Unsettled = process.Caution{
	Level:  process.Notice,
	Hazard: "The blank was worked out for other bars than this order uses, and a bend takes more under one than under another.",
	Do:     "Cut one piece and check its sizes first.",
}

// radius cautions where the inside radius is small for the sheet.
func (s *said) radius(p *process.Plan, joint int) {
	b, sheet, word := p.Bends[joint].Bend, p.Blank.Sheet, p.Blank.Joints[joint].Word
	run := p.Blank.RunOf(p.Blank.Joints[joint])
	least, ok := sheet.LeastRadius(b.Angle, run)
	if !ok {
		return
	}
	grain := ""
	if across, _ := sheet.LeastRadius(b.Angle, stock.Across); run == stock.Along && least.Advised > across.Advised {
		grain = " along the grain"
	}
	switch least.Judge(b.Radius) {
	case stock.BelowLeast:
		s.add(process.Caution{Level: process.Notice, Do: "Try a strip first, or make the radius larger."}, word,
			"inside radius %s mm is below the %s mm at which this sheet is expected to crack%s.",
			b.Radius.Text(1), least.Least.Text(1), grain)
	case stock.BelowAdvised:
		s.add(process.Caution{Level: process.Notice, Do: "Look for cracks on the outside; show a cracked piece to the office."}, word,
			"inside radius %s mm is tighter than the %s mm advised for this sheet%s.",
			b.Radius.Text(1), least.Advised.Text(1), grain)
	default:
		s.disputed(least, b.Radius, word)
		along, known := sheet.LeastRadius(b.Angle, stock.Along)
		if known && run == stock.UnknownRun && least.Least > 0 && along.Judge(b.Radius) != stock.Wide {
			s.add(process.Caution{Level: process.Notice, Do: "Lay the blank so that this bend runs across it."}, word,
				"the grain is not given; along it %s mm inside radius is advised, this bend has %s.",
				along.Advised.Text(1), b.Radius.Text(1))
		}
	}
}

// disputed cautions where two tables of one source disagree about a radius.
func (s *said) disputed(least stock.LeastRadius, radius unit.MM, id string) {
	if least.Disputed(radius) {
		s.add(process.Caution{Level: process.Notice, Do: "Look for cracks on the outside."}, id,
			"two tables of one source disagree about this sheet; taken is the one that advises %s mm inside radius, "+
				"the stricter one asks for %s mm, this bend has %s.",
			least.Advised.Text(1), least.Stricter.Text(1), radius.Text(1))
	}
}

// former cautions where a radius comes out other than drawn: over a round bar
// that is not made for it, or without one.
func (s *said) former(p *process.Plan, joint int) {
	b, word := p.Bends[joint], p.Blank.Joints[joint].Word
	drawn := drawnRadius(p, joint)
	switch {
	case madeOther(b, drawn):
		s.add(process.Caution{Level: process.Notice, Do: tubeOf(p, joint)}, word,
			"a round bar of radius %s mm leaves an inside radius of %s mm after springback, the drawing has %s.",
			b.Former.Text(1), b.Bend.Radius.Text(1), drawn.Text(1))
	case madeByNoBar(b, drawn):
		s.add(process.Caution{Level: process.Notice, Harm: leftRadius(b, drawn), Do: tubeOf(p, joint)}, word,
			"inside radius %s mm is larger than the nose of a bar makes.", drawn.Text(1))
	}
}

// madeOther reports whether the round bar of a bend leaves another radius than is
// drawn.
func madeOther(b process.Bend, drawn unit.MM) bool {
	return b.Former > 0 && math.Abs(float64(b.Bend.Radius-drawn)) > fitting.RoundMatch*float64(drawn)
}

// madeByNoBar reports whether a bend is made without a round bar and its drawn
// radius is larger than the nose of a bar makes.
func madeByNoBar(b process.Bend, drawn unit.MM) bool {
	return b.Former == 0 && drawn > bend.NoseReaches*b.Bend.Thickness
}

// leftRadius tells what becomes of a radius that no bar makes.
func leftRadius(b process.Bend, drawn unit.MM) string {
	if b.Bend.Radius == drawn { // not planned with a bar
		return "It will come out uneven."
	}
	return fmt.Sprintf("The blank is for the radius that the bar leaves, %s mm.", b.Bend.Radius.Text(1))
}

// tubeOf tells which round bar would make the drawn radius, and why none that the
// brake has is used.
func tubeOf(p *process.Plan, joint int) string {
	but := ""
	if why := p.NotOver[p.Bends[joint].ID]; why != "" {
		but = " (" + why + ")"
	}
	return fmt.Sprintf("A round bar of radius about %s mm would make it%s.", formerFor(p, joint).Text(1), but)
}

// drawnRadius is the inside radius before it is known what a bend is made over.
func drawnRadius(p *process.Plan, joint int) unit.MM {
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
func formerFor(p *process.Plan, joint int) unit.MM {
	making := p.Blank.Made(joint)
	making.Bend.Radius = drawnRadius(p, joint)
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

// springback cautions where the handbook table that the springback comes from ends
// before the radius of the bend, so that nobody has measured it.
func (s *said) springback(p *process.Plan, joint int) {
	b := p.Bends[joint]
	if !b.BeyondTable || b.Bend.Thickness <= 0 {
		return
	}
	times := unit.MM(b.Bend.Radius / b.Bend.Thickness)
	s.add(process.Caution{Level: process.Notice, Do: "Bend a strip first."}, p.Blank.Joints[joint].Word,
		"a radius of %s times the sheet is past the end of the springback tables, which were carried on: it may come to %s° to %s°.",
		times.Text(0), b.Spread[0].Text(1), b.Spread[1].Text(1))
}
