package operator_test

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"brakeside/server/internal/shoptest"
	"brakeside/traveler/standing"
)

// What comes to one sheet from one phone is bounded by what hands can do, whatever is
// sent; other phones and other sheets go on, and when the time is over so does this one.
func TestReadingsAreNoMoreThanHandsCanDo(t *testing.T) {
	s := shoptest.OpenShop(t)
	s.Decide(shoptest.ChannelCode, standing.Requantified, "9999")
	send := func(n int, from string) int {
		t.Helper()
		body := fmt.Sprintf(`{"id":"n%d","piece":%d,"step":1,"measured":45}`, n, n+1)
		r := httptest.NewRequest("POST", shoptest.ChannelReadings, strings.NewReader(body))
		r.Header.Set("Content-Type", "application/json")
		r.RemoteAddr = from
		answer, words := s.Ask(r)
		if answer.StatusCode == http.StatusTooManyRequests && (answer.Header.Get("Retry-After") != "1" || !strings.Contains(words, "than hands can do")) {
			t.Errorf("the refusal says %s, to come back after %q", words, answer.Header.Get("Retry-After"))
		}
		return answer.StatusCode
	}
	stored := 0
	for minute := range 3 {
		for range 300 {
			if send(stored, "192.0.2.1:99") == http.StatusCreated {
				stored++
			}
		}
		if want := 240 + minute*120; stored != want {
			t.Errorf("in the minute %d there are %d readings, want %d", minute, stored, want)
		}
		if got := send(5000+minute, "192.0.2.2:99"); got != http.StatusCreated {
			t.Errorf("another phone at the sheet = %d", got)
		}
		s.Later(time.Minute)
	}
	// A whole run that a phone kept, which comes back when it is told to, gets through.
	waited := time.Duration(0)
	for n := 1000; n < 1500; {
		if send(n, "192.0.2.3:99") == http.StatusCreated {
			n++
		} else {
			s.Later(time.Second)
			waited += time.Second
		}
	}
	if waited > 3*time.Minute {
		t.Errorf("a run of 500 readings takes %v", waited)
	}
}
