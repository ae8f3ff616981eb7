package admit

import (
	"context"
	"errors"
	"testing"
	"time"
)

// standing has parties stand in a line, in the order in which they come, and tells
// who gets a place.
type standing struct {
	*testing.T
	line *Line
	got  chan string
	left map[string]func()
}

// come has a party come and waits until it stands in the line.
func (s *standing) come(name, party string, known bool) {
	s.Helper()
	before := s.standing()
	go func() {
		enter := s.line.Enter
		if known {
			enter = s.line.EnterKnown
		}
		leave, err := enter(context.Background(), party)
		if err != nil {
			s.Error(err)
		}
		s.line.lock.Lock()
		s.left[name] = leave
		s.line.lock.Unlock()
		s.got <- name
	}()
	for s.standing() == before {
		time.Sleep(time.Millisecond)
	}
}

func (s *standing) standing() int {
	s.line.lock.Lock()
	defer s.line.lock.Unlock()
	return s.line.busy + len(s.line.waiting)
}

// next wants somebody to get the next place.
func (s *standing) next(want string) {
	s.Helper()
	if got := <-s.got; got != want {
		s.Errorf("%s gets the place, want %s", got, want)
	}
}

func (s *standing) leave(name string) {
	s.line.lock.Lock()
	leave := s.left[name]
	s.line.lock.Unlock()
	leave()
	leave() // twice is once
}

// A party with many in the line makes nobody wait but itself, and who is known goes
// before strangers.
func TestLineIsFair(t *testing.T) {
	s := standing{t, NewLine(Rule{Places: 2, Each: 1, Wait: 8, Behind: 3}), make(chan string, 9), map[string]func(){}}
	s.come("a1", "a", false)
	s.next("a1")
	s.come("a2", "a", false)
	s.come("a3", "a", false)
	s.come("b1", "b", false)
	s.next("b1") // past the two of a
	s.come("c1", "c", false)
	s.come("k1", "k", true)
	s.come("k2", "k", true)
	s.leave("b1")
	s.next("k1")
	s.leave("a1")
	s.next("a2") // before c, which came later; k has its place
	s.leave("k1")
	s.next("k2")
	s.leave("k2")
	s.next("c1")
	s.leave("a2")
	s.next("a3")
	s.leave("a3")
	s.leave("c1")
	if !s.line.Idle() || len(s.line.working) != 0 || s.standing() != 0 {
		t.Errorf("at the end the line is %+v, want it empty", s.line)
	}
}

func TestLineIsBounded(t *testing.T) {
	ctx, stop := context.WithCancel(t.Context())
	l := NewLine(Rule{Places: 1, Each: 1, Wait: 2, Behind: 1})
	leave, err := l.Enter(ctx, "a")
	if err != nil {
		t.Fatal(err)
	}
	ended := make(chan error)
	for _, party := range []string{"a", "b"} {
		go func() { _, err := l.Enter(ctx, party); ended <- err }()
	}
	for {
		l.lock.Lock()
		n := len(l.waiting)
		l.lock.Unlock()
		if n == 2 {
			break
		}
		time.Sleep(time.Millisecond)
	}
	for _, party := range []string{"a", "c"} {
		if _, err := l.Enter(ctx, party); !errors.Is(err, Full) {
			t.Errorf("%s enters a full line: %v, want it refused", party, err)
		}
	}
	go func() { _, err := l.EnterKnown(ctx, "k"); ended <- err }()
	stop()
	for range 3 {
		if err := <-ended; !errors.Is(err, context.Canceled) {
			t.Errorf("one who gives up is told %v", err)
		}
	}
	if leave(); !l.Idle() || len(l.waiting) != 0 {
		t.Errorf("after all have gone the line is %+v", l)
	}
	if _, err := l.Enter(t.Context(), "c"); err != nil {
		t.Errorf("an empty line refuses: %v", err)
	}
}

// A party of which more wait rests before its next turn; others do not wait for it,
// and who comes alone does not rest.
func TestCrowdRests(t *testing.T) {
	const rest = 50 * time.Millisecond
	s := standing{t, NewLine(Rule{Places: 2, Each: 1, Wait: 8, Behind: 3, Rest: rest}), make(chan string, 9), map[string]func(){}}
	s.come("a1", "a", false)
	s.next("a1")
	s.come("a2", "a", false)
	began := time.Now()
	s.leave("a1")
	s.come("b1", "b", false)
	s.next("b1")
	s.next("a2")
	if took := time.Since(began); took < rest {
		t.Errorf("the next of a crowd had its turn after %v, want a rest of %v", took, rest)
	}
	s.leave("a2")
	s.leave("b1")
	if !s.line.Idle() || len(s.line.working) != 0 {
		t.Errorf("at the end the line is %+v, want nobody at work or at rest", s.line)
	}
}
