package robot

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// Cause is one kind of thing that is wrong with a paper.
type Cause string

// The causes. Those of the part are what a scrapped piece would show; the
// others are what an operator would stumble over on the way.
const (
	Unread        Cause = "unread: a phrase or figure that the robot's table does not know, or that is missing"
	CutWords      Cause = "cut words: words of a row end in an ellipsis"
	CutBeside     Cause = "cut words beside the rows: in the head, the list of bends, the notes"
	LineNoFigure  Cause = "line without figure: no running figure tells where the nose line lies"
	LineNoNumber  Cause = "line without number: its running figure, if anything, tells which step it belongs to"
	FaceNoLetter  Cause = "face without letter: a row names a face that is not lettered on the blank"
	TurnUnclear   Cause = "turn unclear: turned over about a line that is not under the bar"
	TurnAskew     Cause = "turn askew: after the printed turns the bend line does not lie along the brake"
	TipUntold     Cause = "tipping untold: the face to clamp stands up and no row says how it comes down"
	ClampConflict Cause = "clamp conflict: the side named as clamped is not the one away from the operator"
	FaceConflict  Cause = "face conflict: the face named as up is not the one that the turns bring up"
	WayConflict   Cause = "way conflict: UP or DOWN on the blank is not the way the row folds"
	StopWrong     Cause = "stop wrong: stop, springback and target do not agree"
	GaugeNoReach  Cause = "gauge out of reach: no rule touches what the nose line is measured from"
	GaugeWrong    Cause = "gauge wrong: the printed distance is not that of the pencilled line"
	BackStopWrong Cause = "back stop wrong: pushed against it the nose line does not lie under the nose"
	GaugeAlike    Cause = "gauge alike: the printed distance is the running figure of another line"
	CheckNoReach  Cause = "check out of reach: one end of the checked size is not there at that moment"
	CheckUntrue   Cause = "check untrue: the ideal part does not measure what is printed"
	LegUnchecked  Cause = "leg unchecked: a drawn leg that no row checks as drawn"
	BaseUnchecked Cause = "base unchecked: no row checks the base as drawn"
	LegTwice      Cause = "leg twice: a drawn leg is checked in two rows"
	HemNotFlat    Cause = "hem not flat: no row flattens it"
	StripWrong    Cause = "strip wrong: the hem is flattened over another strip than it is drawn for"
	SizesWrong    Cause = "sizes wrong: outside is printed for inside, or inside for outside"
	BlankWrong    Cause = "blank wrong: the blank is not as large as the drawn part develops"
	BendMissing   Cause = "bend missing: a drawn bend that no row makes"
	AngleWrong    Cause = "angle wrong"
	HandWrong     Cause = "hand wrong: folded to the other side"
	LegWrong      Cause = "leg wrong"
	PlaceWrong    Cause = "place wrong: the bend lies elsewhere than it is drawn"
)

// Finding is one thing that is wrong.
type Finding struct {
	Cause Cause
	Step  int // 0 for the whole paper
	Words string
}

// operator folds one sheet by one paper.
type operator struct {
	paper    *Paper
	drawn    *Drawn
	metal    *metal
	hinges   map[string]int // by drawn bend
	lies     turn
	level    int         // the face that lies on the bed, -1 before the first bend
	checked  map[int]int // how often each drawn leg is checked
	findings []Finding
}

func (o *operator) find(c Cause, step int, format string, a ...any) {
	o.findings = append(o.findings, Finding{c, step, fmt.Sprintf(format, a...)})
}

// Judge folds an ideal sheet as the paper says and compares it with the drawn
// part. Nothing found is the aim.
func Judge(p *Paper, part []byte) ([]Finding, error) {
	drawn, err := Draw(part, p)
	if err != nil {
		return nil, err
	}
	o := &operator{paper: p, drawn: drawn, lies: asDrawn, level: -1, checked: map[int]int{}}
	for _, words := range p.Unread {
		o.find(Unread, 0, "%s", words)
	}
	o.cutWords()
	if o.metal, err = cutUp(p); err != nil {
		o.find(Unread, 0, "%v", err)
		return o.findings, nil
	}
	o.match()
	o.guess()
	o.lay()
	for i := range p.Steps {
		o.step(&p.Steps[i])
	}
	o.compare()
	return o.findings, nil
}

