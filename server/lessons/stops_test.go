package lessons

import (
	"encoding/json"
	"fmt"
	"log/slog"
	"testing"

	"brakeside/calc/unit"
	"brakeside/traveler/progress"
)

// What a phone takes along is of the steps and the pack of its sheet, says where the
// stops stand as the service does, and is small however many people read.
func TestStopsCarried(t *testing.T) {
	b := newBench(t)
	past := b.issue("mild-steel", 150)
	for i := range 36 {
		b.log(past, i+1, 1, 89+float64(i%3), fmt.Sprintf(`,"by":"P%d","tool":"T%d"`, i%12, i%12))
	}
	s := b.issue("mild-steel", 150)
	stops := NewStops(b.book(), slog.New(slog.DiscardHandler)).Newest(s.Traveler)
	c := stops.Carried(nil)
	if c == nil || len(c.Bends) != 2 || c.Pack != "sheet "+s.Code || !c.OfJob || c.Taught != 0 {
		t.Fatalf("carried: %+v", c)
	}
	for i := range s.Steps {
		step := &s.Steps[i]
		at := c.Bends[step.Number]
		want, _, known := stops.Stop(step, nil)
		if got := step.Target.Deg(); !known || !near(want, got+unit.Deg(at.Usual+c.Means[0]+at.Share*c.Means[at.Metal]), 1e-5) {
			t.Errorf("step %d is told at %v, carried %+v of %v", step.Number, want, at, c.Means)
		}
	}
	if text, err := json.Marshal(c); err != nil || len(text) > 4<<10 {
		t.Errorf("%d bytes are carried, %v; want at most 4 KB", len(text), err)
	}
	stop := s.Steps[0].Stop
	named := progress.Reading{ID: "x", Piece: 1, Step: 1, Measured: 8900, GivenAs: "bend", State: "as-bent", Stop: &stop, StopBend: stop, Pack: "P-9"}
	if c := stops.Carried([]*progress.Reading{&named}); c.Pack != "P-9" || c.OfJob || c.Taught != 1 {
		t.Errorf("bent from P-9: carried %+v", c)
	}
	unknown := b.issue("unobtainable", 150)
	if c := NewStops(b.book(), slog.New(slog.DiscardHandler)).Newest(unknown.Traveler).Carried(nil); c != nil {
		t.Errorf("of an unknown material %+v is carried", c)
	}
}
