package server_test

import (
	"context"
	"errors"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"strings"
	"testing"
	"time"

	"brakeside/server/internal/shoptest"
)

// Every wait of the service has an end, and none is longer than a phone on a
// bad network needs.
func TestEveryWaitHasAnEnd(t *testing.T) {
	running := shoptest.OpenShop(t).Server.HTTP()
	for name, limit := range map[string]time.Duration{
		"the header": running.ReadHeaderTimeout, "the whole request": running.ReadTimeout,
		"the answer": running.WriteTimeout, "the next request": running.IdleTimeout,
	} {
		if limit <= 0 || limit > 2*time.Minute {
			t.Errorf("waiting for %s ends after %v, want some time up to two minutes", name, limit)
		}
	}
	if running.MaxHeaderBytes <= 0 || running.MaxHeaderBytes > 64<<10 {
		t.Errorf("a header may have %d bytes", running.MaxHeaderBytes)
	}
}

// slowShop serves a shop that waits for a moment only.
func slowShop(t *testing.T) (s *shoptest.Shop, host string) {
	t.Helper()
	s = shoptest.OpenShop(t)
	web := httptest.NewUnstartedServer(nil)
	web.Config = s.Server.HTTP()
	web.Config.ReadHeaderTimeout, web.Config.ReadTimeout, web.Config.IdleTimeout = 200*time.Millisecond, 200*time.Millisecond, 200*time.Millisecond
	web.Start()
	t.Cleanup(web.Close)
	return s, web.Listener.Addr().String()
}

// dribble connects, sends no more than the beginning of a request, and gives
// what the service says before it hangs up.
func dribble(t *testing.T, host, beginning string) string {
	t.Helper()
	conn, err := net.Dial("tcp", host)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close()
	if err := conn.SetDeadline(time.Now().Add(shoptest.Patience)); err != nil {
		t.Fatal(err)
	}
	if _, err := io.WriteString(conn, beginning); err != nil {
		t.Fatal(err)
	}
	said, err := io.ReadAll(conn)
	if errors.Is(err, os.ErrDeadlineExceeded) {
		t.Errorf("after %.40q the service holds the line for ever", beginning)
	}
	return string(said)
}

// Clients that stop in the middle are hung up on. What they had begun is not
// stored, and whoever comes meanwhile is served.
func TestSlowClients(t *testing.T) {
	s, host := slowShop(t)
	head := "POST " + shoptest.ChannelReadings + " HTTP/1.1\r\nHost: " + host + "\r\nContent-Type: "
	cases := []struct{ name, beginning, want string }{
		{"says nothing", "", ""},
		{"stops in the first line", "GET /t/", ""},
		{"stops in the header", head + "application/js", ""},
		{"sends no body", head + "application/json\r\nContent-Length: 60\r\n\r\n", "HTTP/1.1 400"},
		{"stops in the body", head + "application/json\r\nContent-Length: 60\r\n\r\n" + `{"id":"slow","piece":1,`, "HTTP/1.1 400"},
		{"stops in a form", head + shoptest.FormType + "\r\nContent-Length: 60\r\n\r\nid=slow&piece=1&step=1&meas", "HTTP/1.1 400"},
		{"stops in a piece of unknown size", head + "application/json\r\nTransfer-Encoding: chunked\r\n\r\n20\r\n{\"id\":\"slow\"", "HTTP/1.1 400"},
		{"goes idle after a page", "GET /healthz HTTP/1.1\r\nHost: " + host + "\r\n\r\n", "HTTP/1.1 200"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			if said := dribble(t, host, c.beginning); !strings.HasPrefix(said, c.want) || c.want == "" && strings.HasPrefix(said, "HTTP/1.1 2") {
				t.Errorf("the service says %.200q, want %q and the end", said, c.want)
			}
		})
	}
	if readings, err := s.Store.Readings(context.Background(), shoptest.ChannelCode); err != nil || len(readings) != 0 {
		t.Errorf("stored %v, %v; want nothing", readings, err)
	}
}

