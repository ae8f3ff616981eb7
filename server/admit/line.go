package admit

import (
	"context"
	"errors"
	"slices"
	"sync"
	"time"
)

// Full is the refusal of one who would have to wait behind too many.
var Full = errors.New("too many wait already")

// Rule is how much of some work goes on at once.
type Rule struct {
	Places int // all together
	Each   int // of one party
	Wait   int // for a place, all parties together
	Behind int // for a place, of one party

	// Rest is how long a party of which more wait is given no further place when it
	// leaves one, so that a crowd does not take a processor for as long as it lasts.
	Rest time.Duration
}

// Line gives out places for work in the order in which they were asked for, but
// that a party with all its places is passed over: it can make nobody wait but
// itself while there is more than one place. Use NewLine to make one.
type Line struct {
	rule Rule

	lock    sync.Mutex
	busy    int
	working map[string]int
	waiting []*waiter
}

// waiter is one who waits; turn is closed when it has a place.
type waiter struct {
	party string
	known bool
	turn  chan struct{}
}

// NewLine makes a line at which nobody stands.
func NewLine(rule Rule) *Line { return &Line{rule: rule, working: make(map[string]int)} }

// Enter waits for a place and gives what leaves it. It refuses with Full, and with
// the error of a context that ends first.
func (l *Line) Enter(ctx context.Context, party string) (leave func(), err error) {
	return l.enter(ctx, &waiter{party: party, turn: make(chan struct{})})
}

// EnterKnown is Enter for one who has been here before: it goes before strangers and
// finds a place to wait however many they are.
func (l *Line) EnterKnown(ctx context.Context, party string) (leave func(), err error) {
	return l.enter(ctx, &waiter{party: party, known: true, turn: make(chan struct{})})
}

func (l *Line) enter(ctx context.Context, w *waiter) (leave func(), err error) {
	if !l.queue(w) {
		return nil, Full
	}
	leave = sync.OnceFunc(func() { l.leave(w.party) })
	select {
	case <-w.turn:
		return leave, nil
	case <-ctx.Done():
		if !l.giveUp(w) {
			leave()
		}
		return nil, ctx.Err()
	}
}

// queue puts one who waits in the line, and gives it a place if there is one.
func (l *Line) queue(w *waiter) bool {
	l.lock.Lock()
	defer l.lock.Unlock()
	behind := 0
	for _, other := range l.waiting {
		if other.party == w.party {
			behind++
		}
	}
	if !l.free(w) && (behind >= l.rule.Behind || !w.known && len(l.waiting) >= l.rule.Wait) {
		return false
	}
	at := len(l.waiting)
	if stranger := slices.IndexFunc(l.waiting, func(other *waiter) bool { return !other.known }); w.known && stranger >= 0 {
		at = stranger
	}
	l.waiting = slices.Insert(l.waiting, at, w)
	l.advance()
	return true
}

// free reports whether there is a place for one who waits.
func (l *Line) free(w *waiter) bool {
	return l.busy < l.rule.Places && l.working[w.party] < l.rule.Each
}

// advance gives places to those whose turn it is.
func (l *Line) advance() {
	l.waiting = slices.DeleteFunc(l.waiting, func(w *waiter) bool {
		if !l.free(w) {
			return false
		}
		l.busy++
		l.working[w.party]++
		close(w.turn)
		return true
	})
}

func (l *Line) leave(party string) {
	l.lock.Lock()
	defer l.lock.Unlock()
	l.busy--
	if l.rule.Rest > 0 && slices.ContainsFunc(l.waiting, func(w *waiter) bool { return w.party == party }) {
		time.AfterFunc(l.rule.Rest, func() { l.rested(party) })
	} else {
		l.release(party)
	}
	l.advance()
}

// rested ends the rest of a party.
func (l *Line) rested(party string) {
	l.lock.Lock()
	defer l.lock.Unlock()
	l.release(party)
	l.advance()
}

// release gives a party a place of its own back.
func (l *Line) release(party string) {
	if l.working[party]--; l.working[party] == 0 {
		delete(l.working, party)
	}
}

// giveUp takes one who waits out of the line, and reports whether it still waited.
func (l *Line) giveUp(w *waiter) bool {
	l.lock.Lock()
	defer l.lock.Unlock()
	at := slices.Index(l.waiting, w)
	if at < 0 {
		return false
	}
	l.waiting = slices.Delete(l.waiting, at, at+1)
	return true
}

// Idle reports whether nobody is at work.
func (l *Line) Idle() bool {
	l.lock.Lock()
	defer l.lock.Unlock()
	return l.busy == 0
}
