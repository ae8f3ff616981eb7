package server

import (
	"math"
	"net/http"
	"net/http/httptest"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"
)

// metricLine is a sample of the text format, version 0.0.4: a name, labels, a
// value. https://prometheus.io/docs/instrumenting/exposition_formats/
var metricLine = regexp.MustCompile(`^([a-z_]+)(\{([a-z]+="(?:[^"\\\n]|\\\\|\\"|\\n)*"(?:,[a-z]+="(?:[^"\\\n]|\\\\|\\"|\\n)*")*)\})? (\S+)$`)

// samples reads a page of metrics strictly: every sample follows the help and
// the type of its family, and no sample comes twice.
func samples(t *testing.T, page string) map[string]float64 {
	t.Helper()
	found := make(map[string]float64)
	family, helped := "", ""
	if !strings.HasSuffix(page, "\n") {
		t.Error("the page does not end with a line end")
	}
	for line := range strings.Lines(page) {
		line = strings.TrimSuffix(line, "\n")
		if rest, is := strings.CutPrefix(line, "# HELP "); is {
			helped, _, _ = strings.Cut(rest, " ")
			continue
		}
		if rest, is := strings.CutPrefix(line, "# TYPE "); is {
			if family, _, _ = strings.Cut(rest, " "); family != helped {
				t.Errorf("type of %s after help of %s", family, helped)
			}
			continue
		}
		m := metricLine.FindStringSubmatch(line)
		if m == nil {
			t.Errorf("no sample: %q", line)
			continue
		}
		value, err := strconv.ParseFloat(m[4], 64)
		if _, twice := found[m[1]+m[2]]; err != nil || twice || !strings.HasPrefix(m[1], family) {
			t.Errorf("sample %q of family %s: %v, twice %v", line, family, err, twice)
		}
		found[m[1]+m[2]] = value
	}
	return found
}

func (s *shop) metricsPage() string {
	s.Helper()
	r := httptest.NewRequest("GET", "/metrics", nil)
	r.RemoteAddr = "127.0.0.1:5"
	answer, body := s.ask(r)
	if answer.StatusCode != http.StatusOK || answer.Header.Get("Content-Type") != "text/plain; version=0.0.4; charset=utf-8" {
		s.Fatalf("GET /metrics = %d %s", answer.StatusCode, answer.Header.Get("Content-Type"))
	}
	return body
}

func TestMetrics(t *testing.T) {
	s := openShop(t)
	s.recordFirstPiece()
	s.get("/t/" + channelCode)
	s.get("/t/" + unknownCode)
	s.get("/nowhere")
	page := s.metricsPage()
	got := samples(t, page)
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
		`brakeside_started_seconds`:                                               float64(s.now().Unix()),
	} {
		if value, there := got[name]; !there || value != want {
			t.Errorf("%s = %v (there: %v), want %v", name, value, there, want)
		}
	}
	if got["brakeside_store_bytes"] < 4096 || got["brakeside_memory_bytes"] < 1e6 || got["brakeside_goroutines"] < 2 {
		t.Errorf("store %v, memory %v, goroutines %v", got["brakeside_store_bytes"], got["brakeside_memory_bytes"], got["brakeside_goroutines"])
	}
	for _, secret := range []string{channelCode, unknownCode, "nowhere", "J-1041", "AB"} {
		if strings.Contains(page, secret) {
			t.Errorf("the page tells %q", secret)
		}
	}
}

// The numbers are for the machine itself and for who is signed in, and for nobody on
// the network, also not through a proxy on the machine.
func TestWhoMayReadMetrics(t *testing.T) {
	s := openShop(t)
	session := s.owner()
	ask := func(from string, change func(*http.Request)) int {
		r := httptest.NewRequest("GET", "/metrics", nil)
		r.RemoteAddr = from
		if change != nil {
			change(r)
		}
		answer, _ := s.ask(r)
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

func TestTimesFallIntoTheirBuckets(t *testing.T) {
	m := newMetrics()
	for _, took := range []time.Duration{0, time.Millisecond, 1001 * time.Microsecond, 40 * time.Millisecond, time.Hour} {
		m.note("/x", 200, took)
	}
	m.note(streamRoute, 200, time.Hour)
	m.panicked()
	p := new(metricsPage)
	m.write(p)
	got := samples(t, p.String())
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
	got := samples(t, p.String())
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
	if got := samples(t, p.String()); got["brakeside_readings_per_sync_count"] != 0 {
		t.Errorf("no batches = %v", got)
	}
}

func TestLabel(t *testing.T) {
	if got := label("a\"b\\c\nd"); got != `"a\"b\\c\nd"` {
		t.Errorf("label = %s", got)
	}
}
