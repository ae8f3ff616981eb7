package web

import (
	"math"
	"testing"
	"time"

	"brakeside/server/internal/prometheus"
)

func TestTimesFallIntoTheirBuckets(t *testing.T) {
	m := newMetrics()
	for _, took := range []time.Duration{0, time.Millisecond, 1001 * time.Microsecond, 40 * time.Millisecond, time.Hour} {
		m.note("/x", 200, took)
	}
	m.note(streamRoute, 200, time.Hour)
	m.panicked()
	p := new(metricsPage)
	m.write(p)
	got := prometheus.Samples(t, p.String())
	for le, want := range map[string]float64{"0.001": 2, "0.0025": 3, "0.025": 3, "0.05": 4, "10": 4, "+Inf": 5} {
		if n := got[`brakeside_request_seconds_bucket{route="/x",le="`+le+`"}`]; n != want {
			t.Errorf("up to %s: %v answers, want %v", le, n, want)
		}
	}
	if sum := got[`brakeside_request_seconds_sum{route="/x"}`]; math.Abs(sum-3600.042001) > 1e-9 {
		t.Errorf("sum = %v, want 3600.042001", sum)
	}
	if _, timed := got[`brakeside_request_seconds_count{route="/news"}`]; timed || got["brakeside_panics_total"] != 1 {
		t.Error("a stream is timed, or the panic is not counted")
	}
}

func TestBatchesFallIntoTheirBuckets(t *testing.T) {
	batches := make([]int64, 257)
	batches[1], batches[2], batches[3], batches[50], batches[256] = 7, 1, 2, 4, 1
	p := new(metricsPage)
	writeBatches(p, batches)
	got := prometheus.Samples(t, p.String())
	for le, want := range map[string]float64{"1": 7, "2": 8, "5": 10, "20": 10, "50": 14, "100": 14, "+Inf": 15} {
		if n := got[`brakeside_readings_per_sync_bucket{le="`+le+`"}`]; n != want {
			t.Errorf("up to %s readings: %v syncs, want %v", le, n, want)
		}
	}
	if got["brakeside_readings_per_sync_sum"] != 7+2+6+200+256 {
		t.Errorf("sum = %v", got["brakeside_readings_per_sync_sum"])
	}
	p = new(metricsPage)
	writeBatches(p, nil)
	if got := prometheus.Samples(t, p.String()); got["brakeside_readings_per_sync_count"] != 0 {
		t.Errorf("no batches = %v", got)
	}
}

func TestLabel(t *testing.T) {
	if got := label("a\"b\\c\nd"); got != `"a\"b\\c\nd"` {
		t.Errorf("label = %s", got)
	}
}