// cutWords tells the words that are cut off, in the rows and beside them.
func (o *operator) cutWords() {
	var inRows []string
	for _, s := range o.paper.Steps {
		for _, words := range s.Cut {
			o.find(CutWords, s.Number, "%s", words)
			inRows = append(inRows, words)
		}
	}
	for _, words := range o.paper.Cut {
		if !slices.Contains(inRows, words) {
			o.find(CutBeside, 0, "%s", words)
		}
	}
}

// match finds each drawn bend on the blank, by where its line lies.
func (o *operator) match() {
	type pair struct {
		drawn, hinge int
		off          float64
	}
	var pairs []pair
	for i, b := range o.drawn.Bends {
		for k, h := range o.metal.hinges {
			if !h.over.parallel(b.Over) {
				continue
			}
			off := b.At.to(h.line.From.half(h.line.To))
			pairs = append(pairs, pair{i, k, 10*math.Abs(off.dot(b.Over)) + math.Abs(off.cross(b.Over))})
		}
	}
	slices.SortStableFunc(pairs, func(a, b pair) int { return cmp.Compare(a.off, b.off) })
	o.hinges = map[string]int{}
	taken := map[int]bool{}
	for _, p := range pairs {
		id := o.drawn.Bends[p.drawn].ID
		if _, has := o.hinges[id]; !has && !taken[p.hinge] {
			o.hinges[id], taken[p.hinge] = p.hinge, true
		}
	}
}

// guess gives lines that nothing on the blank tells apart to their steps: by
// the names in the rows and what the part file calls its faces, which an operator
// does not have.
func (o *operator) guess() {
	for _, s := range o.paper.Steps {
		for _, b := range o.drawn.Bends {
			k, ok := o.hinges[b.ID]
			if !ok || o.metal.hinges[k].line.Step > 0 || o.paper.numbered(s.Number) {
				continue
			}
			if b.Faces != [2]string{s.Clamped, s.Swinging} && b.Faces != [2]string{s.Swinging, s.Clamped} {
				continue
			}
			l := &o.metal.hinges[k].line
			for _, listed := range o.paper.Key {
				if listed.Step == s.Number {
					l.Step, l.Up, l.Name, l.Angle, l.Radius = s.Number, listed.Up, listed.Name, listed.Angle, listed.Radius
				}
			}
			for _, f := range o.paper.Figures {
				if f.Step == s.Number {
					l.figure(f)
				}
			}
		}
	}
}

// lay puts the loose blank before the brake as the paper says.
func (o *operator) lay() {
	quarter := map[string]float64{"lower": 0, "right": -90, "upper": 180, "left": 90}
	o.lies = asDrawn
	if o.paper.FaceUp == "B" {
		o.lies = o.lies.after(flip(Point{0, 1}))
	}
	o.lies = o.lies.after(rotation(quarter[o.paper.Near]))
}

// step makes one bend.
func (o *operator) step(s *Step) {
	var lines []int
	for i, h := range o.metal.hinges {
		if h.line.Step == s.Number {
			lines = append(lines, i)
		}
	}
	if lines == nil {
		o.find(Unread, s.Number, "no line of the blank has this number")
		return
	}
	along := o.metal.hinges[lines[0]].line.along()
	o.move(s, along)
	back := o.backward(s, along)
	h := o.metal.hinges[lines[0]]
	clamped := h.faces[0]
	if h.over.dot(back) > 0 {
		clamped = h.faces[1]
	}
	o.tip(s, clamped)
	o.names(s, clamped, h.beyond(clamped))
	o.place(s, lines, back)
	o.gauge(s, lines[0], clamped)
	up := o.lies.faceUp() == "A"
	for _, i := range lines {
		if o.metal.hinges[i].line.Up != up {
			o.find(WayConflict, s.Number, "face %s is up", o.lies.faceUp())
		}
		o.metal.hinges[i].bend.angle, o.metal.hinges[i].bend.up = s.Target, up
	}
	o.stop(s)
	o.flattenHem(s, lines)
	for _, c := range s.Checks {
		o.check(s, c)
	}
}

