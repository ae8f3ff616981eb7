package server_test

import (
	"net/http"
	"strings"
	"testing"

	"brakeside/server/internal/shoptest"
)

// Every page in every state is whole, labelled and without script of its own.
func TestOfficeSamples(t *testing.T) {
	for _, fill := range shoptest.Shops {
		s, session, samples := fill(t)
		for _, v := range samples {
			t.Run(v.Name, func(t *testing.T) { sampleIsWhole(t, s, v, session) })
		}
		if log := s.Logged.String(); strings.Contains(log, "level=ERROR") {
			t.Errorf("the log holds errors:\n%s", log)
		}
	}
}

func sampleIsWhole(t *testing.T, s *shoptest.Shop, v shoptest.Sample, session *http.Cookie) {
	answer, body := s.AnswerTo(v, session)
	if answer.StatusCode != max(v.Status, http.StatusOK) {
		t.Fatalf("%s = %d: %s", v.Path, answer.StatusCode, shoptest.WordsIn(shoptest.Parsed(t, body)))
	}
	shoptest.CheckPage(t, body)
	if strings.Contains(body, "<b>&amp;amp;") && strings.Contains(body, "<b>&") {
		t.Error("a name stands in the page as markup")
	}
}
