package web_test

import (
	"context"
	"errors"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"brakeside/server/internal/shoptest"
)

func TestPanicIsContained(t *testing.T) {
	s := shoptest.OpenShop(t)
	s.Pages = s.Guarded(func(http.ResponseWriter, *http.Request) error { panic("the secret cause") })
	answer, body := s.Get("/")
	shoptest.CheckPage(t, body)
	if answer.StatusCode != http.StatusInternalServerError || strings.Contains(body, "secret cause") || !strings.Contains(body, answer.Header.Get("X-Request-Id")) {
		t.Errorf("a panic = %d %s, want 500, the number of the request and no cause", answer.StatusCode, body)
	}
	if log := s.Logged.String(); !strings.Contains(log, "the secret cause") || !strings.Contains(log, "status=500") {
		t.Errorf("the log lacks the cause:\n%s", log)
	}
}

func TestBugIsLoggedAndNotShown(t *testing.T) {
	s := shoptest.OpenShop(t)
	s.Pages = s.Guarded(func(http.ResponseWriter, *http.Request) error { return errors.New("the secret cause") })
	r := httptest.NewRequest("GET", "/", nil)
	r.Header.Set("Accept", "application/json")
	answer, body := s.Ask(r)
	if answer.StatusCode != http.StatusInternalServerError || strings.Contains(body, "secret") || shoptest.Decode(t, body)["error"] == nil {
		t.Errorf("a bug = %d %s, want 500 as JSON and no cause", answer.StatusCode, body)
	}
	if !strings.Contains(s.Logged.String(), "the secret cause") {
		t.Error("the log lacks the cause")
	}
}

// Who goes away before the answer is no failure of the service.
func TestGoneClient(t *testing.T) {
	s := shoptest.OpenShop(t)
	r := httptest.NewRequest("POST", shoptest.ChannelReadings, strings.NewReader(`{"id":"x","piece":1,"step":1,"measured":45}`))
	ctx, cancel := context.WithCancel(r.Context())
	cancel()
	s.Ask(r.WithContext(ctx))
	if log := s.Logged.String(); strings.Contains(log, "level=ERROR") || !strings.Contains(log, "the one who asked has gone") {
		t.Errorf("the log says\n%s", log)
	}
}

// An export that breaks off is cut off: a browser must not keep half a file.
func TestAbortIsPassedOn(t *testing.T) {
	s := shoptest.OpenShop(t)
	s.Pages = s.Guarded(func(http.ResponseWriter, *http.Request) error { panic(http.ErrAbortHandler) })
	defer func() {
		if recover() != http.ErrAbortHandler {
			t.Error("the abort was swallowed")
		}
	}()
	s.Get("/")
}
