package web

import (
	"io"
	"net/http"
	"sync"
	"time"
)

// News tells the owner's open pages that something was logged, so that they
// fetch themselves anew. It carries no data: what a page shows always comes
// from the store.
type News struct {
	lock      sync.Mutex
	listeners map[chan struct{}]bool
	stopped   chan struct{}
	Stop      func()
}

func newNews() *News {
	n := &News{listeners: make(map[chan struct{}]bool), stopped: make(chan struct{})}
	n.Stop = sync.OnceFunc(func() { close(n.stopped) })
	return n
}

// Tell wakes every listener; one that is still busy with the last news is not
// waited for, it has a wake-up call in store already.
func (n *News) Tell() {
	n.lock.Lock()
	defer n.lock.Unlock()
	for listener := range n.listeners {
		select {
		case listener <- struct{}{}:
		default:
		}
	}
}

// Listen gives a channel that is sent to at every news, and what ends it.
func (n *News) Listen() (heard <-chan struct{}, end func()) {
	listener := make(chan struct{}, 1)
	n.lock.Lock()
	defer n.lock.Unlock()
	n.listeners[listener] = true
	return listener, func() {
		n.lock.Lock()
		defer n.lock.Unlock()
		delete(n.listeners, listener)
	}
}

// count gives how many listen.
func (n *News) count() int {
	n.lock.Lock()
	defer n.lock.Unlock()
	return len(n.listeners)
}

// Stream keeps one connection of an owner's page open and sends it a line at
// every news, as server-sent events.
func (s *Site) Stream(w http.ResponseWriter, r *http.Request) error {
	heard, end := s.News.Listen()
	defer end()
	line := http.NewResponseController(w)
	// The usual limit on the time of an answer would cut the stream off. A
	// connection that cannot lift it is served until it is cut.
	_ = line.SetWriteDeadline(time.Time{})
	w.Header().Set("Content-Type", "text/event-stream")
	w.WriteHeader(http.StatusOK)
	words := ": open\n\n"
	for {
		if _, err := io.WriteString(w, words); err != nil {
			return nil // the page was closed
		}
		if err := line.Flush(); err != nil {
			return nil
		}
		select {
		case <-heard:
			words = "data: logged\n\n"
		case <-r.Context().Done():
			return nil
		case <-s.News.stopped:
			return nil
		}
	}
}
