package sheet

import (
	"brakeside/calc/unit"
	"brakeside/traveler"
	"brakeside/traveler/draw"
)

// Sizes of the plan of the bar, on paper.
const (
	barDepth   = 4.2
	barOverrun = 7.0 // how far a full bar runs past the bend
	barName    = 4.8
	barGapLine = 4.2
	barHeight  = barName + barDepth + barGapLine
)

// bar names the bar and shows it from above as the operator sees it: left is
// left, the nose is the lower edge. So much of the line of the name is left free
// at its right.
func (c canvas) bar(b box, step traveler.Step, free float64) {
	name, b := b.cutTop(barName)
	_, name = name.cutRight(free)
	label, rest := name.cutLeft(labelWidth())
	c.write(label, smallBold, wordsBar)
	c.write(rest, strongly, barWords(step))
	plan, _ := b.cutTop(barDepth + barGapLine)
	p := barPlan{canvas: c, step: step}
	p.metal, p.gaps = plan.cutTop(barDepth)
	p.left, p.right = plan.x+barOverrun, plan.right()-barOverrun
	if len(step.Segments) > 0 {
		p.left, p.right = plan.x+0.5, plan.right()-0.5
	}
	p.draw()
}

// barPlan is the plan of one step's bar while it is drawn.
type barPlan struct {
	canvas
	step        traveler.Step
	metal, gaps box
	left, right float64 // where the bend begins and ends on paper
}

func (p barPlan) x(at unit.Micron) float64 {
	if p.step.Length <= 0 {
		return p.left
	}
	return p.left + (p.right-p.left)*float64(at)/float64(p.step.Length)
}

func (p barPlan) draw() {
	if len(p.step.Segments) > 0 {
		p.segments()
	} else {
		p.fullBar()
	}
	nose := p.metal.bottom()
	p.line(draw.NoseLine, spot(p.left, nose), spot(p.right, nose))
	for _, end := range []float64{p.left, p.right} {
		p.line(draw.NoseLine, spot(end, nose-1.2), spot(end, nose+1.2))
	}
}

// fullBar runs past the bend at both ends, except where the part hangs past an
// end of the brake.
func (p barPlan) fullBar() {
	from, to := p.metal.x, p.metal.right()
	switch p.step.Place {
	case traveler.PastLeft:
		from = p.left
		p.endOfBrake(p.left)
	case traveler.PastRight:
		to = p.right
		p.endOfBrake(p.right)
	}
	b := box{from, p.metal.y, to - from, p.metal.h}
	p.frame(b, draw.Outline)
	p.write(b.inset(0.4), small.centred(), p.step.Bar)
	words := bendLengthWords(p.step.Length)
	if p.step.BarPlace != "" {
		words = p.step.BarPlace
	}
	p.write(p.gaps.inset(0.2), small.centred(), words)
}

// endOfBrake marks where the bed and the leaf stop.
func (p barPlan) endOfBrake(x float64) {
	if p.step.BarPlace != "" { // which says where it ends, to the millimetre
		p.line(draw.Heavy, spot(x, p.metal.y-0.6), spot(x, p.gaps.y+0.2))
		return
	}
	p.line(draw.Heavy, spot(x, p.metal.y-0.6), spot(x, p.gaps.bottom()))
	words := smallBold
	b := box{x + 1, p.gaps.y + 0.6, 24, p.gaps.h - 0.8}
	if p.step.Place == traveler.PastRight {
		b.x, words = x-1-b.w, words.ranged()
	}
	p.write(b, words, wordsEndOfBrake)
}

// segments draws each finger with its width in it and the gaps under them.
func (p barPlan) segments() {
	end := unit.Micron(0)
	var gaps []barGap
	for _, s := range p.step.Segments {
		gaps = append(gaps, barGap{end, s.At})
		b := box{p.x(s.At), p.metal.y, p.x(s.At+s.Width) - p.x(s.At), p.metal.h}
		p.frame(b, draw.Outline)
		if words := plainNumber(float64(s.Width.MM())); smallBold.width(words) < b.w-0.6 {
			p.write(b, smallBold.centred(), words)
		}
		end = s.At + s.Width
	}
	p.gapWords(append(gaps, barGap{end, p.step.Length}))
}

// barGap is a stretch of the bend with no finger over it.
type barGap struct{ from, to unit.Micron }

// gapWords writes the widths of the gaps as near to them as fits.
func (p barPlan) gapWords(gaps []barGap) {
	labels := make([]label, len(gaps))
	words := make([]string, len(gaps))
	for i, g := range gaps {
		words[i] = (g.to - g.from).Text(1)
		if i == 0 {
			words[i] = wordsGap + " " + words[i]
		}
		labels[i] = label{(p.x(g.from) + p.x(g.to)) / 2, small.width(words[i]) + 1.5}
	}
	if total(labels) > p.gaps.w {
		return // the widths in the bar's name say what stands where
	}
	for i, at := range spread(labels, p.gaps.x, p.gaps.right()) {
		w := labels[i].size
		p.write(box{at - w/2, p.gaps.y + 0.4, w, p.gaps.h - 0.4}, small.centred(), words[i])
	}
}
