package why

import (
	"slices"

	"brakeside/calc/brake"
	"brakeside/calc/fitting"
	"brakeside/calc/flat"
	"brakeside/calc/part"
	"brakeside/calc/process"
)

// Asked is what was to be planned, and how what is changed of it is begun anew.
type Asked struct {
	Part  part.Part
	Brake *brake.Brake // as its file has it
	First string       // the bend that was to be the first; empty where any may be
	Begin func(part.Part, *brake.Brake) ([]*process.Plan, error)
}

// Looking for cures ends after so many questions to the brake, so that it takes about
// as long as planning a part that can be bent; begun is how many of them
// laying a changed part in the brake counts for. What was not tried is not named.
const (
	mostQuestions = 1200
	begun         = 4
)

// healer looks for changes that free a part, each of them made to its file, or that
// of the brake, and planned before it is named.
type healer struct {
	Asked
	blank *flat.Blank  // of the whole part
	now   *brake.Brake // with the bars that may be used
	left  int          // questions that may still be asked
}

// trial is a change that has been made: what can be planned with it.
type trial struct {
	*healer
	change
	plans []*process.Plan
}

// try makes a change to its file. What is refused then has no plans.
func (h *healer) try(c change) trial {
	t := trial{healer: h, change: c}
	p, k, err := h.changed(c)
	if err == nil && h.left > 0 {
		t.plans, _ = h.Begin(p, k)
	}
	return t
}

// changed gives part and brake with a change made.
func (h *healer) changed(c change) (p part.Part, k *brake.Brake, err error) {
	p, k = h.Part, h.Brake
	if c.of == process.OfPart {
		p, err = p.Changed(c.patch)
	} else {
		k, err = k.Changed(c.patch)
	}
	return p, k, err
}

// part asks whether the whole part can be bent then.
func (t trial) part() bool {
	for _, p := range t.plans {
		if t.possible(p) {
			return true
		}
	}
	return false
}

// bends asks whether the bends of a conflict could be made then, if nothing else were
// to be made; for a change that takes faces away that is the whole part.
func (t trial) bends(c *conflict) bool {
	if t.parts {
		return t.part()
	}
	for _, p := range t.plans {
		core, err := p.Blank.Only(c.faces)
		if err == nil && len(core.Joints) == len(c.core.Joints) && t.possible(process.New(core, p.Brake)) {
			return true
		}
	}
	return false
}

// clear asks whether it is certain what stands in the way then, and none of the bends
// of a conflict is in that.
func (t trial) clear(c *conflict) bool {
	if t.plans == nil {
		return false
	}
	others := conflictsOf(t.plans[0].Blank, t.plans[0].Brake)
	if others == nil {
		return false
	}
	for _, other := range others {
		for _, j := range other.core.Joints {
			if slices.ContainsFunc(c.core.Joints, func(mine flat.Joint) bool { return mine.ID == j.ID }) {
				return false
			}
		}
	}
	return true
}

func (h *healer) possible(p *process.Plan) bool {
	possible, asked := fitting.Within(p, h.left)
	h.left -= asked + begun
	return possible
}

// offer names a change that frees the part and keeps one that frees the conflict
// only. It reports whether the part is free.
func (h *healer) offer(c *conflict, by change) bool {
	t := h.try(by)
	switch {
	case t.part():
		c.cures = append(c.cures, process.Cure{Change: by.words, Kind: by.kind, Of: by.of, Patch: by.patch, Frees: process.FreesPart})
		return true
	case !by.parts && t.bends(c):
		c.freed = append(c.freed, by)
	}
	return false
}

// row is a row of changes, each going farther than the one before; nil where it
// cannot be made.
type row func(steps int) *change

// least names the change of a row that goes least far and frees the part, or the
// conflict if none does. Between steps more is taken to be as good as less, so that
// a smaller one may have been missed, but none is named that was not tried.
func (h *healer) least(c *conflict, most int, changes row) {
	frees := func(steps int) bool { return h.frees(changes, steps, func(t trial) bool { return t.bends(c) }) }
	for _, top := range []int{most, most / 4} {
		steps, ok := halved(0, top, frees)
		if !ok {
			continue
		}
		if h.offer(c, *changes(steps)) {
			return
		}
		whole := func(steps int) bool { return h.frees(changes, steps, trial.part) }
		if steps, ok = halved(steps, top, whole); ok {
			h.offer(c, *changes(steps))
		}
		return
	}
}

// frees tries the change of a row after so many steps.
func (h *healer) frees(changes row, steps int, asks func(trial) bool) bool {
	by := changes(steps)
	return by != nil && asks(h.try(*by))
}

// halved finds the smallest number above from, up to a most, that works, if that
// works.
func halved(from, to int, works func(int) bool) (int, bool) {
	if to <= from || !works(to) {
		return 0, false
	}
	for to-from > 1 {
		if middle := (from + to) / 2; works(middle) {
			to = middle
		} else {
			from = middle
		}
	}
	return to, true
}
