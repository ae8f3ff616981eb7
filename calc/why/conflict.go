package why

import (
	"slices"

	"brakeside/calc/brake"
	"brakeside/calc/fitting"
	"brakeside/calc/flat"
	"brakeside/calc/notation"
	"brakeside/calc/order"
	"brakeside/calc/process"
)

// conflict is a set of bends that stand in each other's way, cut out of the part.
type conflict struct {
	core   *flat.Blank
	faces  map[string]bool
	told   process.Blocked
	causes map[string]bool // what kinds of things stand in the way
	cures  []process.Cure
	freed  []change // that free the conflict and not the part
}

// change is one that may help, in words, and what is to be done for it.
type change struct {
	words string
	kind  process.CureKind
	of    process.Subject
	patch notation.Patch
	parts bool // faces are taken away, so that the conflict by itself is no longer there
}

// only reports whether nothing but some causes stands in the way.
func (c *conflict) only(causes ...string) bool {
	for cause := range c.causes {
		if !slices.Contains(causes, cause) {
			return false
		}
	}
	return true
}

// mostCures is how many changes of one kind are named.
const mostCures = 3

// full reports whether there are enough cures of a kind.
func (c *conflict) full(kind process.CureKind) bool {
	count := 0
	for _, f := range c.cures {
		if f.Kind == kind {
			count++
		}
	}
	return count >= mostCures
}

// conflictsOf cuts the conflicts out of a blank; none where there is an order, or
// where that there is none is not certain.
func conflictsOf(b *flat.Blank, k *brake.Brake) []*conflict {
	var out []*conflict
	for rest := b; rest != nil && fitting.Impossible(rest, k); {
		c := &conflict{core: shrink(rest, k), faces: map[string]bool{}, causes: map[string]bool{}}
		for _, f := range c.core.Faces {
			c.faces[f.ID] = true
		}
		c.describe(k)
		out = append(out, c)
		rest = brokenUp(rest, c.core)
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

// describe words one conflict: a line for each cause of every way that was tried, and
// the picture of the first.
func (c *conflict) describe(k *brake.Brake) {
	s, out := fitting.New(process.New(c.core, k)), &c.told
	for _, j := range c.core.Joints {
		out.Bends = append(out.Bends, j.ID)
	}
	ends := order.DeadEnds(len(s.Operations), s)
	for _, end := range ends {
		for _, r := range end.Reasons {
			c.causes[r.Cause] = true
		}
	}
	if len(c.causes) > 1 {
		delete(c.causes, fitting.OtherBend)
	}
	out.Why, out.Picture, out.Reason = linesOf(s, ends), s.Picture(), reason(c.causes, len(c.core.Joints), ends)
}
