package papers

import (
	"strings"
	"testing"

	marks "brakeside/traveler/draw"
	"brakeside/traveler/internal/fixture"
	"brakeside/traveler/internal/look"
)

// crowdedLabel lists what is wrong with a label, whose margins are its own.
func crowdedLabel(page *marks.Page) []string {
	var faults []string
	for _, fault := range look.Crowded(page) {
		if strings.Contains(fault, "overlaps") {
			faults = append(faults, fault)
		}
	}
	for _, m := range page.Marks {
		b, ok := look.Bounds(m)
		if ok && (b.X < 2.9 || b.Y < 2.9 || b.Right() > page.Width-2.9 || b.Bottom() > page.Height-2.9) {
			faults = append(faults, look.ListedMark(m)+" leaves the label")
		}
	}
	return faults
}

func TestLabel(t *testing.T) {
	for name, made := range fixture.All() {
		page, err := Label(made)
		if err != nil {
			t.Fatal(err)
		}
		for _, fault := range crowdedLabel(page) {
			t.Errorf("%s: %s", name, fault)
		}
		codes := look.Each[marks.Cells](page)
		if len(codes) != 1 || codes[0].Words != made.Address || codes[0].Side < 25 {
			t.Errorf("%s: the label carries %d codes, want one of 25 mm for the job", name, len(codes))
		}
	}
	page, err := Label(fixture.Tray())
	if err != nil {
		t.Fatal(err)
	}
	words := look.Said([]*marks.Page{page})
	for _, want := range []string{"Instrument drip tray", "DT-300", "D", "J-1042", "24", "1.0 mm ALUMINIUM 5251-H22", "IN THIS BOX"} {
		if !strings.Contains(words, want) {
			t.Errorf("the label does not say %q", want)
		}
	}
	long := fixture.Tray()
	long.Job, long.Quantity, long.Part.Number, long.Part.Revision = "J-2026-11-30-000123-repeat", 1234567, "DT-300-000-111-222-333-444", "2026-11"
	if page, err = Label(long); err != nil {
		t.Fatal(err)
	}
	words = strings.ReplaceAll(look.Said([]*marks.Page{page}), "-\n", "-")
	for _, want := range []string{long.Job, "1234567", long.Part.Number, long.Part.Revision} {
		if !strings.Contains(words, want) {
			t.Errorf("the label does not say %q whole: %s", want, words)
		}
	}
	bad := fixture.Tray()
	bad.Address = "ü"
	if _, err := Label(bad); err == nil {
		t.Error("Label() of an address that no code holds = nil, want a refusal")
	}
}

func TestCard(t *testing.T) {
	for _, paper := range []string{"a4", "letter"} {
		page, err := Card(fixture.Tray().Brake, paper)
		if err != nil {
			t.Fatal(err)
		}
		for _, fault := range look.Crowded(page) {
			t.Errorf("%s: %s", paper, fault)
		}
		words := strings.ReplaceAll(look.Said([]*marks.Page{page}), "\n", " ")
		for _, want := range []string{
			"Leaf brake 2", "Bar, bed and leaf crush fingers.",
			"The machine's manual, local codes and qualified people come first.", wordsMeansNose,
			wordsMeansHatched, wordsHabitsTitle,
		} {
			if !strings.Contains(words, want) {
				t.Errorf("%s: the card does not say %q", paper, want)
			}
		}
	}
	if _, err := Card(fixture.Tray().Brake, "a3"); err == nil {
		t.Error("Card() on a3 = nil, want an error")
	}
}

func TestCutSheet(t *testing.T) {
	for name, made := range fixture.All() {
		page, err := CutSheet(CutOrder{Traveler: made})
		if err != nil {
			t.Fatal(err)
		}
		for _, fault := range look.Crowded(page) {
			t.Errorf("%s: %s", name, fault)
		}
	}
	page, err := CutSheet(CutOrder{Traveler: fixture.Tray()})
	if err != nil {
		t.Fatal(err)
	}
	words := look.Said([]*marks.Page{page})
	for _, want := range []string{
		"CUT 24", "416.1 × 326.1 mm", "both diagonals 528.7", "grain along the second size", "81 %", "1 of 3000 × 1500, 27 blanks", "1. From the sheet: strips 326.1 along the length, 9 of them",
	} {
		if !strings.Contains(words, want) {
			t.Errorf("the page for the shear does not say %q: %s", want, words)
		}
	}
	huge := fixture.Tray()
	huge.Blank.Width = fixture.MM(9000)
	if page, err = CutSheet(CutOrder{Traveler: huge}); err != nil || !strings.Contains(look.Said([]*marks.Page{page}), wordsCutNone) {
		t.Errorf("a blank larger than all sheets: %v, want a page that says so", err)
	}
	huge.Paper = "a3"
	if _, err := CutSheet(CutOrder{Traveler: huge}); err == nil {
		t.Error("CutSheet() on a3 = nil, want an error")
	}
}

// cutsOf counts the thin lines on the plan of the sheet; the table above it
// begins at the margin, the plan further in.
func cutsOf(page *marks.Page) int {
	cuts := 0
	for _, l := range look.Each[marks.Line](page) {
		if l.Pen == marks.Thin && l.X1 > look.SideEdge+1 {
			cuts++
		}
	}
	return cuts
}

// A page for the shear without a code carries none, and says when to destroy it.
func TestCutSheetWithoutACode(t *testing.T) {
	made := fixture.Tray()
	made.Code, made.Address = "", ""
	page, err := CutSheet(CutOrder{Traveler: made, Stock: []Stock{{1000, 700}}})
	if err != nil {
		t.Fatal(err)
	}
	for _, fault := range look.Crowded(page) {
		t.Error(fault)
	}
	if n := len(look.Each[marks.Cells](page)) + len(look.Each[marks.Link](page)); n != 0 {
		t.Errorf("the page has %d codes and links, want none", n)
	}
	words := look.Said([]*marks.Page{page})
	// By hand: the grain keeps 326.1 along the length, so 3 strips of 1 blank;
	// 24 pieces take 8 sheets, and 24 x 416.1 x 326.1 of 8 x 700000 is 58 %.
	for _, want := range []string{"1000 × 700", "58 %", "8 of 1000 × 700, 3 blanks from each", "Destroy this page when the drawing gets a new revision."} {
		if !strings.Contains(words, want) {
			t.Errorf("the page does not say %q", want)
		}
	}
	if strings.Contains(words, "Destroy this sheet if its revision differs from the page that the code opens.") {
		t.Error("the page speaks of a code that it does not have")
	}
}

// Blanks so small that their cuts would run together leave the cuts out.
func TestTinyBlanksAreNotDrawnOneByOne(t *testing.T) {
	made := fixture.Tray()
	made.Blank.Width, made.Blank.Height = fixture.MM(8), fixture.MM(8)
	page, err := CutSheet(CutOrder{Traveler: made})
	if err != nil {
		t.Fatal(err)
	}
	if n := cutsOf(page); n != 0 {
		t.Errorf("%d cuts are drawn, want none", n)
	}
}
