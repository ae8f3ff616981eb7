package order

import (
	"encoding/binary"
	"slices"
)

// actions asks the shop once for each set and bend.
func (s *search) actions(made Made, next int) []*way {
	key := Question{made, next}
	i, known := s.known[key]
	if !known {
		s.checks++
		i = s.keep(s.shop.Actions(made, next))
		s.known[key] = i
	}
	return s.answers[i]
}

// askAll asks ahead what is not known yet, all at once if the shop can.
func (s *search) askAll(questions []Question) {
	shop, ok := s.shop.(Together)
	if !ok {
		return
	}
	questions = slices.DeleteFunc(questions, func(q Question) bool {
		_, known := s.known[q]
		return known
	})
	s.checks += len(questions)
	for i, actions := range shop.All(questions) {
		s.known[questions[i]] = s.keep(actions)
	}
}

// keep gives the index of an answer.
func (s *search) keep(actions []Action) int32 {
	var room [16]*way
	ways, key := room[:0], make([]byte, 0, 64)
	for i := range actions {
		w := s.way(&actions[i])
		ways, key = append(ways, w), binary.LittleEndian.AppendUint32(key, uint32(w.number))
	}
	i, known := s.same[string(key)]
	if !known {
		i = int32(len(s.answers))
		s.same[string(key)] = i
		s.answers = append(s.answers, append([]*way(nil), ways...))
	}
	return i
}

// way gives the one way that is kept for an action.
func (s *search) way(a *Action) *way {
	w, known := s.ways[*a]
	if !known {
		w = &way{Action: *a, number: int32(len(s.ways)), setup: s.number(a.Setup)}
		s.ways[*a] = w
	}
	return w
}
