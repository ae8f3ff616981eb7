package clash

import (
	"encoding/binary"
	"math"
	"math/bits"
	"slices"

	"brakeside/calc/brake"
	"brakeside/calc/fold"
	"brakeside/calc/geom"
	"brakeside/calc/unit"
)

// Element is a body of the brake, or what a bar sweeps on one of its ways, by
// number.
type Element int

// The elements that every brake has; those of its bars follow.
const (
	Bed Element = iota
	FullLeaf
	SlimLeaf
	firstOfBars
)

// OfBar is what is asked of a bar, by its number on the brake.
func OfBar(bar int, q Question) Element {
	return firstOfBars + Element(bar)*Element(Questions) + Element(q)
}

// Answer is what one face does to the brake, in one pattern of the bends
// between it and the clamped face. Bars that were not asked about are free.
type Answer struct {
	reaches  []Reach  // by Element; of a kept answer of those that are blocked only
	blocking []uint64 // a bit for each Element of which a stretch is blocked
	few      bool     // it is a kept answer
	lying    *Lying   // where the brake lies, when distances are measured
}

// Lying is where along the brake the bed, with leaf and beam, and the bar or its
// fingers lie: the distances of what stays clear are to these.
type Lying struct {
	Bed  Stretch
	Bars []Stretch
}

// beside is how far along the brake a body lies from what an element stands for.
func (l *Lying) beside(e Element, body Stretch) float64 {
	if e < firstOfBars || Question(e-firstOfBars)%Questions != Swing {
		return max(0, l.Bed.Low-body.High, body.Low-l.Bed.High)
	}
	least := math.Inf(1)
	for _, bar := range l.Bars {
		least = min(least, max(0, bar.Low-body.High, body.Low-bar.High))
	}
	return least
}

// free is what is done to an element by a face that a kept answer says nothing of.
var free = Reach{nil, math.Inf(1)}

// Of is what the face does to one element.
func (a *Answer) Of(e Element) *Reach {
	if !a.few {
		return &a.reaches[e]
	}
	if !a.Blocks(e) {
		return &free
	}
	at := bits.OnesCount64(a.blocking[e/64] & (1<<(e%64) - 1))
	for _, before := range a.blocking[:e/64] {
		at += bits.OnesCount64(before)
	}
	return &a.reaches[at]
}

// Blocks reports whether the face blocks a stretch of an element.
func (a *Answer) Blocks(e Element) bool { return a.blocking[e/64]>>(e%64)&1 != 0 }

// newAnswer is that of a face that is out of the way of everything.
func (b *Bench) newAnswer() *Answer {
	elements := int(OfBar(len(b.Brake.Bars), 0))
	a := &Answer{make([]Reach, elements), make([]uint64, (elements+63)/64), false, nil}
	a.clear()
	return a
}

// clear forgets all that was noted, and keeps the room.
func (a *Answer) clear() {
	for e := range a.reaches {
		a.reaches[e] = Reach{a.reaches[e].Blocked[:0], math.Inf(1)}
	}
	clear(a.blocking)
}

// kept is a copy that shares no room, of what is blocked only: that is little, and
// many are kept.
func (a *Answer) kept() *Answer {
	blocked, count := 0, 0
	for e := range a.reaches {
		if n := len(a.reaches[e].Blocked); n > 0 {
			blocked, count = blocked+1, count+n
		}
	}
	out := &Answer{make([]Reach, 0, blocked), slices.Clone(a.blocking), true, nil}
	spans := make([]Span, 0, count)
	for _, r := range a.reaches {
		if len(r.Blocked) > 0 {
			from := len(spans)
			spans = append(spans, r.Blocked...)
			out.reaches = append(out.reaches, Reach{spans[from:len(spans):len(spans)], r.Least})
		}
	}
	return out
}

// note adds the outcome for one body of the part, which lies as the pose says.
func (a *Answer) note(e Element, p pass, s *subject, at *pose) {
	r := a.Of(e)
	if !p.hit {
		if a.lying != nil && p.least < r.Least {
			p.least = math.Hypot(p.least, a.lying.beside(e, at.Stretch))
		}
		r.Least = min(r.Least, p.least)
		return
	}
	a.blocking[e/64] |= 1 << (e % 64)
	r.Blocked = append(r.Blocked, Span{
		Low: p.reach.Low, High: p.reach.High, Angle: unit.FromRad(p.angle),
		Stands: !s.swings, Curve: s.zone, Top: at.box.High.Y - s.thick, Depth: p.depth,
	})
}

// noteLift adds that a bar cannot be lifted where it is drawn back by some distances.
func (a *Answer) noteLift(e Element, p pass, s *subject, at *pose, from, to float64) {
	a.note(e, p, s, at)
	blocked := a.Of(e).Blocked
	last := &blocked[len(blocked)-1]
	last.From, last.To = byHand(from, to)
}

// byHand widens the distances by which a bar may not be drawn back to whole millimetres,
// since it is drawn back by hand and eye; few answers differ then. Where nothing is in
// the way of lifting it straight up, nothing comes to be, and what is beyond the
// farthest that it is drawn back does not count.
func byHand(from, to float64) (low, high float64) {
	low, high = 0, math.Inf(1)
	if from > 0 {
		low = max(math.Floor(from), geom.Near)
	}
	if to <= MostDrawnBack {
		high = math.Ceil(to)
	}
	return low, high
}