// move turns the part as the rows say.
func (o *operator) move(s *Step, along Point) {
	for _, m := range s.Moves {
		switch m.means {
		case overOnLine:
			o.find(TurnUnclear, s.Number, "%s", m.Words)
			o.lies = o.lies.after(flip(o.lies.of(along)))
		case overFrontBack:
			o.lies = o.lies.after(flip(Point{1, 0}))
		case overLeftRight:
			o.lies = o.lies.after(flip(Point{0, 1}))
		case rotateLevel:
			o.lies = o.lies.after(rotation(m.Degrees))
		case tipPart:
			if f, _ := o.face(m.Face, s.Number); f >= 0 {
				o.level = f
			}
		}
		if m.means != tipPart && m.Face != "" && m.Face != o.lies.faceUp() {
			o.find(FaceConflict, s.Number, "%s", m.Words)
		}
	}
	if s.FaceUp != o.lies.faceUp() {
		o.find(FaceConflict, s.Number, "the row says %s up", s.FaceUp)
	}
}

// backward is the direction of the blank, square to the bend line, that lies
// away from the operator. A line that is askew is brought to the brake the short
// way.
func (o *operator) backward(s *Step, along Point) Point {
	on := o.lies.of(along)
	askew := math.Atan2(on.Y, on.X) * 180 / math.Pi
	if askew -= 180 * math.Round(askew/180); math.Abs(askew) > 1 {
		o.find(TurnAskew, s.Number, "by %.0f degrees", math.Abs(askew))
		o.lies = o.lies.after(rotation(-askew))
	}
	back := along.left()
	if o.lies.of(back).Y < 0 {
		back = back.times(-1)
	}
	return back
}

// tip lays the face to clamp on the bed. Faces that hang together flat come
// down together.
func (o *operator) tip(s *Step, clamped int) {
	if o.level >= 0 && o.level != clamped {
		poses := o.metal.poses(o.level)
		if poses[clamped].z.z < 0.999 {
			o.find(TipUntold, s.Number, "the face to clamp stands at %.0f degrees", math.Acos(poses[clamped].z.z)*180/math.Pi)
		}
	}
	o.level = clamped
}

// names compares the faces that the row names with those that lie behind and
// before the bend.
func (o *operator) names(s *Step, clamped, swinging int) {
	for _, n := range []struct {
		name string
		face int
	}{{s.Clamped, clamped}, {s.Swinging, swinging}} {
		if f, known := o.face(n.name, s.Number); known && f != n.face {
			o.find(ClampConflict, s.Number, "clamp %s, swing %s", s.Clamped, s.Swinging)
			return
		}
	}
}

// face finds a face by its name: by the letter on the blank, else by what the
// part file calls it, which an operator does not have.
func (o *operator) face(name string, step int) (face int, known bool) {
	name = strings.TrimSuffix(name, cutSign)
	for _, l := range o.paper.Letters {
		behind, led := strings.CutPrefix(l.Words+" ", name+" ")
		if led && strings.Trim(behind, "0123456789.× ") == "" {
			return o.metal.faceAt(l.At), true
		}
	}
	o.find(FaceNoLetter, step, "%s", name)
	for _, b := range o.drawn.Bends {
		for side, id := range b.Faces {
			if k, ok := o.hinges[b.ID]; ok && id == name {
				return o.metal.hinges[k].sideOf(b, side), true
			}
		}
	}
	return -1, false
}

