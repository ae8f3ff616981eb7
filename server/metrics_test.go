package server_test

import (
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"brakeside/server/internal/prometheus"
	"brakeside/server/internal/shoptest"
)

func metricsPage(s *shoptest.Shop) string {
	s.Helper()
	r := httptest.NewRequest("GET", "/metrics", nil)
	r.RemoteAddr = "127.0.0.1:5"
	answer, body := s.Ask(r)
	if answer.StatusCode != http.StatusOK || answer.Header.Get("Content-Type") != "text/plain; version=0.0.4; charset=utf-8" {
		s.Fatalf("GET /metrics = %d %s", answer.StatusCode, answer.Header.Get("Content-Type"))
	}
	return body
}

func TestMetrics(t *testing.T) {
	s := shoptest.OpenShop(t)
	s.RecordFirstPiece()
	s.Phone("AB").Opens("/t/" + shoptest.ChannelCode)
	s.Get("/t/" + shoptest.UnknownCode)
	s.Get("/nowhere")
	page := metricsPage(s)
	got := prometheus.Samples(t, page)
	for name, want := range map[string]float64{
		`brakeside_requests_total{route="/t/{code}/readings",status="201"}`:       3,
		`brakeside_requests_total{route="/t/{code}",status="404"}`:                1,
		`brakeside_requests_total{route="(none)",status="404"}`:                   1,
		`brakeside_request_seconds_count{route="/t/{code}/readings"}`:             3,
		`brakeside_request_seconds_bucket{route="/t/{code}/readings",le="+Inf"}`:  3,
		`brakeside_request_seconds_bucket{route="/t/{code}/readings",le="0.001"}`: 3, // the clock stands still
		`brakeside_readings_per_sync_sum`:                                         3,
		`brakeside_readings_per_sync_bucket{le="+Inf"}`:                           3,
		`brakeside_readings_per_sync_bucket{le="1"}`:                              3,
		`brakeside_phones_at_sheets`:                                              1,
		`brakeside_owner_pages_open`:                                              0,
		`brakeside_panics_total`:                                                  0,
		`brakeside_started_seconds`:                                               float64(s.Now().Unix()),
	} {
		if value, there := got[name]; !there || value != want {
			t.Errorf("%s = %v (there: %v), want %v", name, value, there, want)
		}
	}
	if got["brakeside_store_bytes"] < 4096 || got["brakeside_memory_bytes"] < 1e6 || got["brakeside_goroutines"] < 2 {
		t.Errorf("store %v, memory %v, goroutines %v", got["brakeside_store_bytes"], got["brakeside_memory_bytes"], got["brakeside_goroutines"])
	}
	for _, secret := range []string{shoptest.ChannelCode, shoptest.UnknownCode, "nowhere", "J-1041", "AB"} {
		if strings.Contains(page, secret) {
			t.Errorf("the page tells %q", secret)
		}
	}
}

// The numbers are for the machine itself and for who is signed in, and for nobody on
// the network, also not through a proxy on the machine.
func TestWhoMayReadMetrics(t *testing.T) {
	s := shoptest.OpenShop(t)
	session := s.Owner()
	ask := func(from string, change func(*http.Request)) int {
		r := httptest.NewRequest("GET", "/metrics", nil)
		r.RemoteAddr = from
		if change != nil {
			change(r)
		}
		answer, _ := s.Ask(r)
		return answer.StatusCode
	}
	header := func(name string) func(*http.Request) {
		return func(r *http.Request) { r.Header.Set(name, "192.0.2.9") }
	}
	for _, c := range []struct {
		name   string
		from   string
		change func(*http.Request)
		want   int
	}{
		{"the machine", "127.0.0.1:9", nil, 200},
		{"the machine, IPv6", "[::1]:9", nil, 200},
		{"a phone", "192.0.2.20:9", nil, 303},
		{"no address", "", nil, 303},
		{"the owner", "192.0.2.20:9", func(r *http.Request) { r.AddCookie(session) }, 200},
		{"a phone through a proxy", "127.0.0.1:9", header("X-Forwarded-For"), 303},
		{"a phone through another proxy", "127.0.0.1:9", header("Forwarded"), 303},
		{"a phone through a third", "127.0.0.1:9", header("Via"), 303},
		{"a phone that says it is the machine", "192.0.2.20:9", func(r *http.Request) { r.Header.Set("X-Forwarded-For", "127.0.0.1") }, 303},
	} {
		if got := ask(c.from, c.change); got != c.want {
			t.Errorf("GET /metrics for %s = %d, want %d", c.name, got, c.want)
		}
	}
}