// Answer works out what a face does to the brake when the bends of made have
// been made; the bends of the bench themselves do not matter. The distances of
// what stays clear are left out: Measure finds them, and takes longer.
func (b *Bench) Answer(face int, made fold.Made) *Answer {
	a := b.newAnswer()
	b.fill(a, b.subjects(face, made), b.Bars)
	return a
}

// Measure is Answer for one bar where it lies, with the smallest distance of what stays
// clear, to within Step. Nearest is the smallest found so far at the bed and the bar, to
// begin with infinite; what is sure to be farther away is not measured.
func (b *Bench) Measure(face int, made fold.Made, bar int, lying *Lying, nearest *float64) *Answer {
	a, subjects := b.newAnswer(), b.subjects(face, made)
	a.lying = lying
	for i := range subjects {
		subjects[i].nearest = nearest
	}
	b.fill(a, subjects, []int{bar})
	return a
}

// fill notes what the bodies of a face do to the brake.
func (b *Bench) fill(a *Answer, subjects []subject, bars []int) {
	for i := range subjects {
		s := &subjects[i]
		b.onBed(a, s)
		s.nearer(a.Of(Bed))
		b.onLeaf(a, s)
	}
	for _, bar := range bars {
		for i := range subjects {
			b.onBar(a, bar, &subjects[i])
			if b.press != nil {
				b.onPress(a, bar, &subjects[i])
				subjects[i].nearer(a.Of(OfBar(bar, Pressed)))
			}
		}
	}
}

// Class numbers what a face does to the brake: two patterns of bends in which
// it blocks the same stretches of every body have the same class. Most faces
// are out of the way in most patterns, so there are few classes, and a planner
// that has asked about one set of bends knows the answer for all sets of equal
// classes.
func (b *Bench) Class(face int, made fold.Made) uint16 {
	return *b.classes[face].get(made, func() *uint16 { return b.class(face, made) })
}

// Kept is an answer of a class. All of the class block the same stretches, but
// at what angle and how deep may differ.
func (b *Bench) Kept(face int, class uint16) *Answer { return b.kept[face][class] }

func (b *Bench) class(face int, made fold.Made) *uint16 {
	a, subjects := b.emptied(), b.subjects(face, made)
	for i := range subjects {
		subjects[i].shallow = true
	}
	b.fill(a, subjects, b.Bars)
	b.key = b.appendKey(b.key[:0], a)
	n, known := b.known[face][string(b.key)]
	if !known {
		n = new(uint16)
		*n = uint16(len(b.kept[face]))
		b.known[face][string(b.key)] = n
		b.kept[face] = append(b.kept[face], a.kept())
	}
	return n
}

// appendKey writes the blocked stretches, not the distances, which do not
// change what is possible; how high things stand only so far as a slot takes them.
func (b *Bench) appendKey(key []byte, a *Answer) []byte {
	for _, word := range a.blocking {
		key = binary.LittleEndian.AppendUint64(key, word)
	}
	for e := range a.reaches {
		if !a.Blocks(Element(e)) {
			continue
		}
		key = append(key, byte(len(a.reaches[e].Blocked)))
		for _, s := range a.reaches[e].Blocked {
			for _, v := range [...]float64{s.Low, s.High, s.From, s.To} {
				key = binary.LittleEndian.AppendUint64(key, math.Float64bits(v))
			}
			key = appendFlags(key, b.taken(Element(e), s), s.Curve)
		}
	}
	return key
}

// taken reports whether a slot of the bar that is asked about takes in what stands
// there; other elements of the brake have no slots.
func (b *Bench) taken(e Element, s Span) bool {
	if e < firstOfBars {
		return false
	}
	bar := &b.Brake.Bars[(e-firstOfBars)/Element(Questions)]
	return bar.Kind == brake.Slotted && s.Stands && bar.Slots.Takes(unit.MM(s.Top))
}

func appendFlags(key []byte, flags ...bool) []byte {
	for _, f := range flags {
		if f {
			key = append(key, 1)
		} else {
			key = append(key, 0)
		}
	}
	return key
}

// Frame tells which of what clamps nothing is met: the bed, the leaf in either form.
type Frame struct{ Bed, Full, Slim bool }

// With is what one or the other meets.
func (f Frame) With(o Frame) Frame { return Frame{f.Bed || o.Bed, f.Full || o.Full, f.Slim || o.Slim} }

// Blocks tells what a face comes too near to in a stretch of the bend, by more than so
// little, when the bends of made have been made. It is soon told, as no bar is asked
// about.
func (b *Bench) Blocks(face int, made fold.Made, stretch Stretch, little float64) Frame {
	a, subjects := b.emptied(), b.subjects(face, made)
	for i := range subjects {
		subjects[i].shallow = true
		b.onBed(a, &subjects[i])
		b.onLeaf(a, &subjects[i])
	}
	clear := float64(b.Brake.Clearance.BedAndLeaf) - little
	in := func(e Element) bool {
		return slices.ContainsFunc(a.Of(e).Blocked, func(s Span) bool { return s.Low < stretch.High+clear && s.High > stretch.Low-clear })
	}
	return Frame{in(Bed), in(FullLeaf), in(SlimLeaf)}
}

// emptied is the room for one answer, with nothing in it.
func (b *Bench) emptied() *Answer {
	if b.scratch == nil {
		b.scratch = b.newAnswer()
	}
	b.scratch.clear()
	return b.scratch
}