// sideOf is the face of the sheet on one side of a drawn bend.
func (h hinge) sideOf(b DrawnBend, side int) int {
	if h.over.dot(b.Over) < 0 {
		side = 1 - side
	}
	return h.faces[side]
}

// bendNamed finds a hinge by what the paper calls its bend: its name in the list
// beside the drawing, or its step.
func (o *operator) bendNamed(name string) int {
	step := -1
	if m := stepOf.FindStringSubmatch(name); m != nil {
		step, _ = strconv.Atoi(m[1])
	}
	return slices.IndexFunc(o.metal.hinges, func(h hinge) bool { return h.line.Name == name || h.line.Step == step })
}

// place finds where the bends of a step come to lie: the line is put under the
// nose edge, and the tangent of the clamped side lies min((r+t) tan(A/2), r+t)
// behind the hinge of the brake.
func (o *operator) place(s *Step, lines []int, back Point) {
	for _, i := range lines {
		h := &o.metal.hinges[i]
		if !h.line.Figured {
			o.find(LineNoFigure, s.Number, "%s", h.line.Name)
		}
		radius := o.barRadius(h.line)
		reach := (radius + o.metal.thickness) * math.Min(1, math.Tan(s.Target*math.Pi/360))
		if h.line.Bare {
			o.find(LineNoNumber, s.Number, "%s", h.line.Name)
		}
		used := allowance(s.Target, radius, o.metal.thickness, o.drawn.pinned)
		h.bend = bend{radius: radius, allowance: used}
		// Along back: the tangent is reach behind the hinge of the brake, the
		// nose line the nose setback.
		at := o.noseLine(h.line, back) - s.Setback + reach - used/2
		if h.at = at; h.over.dot(back) < 0 {
			h.at = -at
		}
	}
}

// barRadius is what the nose of the bar leaves in the metal: what is printed,
// and for a hem, whose printed radius is that of the flat hem, that of the other
// bends.
func (o *operator) barRadius(l Line) float64 {
	if l.Angle < 180 {
		return l.Radius
	}
	for _, other := range o.paper.Lines {
		if other.Angle < 180 {
			return other.Radius
		}
	}
	return o.drawn.radius
}

// noseLine is where the pencilled line lies along a direction of the blank: by
// its running figure, else as it is drawn.
func (o *operator) noseLine(l Line, way Point) float64 {
	switch {
	case l.Figured && math.Abs(way.X) > 0.999:
		return way.X * l.Running
	case l.Figured && math.Abs(way.Y) > 0.999:
		return way.Y * l.Running
	case l.HasDrawn:
		return way.dot(l.Drawn)
	}
	return way.dot(l.From)
}

// stop compares stop and target: the metal springs back by what is printed.
func (o *operator) stop(s *Step) {
	turned := s.Stop - o.paper.Zero
	if o.paper.Scale == "opening" {
		turned = o.paper.Zero - s.Stop
	}
	if sprung := turned - s.Target; sprung < -0.05 || s.Sprung && !near(sprung, s.Springback, 0.11) {
		o.find(StopWrong, s.Number, "stop %.1f, springback %.1f, target %.1f", s.Stop, s.Springback, s.Target)
	}
}

// flattenHem presses a hem flat about the middle of its bend. Where no row says
// so it is done all the same, so that what follows can be judged.
func (o *operator) flattenHem(s *Step, lines []int) {
	for _, i := range lines {
		h := &o.metal.hinges[i]
		if h.line.Angle < 180 {
			continue
		}
		radius := s.Strip / 2
		if !s.Flatten {
			o.find(HemNotFlat, s.Number, "left at %.0f degrees", s.Target)
			radius = h.line.Radius
		}
		h.bend.angle, h.bend.radius = 180, radius
		h.bend.allowance = allowance(180, radius, o.metal.thickness, o.drawn.pinned)
	}
}
