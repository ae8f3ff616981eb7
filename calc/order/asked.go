package order

import "encoding/binary"

// question asks how bend next is made once made is done.
type question struct {
	made Made
	next int32
}

// way is an action with the number of its setup.
type way struct {
	Action
	number int32
	setup  int32
}

// asked is what the shop has answered. Many sets of bends leave a bend the same
// room, so equal actions are kept once, and so are equal answers.
type asked struct {
	known   map[question]int32 // index of the answer
	answers [][]*way
	same    map[string]int32 // index of the answer, by the numbers of its ways
	ways    map[Action]*way
}

func newAsked() asked {
	return asked{known: map[question]int32{}, same: map[string]int32{}, ways: map[Action]*way{}}
}

// actions asks the shop once for each set and bend.
func (s *search) actions(made Made, next int) []*way {
	key := question{made, int32(next)}
	i, known := s.known[key]
	if !known {
		s.checks++
		i = s.keep(s.shop.Actions(made, next))
		s.known[key] = i
	}
	return s.answers[i]
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
