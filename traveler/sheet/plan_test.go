package sheet

import (
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"brakeside/calc"
	"brakeside/calc/brake"
	"brakeside/calc/part"
	"brakeside/calc/unit"
	"brakeside/testdata/suite"
	"brakeside/traveler"
	marks "brakeside/traveler/draw"
	"brakeside/traveler/internal/fixture"
	"brakeside/traveler/internal/look"
	"brakeside/traveler/phrase"
	"brakeside/traveler/view"
)

// planned freezes the parts of the planner's suite that its brake can bend.
func planned(t *testing.T) map[string]*traveler.Traveler {
	t.Helper()
	file, err := os.ReadFile("../../testdata/suite/brake.json")
	if err != nil {
		t.Fatal(err)
	}
	on, err := brake.Read(file)
	if err != nil {
		t.Fatal(err)
	}
	paths, err := filepath.Glob("../../testdata/suite/parts/*.json")
	if err != nil || len(paths) == 0 {
		t.Fatalf("no parts in the suite: %v", err)
	}
	made := map[string]*traveler.Traveler{}
	for _, path := range paths {
		file, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		p, err := part.Read(file)
		if err != nil {
			t.Fatalf("%s: %v", path, err)
		}
		if !suite.Possible(t, p, on) {
			continue
		}
		plan, err := calc.Work(p, on, calc.Options{Quantity: 12})
		if err != nil {
			t.Fatalf("%s: %v", path, err)
		}
		frozen, err := traveler.Freeze(plan, traveler.Issue{
			Code: fixture.Letters(p.Number), Base: fixture.Host, Shop: "Drip & Rail Metalwork", Job: "J-7",
			IssuedAt: "2026-05-04T09:30:00Z", IssuedBy: "Robin Demo", Paper: "letter",
		})
		if err != nil {
			t.Fatalf("%s: %v", path, err)
		}
		made[p.Number] = frozen
	}
	return made
}

// What the real planner makes fits the sheet: nothing overlaps, the page limits
// hold, the blank is drawn to its numbers, and each part is seen folded.
func TestPlannedParts(t *testing.T) {
	made := planned(t)
	if len(made) < 5 {
		t.Fatalf("%d parts of the suite can be bent, want at least 5", len(made))
	}
	for number, frozen := range made {
		pages := pagesOf(t, frozen)
		limit := 3
		if len(frozen.Steps) <= 3 {
			limit = 2
		}
		if len(pages) > limit+1 {
			t.Errorf("%s: %d pages for %d bends, want at most %d and the table", number, len(pages), len(frozen.Steps), limit)
		}
		for i, page := range pages {
			for _, fault := range look.Crowded(page) {
				t.Errorf("%s, page %d: %s", number, i+1, fault)
			}
		}
		readBack(t, pages[0], frozen.Blank)
		if view.Fitted(frozen.Finished, 60, 40).Empty() {
			t.Errorf("%s: the finished part cannot be shown", number)
		}
		words := look.Said(pages)
		for _, s := range frozen.Steps {
			for _, want := range []string{phrase.Angle(s.Stop), phrase.GaugeSize(frozen.Blank, s).Text(1), strconv.Itoa(s.Number)} {
				if !strings.Contains(words, want) {
					t.Errorf("%s: the sheet does not say %q of step %d", number, want, s.Number)
				}
			}
		}
	}
}

// Every nose line of a plan is drawn, and named at the edge of the blank.
func TestPlannedNoseLines(t *testing.T) {
	for number, frozen := range planned(t) {
		page := pagesOf(t, frozen)[0]
		d := readBack(t, page, frozen.Blank)
		words := look.Said([]*marks.Page{page})
		for _, l := range frozen.Blank.Lines {
			if !d.has(page, marks.NoseLine, [2]traveler.Point{l.Nose[0], l.Nose[0]}, 0.1*d.times) {
				t.Errorf("%s: the nose line of %s is not drawn where it lies", number, l.Bend)
			}
			at := l.Nose[0].X
			if l.Nose[0].Y == l.Nose[1].Y {
				at = l.Nose[0].Y
			}
			if want := phrase.NoseSize(l.Step, unit.Metric.Bare(at)); !strings.Contains(words, want) {
				t.Errorf("%s: no running size says %q", number, want)
			}
		}
	}
}

// Who cuts and bends reads on the sheet which corners are cut otherwise than the
// part is drawn; a part that is cut as drawn says nothing of it.
func TestCutToFitIsPrinted(t *testing.T) {
	for _, test := range []struct {
		part string
		want string
	}{
		{"mitred-frame", "left lip, right lip, front lip, back lip mitred at 45.0 degrees"},
		{"tabbed-tray", ""},
	} {
		file, err := os.ReadFile("../../testdata/parts/" + test.part + ".json")
		if err != nil {
			t.Fatal(err)
		}
		plan := suite.Work(t, suite.Read(t, file), suite.Brake(t), calc.Options{})
		frozen, err := traveler.Freeze(plan, traveler.Issue{Code: fixture.Letters(test.part), Base: fixture.Host, IssuedAt: "2026-05-04T09:30:00Z"})
		if err != nil {
			t.Fatalf("%s: %v", test.part, err)
		}
		said := strings.Join(strings.Fields(look.Said(pagesOf(t, frozen))), " ")
		if got := strings.Contains(said, "Cut to fit"); got != (test.want != "") || !strings.Contains(said, test.want) {
			t.Errorf("%s: the sheet says of cutting to fit: %v, want %q", test.part, got, test.want)
		}
	}
}
