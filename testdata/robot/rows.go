package robot

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"
)

// row is the frame of one step.
type row struct {
	low, high Point
	items     []item
	uprights  []float64 // where its columns end, from left to right
}

// tabSize is the least size of a step's number in front of its row.
const tabSize = 9.0

// rows reads the steps of a page.
func (p *Paper) rows(pg page) {
	for _, t := range pg.items {
		m := stepTab.FindStringSubmatch(t.words)
		if m == nil || t.size < tabSize || m[1] == "0" {
			continue
		}
		r, ok := frame(pg, t)
		if !ok {
			continue
		}
		number, _ := strconv.Atoi(m[1])
		if m[2] != "" || r.find(func(t item) bool { return strings.HasPrefix(t.words, flattenLabel) }) != nil {
			p.flatten(number, r)
			continue
		}
		s := Step{Number: number, Moves: p.moves(pg, r, number)}
		p.row(&s, r)
		p.Steps = append(p.Steps, s)
	}
	slices.SortStableFunc(p.Steps, func(a, b Step) int { return cmp.Compare(a.Number, b.Number) })
}

// frame finds the least wide frame around a step's number.
func frame(pg page, tab item) (row, bool) {
	best := row{high: Point{Y: math.Inf(1)}}
	found := false
	for _, s := range pg.strokes {
		low, high := s.bounds()
		at := tab.middle()
		if !s.closed() || high.X-low.X < 150 || at.X < low.X || at.X-low.X > 20 || at.Y < low.Y || at.Y > high.Y {
			continue
		}
		if high.Y-low.Y < best.high.Y-best.low.Y {
			best, found = row{low: low, high: high}, true
		}
	}
	if !found {
		return best, false
	}
	best.items = within(pg.items, best.low, best.high)
	best.uprights = uprights(pg, best)
	return best, true
}

// leastUpright is the least height of a line that divides columns: those of the
// boxes and pictures in a row are shorter.
const leastUpright = 25

// uprights are the lines that divide the columns of a row, and its right end.
func uprights(pg page, r row) []float64 {
	out := []float64{r.high.X}
	for _, s := range pg.strokes {
		low, high := s.bounds()
		divides := len(s.points) == 2 && high.X-low.X < 0.01 && high.Y-low.Y > leastUpright
		if divides && low.Y > r.low.Y-0.1 && high.Y < r.high.Y+0.1 && low.X > r.low.X && low.X < r.high.X-1 {
			out = append(out, low.X)
		}
	}
	slices.Sort(out)
	return out
}

// within lists the texts of a box from left to right.
func within(items []item, low, high Point) []item {
	var out []item
	for _, t := range items {
		if at := t.middle(); at.Y > low.Y && at.Y < high.Y && at.X > low.X && at.X < high.X {
			out = append(out, t)
		}
	}
	slices.SortStableFunc(out, func(a, b item) int { return cmp.Compare(a.x, b.x) })
	return out
}

func (r row) find(is func(item) bool) *item {
	for i := range r.items {
		if is(r.items[i]) {
			return &r.items[i]
		}
	}
	return nil
}

// besideLabel is how far above or below the middle of a label the middle of a
// line behind it may stand: three lines have room.
const besideLabel = 4.0

// after is what stands behind a label, in reading order, up to the end of its
// column.
func (r row) after(label string) []string {
	l := r.find(func(t item) bool { return t.words == label })
	if l == nil {
		return nil
	}
	end := r.uprights[slices.IndexFunc(r.uprights, func(x float64) bool { return x > l.x })]
	var behind []item
	for _, t := range r.items {
		if t.x > l.x && near(t.y, l.y, besideLabel) && t.right < end+0.5 {
			behind = append(behind, t)
		}
	}
	for again := true; again; { // lines above and below that go on with them
		again = false
		for _, t := range r.items {
			goesOn := func(b item) bool { return near(t.x, b.x, 0.1) && near(t.y, b.y, 4) && near(t.size, b.size, 0.01) }
			if !slices.Contains(behind, t) && slices.ContainsFunc(behind, goesOn) {
				behind, again = append(behind, t), true
			}
		}
	}
	slices.SortStableFunc(behind, func(a, b item) int {
		if near(a.y, b.y, 1) {
			return cmp.Compare(a.x, b.x)
		}
		return cmp.Compare(b.y, a.y)
	})
	var out []string
	for i, t := range behind {
		below := func(b item) bool { return near(t.x, b.x, 0.1) && b.y > t.y && near(t.y, b.y, 4) }
		if of := slices.IndexFunc(behind[:i], below); of >= 0 && bracket.MatchString(t.words) { // millimetres below inches
			out[of] = metric(out[of] + " " + t.words)
			t.words = ""
		}
		out = append(out, t.words)
	}
	return slices.DeleteFunc(out, func(words string) bool { return words == "" })
}

