package web

import (
	"testing"
)

func TestNewsDoesNotWaitForAnyone(t *testing.T) {
	n := newNews()
	heard, end := n.Listen()
	for range 5 {
		n.Tell()
	}
	<-heard
	select {
	case <-heard:
		t.Error("a slow listener got a second wake-up call for the same news")
	default:
	}
	end()
	n.Tell()
	if len(n.listeners) != 0 {
		t.Errorf("%d listeners are left", len(n.listeners))
	}
}
