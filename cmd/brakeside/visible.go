package main

import (
	"io"
	"sync"
	"unicode/utf8"

	"brakeside/calc/plain"
	"brakeside/templates/words"
)

// visible is a stream on which nothing raw reaches a terminal: names come out of
// files, and what cannot be seen in them is written by its number.
type visible struct {
	to io.Writer

	lock sync.Mutex // a service logs from many goroutines
	rest []byte     // the beginning of a character that was cut in two
}

// Write implements io.Writer.
func (v *visible) Write(text []byte) (int, error) {
	v.lock.Lock()
	defer v.lock.Unlock()
	all := append(v.rest, text...)
	whole := len(all)
	for back := 1; back < utf8.UTFMax && back <= len(all); back++ {
		if at := len(all) - back; utf8.RuneStart(all[at]) {
			if !utf8.FullRune(all[at:]) {
				whole = at
			}
			break
		}
	}
	v.rest = append([]byte{}, all[whole:]...)
	_, err := v.to.Write(words.Unmarked(plain.Seen(all[:whole])))
	return len(text), err
}
