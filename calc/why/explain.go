// Package why finds out why a part cannot be made on a brake: which bends stand
// in each other's way, with the picture of the first collision, and which changes
// would free them.
//
// Every change it names was tried by fitting the changed part, or to the changed
// brake, again; an unproven one is not offered.
package why

import (
	"slices"
	"strings"

	"brakeside/calc/brake"
	"brakeside/calc/fitting"
	"brakeside/calc/flat"
	"brakeside/calc/order"
	"brakeside/calc/process"
)

// Explain finds the smallest sets of bends that stand in each other's way,
// one after the other: each is broken up before the next is looked for, so the
// sets have no bend in common.
//
// Where there is an order after all, none begins with the bend that was to be the
// first.
//
// Where nothing is proven nothing is explained.
func Explain(p *process.Plan, first string) []process.Blocked {
	if p.Undecided {
		return nil
	}
	if fitting.Possible(p.Blank, p.Brake) {
		return []process.Blocked{{
			Bends: []string{first}, Why: []string{"no order begins with bend " + p.Blank.Word(first)},
			Cures: []process.Cure{{Change: "begin with another bend", Kind: process.SetupCure}},
		}}
	}
	var out []process.Blocked
	for rest := p.Blank; rest != nil && fitting.Impossible(rest, p.Brake); {
		core := shrink(rest, p.Brake)
		out = append(out, describe(core, p.Brake))
		rest = brokenUp(rest, core)
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
			if err == nil && len(c.Joints) > 0 && fitting.Impossible(c, k) {
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
func describe(core *flat.Blank, k *brake.Brake) process.Blocked {
	s := fitting.New(process.New(core, k))
	out := process.Blocked{}
	for _, j := range core.Joints {
		out.Bends = append(out.Bends, j.ID)
	}
	seen := map[string]bool{}
	for _, st := range order.DeadEnds(len(s.Operations), s) {
		for _, r := range st.Reasons {
			if text := after(s, st.Made) + r.Text; !seen[text] {
				seen[text] = true
				out.Why = append(out.Why, text)
			}
		}
	}
	out.Picture = s.Picture()
	out.Cures = cures(core, k)
	return out
}

// after names the bends already made.
func after(s *fitting.Station, made order.Made) string {
	var words []string
	for i, joints := range s.Operations {
		if made.Has(i) {
			words = append(words, s.Plan.Blank.Joints[joints[0]].Word)
		}
	}
	if words == nil {
		return ""
	}
	return "after " + strings.Join(words, ", ") + ": "
}
