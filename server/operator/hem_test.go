package operator_test

import (
	"strings"
	"testing"

	"brakeside/server/internal/shoptest"
	"brakeside/traveler"
)

// What the leaf begins and the bar presses flat keeps no angle: no tolerance stands
// beside it, as on the sheet. A bend has one.
func TestHemHasNoAngleTolerance(t *testing.T) {
	for name, make := range map[string]func(*traveler.Step){
		"a hem":                      func(s *traveler.Step) { s.Flattening = &traveler.Flattening{Face: "edge", Onto: "web"} },
		"a hem of an older sheet":    func(s *traveler.Step) { s.Flatten = "Press the edge flat." },
		"a bend that is not pressed": func(*traveler.Step) {},
	} {
		s := shoptest.OpenShop(t)
		sheet := shoptest.Channel()
		sheet.Code, sheet.Job = shoptest.OldCode, "J-2001"
		make(&sheet.Steps[0])
		s.Issue(sheet)
		_, page := s.Get("/t/" + sheet.Code + "/1")
		words := shoptest.WordsIn(shoptest.Parsed(t, page))
		if got, want := strings.Contains(words, "± 1.0°"), !strings.Contains(name, "hem"); got != want {
			t.Errorf("%s: a tolerance stands on the page: %v, want %v", name, got, want)
		}
		if !strings.Contains(words, "target 45.0°") {
			t.Errorf("%s: the page lacks its angle: %s", name, words)
		}
	}
}
