package progress

import (
	"fmt"
	"testing"

	"brakeside/calc/learn"
	"brakeside/calc/unit"
	"brakeside/traveler"
)

// meanOf is the plainest way to tell a stop, so that what is asked of it can be
// worked out by hand: the target plus the mean of what the metal sprang back.
type meanOf struct{ *traveler.Traveler }

// Carried implements Stops: these stops are not for a phone.
func (meanOf) Carried([]*Reading) *learn.Carried { return nil }

func (m meanOf) Stop(step *traveler.Step, counted []*Reading) (stop unit.Deg, why string, known bool) {
	var sprung unit.Deg
	n := 0
	for _, r := range counted {
		if r.Step == step.Number && r.Teaches() {
			sprung, n = sprung+(StopUsed(m.Traveler, *r)-r.Bend()).Deg(), n+1
		}
	}
	if n == 0 {
		return 0, "", false
	}
	return step.Target.Deg() + sprung/unit.Deg(n), fmt.Sprintf("from %d of this job", n), true
}

// The stop that is told: in tenths, as far as the leaf goes, and moved only when
// it is worth it.
func TestStopTold(t *testing.T) {
	flagged := func(r *Reading) { r.Flags = []string{FlagBarLifted} }
	cases := []struct {
		name     string
		sheet    *traveler.Traveler
		readings []Reading
		step     int
		want     unit.CentiDeg // on the scale
		why      string
	}{
		{"nothing logged", sheet(5), nil, 1, 9200, "as printed"},
		{"no such step", sheet(5), firstPiece(), 99, 0, ""},
		{"one on target", sheet(5), firstPiece(), 1, 9200, "as printed"},
		{"off by 0.3", sheet(5), []Reading{reading(1, 1, 8970)}, 1, 9200, "as printed"},
		{"off by more", sheet(5), []Reading{reading(1, 1, 8960)}, 1, 9240, "from 1 of this job"},
		{"in tenths", sheet(5), []Reading{reading(1, 1, 8846)}, 1, 9350, "from 1 of this job"},
		{"in tenths of a scale with a zero", onOpening(sheet(5), 105), []Reading{reading(1, 1, 8846)}, 1, 8750, "from 1 of this job"},
		{"another step's reading", sheet(5), []Reading{reading(1, 1, 8850)}, 2, 4700, "as printed"},
		{"a flagged reading teaches nothing", sheet(5), []Reading{reading(1, 1, 8850).with(flagged)}, 1, 9200, "as printed"},
		{"a reading that was corrected", sheet(5), []Reading{reading(1, 1, 8850), reading(1, 1, 8980).with(correcting("r-1-1-8850"))}, 1, 9200, "as printed"},
		{"a stop that proved right stays", sheet(5), []Reading{reading(1, 1, 8850), reading(2, 1, 8980).with(stop(9350))}, 1, 9350, "from 2 of this job"},
		{"it stays where it was last set", sheet(5), []Reading{reading(1, 1, 8850), reading(2, 1, 9000).with(stop(9330))}, 1, 9330, "from 2 of this job"},
		{"down again", sheet(5), []Reading{reading(1, 1, 8850), reading(2, 1, 9150).with(stop(9350))}, 1, 9280, "from 2 of this job"},
		{"the leaf's limit", sheet(5), []Reading{reading(1, 1, 8850).with(stop(12950))}, 1, 13000, "from 1 of this job"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			if got := DueAt(logged(c.sheet, c.readings...), bendAt(4, c.step)); got.Stop != c.want || got.Why != c.why {
				t.Errorf("%s: told %v %q, want %v %q", c.name, got.Stop, got.Why, c.want, c.why)
			}
			plain := logged(c.sheet, c.readings...)
			plain.Stops = nil
			if got := DueAt(plain, bendAt(4, 1)); got.Stop != c.sheet.Steps[0].Stop || got.Why != "as printed" {
				t.Errorf("%s: nobody knows more than is printed, and %v %q is told", c.name, got.Stop, got.Why)
			}
		})
	}
}
