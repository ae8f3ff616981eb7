package operator_test

import (
	"fmt"
	"net/http/httptest"
	"strings"
	"sync/atomic"
	"testing"

	"brakeside/server/internal/shoptest"
)

// One page at the brake, with its drawings, from a store on disk.
func BenchmarkBendPage(b *testing.B) {
	s := shoptest.OpenShop(b)
	s.RecordFirstPiece()
	b.ReportAllocs()
	for b.Loop() {
		w := httptest.NewRecorder()
		s.Pages.ServeHTTP(w, httptest.NewRequest("GET", "/t/"+shoptest.ChannelCode+"/2?piece=2", nil))
		if w.Code != 200 {
			b.Fatal(w.Code)
		}
	}
}

// Readings from many phones at once, each safe on disk before its answer.
func BenchmarkAddReading(b *testing.B) {
	s := shoptest.OpenShop(b)
	s.RecordFirstPiece()
	var n atomic.Int64
	b.SetParallelism(25)
	b.RunParallel(func(loop *testing.PB) {
		for loop.Next() {
			body := fmt.Sprintf(`{"id":"b%d","piece":2,"step":1,"measured":45.1,"confirmed":true}`, n.Add(1))
			w := httptest.NewRecorder()
			s.Pages.ServeHTTP(w, httptest.NewRequest("POST", shoptest.ChannelReadings, strings.NewReader(body)))
			if w.Code != 201 {
				b.Error(w.Code, w.Body)
			}
		}
	})
}
