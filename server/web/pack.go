package web

import (
	"hash/maphash"
	"mime"
	"net/http"
	"strconv"
	"strings"
	"sync"

	"github.com/klauspost/compress/gzip"
)

const (
	packingLevel = 2   // of gzip: nearly as quick as the lowest, four parts in a hundred shorter
	leastPacked  = 600 // bytes; what is shorter goes in one packet anyhow
	mostPadding  = 32  // bytes
)

// packedKinds are the media types that are sent compressed. PDF, photos and
// pictures of pixels are compressed already; a stream of events must not wait in
// a compressor.
var packedKinds = map[string]bool{
	"text/html": true, "text/css": true, "text/javascript": true, "text/csv": true, "text/plain": true,
	"application/json": true, "image/svg+xml": true, "image/vnd.dxf": true,
}

var packers = sync.Pool{New: func() any {
	out, err := gzip.NewWriterLevel(nil, packingLevel)
	if err != nil { // the level is a constant of this file
		panic(err)
	}
	return out
}}

// packing compresses answers for those who can read that.
//
// Compression may tell by its length what stands in an encrypted answer, where
// one who chooses a part of the answer can have it made again and again (the
// attack named BREACH). Here no other site can: cookies go to our own pages
// only, forms carry no tokens, and the code of a sheet stands in the address
// that is asked. What is left is somebody who may write at one sheet and watches
// how long the pages of the office are that name others. So each answer has a
// padding whose length hangs on every byte of it and is the same each time, so
// that asking often averages nothing out.
type packing struct {
	http.ResponseWriter
	accepted bool
	started  bool
	out      *gzip.Writer // nil: the answer goes as it is
	padded   bool
}

func (p *packing) WriteHeader(status int) {
	p.started = true
	header := p.Header()
	kind, _, err := mime.ParseMediaType(header.Get("Content-Type"))
	if err == nil && packedKinds[kind] && header.Get("Content-Encoding") == "" {
		header.Add("Vary", "Accept-Encoding")
		length, err := strconv.Atoi(header.Get("Content-Length")) // a long list is sent without
		if p.accepted && (length >= leastPacked || err != nil && status < http.StatusMultipleChoices) {
			header.Del("Content-Length")
			header.Set("Content-Encoding", "gzip")
			p.out = packers.Get().(*gzip.Writer)
			p.out.Reset(p.ResponseWriter)
		}
	}
	p.ResponseWriter.WriteHeader(status)
}

func (p *packing) Write(b []byte) (int, error) {
	if !p.started {
		p.WriteHeader(http.StatusOK)
	}
	if p.out == nil {
		return p.ResponseWriter.Write(b)
	}
	if !p.padded {
		p.out.Comment, p.padded = padding(b), true
	}
	return p.out.Write(b)
}

// Unwrap lets http.ResponseController reach the connection.
func (p *packing) Unwrap() http.ResponseWriter { return p.ResponseWriter }

// finish sends what the compressor still holds.
func (p *packing) finish() {
	if p.out == nil {
		return
	}
	// A failed write means that the other side has gone.
	_ = p.out.Close()
	packers.Put(p.out)
	p.out = nil
}

var paddingSeed = maphash.MakeSeed()

// padding is as long as the text says, in a way that only this process knows.
func padding(text []byte) string {
	return strings.Repeat("-", int(maphash.Bytes(paddingSeed, text)%mostPadding))
}

// acceptsPacked reports whether the one who asks can read a compressed answer.
func acceptsPacked(r *http.Request) bool {
	for part := range strings.SplitSeq(strings.Join(r.Header.Values("Accept-Encoding"), ","), ",") {
		coding, weight, weighed := strings.Cut(part, ";")
		if !strings.EqualFold(strings.TrimSpace(coding), "gzip") {
			continue
		}
		value, err := strconv.ParseFloat(strings.TrimPrefix(strings.ToLower(strings.TrimSpace(weight)), "q="), 64)
		return !weighed || err == nil && value > 0
	}
	return false
}
