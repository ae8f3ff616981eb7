package standing

import (
	"slices"
	"strconv"
	"time"

	"brakeside/calc/fault"
)

// Mark is what was said about a part.
type Mark struct {
	Number   string
	Revision string // of Ready; empty for the others
	Kind     string
	By       string
	At       time.Time
}

// The kinds of Mark.
const (
	Ready    = "ready"    // travelers may be issued from this revision
	Archived = "archived" // the part is put away
	Restored = "restored" // the part is taken out again
)

// How a revision of a part stands, besides Ready: it never changes, and travelers
// are issued from it.
const (
	Draft      = "draft"      // it may be changed, and no traveler is issued from it
	Superseded = "superseded" // a later revision is ready in its place
)

// Parts is how all parts stand.
type Parts struct {
	ready    map[string][]string // revisions by number, in the order they became ready
	archived map[string]bool     // by number
}

// FoldMarks adds up what was said about parts, oldest first.
func FoldMarks(marks []Mark) Parts {
	p := Parts{map[string][]string{}, map[string]bool{}}
	for _, m := range marks {
		switch m.Kind {
		case Ready:
			p.ready[m.Number] = append(p.ready[m.Number], m.Revision)
		case Archived, Restored:
			p.archived[m.Number] = m.Kind == Archived
		}
	}
	return p
}

// Of says how a revision stands: Draft, Ready or Superseded. Of a revision that
// was made ready more than once, the last time counts.
func (p Parts) Of(number, revision string) string {
	ready := p.ready[number]
	switch {
	case !slices.Contains(ready, revision):
		return Draft
	case ready[len(ready)-1] == revision:
		return Ready
	}
	return Superseded
}

// Ready gives the revision of a part that is ready, and false when none is.
func (p Parts) Ready(number string) (revision string, found bool) {
	ready := p.ready[number]
	if len(ready) == 0 {
		return "", false
	}
	return ready[len(ready)-1], true
}

// Archived reports whether a part is put away.
func (p Parts) Archived(number string) bool { return p.archived[number] }

// Admit reports whether a mark may be made; nil if it may. It refuses with
// fault.Invalid what is no kind of mark, and with fault.Conflict a revision that
// is or was ready, and a part that is put away, or out, already.
func (p Parts) Admit(m Mark) error {
	switch m.Kind {
	case Ready:
		if state := p.Of(m.Number, m.Revision); state != Draft {
			return fault.New(fault.Conflict, "", "Revision %s of %s is %s already.", m.Revision, m.Number, state)
		}
	case Archived, Restored:
		if put := m.Kind == Archived; put == p.Archived(m.Number) {
			return fault.New(fault.Conflict, "", "Part %s is %s already.", m.Number, map[bool]string{true: "archived", false: "in the list"}[put])
		}
	default:
		return fault.New(fault.Invalid, "kind", "There is no such mark of a part: %.40s.", m.Kind)
	}
	return nil
}

// MayChange reports whether a version may be kept under a revision; nil if it
// may. It refuses with fault.Conflict one that is or was ready: travelers were
// issued from it.
func (p Parts) MayChange(number, revision string) error {
	if state := p.Of(number, revision); state != Draft {
		return fault.New(fault.Conflict, "revision", "Revision %s of %s is %s and never changes. Give this one another letter, such as %s.",
			revision, number, state, NextRevision(revision))
	}
	return nil
}

// MayIssue reports whether a traveler may be issued from a revision; nil if it
// may. It refuses with fault.Conflict one that is not ready.
func (p Parts) MayIssue(number, revision string) error {
	if state := p.Of(number, revision); state != Ready {
		return fault.New(fault.Conflict, "part", "Revision %s of %s is %s; travelers are issued from the ready one.", revision, number, state)
	}
	return nil
}

// NextRevision is the letter or the number that comes after one: A, B, ... Z,
// ZA; 1, 2. No letter is followed by A.
func NextRevision(revision string) string {
	if n, err := strconv.Atoi(revision); err == nil {
		return strconv.Itoa(n + 1)
	}
	if revision == "" {
		return "A"
	}
	last := revision[len(revision)-1]
	if last >= 'A' && last < 'Z' || last >= 'a' && last < 'z' {
		return revision[:len(revision)-1] + string(last+1)
	}
	return revision + "A"
}
