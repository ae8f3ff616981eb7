package shelf

import (
	"context"
	"slices"
	"strings"

	"brakeside/calc/stock"
	"brakeside/server/store"
	"brakeside/server/web"
)

// MaterialChoices lists the materials to choose from.
func MaterialChoices(value string) []web.Option {
	var out []web.Option
	for _, m := range stock.All() {
		out = append(out, web.Option{Value: m.ID, Words: m.Words, Chosen: m.ID == value})
	}
	return out
}

// A revision of a part stands in one of three ways. Draft: it may be changed,
// and no sheet is issued from it. Ready: it never changes, and sheets are issued
// from it. Superseded: a later revision is ready in its place.
const (
	DraftPart      = "draft"
	ReadyPart      = "ready"
	SupersededPart = "superseded"
)

// Standings tells how parts stand, from the marks the owner made.
type Standings struct {
	Ready    map[string][]string // revisions by number, in the order they became ready
	Archived map[string]bool     // by number
}

// Standings reads how the parts stand.
func (s *Shelf) Standings(ctx context.Context) (Standings, error) {
	marks, err := s.Store.Marks(ctx)
	st := Standings{map[string][]string{}, map[string]bool{}}
	for _, m := range marks {
		switch m.Kind {
		case store.MarkReady:
			st.Ready[m.Number] = append(st.Ready[m.Number], m.Revision)
		case store.MarkArchived, store.MarkRestored:
			st.Archived[m.Number] = m.Kind == store.MarkArchived
		}
	}
	return st, err
}

// Of gives how a revision of a part stands.
func (st Standings) Of(number, revision string) string {
	ready := st.Ready[number]
	switch at := slices.Index(ready, revision); {
	case at < 0:
		return DraftPart
	case at == len(ready)-1:
		return ReadyPart
	}
	return SupersededPart
}

// Found reports whether every word looked for is in one of the texts.
func Found(search string, texts ...string) bool {
	all := strings.ToLower(strings.Join(texts, "\n"))
	for _, word := range strings.Fields(strings.ToLower(search)) {
		if !strings.Contains(all, word) {
			return false
		}
	}
	return true
}
