package review_test

import (
	"context"
	"fmt"
	"io"
	"log/slog"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"brakeside/server"
	"brakeside/server/internal/longlog"
	"brakeside/server/internal/shoptest"
	"brakeside/server/store"
	"brakeside/traveler/progress"
)

// long opens a shop with a log of so many readings.
func long(t testing.TB, readings int) (*shoptest.Shop, *http.Cookie) {
	t.Helper()
	dir := t.TempDir()
	if err := longlog.Fill(dir, readings); err != nil {
		t.Fatal(err)
	}
	s := &shoptest.Shop{TB: t, Time: longlog.End.Add(time.Hour)}
	var err error
	if s.Store, err = store.Open(dir, s.Now); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := s.Store.Close(); err != nil {
			t.Error(err)
		}
	})
	s.Server, err = server.New(server.Options{
		Store: s.Store, Base: "http://192.0.2.7:8080", Names: []string{"example.com"}, Now: s.Now, Random: rand.NewChaCha8([32]byte{3}), Log: slog.New(slog.NewTextHandler(io.Discard, nil)),
	})
	if err != nil {
		t.Fatal(err)
	}
	s.Pages = s.Server.Handler()
	if err := s.Store.KeepSetting(context.Background(), store.SettingSetUp, "yes"); err != nil {
		t.Fatal(err)
	}
	return s, s.Owner()
}

// The invented log is one that the store takes for its own: its tally adds up,
// its readings teach, its pages answer.
func TestLongLogIsSound(t *testing.T) {
	s, session := long(t, 3000)
	ctx := context.Background()
	totals, err := s.Store.Totals(ctx, store.Choice{})
	if err != nil || totals.Sheets != 60 || totals.Readings < 2900 || totals.Readings > 3000 || totals.Lifted == 0 {
		t.Errorf("Totals = %+v, %v, want about 3000 readings on 60 sheets, a few corrected", totals, err)
	}
	damage, err := s.Store.Check(ctx)
	if err != nil || len(damage) != 0 {
		t.Errorf("Check = %v, %v, want nothing", damage, err)
	}
	replayed, err := s.Book().Replay(ctx, store.Choice{})
	if err != nil || !(replayed.All.Learned < replayed.All.Last && replayed.All.Last < replayed.All.Table) {
		t.Errorf("Replay = %+v, %v, want the learned best", replayed.All, err)
	}
	for _, path := range shoptest.ReviewPages {
		answer, body := s.Get(path.Path, session)
		if answer.StatusCode != http.StatusOK {
			t.Errorf("GET %s = %d", path.Path, answer.StatusCode)
		}
		shoptest.CheckPage(t, body)
	}
}

// longAddresses are what is timed.
var longAddresses = []struct{ name, path string }{
	{"jobs", "/"}, {"review", "/review"},
	{"material", "/review?material=304"}, {"rare", "/review?material=copper&thickness=2.00+mm&bar=fingers&brake=short+brake"},
	{"period", "/review?days=30"}, {"job", "/review?job=J-000007"}, {"part", "/review?part=BR-123&from=2024-01-01"},
	{"cell", "/review/cell?material=304&thickness=1.50+mm&bar=wide&brake=long+brake"}, {"stops", "/review/stops"}, {"first-pieces", "/review/first-pieces"},
}

// BenchmarkLongLog times the pages of the review and the taking in of readings
// with logs of 10,000, 100,000 and 1,000,000 readings. Run it with
//
//	go test -run XXX -bench LongLog -benchtime 20x ./server
func BenchmarkLongLog(b *testing.B) {
	for _, size := range []int{10_000, 100_000, 1_000_000} {
		b.Run(fmt.Sprint(size), func(b *testing.B) {
			s, session := long(b, size)
			start := time.Now()
			if err := s.Book().Warm(context.Background()); err != nil {
				b.Fatal(err)
			}
			b.Logf("%d readings: the book is read in %v", size, time.Since(start).Round(time.Millisecond))
			for _, address := range longAddresses {
				b.Run(address.name, func(b *testing.B) {
					var took []time.Duration
					for b.Loop() {
						start := time.Now()
						r := httptest.NewRequest("GET", address.path, nil)
						r.AddCookie(session)
						w := httptest.NewRecorder()
						s.Pages.ServeHTTP(w, r)
						if w.Code != http.StatusOK || !strings.Contains(w.Body.String(), "</html>") {
							b.Fatalf("GET %s = %d", address.path, w.Code)
						}
						took = append(took, time.Since(start))
					}
					b.ReportMetric(float64(middleOf(took).Microseconds())/1000, "ms(middle)")
				})
			}
			b.Run("append", func(b *testing.B) { appendReadings(s, b) })
		})
	}
}

// appendReadings logs readings from twenty people at once, each on a sheet of their own.
func appendReadings(s *shoptest.Shop, b *testing.B) {
	const people = 20
	var round int
	var took []time.Duration
	for b.Loop() {
		round++
		var sheets []string
		for n := range people {
			sheet := shoptest.Channel()
			sheet.Code, sheet.Job, sheet.Quantity = fmt.Sprintf("append%03d%08d", n, round), fmt.Sprintf("A-%d-%d", n, round), 40
			s.Issue(sheet)
			s.LetGo(sheet.Code)
			sheets = append(sheets, sheet.Code)
		}
		start := time.Now()
		var wait sync.WaitGroup
		for _, code := range sheets {
			wait.Go(func() {
				for i := range 100 {
					text := fmt.Sprintf(`{"id":"%s-%d","piece":%d,"step":%d,"measured":%d,"confirmed":true}`, code, i, i/3+1, i%3+1, []int{45, 90, 90}[i%3])
					r, err := progress.ReadReading([]byte(text))
					if err != nil {
						b.Error(err)
						return
					}
					if _, err := s.Store.AddReading(context.Background(), store.Posted{Code: code, Reading: r, Body: []byte(text)}, progress.Judge); err != nil {
						b.Error(err)
						return
					}
				}
			})
		}
		wait.Wait()
		took = append(took, time.Since(start))
	}
	b.ReportMetric(100*people/middleOf(took).Seconds(), "readings/s(middle)")
}

// middleOf gives the median, which a neighbour on the machine moves less than
// the mean.
func middleOf(took []time.Duration) time.Duration {
	slices.Sort(took)
	return took[len(took)/2]
}
