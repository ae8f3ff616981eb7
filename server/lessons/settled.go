package lessons

import "brakeside/server/store"

// settled is what the decisions about one subject come to, by name: those that
// hold, the last on top, and the last offer where it was refused.
type settled struct {
	stack   map[string][]store.Settlement
	refused map[string]store.Settlement
}

func settledOf(all []store.Settlement) settled {
	s := settled{map[string][]store.Settlement{}, map[string]store.Settlement{}}
	for _, x := range all {
		delete(s.refused, x.Name)
		switch n := len(s.stack[x.Name]); {
		case x.Kind == store.DecisionRefused:
			s.refused[x.Name] = x
		case x.Kind != store.DecisionReturned:
			s.stack[x.Name] = append(s.stack[x.Name], x)
		case n > 0:
			s.stack[x.Name] = s.stack[x.Name][:n-1]
		}
	}
	return s
}

// now gives the decision that holds.
func (s settled) now(name string) (store.Settlement, bool) {
	all := s.stack[name]
	if len(all) == 0 {
		return store.Settlement{}, false
	}
	return all[len(all)-1], true
}