// bracket is a figure in brackets alone.
var bracket = say(`\([\d.]+\)`)

// labelled splits what stands behind a label into its figure and its words.
func (r row) labelled(label string) (mm float64, words string, ok bool) {
	rest := ""
	for _, w := range r.after(label) {
		if v, is := figure(w, millimetres); is && !ok {
			mm, ok = v, true
			continue
		}
		rest = joined(rest, w)
	}
	return mm, rest, ok
}

// row reads what one row says.
func (p *Paper) row(s *Step, r row) {
	for _, t := range r.items {
		if strings.HasSuffix(t.words, cutSign) {
			s.Cut = append(s.Cut, t.words)
		}
		if c := understood(t.words, clampPhrases); c.means == clampWords {
			s.Clamped, s.Swinging = cmp.Or(c.named["clamped"], s.Clamped), cmp.Or(c.named["swinging"], s.Swinging)
		}
		if v, ok := figure(t.words, targetWords); ok {
			s.Target = v
		}
		if v, ok := figure(t.words, springWords); ok {
			s.Springback, s.Sprung = v, true
		}
		if v, ok := figure(t.words, degrees); ok && t.size > 8 {
			s.Stop = v
		}
		if (t.words == "A" || t.words == "B") && t.size > 6 {
			s.FaceUp = t.words
		}
	}
	var ok bool
	if s.Setback, _, ok = r.labelled(setbackLabel); !ok {
		p.missed(s, setbackLabel, "")
	}
	bar := ""
	for _, words := range r.after(barLabel) {
		bar = joined(bar, words)
	}
	if s.Bar = understood(bar, barPhrases).named["bar"]; s.Bar == "" {
		p.missed(s, barLabel, bar)
	}
	p.nose(s, r)
	p.check(s, r)
	for what, given := range map[string]bool{
		"clamp": s.Clamped != "", "target": s.Target > 0, stopLabel: s.Stop != 0, "face up": s.FaceUp != "",
	} {
		if !given {
			p.missed(s, what, strings.Join(s.Cut, " "))
		}
	}
}

// missed notes what a row does not tell, if not because its words are cut off,
// which is told by itself.
func (p *Paper) missed(s *Step, what, words string) {
	if !strings.Contains(words, cutSign) {
		p.unread("step %d: %s %q", s.Number, what, words)
	}
}

// nose reads where the nose line lies, and where the back stop is set for it.
func (p *Paper) nose(s *Step, r row) {
	mm, words, ok := r.labelled(noseLabel)
	from, own := ReadFrom(words)
	if from.means == unknown || !ok && from.means != fromLine {
		p.missed(s, noseLabel, words)
		return
	}
	s.Nose, s.NoseFrom, s.Own = mm, from, own
	if r.find(func(t item) bool { return t.words == backStopLabel }) == nil {
		return // most brakes have none
	}
	if s.BackStop, words, ok = r.labelled(backStopLabel); !ok || !fromHinge.MatchString(words) {
		p.missed(s, backStopLabel, words)
	}
}

// ReadFrom reads what a nose line is measured from, and whether the line's own
// running figure stands beside it.
func ReadFrom(words string) (from From, own bool) {
	said := understood(words, nosePhrases)
	return From{said.means, said.named["face"] + said.named["bend"]}, said.named["own"] != ""
}

