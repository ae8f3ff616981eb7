package lessons

import (
	"brakeside/calc/unit"
	"brakeside/server/store"
	"brakeside/traveler/progress"
	"fmt"
	"log/slog"
	"sync/atomic"
	"testing"
)

// BenchmarkStopsNewest is what a page of a sheet asks for, nothing being new in
// the log; BenchmarkStopsOf what a reading does.
func BenchmarkStopsNewest(b *testing.B) {
	s := newBench(b)
	for range 20 {
		s.bend(s.issue("mild-steel", 150), 1, 20, 2.5)
	}
	sheet := s.issue("mild-steel", 150)
	stops := NewStops(s.book(), slog.New(slog.DiscardHandler))
	for b.Loop() {
		stops.Newest(sheet.Traveler)
	}
}

func BenchmarkStopsOf(b *testing.B) {
	s := newBench(b)
	for range 20 {
		s.bend(s.issue("mild-steel", 150), 1, 20, 2.5)
	}
	sheet := s.issue("mild-steel", 150)
	stops := NewStops(s.book(), slog.New(slog.DiscardHandler))
	of := stops.Of(sheet.Traveler)
	var counted []*progress.Reading
	for b.Loop() {
		if len(counted) == 60 {
			counted, of = nil, stops.Newest(sheet.Traveler)
		}
		of.Stop(&sheet.Steps[0], counted)
		counted = append(counted, &progress.Reading{ID: fmt.Sprint(len(counted)), Piece: 1, Step: 1, Measured: 8900 + unit.CentiDeg(len(counted)%7)*10,
			StopBend: 9150, State: progress.StateAsBent, By: "AB", Error: -50})
		of.Stop(&sheet.Steps[0], counted)
	}
}

// BenchmarkCrowd is a reading of fifty people on fifty sheets, stored.
func BenchmarkCrowd(b *testing.B) {
	s := newBench(b)
	s.GoBy(NewStops(s.book(), slog.New(slog.DiscardHandler)))
	var sheets []sheet
	for range 350 {
		sheets = append(sheets, s.issue("mild-steel", 150))
	}
	var next atomic.Int64
	b.SetParallelism(25)
	b.RunParallel(func(pb *testing.PB) {
		for pb.Next() {
			n := int(next.Add(1))
			body := fmt.Sprintf(`{"id":"c%d","piece":%d,"step":1,"measured":%.1f,"by":"P%d","confirmed":true}`, n, n/50%60%40+1, 89.5+float64(n%10)/10, n%50)
			r, err := progress.ReadReading([]byte(body))
			if err != nil {
				b.Error(err)
			}
			if _, err := s.AddReading(ctx, store.Posted{Code: sheets[n/3000%7*50+n%50].Code, Reading: r, Body: []byte(body)}, progress.Judge); err != nil {
				b.Error(err)
			}
		}
	})
}
