package learn

import (
	"cmp"
	"maps"
	"slices"

	"brakeside/calc/unit"
)

// question is asked of somebody who seems to log the opening.
type question struct {
	from int       // number of the reading from which on it is in doubt
	held []Reading // that teach nothing until there is an answer
}

// mostHeld is how many readings wait for an answer.
const mostHeld = 200

func (q *question) hold(r Reading) {
	if len(q.held) < mostHeld {
		q.held = append(q.held, r)
	}
}

// questions copies what is asked.
func (k *known) questions() map[Reader]*question {
	out := maps.Clone(k.asked)
	for r, q := range out {
		again := *q
		again.held = slices.Clone(q.held)
		out[r] = &again
	}
	return out
}

// suspect reports whether a reader was asked and has not answered.
func (k *known) suspect(r Reader) bool { return k.asked[r] != nil }

// opens asks whether the reader has come to log openings.
func (k *known) opens(s Settings, r Reader) bool {
	if (r == Reader{}) || k.suspect(r) {
		return false
	}
	limit := s.Rival.Opening
	if k.trusted[r] {
		limit *= 3
	}
	return k.rival(rival{reader: r}).odds >= limit
}

// Asked lists the readers who are to be asked, by name.
func (m *Model) Asked() []Reader {
	return slices.SortedFunc(maps.Keys(m.asked), compareReaders)
}

func compareReaders(a, b Reader) int {
	return cmp.Or(cmp.Compare(a.Person, b.Person), cmp.Compare(a.Tool, b.Tool))
}

// Answered tells what the reader said. Readings that waited are taken in now: as
// they stand, or as the openings they were. What a person logs after an answer
// is taken as that person means it; the caller says so in the reading.
func (m *Model) Answered(r Reader, opening bool) {
	q := m.asked[r]
	if q == nil {
		return
	}
	delete(m.asked, r)
	m.trusted = put(m.trusted, r, !opening)
	m.restart(m.rival(rival{reader: r}))
	for _, held := range q.held {
		if opening {
			held.Measured = 180 - held.Measured
		}
		m.observe(m.settings, held)
	}
	m.restart(m.rival(rival{reader: r}))
	m.begins()
}

// Corner tells that a reader's tool was held against a corner whose angle is
// known, and showed it so much too high, as a bend angle. Whoever did that knows
// which angle the tool shows.
func (m *Model) Corner(r Reader, off unit.Deg) {
	m.trusted = put(m.trusted, r, true)
	terms := r.terms(m.settings)
	for i := range terms {
		terms[i].weight = 1
	}
	x := m.begin(m.settings, terms)
	mean, variance, with := m.expect(x)
	variance += square(m.settings.Measuring)
	for _, v := range m.rivals {
		v.follow(with, -x.of(v.off)/variance)
	}
	m.learn(with, float64(off)-mean, variance)
	m.begins()
}

// history is what the model goes back to when readings turn out to be in doubt:
// what it knew now and then, and the readings since.
type history struct {
	kept   []moment
	recent []Reading // those after the oldest moment
}

// moment is what was known after some readings.
type moment struct {
	known known
	at    int // readings of recent before it
}

// How often a moment is kept, and how many.
const (
	momentEvery = 32
	mostMoments = 4
)

func (h history) clone() history {
	return history{slices.Clone(h.kept), slices.Clone(h.recent)} // moments are never changed
}

// remember keeps a reading, and now and then a moment.
func (m *Model) remember(r Reading) {
	if m.small {
		return
	}
	if len(m.kept) == 0 || len(m.recent)-m.kept[len(m.kept)-1].at >= momentEvery {
		m.kept = append(m.kept, moment{m.known.clone(), len(m.recent)})
	}
	if len(m.kept) > mostMoments {
		gone := m.kept[1].at
		m.recent, m.kept = m.recent[gone:], slices.Delete(m.kept, 0, 1)
		for i := range m.kept {
			m.kept[i].at -= gone
		}
	}
	m.recent = append(m.recent, r)
}

// begins forgets how it came to be: what was told cannot be gone back behind.
func (m *Model) begins() { m.history = history{} }

// takeBack goes back to before a reader came into doubt and forward again
// without what that reader has read since.
func (m *Model) takeBack(r Reader) {
	from := m.rival(rival{reader: r}).from
	at := 0
	for i, k := range m.kept {
		if k.known.n < from {
			at = i
		}
	}
	odds := *m.rival(rival{reader: r})
	again := m.recent[m.kept[at].at:]
	m.known = m.kept[at].known.clone()
	for _, old := range again {
		if old.Reader == r && m.n+1 >= from && !m.suspect(r) {
			m.asked[r] = &question{from: from}
		}
		m.observe(m.settings, old)
	}
	m.rival(rival{reader: r}).odds = odds.odds
	m.begins()
}
