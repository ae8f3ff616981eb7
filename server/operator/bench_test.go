package operator_test

import (
	"fmt"
	"io"
	"maps"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"brakeside/server/internal/shoptest"

	"github.com/gorilla/mux"
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

// BenchmarkBendPageOverBare asks over a connection that stays open for a page at the
// brake, and in turns for the same bytes from a bare router: what the service does
// for a page besides sending it. Reported are the middle times and the ratio.
//
//	go test -run '^$' -bench OverBare -benchtime 3000x ./server/operator
//
// The goal: at most 8 times.
func BenchmarkBendPageOverBare(b *testing.B) {
	s := shoptest.OpenShop(b)
	s.RecordFirstPiece()
	const path = "/t/" + shoptest.ChannelCode + "/2"
	for _, encoding := range []string{"identity", "gzip"} {
		b.Run(encoding, func(b *testing.B) {
			ours := asker(b, s.Pages, path+"?piece=2", encoding)
			body, header := ours()
			bare := mux.NewRouter()
			bare.HandleFunc("/t/{code}/{step:[0-9]{1,5}}", func(w http.ResponseWriter, _ *http.Request) {
				maps.Copy(w.Header(), header)
				_, _ = w.Write(body)
			}).Methods("GET")
			theirs := asker(b, bare, path, encoding)
			var took, bareTook []time.Duration
			for b.Loop() {
				start := time.Now()
				ours()
				between := time.Now()
				theirs()
				took, bareTook = append(took, between.Sub(start)), append(bareTook, time.Since(between))
			}
			page, plain := middle(took), middle(bareTook)
			b.ReportMetric(float64(len(body)), "bytes")
			b.ReportMetric(float64(page.Microseconds()), "page-µs")
			b.ReportMetric(float64(plain.Microseconds()), "bare-µs")
			b.ReportMetric(float64(page)/float64(plain), "times-bare")
		})
	}
}

// asker serves pages and gives what asks for one of them, in the bytes on the wire.
func asker(b *testing.B, pages http.Handler, path, encoding string) func() ([]byte, http.Header) {
	b.Helper()
	service := httptest.NewServer(pages)
	b.Cleanup(service.Close)
	return func() ([]byte, http.Header) {
		r, err := http.NewRequestWithContext(b.Context(), "GET", service.URL+path, nil)
		if err != nil {
			b.Fatal(err)
		}
		r.Header.Set("Accept-Encoding", encoding)
		answer, err := service.Client().Do(r)
		if err != nil {
			b.Fatal(err)
		}
		defer answer.Body.Close()
		body, err := io.ReadAll(answer.Body)
		if err != nil || answer.StatusCode != http.StatusOK {
			b.Fatal(answer.StatusCode, err)
		}
		return body, answer.Header
	}
}

func middle(took []time.Duration) time.Duration {
	slices.Sort(took)
	return took[len(took)/2]
}
