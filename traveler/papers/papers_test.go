package papers

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"brakeside/traveler"
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

// The counts are worked out by hand: floor of length over strip, times floor of
// width over blank.
func TestNests(t *testing.T) {
	made := func(width, height float64, grain string, quantity int) *traveler.Traveler {
		return &traveler.Traveler{
			Quantity: quantity, Part: traveler.Part{Grain: grain},
			Blank: traveler.Blank{Width: fixture.MM(width), Height: fixture.MM(height)},
		}
	}
	cases := []struct {
		name   string
		of     *traveler.Traveler
		number int    // ways to shear
		best   string // the first of them
	}{
		{"exactly two strips of one", made(1000, 1000, "", 2), 8, "2000 × 1000: 2 (2 strips of 1), 1 sheets, 100 %"},
		{"grain along x", made(500, 200, "x", 20), 4, "2000 × 1000: 20 (4 strips of 5), 1 sheets, 100 %"},
		{"grain along y", made(200, 500, "y", 20), 4, "2000 × 1000: 20 (4 strips of 5), 1 sheets, 100 %"},
		{"only the long sheet", made(2900, 100, "x", 1), 1, "3000 × 1500: 15 (1 strips of 15), 1 sheets, 6 %"},
		{"larger than all", made(4000, 100, "", 1), 0, ""},
		{"wider than all with its grain", made(100, 2000, "x", 1), 0, ""},
		{"no size", made(0, 0, "", 1), 0, ""},
		{"no quantity counts as one", made(1000, 1000, "x", 0), 4, "2000 × 1000: 2 (2 strips of 1), 1 sheets, 50 %"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			list := CutOrder{Traveler: c.of}.nests()
			if len(list) != c.number {
				t.Fatalf("nests() = %d ways, want %d", len(list), c.number)
			}
			if len(list) == 0 {
				return
			}
			w := nestWords(list[0])
			if got := fmt.Sprintf("%s: %s, %s sheets, %s", w[0], w[1], w[2], w[3]); got != c.best {
				t.Errorf("the best is %q, want %q", got, c.best)
			}
		})
	}
}

// No way to shear gives more metal than it takes, and the best comes first.
func TestNestsAreOrderedAndPossible(t *testing.T) {
	for name, made := range fixture.All() {
		last := math.Inf(1)
		for _, n := range (CutOrder{Traveler: made}).nests() {
			if n.yield > 1+1e-9 || n.yield <= 0 || n.yield > last {
				t.Errorf("%s: a yield of %.3f after %.3f", name, n.yield, last)
			}
			if n.sheets*n.pieces() < made.Quantity || (n.sheets-1)*n.pieces() >= made.Quantity {
				t.Errorf("%s: %d sheets of %d for %d pieces", name, n.sheets, n.pieces(), made.Quantity)
			}
			last = n.yield
		}
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
		"CUT 24", "416.1 × 326.1 mm", "both diagonals 528.7", "grain along the second size", "12 (6 strips of 2)", "81 %",
	} {
		if !strings.Contains(words, want) {
			t.Errorf("the page for the shear does not say %q", want)
		}
	}
	best := CutOrder{Traveler: fixture.Tray()}.nests()[0]
	if got, want := cutsOf(page), best.strips-1+best.each-1; got != want {
		t.Errorf("%d cuts are drawn, want %d for %d strips of %d blanks", got, want, best.strips, best.each)
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
	for _, want := range []string{"1000 × 700", "3 (3 strips of 1)", "58 %", "Destroy this page when the drawing gets a new revision."} {
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
