package calc

import (
	"fmt"
	"slices"

	"brakeside/calc/brake"
	"brakeside/calc/flat"
	"brakeside/calc/order"
	"brakeside/calc/unit"
)

// drafted makes a plan of a changed blank on a brake, as far as a search needs
// it.
func drafted(b *flat.Blank, k *brake.Brake) *Plan {
	p := &Plan{Blank: b, Brake: k, Quantity: 1, Run: ByStep}
	p.listBends()
	return p
}

// possible reports whether there is any order for a blank on a brake.
func possible(b *flat.Blank, k *brake.Brake) bool {
	s := newShop(drafted(b, k))
	return order.Possible(len(s.operations), s)
}

// explain finds the smallest sets of bends that stand in each other's way,
// one after the other: each is broken up before the next is looked for, so the
// sets have no bend in common.
//
// A part of more bends than can be worked through set by set is not explained
// so; it gets the plain reasons of the whole.
func explain(p *Plan, o Options) []Blocked {
	if len(operations(p.Blank)) > order.MostExact {
		return []Blocked{unexplained(p)}
	}
	if possible(p.Blank, p.Brake) {
		return []Blocked{{Bends: []string{o.First}, Why: []string{"no order begins with bend " + o.First}, Cures: []Cure{{"begin with another bend", SetupCure}}}}
	}
	var out []Blocked
	for rest := p.Blank; rest != nil && !possible(rest, p.Brake); {
		core := shrink(rest, p.Brake)
		out = append(out, describe(core, p.Brake))
		rest = brokenUp(rest, core)
	}
	return out
}

// unexplained lists why each bend cannot be the first.
func unexplained(p *Plan) Blocked {
	s := newShop(drafted(p.Blank, p.Brake))
	out := Blocked{}
	for i, joints := range s.operations {
		out.Bends = append(out.Bends, p.Blank.Joints[joints[0]].ID)
		for _, r := range s.Why(0, i) {
			out.Why = append(out.Why, r.Text)
		}
	}
	return out
}

// shrink cuts faces off a blank that cannot be bent as long as what is left
// still cannot. What remains is conflict and nothing else.
func shrink(b *flat.Blank, k *brake.Brake) *flat.Blank {
	for again := true; again; {
		again = false
		for _, leaf := range b.Leaves() {
			c, err := b.Without(leaf)
			if err == nil && len(c.Joints) > 0 && !possible(c, k) {
				b, again = c, true
				break
			}
		}
	}
	return b
}

// brokenUp cuts an outer face of a conflict off the blank, with all that hangs
// on it: the one that takes the least with it. It gives nil when no bend is
// left.
func brokenUp(b, core *flat.Blank) *flat.Blank {
	var off []string
	for _, leaf := range core.Leaves() {
		if o := beyond(b, core, core.Faces[leaf].ID); off == nil || len(o) < len(off) {
			off = o
		}
	}
	for _, id := range off {
		c, err := b.Without(b.FaceIndex(id))
		if err != nil {
			return nil
		}
		b = c
	}
	if len(b.Joints) == 0 {
		return nil
	}
	return b
}

// beyond lists a face and what hangs on it away from the rest of the conflict,
// the outermost first.
func beyond(b, core *flat.Blank, id string) []string {
	kept := map[string]bool{}
	for _, f := range core.Faces {
		kept[f.ID] = f.ID != id
	}
	var out []string
	var walk func(face, from int)
	walk = func(face, from int) {
		for _, j := range b.Joints {
			next := -1
			if j.Faces[0] == face {
				next = j.Faces[1]
			} else if j.Faces[1] == face {
				next = j.Faces[0]
			}
			if next >= 0 && next != from && !kept[b.Faces[next].ID] && !slices.Contains(out, b.Faces[next].ID) {
				walk(next, face)
			}
		}
		if !slices.Contains(out, b.Faces[face].ID) {
			out = append(out, b.Faces[face].ID)
		}
	}
	walk(b.FaceIndex(id), -1)
	return out
}

// describe words one conflict: a sentence for every way that was tried, the
// picture of the first, and what would free it.
func describe(core *flat.Blank, k *brake.Brake) Blocked {
	s := newShop(drafted(core, k))
	out := Blocked{}
	for _, j := range core.Joints {
		out.Bends = append(out.Bends, j.ID)
	}
	found, err := order.Find(len(s.operations), start, s, nil)
	if err != nil {
		return out
	}
	seen := map[string]bool{}
	for _, st := range found.Stuck {
		for _, r := range st.Reasons {
			if text := s.after(st.Made) + r.Text; !seen[text] {
				seen[text] = true
				out.Why = append(out.Why, text)
			}
		}
	}
	out.Picture = s.pictured
	out.Cures = cures(core, k)
	return out
}

// picture keeps the end view of the first thing that was found in the way, at
// the angle at which it is.
func (t *trial) picture(w *way, b *body, words string) {
	if t.shop.pictured.Shapes != nil {
		return
	}
	span := b.met.first
	x := (max(span.Low, 0) + min(span.High, float64(t.bench.Length))) / 2
	if x < span.Low || x > span.High {
		x = (span.Low + span.High) / 2
	}
	bar := t.shop.plan.Brake.Bars[w.bar]
	id := t.shop.plan.Blank.Joints[t.bench.Joints[0]].ID
	t.shop.pictured = Picture{
		Words:  fmt.Sprintf("bend %s at %s degrees: %s", id, span.Angle.Text(0), words),
		Shapes: endView(t.bench, bar, t.bench.View(t.made, x, span.Angle), w.leaf),
	}
}

// reckoned gives the arithmetic of a bend and what is expected of its
// springback.
func reckoned(b *flat.Blank, joint int) Bend {
	j := b.Joints[joint]
	expected := b.Making.Practice.Expect(b.Made(joint))
	return Bend{
		ID: j.ID, Angle: j.Angle, Bend: j.Bend, Finished: j.Bend, Hem: j.Hem, Rule: j.Rule, Deduction: j.Deduction, Former: b.Making.Tools[j.ID].Former,
		Springback: expected.Degrees, Spread: [2]unit.Deg{expected.Low, expected.High}, SpringbackFrom: expected.From,
	}
}
