package server

import (
	"fmt"
	"net/http/httptest"
	"strings"
	"sync/atomic"
	"testing"
)

// One page at the brake, with its drawings, from a store on disk.
func BenchmarkBendPage(b *testing.B) {
	s := openShop(b)
	s.recordFirstPiece()
	b.ReportAllocs()
	for b.Loop() {
		w := httptest.NewRecorder()
		s.pages.ServeHTTP(w, httptest.NewRequest("GET", "/t/"+channelCode+"/2?piece=2", nil))
		if w.Code != 200 {
			b.Fatal(w.Code)
		}
	}
}

// Readings from many phones at once, each safe on disk before its answer.
func BenchmarkAddReading(b *testing.B) {
	s := openShop(b)
	s.recordFirstPiece()
	var n atomic.Int64
	b.SetParallelism(25)
	b.RunParallel(func(loop *testing.PB) {
		for loop.Next() {
			body := fmt.Sprintf(`{"id":"b%d","piece":2,"step":1,"measured":45.1,"confirmed":true}`, n.Add(1))
			w := httptest.NewRecorder()
			s.pages.ServeHTTP(w, httptest.NewRequest("POST", channelReadings, strings.NewReader(body)))
			if w.Code != 201 {
				b.Error(w.Code, w.Body)
			}
		}
	})
}
