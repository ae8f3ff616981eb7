package sheet

import (
	"slices"

	"brakeside/calc/unit"
	"brakeside/traveler"
	"brakeside/traveler/canvas"
	"brakeside/traveler/draw"
	"brakeside/traveler/page"
	"brakeside/traveler/phrase"
)

// Sizes of the plan of the bar, on paper.
const (
	barDepth   = 4.2
	barOverrun = 7.0 // how far a full bar runs past the bend
	barName    = 4.8
	barGapLine = 3.8
	barHeight  = barName + barDepth + barGapLine
)

// barRoom is what the bar is called, and the height that this and the words under its
// plan need.
type barRoom struct {
	words      string
	name, gaps float64
}

// barNeeds asks how many lines they take in a column of what is set.
func barNeeds(s *page.Set, step traveler.Step, width float64) barRoom {
	words := barWords(s, step)
	return barRoom{
		words: words,
		name:  linesOf(barName, canvas.Strongly, words, width-labelWidth()),
		gaps:  linesOf(barGapLine, canvas.Small, fullBarWords(s.In(), step), width-0.4),
	}
}

// barWords name the bar; and the leaf, where a step of the sheet has its extension off.
func barWords(s *page.Set, step traveler.Step) string {
	slim := func(t traveler.Step) bool { return t.Leaf == traveler.SlimLeaf }
	return phrase.Bar(step, slices.ContainsFunc(s.Steps, slim))
}

// linesOf is the usual height of a line, or what words take that are too long for
// it even in their finest lettering.
func linesOf(usual float64, l canvas.Lettering, words string, width float64) float64 {
	if l = l.Of(l.Least); l.Fits(words, width) {
		return usual
	}
	return max(usual, l.Height(words, width)+0.2)
}

// height is the height of the bar's name and plan.
func (r barRoom) height() float64 { return r.name + barDepth + r.gaps }

// drawBar names the bar and shows it from above as the operator sees it: left is
// left, the nose is the lower edge. So much of the line of the name is left free
// at its right.
func drawBar(in unit.System, c canvas.Canvas, b canvas.Box, step traveler.Step, room barRoom, free float64) {
	name, b := b.CutTop(room.name)
	_, name = name.CutRight(free)
	label, rest := name.CutLeft(labelWidth())
	c.Write(label, canvas.SmallBold, wordsBar)
	c.Write(rest, canvas.Strongly, room.words)
	plan, _ := b.CutTop(barDepth + room.gaps)
	p := barPlan{Canvas: c, in: in, step: step}
	p.metal, p.gaps = plan.CutTop(barDepth)
	p.left, p.right = plan.X+barOverrun, plan.Right()-barOverrun
	if len(step.Segments) > 0 {
		p.left, p.right = p.between(plan.X+0.5, plan.Right()-0.5)
	}
	p.draw()
}

// barPlan is the plan of one step's bar while it is drawn.
type barPlan struct {
	canvas.Canvas
	in          unit.System
	step        traveler.Step
	metal, gaps canvas.Box
	left, right float64 // where the bend begins and ends on paper
}

func (p barPlan) x(at unit.Micron) float64 {
	if p.step.Length <= 0 {
		return p.left
	}
	return p.left + (p.right-p.left)*float64(at)/float64(p.step.Length)
}

// between is where the bend lies on paper when all fingers, and the bend, lie
// between two places.
func (p barPlan) between(low, high float64) (left, right float64) {
	first, last := p.step.Segments[0], p.step.Segments[len(p.step.Segments)-1]
	from, to := min(0, first.At), max(p.step.Length, last.At+last.Width)
	if to <= from {
		return low, high
	}
	scale := (high - low) / float64(to-from)
	return low - scale*float64(from), high - scale*float64(to-p.step.Length)
}

func (p barPlan) draw() {
	if len(p.step.Segments) > 0 {
		p.segments()
	} else {
		p.fullBar()
	}
	nose := p.metal.Bottom()
	p.Line(draw.NoseLine, canvas.Spot(p.left, nose), canvas.Spot(p.right, nose))
	for _, end := range []float64{p.left, p.right} {
		p.Line(draw.NoseLine, canvas.Spot(end, nose-1.2), canvas.Spot(end, nose+0.5))
	}
}

