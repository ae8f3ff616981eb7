package robot

import (
	"math"
	"slices"
	"strconv"
	"strings"
)

// Sizes of the drawing on paper, with room for their rounding.
const (
	onLine    = 2.6   // a step's number stands this near to its line
	beside    = 3.0   // a nose line is drawn this near to its bend line, at full size 12 mm at most
	heavy     = 0.8   // the datum edges are drawn at least this thick
	onPaper   = 0.004 // places in the file are rounded to this
	noseThick = 0.55  // a nose line is drawn at least this thick, a leader is not
)

// drawing is the blank on paper.
type drawing struct {
	*page
	datum Point   // the datum corner on paper
	times float64 // millimetres of metal for one of paper
	low   Point   // of the outline on paper
	high  Point
}

// metal is the place on the blank of a place on paper.
func (d drawing) metal(p Point) Point { return d.datum.to(p).times(d.times) }

// blank reads the drawing: sizes, outline, lines with their numbers and
// figures, and what is lettered on the metal.
func (p *Paper) blank(pg page) {
	d := drawing{page: &pg}
	for _, t := range pg.items {
		if m := blankSize.FindStringSubmatch(t.words); m != nil {
			p.Width, _ = strconv.ParseFloat(m[1], 64)
			p.Height, _ = strconv.ParseFloat(m[2], 64)
		}
		if m := scaleWords.FindStringSubmatch(t.words); m != nil {
			paper, _ := strconv.ParseFloat(m[1], 64)
			metal, _ := strconv.ParseFloat(m[2], 64)
			d.times = metal / paper
		}
	}
	if p.Width == 0 || d.times == 0 {
		p.unread("size and scale of the blank")
		return
	}
	p.Blur = onPaper * d.times
	if !p.outline(&d) {
		p.unread("the outline of the blank")
		return
	}
	p.lines(d)
	p.numbers(d)
	p.unnumbered(d)
	p.key(d)
	p.figures(d)
	p.ends(d)
	p.letters(d)
}

// outline finds the datum corner and the closed line that begins there and is
// as large as the blank.
func (p *Paper) outline(d *drawing) bool {
	d.datum = d.datumCorner()
	for _, s := range d.strokes {
		low, high := s.bounds()
		size := low.to(high).times(d.times)
		if s.closed() && low.to(d.datum).length() < 0.05 && near(size.X, p.Width, 0.1+0.02*d.times) && near(size.Y, p.Height, 0.1+0.02*d.times) {
			d.low, d.high = low, high
			p.Outline = nil
			for _, q := range s.points[:len(s.points)-1] {
				p.Outline = append(p.Outline, d.metal(q))
			}
			return true
		}
	}
	return false
}

// datumCorner is where the two heavy edges meet, or would meet where the corner
// between them is cut away: an upright one, and the nearest that begins at its
// right and not above it.
func (d drawing) datumCorner() Point {
	corner, near := Point{}, math.Inf(1)
	for _, up := range d.heavyLines() {
		if len(up.points) == 3 {
			return up.points[1]
		}
		foot, top := up.bounds()
		for _, level := range d.heavyLines() {
			from, to := level.bounds()
			away := foot.to(from)
			if top.X-foot.X < 0.01 && to.Y-from.Y < 0.01 && away.X >= 0 && away.Y <= 0 && away.length() < near {
				corner, near = Point{foot.X, from.Y}, away.length()
			}
		}
	}
	return corner
}

// heavyLines are the strokes as heavy as the datum edges, of one or two straight
// lines.
func (d drawing) heavyLines() []stroke {
	return slices.DeleteFunc(slices.Clone(d.strokes), func(s stroke) bool {
		return s.weight <= heavy || len(s.points) > 3
	})
}

// names is the place on paper that words name: where the leader ends that begins at
// them, or else their own.
func (d drawing) names(t item) Point {
	at, nearest := t.middle(), atWords
	if _, err := strconv.Atoi(t.words); err == nil {
		nearest = atDisc
	}
	for _, s := range d.strokes {
		if len(s.points) != 2 || s.dashed || s.weight > noseThick {
			continue
		}
		for i, from := range s.points {
			to := s.points[1-i]
			if away := t.away(from); away < nearest && t.away(to) > away && d.covers(to) && !d.others(t, from, away) {
				at, nearest = to, away
			}
		}
	}
	return at
}