// Two hundred lines that are held open by others do not keep a phone waiting.
func TestHeldLinesKeepNobodyWaiting(t *testing.T) {
	s := shoptest.OpenShop(t)
	web := httptest.NewUnstartedServer(nil)
	web.Config = s.Server.HTTP()
	web.Start()
	defer web.Close()
	for range 200 {
		conn, err := net.Dial("tcp", web.Listener.Addr().String())
		if err != nil {
			t.Fatal(err)
		}
		defer conn.Close()
		if _, err := io.WriteString(conn, "POST "+shoptest.ChannelReadings+" HTTP/1.1\r\nHost: x\r\nContent-Length: 60\r\n\r\n{"); err != nil {
			t.Fatal(err)
		}
	}
	answer, err := http.Post(web.URL+shoptest.ChannelReadings, "application/json", strings.NewReader(`{"id":"good","piece":1,"step":1,"measured":45}`))
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	if answer.StatusCode != http.StatusCreated {
		t.Errorf("a reading among slow clients = %d, want 201", answer.StatusCode)
	}
}

// A request that is sent again, whole and later, by whoever has seen it, adds
// nothing: the readings stay as they were, whatever became of the sheet.
func TestReplays(t *testing.T) {
	s := shoptest.OpenShop(t)
	const reading = `{"id":"r1","piece":1,"step":1,"measured":45.2,"by":"AB"}`
	const undo = `{"id":"r2","piece":1,"step":1,"measured":45.2,"corrects":"r1","flags":["withdrawn"]}`
	photo, picture := shoptest.PhotoFields(nil), shoptest.JpegPhoto(t)
	s.Record(shoptest.ChannelCode, reading)
	s.Record(shoptest.ChannelCode, undo)
	s.Ask(shoptest.PhotoRequest(t, shoptest.ChannelPhotos, photo, picture))
	s.Decide(shoptest.ChannelCode, "voided", "wrong part")
	replays := []struct {
		name string
		ask  func() int
		want int
	}{
		{"a reading", func() int { a, _ := s.PostJSON(shoptest.ChannelReadings, reading); return a.StatusCode }, 200},
		{"its taking back", func() int { a, _ := s.PostJSON(shoptest.ChannelReadings, undo); return a.StatusCode }, 200},
		{"a reading with another angle", func() int {
			a, _ := s.PostJSON(shoptest.ChannelReadings, strings.Replace(reading, "45.2", "45.3", 1))
			return a.StatusCode
		}, 409},
		{"a reading on another sheet", func() int { a, _ := s.PostJSON("/t/"+shoptest.TrayCode+"/readings", reading); return a.StatusCode }, 409},
		{"a taking back of another reading", func() int {
			a, _ := s.PostJSON(shoptest.ChannelReadings, strings.Replace(undo, `"r1"`, `"r9"`, 1))
			return a.StatusCode
		}, 409},
		{"a photo", func() int {
			a, _ := s.Ask(shoptest.PhotoRequest(t, shoptest.ChannelPhotos, photo, picture))
			return a.StatusCode
		}, 303},
	}
	for _, c := range replays {
		if got := c.ask(); got != c.want {
			t.Errorf("%s again = %d, want %d", c.name, got, c.want)
		}
	}
	ctx := context.Background()
	readings, err := s.Store.Readings(ctx, shoptest.ChannelCode)
	photos, err2 := s.Store.Photos(ctx, shoptest.ChannelCode)
	if err != nil || err2 != nil || len(readings) != 2 || len(photos) != 1 {
		t.Errorf("%d readings and %d photos, %v, %v; want 2 and 1", len(readings), len(photos), err, err2)
	}
}

// A request of two lengths may hide another one; it is not taken at all.
func TestTwoLengths(t *testing.T) {
	s, host := slowShop(t)
	hidden := `{"id":"hidden","piece":1,"step":1,"measured":45}`
	said := dribble(t, host, "POST "+shoptest.ChannelReadings+" HTTP/1.1\r\nHost: "+host+"\r\nContent-Type: application/json\r\nContent-Length: 2\r\nContent-Length: 48\r\n\r\n"+hidden)
	if !strings.HasPrefix(said, "HTTP/1.1 400") {
		t.Errorf("two lengths = %.100q, want 400", said)
	}
	if readings, err := s.Store.Readings(context.Background(), shoptest.ChannelCode); err != nil || len(readings) > 0 {
		t.Errorf("stored %v, %v; want nothing", readings, err)
	}
}