// fullBar runs past the bend at both ends, except where the part hangs past an
// end of the brake.
func (p barPlan) fullBar() {
	from, to := p.metal.X, p.metal.Right()
	switch p.step.Place {
	case traveler.PastLeft:
		from = p.left
		p.endOfBrake(p.left)
	case traveler.PastRight:
		to = p.right
		p.endOfBrake(p.right)
	}
	b := canvas.Box{X: from, Y: p.metal.Y, W: to - from, H: p.metal.H}
	p.Frame(b, draw.Outline)
	p.Write(b.Inset(0.4), canvas.Small.Centred(), p.step.Bar)
	_, under := p.gaps.CutTop(0.5) // off the bar's edge
	p.Write(under, canvas.Small.Centred(), fullBarWords(p.in, p.step))
}

// fullBarWords stand under a full bar: where it lies, if that is particular.
func fullBarWords(in unit.System, step traveler.Step) string {
	switch {
	case len(step.Segments) > 0:
		return ""
	case step.BarPlace != "":
		return step.BarPlace
	}
	return bendLengthWords(in, step.Length)
}

// endOfBrake marks where the bed and the leaf stop.
func (p barPlan) endOfBrake(x float64) {
	if p.step.BarPlace != "" { // which says where it ends, to the millimetre
		p.Line(draw.Heavy, canvas.Spot(x, p.metal.Y-0.6), canvas.Spot(x, p.gaps.Y+0.2))
		return
	}
	p.Line(draw.Heavy, canvas.Spot(x, p.metal.Y-0.6), canvas.Spot(x, p.gaps.Bottom()))
	words := canvas.SmallBold
	b := canvas.Box{X: x + 1, Y: p.gaps.Y + 0.6, W: 24, H: p.gaps.H - 0.8}
	if p.step.Place == traveler.PastRight {
		b.X, words = x-1-b.W, words.Ranged()
	}
	p.Write(b, words, wordsEndOfBrake)
}

// segments draws each finger with its width in it and the gaps under them.
func (p barPlan) segments() {
	end := unit.Micron(0)
	var gaps []barGap
	for _, s := range p.step.Segments {
		gaps = append(gaps, barGap{end, s.At})
		b := canvas.Box{X: p.x(s.At), Y: p.metal.Y, W: p.x(s.At+s.Width) - p.x(s.At), H: p.metal.H}
		p.Frame(b, draw.Outline)
		if words := phrase.Number(float64(s.Width.MM())); canvas.SmallBold.Width(words) < b.W-0.6 {
			p.Write(b, canvas.SmallBold.Centred(), words)
		}
		end = s.At + s.Width
	}
	p.gapWords(append(gaps, barGap{end, p.step.Length}))
}

// leastBare is how far apart fingers stand before it is said.
const leastBare unit.Micron = 50

// barGap is a stretch of the bend line with no finger over it, which is not the gap
// to a wall: the line ends where the corner is cut. It runs backwards where
// a finger reaches past the end of the bend.
type barGap struct{ from, to unit.Micron }

// gapWords writes the widths of the gaps as near to them as fits.
func (p barPlan) gapWords(gaps []barGap) {
	labels := make([]canvas.Label, len(gaps))
	words := make([]string, len(gaps))
	for i, g := range gaps {
		switch wide := g.to - g.from; {
		case p.wall(i == 0) != "" && (i == 0 || i == len(gaps)-1):
			words[i] = p.wall(i == 0)
		case wide < 0:
			words[i] = p.in.Figure(-wide) + " " + wordsPast
		case wide < leastBare && i > 0 && i < len(gaps)-1:
			continue // the fingers touch
		case i == 0:
			words[i] = wordsBare + " " + p.in.Figure(wide)
		default:
			words[i] = p.in.Figure(wide)
		}
		labels[i] = canvas.Label{At: (p.x(g.from) + p.x(g.to)) / 2, Size: canvas.Small.Width(words[i]) + 1.5}
	}
	if canvas.Total(labels) > p.gaps.W {
		return // the widths in the bar's name say what stands where
	}
	for i, at := range canvas.Spread(labels, p.gaps.X, p.gaps.Right()) {
		w := labels[i].Size
		p.Write(canvas.Box{X: at - w/2, Y: p.gaps.Y + 0.4, W: w, H: p.gaps.H - 0.4}, canvas.Small.Centred(), words[i])
	}
}

// wall tells how far what stands beside the fingers is from their left end or their
// right one; empty where nothing is known to stand.
func (p barPlan) wall(left bool) string {
	side := "right"
	if left {
		side = "left"
	}
	for _, g := range p.step.Gaps {
		if g.Side == side {
			return phrase.Gap(p.in, g)
		}
	}
	return ""
}

// labelWidth is the width of the labels in front of bar and check.
func labelWidth() float64 { return canvas.SmallBold.Width(wordsCheck) + 1.5 }