// others reports whether a leader begins nearer to another text than to this one.
func (d drawing) others(t item, from Point, away float64) bool {
	return slices.ContainsFunc(d.items, func(u item) bool {
		return u != t && u.away(from) < away
	})
}

// How near to words a leader begins that runs from them, and to a number in its
// disc.
const (
	atWords = 1.0
	atDisc  = 1.9
)

// lines finds the dashed bend lines on the metal and the thick nose lines
// beside them.
func (p *Paper) lines(d drawing) {
	for _, s := range d.strokes {
		if len(s.points) == 2 && s.dashed && d.covers(s.points[0]) && d.covers(s.points[1]) {
			p.Lines = append(p.Lines, Line{From: d.metal(s.points[0]), To: d.metal(s.points[1])})
		}
	}
	for i := range p.Lines {
		l := &p.Lines[i]
		least := math.Max(12, 0.5*d.times)
		for _, s := range d.strokes {
			if len(s.points) != 2 || s.dashed || !near(s.weight, 0.6, 0.1) || s.weight < noseThick {
				continue
			}
			at, along := d.metal(s.points[0]), s.points[0].to(s.points[1])
			if along.length() == 0 || !along.parallel(l.along()) || !d.covers(s.points[0]) {
				continue
			}
			off := l.From.to(at)
			if off.dot(l.along()) < -12 || off.dot(l.along()) > l.From.to(l.To).length()+12 {
				continue
			}
			if away := math.Abs(off.cross(l.along())); away < least {
				least, l.Drawn, l.HasDrawn = away, at, true
			}
		}
	}
	if len(p.Lines) == 0 {
		p.unread("bend lines")
	}
}

// covers reports whether a place on paper lies within the drawn blank.
func (d drawing) covers(q Point) bool {
	return q.X > d.low.X-0.1 && q.X < d.high.X+0.1 && q.Y > d.low.Y-0.1 && q.Y < d.high.Y+0.1
}

// numbers gives each line the number of the step that stands on it.
func (p *Paper) numbers(d drawing) {
	for _, t := range d.items {
		step, err := strconv.Atoi(t.words)
		at := d.names(t)
		if err != nil || !d.covers(at) || !t.level {
			continue
		}
		best, found := onLine*d.times, -1
		for i, l := range p.Lines {
			if away := d.metal(at).toSegment(l.From, l.To); away < best && l.Step == 0 {
				best, found = away, i
			}
		}
		if found >= 0 {
			p.Lines[found].Step = step
		}
	}
}

// unnumbered lines had no room for a number: a running figure that no other
// line has, and that stands for where the nose line is drawn, tells the step. Of
// two that fit, none does.
func (p *Paper) unnumbered(d drawing) {
	fits := map[int][]int{} // steps by line
	times := map[int]int{}
	for _, t := range d.items {
		step, at, upright, ok := d.running(t)
		for i, l := range p.Lines {
			drawn := l.Drawn.Y
			if upright {
				drawn = l.Drawn.X
			}
			if ok && l.Step == 0 && l.HasDrawn && l.upright() == upright && near(at, drawn, halfTenth+2*p.Blur) && !p.numbered(step) {
				fits[i] = append(fits[i], step)
				times[step]++
			}
		}
	}
	for i, steps := range fits {
		if p.Lines[i].Bare = true; len(steps) == 1 && times[steps[0]] == 1 {
			p.Lines[i].Step = steps[0]
		}
	}
}

// numbered reports whether a line has the number of a step.
func (p *Paper) numbered(step int) bool {
	return slices.ContainsFunc(p.Lines, func(l Line) bool { return l.Step == step })
}

// upright reports whether the line runs along the height of the blank.
func (l Line) upright() bool { return math.Abs(l.along().X) < 1e-3 }

