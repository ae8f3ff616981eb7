package qr

import (
	"sync"
)

// symbols keeps those asked for lately: each takes as long as drawing a page,
// sheets are printed more than once, and whoever knows the address before the
// part is planned can ask for the symbols ahead.
type symbols struct {
	sync.Mutex
	made map[asked]func() (cells, error)
}

// mostKept is how many are kept before all are forgotten: those of some dozen
// sheets.
const mostKept = 256

var lately = symbols{made: map[asked]func() (cells, error){}}

// get gives a symbol, which is encoded once however many ask for it.
func (s *symbols) get(a asked) func() (cells, error) {
	s.Lock()
	defer s.Unlock()
	made, known := s.made[a]
	if known {
		return made
	}
	if len(s.made) >= mostKept {
		clear(s.made)
	}
	made = sync.OnceValues(func() (cells, error) { return encode(a) })
	s.made[a] = made
	return made
}
