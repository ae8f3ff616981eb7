package web

import (
	"cmp"
	"fmt"
	"io"
	"net"
	"net/http"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"
)

// metricsKind is the media type of the Prometheus text format, version 0.0.4.
const metricsKind = "text/plain; version=0.0.4; charset=utf-8"

// Upper ends of the histograms' buckets.
var (
	secondsEnds = []float64{0.001, 0.0025, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 10}
	batchEnds   = []int{1, 2, 5, 10, 20, 50, 100}
)

// streamRoute is the one whose answers last as long as a page stays open.
const streamRoute = "/news"

// metrics counts what the service does, by route and never by address: the
// numbers tell nothing about a sheet.
type metrics struct {
	lock    sync.Mutex
	answers map[answered]int
	times   map[string]*times
	panics  int
}

type answered struct {
	route  string
	status int
}

// times is a histogram of how long the answers of a route took.
type times struct {
	buckets []int // one for each of secondsEnds, and one beyond
	sum     float64
}

func newMetrics() *metrics {
	return &metrics{answers: make(map[answered]int), times: make(map[string]*times)}
}

// note counts one answer. Routes are those of routes.go, so that there are few.
func (m *metrics) note(route string, status int, took time.Duration) {
	m.lock.Lock()
	defer m.lock.Unlock()
	m.answers[answered{route, status}]++
	if route == streamRoute {
		return
	}
	t := m.times[route]
	if t == nil {
		t = &times{buckets: make([]int, len(secondsEnds)+1)}
		m.times[route] = t
	}
	at, _ := slices.BinarySearch(secondsEnds, took.Seconds())
	t.buckets[at]++
	t.sum += took.Seconds()
}

func (m *metrics) panicked() {
	m.lock.Lock()
	defer m.lock.Unlock()
	m.panics++
}

// page writes the Prometheus text format.
type metricsPage struct{ strings.Builder }

func (p *metricsPage) head(name, kind, help string) {
	fmt.Fprintf(p, "# HELP %s %s\n# TYPE %s %s\n", name, help, name, kind)
}

func (p *metricsPage) one(name, kind, help string, value any) {
	p.head(name, kind, help)
	fmt.Fprintf(p, "%s %v\n", name, value)
}

// label quotes a value of a label: a backslash, a quote and a line end are
// escaped.
func label(value string) string {
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`, "\n", `\n`).Replace(value) + `"`
}

// MetricsPage shows the numbers to a program that gathers them; phones counts
// those that are at a sheet.
func (s *Site) MetricsPage(phones func() int) Answer {
	return func(w http.ResponseWriter, r *http.Request) error { return s.showMetrics(w, r, phones()) }
}

func (s *Site) showMetrics(w http.ResponseWriter, r *http.Request, phones int) error {
	p := new(metricsPage)
	s.metrics.write(p)
	writeBatches(p, s.Store.Batches())
	size, err := s.Store.Size(r.Context())
	if err != nil {
		return err
	}
	p.one("brakeside_store_bytes", "gauge", "Size of the database.", size)
	p.one("brakeside_owner_pages_open", "gauge", "Pages of the owner that wait for news.", s.News.count())
	p.one("brakeside_phones_at_sheets", "gauge", "Phones that had a bend open in the last minutes.", phones)
	var memory runtime.MemStats
	runtime.ReadMemStats(&memory)
	p.one("brakeside_memory_bytes", "gauge", "Memory that the Go runtime holds, without that of the database.", memory.Sys-memory.HeapReleased)
	p.one("brakeside_goroutines", "gauge", "Goroutines.", runtime.NumGoroutine())
	p.one("brakeside_started_seconds", "gauge", "Time of the start, in seconds since 1970.", s.started.Unix())
	return Write(w, Reply{Kind: metricsKind, Body: []byte(p.String())})
}

func (m *metrics) write(p *metricsPage) {
	m.lock.Lock()
	defer m.lock.Unlock()
	p.head("brakeside_requests_total", "counter", "Answers by route and status.")
	for _, a := range sortedKeys(m.answers, func(a, b answered) int { return cmp.Or(cmp.Compare(a.route, b.route), a.status-b.status) }) {
		fmt.Fprintf(p, "brakeside_requests_total{route=%s,status=\"%d\"} %d\n", label(a.route), a.status, m.answers[a])
	}
	p.head("brakeside_request_seconds", "histogram", "Time to answer by route; streams are not in it.")
	for _, route := range sortedKeys(m.times, cmp.Compare[string]) {
		m.times[route].write(p, route)
	}
	p.one("brakeside_panics_total", "counter", "Requests in which the program failed.", m.panics)
}

func sortedKeys[K comparable, V any](m map[K]V, compare func(a, b K) int) []K {
	keys := make([]K, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.SortFunc(keys, compare)
	return keys
}

func (t *times) write(p *metricsPage, route string) {
	n := 0
	for i, end := range secondsEnds {
		n += t.buckets[i]
		fmt.Fprintf(p, "brakeside_request_seconds_bucket{route=%s,le=\"%s\"} %d\n", label(route), figure(end), n)
	}
	n += t.buckets[len(secondsEnds)]
	fmt.Fprintf(p, "brakeside_request_seconds_bucket{route=%s,le=\"+Inf\"} %d\n", label(route), n)
	fmt.Fprintf(p, "brakeside_request_seconds_sum{route=%s} %s\n", label(route), figure(t.sum))
	fmt.Fprintf(p, "brakeside_request_seconds_count{route=%s} %d\n", label(route), n)
}

func figure(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

// writeBatches writes how many readings were made durable at once.
func writeBatches(w io.Writer, batches []int64) {
	p := new(metricsPage)
	p.head("brakeside_readings_per_sync", "histogram", "Readings that were made durable at once.")
	var n, stored int64
	ends := batchEnds
	for size, times := range batches {
		for len(ends) > 0 && size > ends[0] {
			fmt.Fprintf(p, "brakeside_readings_per_sync_bucket{le=\"%d\"} %d\n", ends[0], n)
			ends = ends[1:]
		}
		n += times
		stored += int64(size) * times
	}
	fmt.Fprintf(p, "brakeside_readings_per_sync_bucket{le=\"+Inf\"} %d\n", n)
	fmt.Fprintf(p, "brakeside_readings_per_sync_sum %d\nbrakeside_readings_per_sync_count %d\n", stored, n)
	io.WriteString(w, p.String())
}

// fromThisMachine reports whether a request was made on the machine itself. One
// that a proxy on the machine passes on was not: a proxy says so in a header.
func fromThisMachine(r *http.Request) bool {
	for _, header := range []string{"Forwarded", "X-Forwarded-For", "X-Real-Ip", "Via"} {
		if r.Header.Get(header) != "" {
			return false
		}
	}
	ip := net.ParseIP(AddressOf(r))
	return ip != nil && ip.IsLoopback()
}