// running reads a running figure that carries a step's number: from the left
// edge it stands below an upright line, from the lower edge beside a level one.
func (d drawing) running(t item) (step int, at float64, upright, ok bool) {
	m := runningNose.FindStringSubmatch(t.words)
	if m == nil {
		return 0, 0, false, false
	}
	step, _ = strconv.Atoi(m[1])
	at, _ = strconv.ParseFloat(m[2], 64)
	if t.raw == t.words && slices.ContainsFunc(d.page.items, saysInches) {
		at *= 25.4
	}
	upright = t.middle().Y < d.low.Y
	return step, at, upright, upright || t.middle().X < d.low.X
}

// saysInches finds the sentence that bare figures are inches.
func saysInches(t item) bool { return strings.HasPrefix(t.words, "inches;") }

// key reads the list of bends beside the drawing.
func (p *Paper) key(d drawing) {
	for _, t := range d.items {
		m := keyWords.FindStringSubmatch(metric(d.continued(t)))
		if m == nil {
			continue
		}
		step, number := 0, ""
		for _, n := range d.items {
			if near(n.y, t.y, 1) && n.x < t.x && t.x-n.x < 22 {
				number = n.words
			}
		}
		if step, _ = strconv.Atoi(number); step == 0 {
			p.unread("the number %q in front of %q in the list beside the drawing", number, t.words)
			step = p.unlisted()
		}
		b := Line{Step: step, Up: m[1] == "UP", Name: m[4]}
		b.Angle, _ = strconv.ParseFloat(m[2], 64)
		b.Radius, _ = strconv.ParseFloat(m[3], 64)
		p.Key = append(p.Key, b)
		p.tell(b)
	}
}

// ends reads between which places the nose lines run that lie askew.
func (p *Paper) ends(d drawing) {
	for _, t := range d.items {
		m := noseEnds.FindStringSubmatch(metric(d.continued(t)))
		if m == nil {
			continue
		}
		step, _ := strconv.Atoi(m[1])
		x, _ := strconv.ParseFloat(m[2], 64)
		y, _ := strconv.ParseFloat(m[3], 64)
		for i := range p.Lines {
			if l := &p.Lines[i]; l.Step == step {
				l.Drawn, l.HasDrawn, l.Figured = Point{x, y}, true, true
			}
		}
	}
}

// continued is a text with the lines under it that go on with it.
func (d drawing) continued(t item) string {
	words, y := t.words, t.y
	for _, n := range d.items {
		if near(n.x, t.x, 0.1) && n.y < y && y-n.y < 4 && near(n.size, t.size, 0.01) && !keyBegins.MatchString(n.words) {
			words, y = joined(words, n.words), n.y
		}
	}
	return words
}

// unlisted is the first step whose line has nothing from the list yet: the list
// is in the order of the steps.
func (p *Paper) unlisted() int {
	first := 0
	for _, l := range p.Lines {
		if l.Name == "" && l.Step > 0 && (first == 0 || l.Step < first) {
			first = l.Step
		}
	}
	return first
}

// tell gives what the list says of a bend to the first line of its step that
// has nothing yet, if one is known.
func (p *Paper) tell(b Line) {
	for i := range p.Lines {
		if l := &p.Lines[i]; l.Step == b.Step && l.Name == "" {
			l.Up, l.Name, l.Angle, l.Radius = b.Up, b.Name, b.Angle, b.Radius
			return
		}
	}
}

// figures gives each line the running figure with its step's number.
func (p *Paper) figures(d drawing) {
	for _, t := range d.items {
		step, at, upright, ok := d.running(t)
		if !ok {
			continue
		}
		p.Figures = append(p.Figures, Figure{step, at, upright})
		for i := range p.Lines {
			if l := &p.Lines[i]; l.Step == step {
				l.figure(p.Figures[len(p.Figures)-1])
			}
		}
	}
}

// figure takes a running figure that runs square to the line.
func (l *Line) figure(f Figure) {
	if l.upright() == f.Upright {
		l.Running, l.Figured = f.MM, true
	}
}

// letters are the words on the metal that are no number of a step.
func (p *Paper) letters(d drawing) {
	for _, t := range d.items {
		if _, err := strconv.Atoi(t.words); err != nil && d.covers(t.middle()) && t.words != "" {
			p.Letters = append(p.Letters, Letter{d.metal(d.names(t)), t.words})
		}
	}
}