// check reads the sizes to measure: words with a figure behind them.
func (p *Paper) check(s *Step, r row) {
	found := len(s.Checks)
	for _, t := range r.items {
		whole, middle := r.goesOn(t)
		c := ReadCheck(0, whole)
		if c.means == unknown {
			continue
		}
		for _, behind := range r.items {
			if mm, is := figure(behind.words, millimetres); is && c.MM == 0 && behind.x > t.x && near(behind.y, middle, 1.5) {
				c.MM = mm
			}
		}
		if c.MM == 0 {
			p.missed(s, checkLabel, t.words)
			continue
		}
		s.Checks = append(s.Checks, c)
	}
	if words := strings.Join(r.after(checkLabel), " "); words != "" && len(s.Checks) == found {
		p.missed(s, checkLabel, words)
	}
}

// goesOn reads on in the lines right under a text, as long as none of them begins
// a size of its own, and gives the middle of them all.
func (r row) goesOn(t item) (words string, middle float64) {
	words, last := t.words, t
	for again := true; again; {
		again = false
		for _, next := range r.items {
			under := near(next.x, t.x, 0.1) && last.y > next.y && last.y-next.y < 4 && near(next.size, t.size, 0.01)
			if under && ReadCheck(0, next.words+" face").means == unknown {
				words, last, again = joined(words, next.words), next, true
				break
			}
		}
	}
	return words, (t.y + last.y) / 2
}

// ReadCheck reads what a size to measure is.
func ReadCheck(mm float64, words string) Check {
	said := understood(words, checkPhrases)
	return Check{MM: mm, means: said.means, Face: said.named["face"], Words: words}
}

// flatten reads the row in which a hem is pressed flat and gives it to the step
// that turned it up.
func (p *Paper) flatten(number int, r row) {
	for i := range p.Steps {
		if p.Steps[i].Number != number {
			continue
		}
		s := &p.Steps[i]
		for _, t := range r.items {
			if strip, ok := ReadFlatten(t.words); ok {
				s.Flatten, s.Strip = true, strip
			}
		}
		p.check(s, r)
		if s.Flatten {
			return
		}
	}
	p.unread("step %d: how the hem is flattened", number)
}

// mostMoves is the most height of a line of moves.
const mostMoves = 14

// paragraphs reads texts that begin at the same place as lines of one.
func paragraphs(items []item) []string {
	slices.SortStableFunc(items, func(a, b item) int {
		if near(a.x, b.x, 0.3) {
			return cmp.Compare(b.y, a.y)
		}
		return cmp.Compare(a.x, b.x)
	})
	var out []string
	for i, t := range items {
		if i > 0 && near(t.x, items[i-1].x, 0.3) {
			out[len(out)-1] = joined(out[len(out)-1], t.words)
			continue
		}
		out = append(out, t.words)
	}
	return out
}

// joined reads on in the next line: a name that is broken behind a hyphen or a
// point goes on there.
func joined(line, next string) string {
	if line == "" || strings.ContainsAny(line[len(line)-1:], "-._/") {
		return line + next
	}
	return line + " " + next
}

// moves reads what is done to the part before a step: the lines that stand on
// top of its row.
func (p *Paper) moves(pg page, r row, number int) []Move {
	var out []Move
	for edge, again := r.high.Y, true; again; {
		again = false
		for _, s := range pg.strokes {
			low, high := s.bounds()
			spans := near(low.X, r.low.X, 0.3) && near(high.X, r.high.X, 0.3) && near(low.Y, edge, 0.2)
			if tall := high.Y - low.Y; !s.closed() || !spans || tall < 1 || tall > mostMoves {
				continue
			}
			var line []Move
			for _, words := range paragraphs(within(pg.items, low, high)) {
				line = append(line, p.move(words, number))
			}
			out, edge, again = append(line, out...), high.Y, true
			break
		}
	}
	return out
}

func (p *Paper) move(words string, number int) Move {
	m := ReadMove(words)
	if m.means == unknown {
		p.unread("step %d: move %q", number, words)
	}
	return m
}

// ReadMove reads one thing that is done to the part or the brake.
func ReadMove(words string) Move {
	said := understood(words, movePhrases)
	turned := said.number("degrees")
	if strings.EqualFold(said.named["way"], "clockwise") {
		turned = -turned
	}
	return Move{Words: words, means: said.means, Face: said.named["face"], Degrees: turned}
}

// ReadFlatten reads how a hem is pressed flat: over a strip of a thickness, 0
// for onto itself.
func ReadFlatten(words string) (strip float64, ok bool) {
	said := understood(words, flattenPhrases)
	return said.number("strip"), said.means != unknown
}
