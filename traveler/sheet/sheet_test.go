package sheet

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"
	"sync"
	"testing"

	"brakeside/traveler"
	"brakeside/traveler/canvas"
	marks "brakeside/traveler/draw"
	"brakeside/traveler/internal/fixture"
	"brakeside/traveler/internal/look"
	"brakeside/traveler/letter"
	"brakeside/traveler/pdf"
	"brakeside/traveler/phrase"
)

// laidOut is a fixture with its pages.
type laidOut struct {
	*traveler.Traveler
	pages []*marks.Page
}

// laid lays all fixtures out once for the tests that only look at them.
var laid = sync.OnceValues(func() (map[string]laidOut, error) {
	made := map[string]laidOut{}
	for name, t := range fixture.All() {
		pages, err := Pages(t)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		made[name] = laidOut{t, pages}
	}
	return made, nil
})

func everySheet(t *testing.T) map[string]laidOut {
	t.Helper()
	made, err := laid()
	if err != nil {
		t.Fatal(err)
	}
	return made
}

func pagesOf(t testing.TB, from *traveler.Traveler) []*marks.Page {
	t.Helper()
	pages, err := Pages(from)
	if err != nil {
		t.Fatalf("Pages(%s) = %v", from.Part.Number, err)
	}
	return pages
}

func written(t testing.TB, from *traveler.Traveler) []byte {
	t.Helper()
	doc, err := Document(from)
	if err != nil {
		t.Fatalf("Document(%s) = %v", from.Part.Number, err)
	}
	var file bytes.Buffer
	if err := pdf.Write(&file, doc); err != nil {
		t.Fatalf("pdf.Write(%s) = %v", from.Part.Number, err)
	}
	return file.Bytes()
}

func TestSameTravelerSameBytes(t *testing.T) {
	for name, made := range fixture.All() {
		if one, two := written(t, made), written(t, made); !bytes.Equal(one, two) {
			t.Errorf("%s: two PDF files of one traveler differ", name)
		}
	}
}

func TestPagesRefuses(t *testing.T) {
	cases := []struct {
		name   string
		change func(*traveler.Traveler)
	}{
		{"a paper it does not know", func(t *traveler.Traveler) { t.Paper = "a3" }},
		{"an address with letters no code holds", func(t *traveler.Traveler) { t.Address = "http://brücke/t/X" }},
		{"an address too long for any code", func(t *traveler.Traveler) { t.Address = "http://" + strings.Repeat("x", 4000) }},
		{"no address", func(t *traveler.Traveler) { t.Address = "" }},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			made := fixture.Bracket()
			c.change(made)
			if pages, err := Pages(made); err == nil {
				t.Errorf("Pages() = %d pages, want an error", len(pages))
			}
		})
	}
}

func TestDocumentFields(t *testing.T) {
	doc, err := Document(fixture.Bracket())
	if err != nil {
		t.Fatal(err)
	}
	if want := "RB-118 revision C, Rail end stop, offset bracket, job J-1042"; doc.Title != want {
		t.Errorf("Title = %q, want %q", doc.Title, want)
	}
	if want := "Robin Demo, Drip & Rail Metalwork"; doc.Author != want {
		t.Errorf("Author = %q, want %q", doc.Author, want)
	}
	if got, want := doc.Created.Format("2006-01-02 15:04:05 MST"), "2026-05-04 09:30:00 UTC"; got != want {
		t.Errorf("Created = %s, want %s", got, want)
	}
	undated := fixture.Bracket()
	undated.IssuedAt = "yesterday"
	if _, err := Document(undated); err == nil {
		t.Error("Document() with no moment of issue = nil, want an error")
	}
}

// The limits of pages, with the table for hand entry of 24 pieces: on A4 two for two
// bends and three up to six. A letter page is shorter by half a row of a bend.
func TestPageLimits(t *testing.T) {
	limits := map[string]int{
		"bracket on a4": 2, "tray on a4": 3, "four on a4": 3, "cover on a4": 3, "eight on a4": 4,
		"bracket on letter": 3, "tray on letter": 3, "four on letter": 3, "cover on letter": 4, "eight on letter": 4,
	}
	sheets := everySheet(t)
	for name, limit := range limits {
		if got := len(sheets[name].pages); got == 0 || got > limit {
			t.Errorf("%s: %d pages, want at most %d", name, got, limit)
		}
	}
}

func TestNothingOverlapsOrLeavesThePage(t *testing.T) {
	for name, made := range everySheet(t) {
		for i, page := range made.pages {
			for _, fault := range look.Crowded(page) {
				t.Errorf("%s, page %d: %s", name, i+1, fault)
			}
		}
	}
}

// No text is wider than the box it was laid out in, and no writer has to
// shrink it.
func TestTextFitsItsBox(t *testing.T) {
	for name, made := range everySheet(t) {
		for i, page := range made.pages {
			for _, m := range look.Each[marks.Text](page) {
				if wide := letter.Width(m.Words, m.Face, m.Size); m.MaxWidth > 0 && wide > m.MaxWidth+1e-6 {
					t.Errorf("%s, page %d: %q is %.2f wide, its box %.2f", name, i+1, m.Words, wide, m.MaxWidth)
				}
			}
		}
	}
}

// Nothing is set smaller than 9 points, but words that nobody would call a name,
// which are set finer rather than cut.
func TestLeastSizes(t *testing.T) {
	for name, made := range everySheet(t) {
		least := 9.0
		if strings.HasPrefix(name, "strange") {
			least = 5
		}
		for i, page := range made.pages {
			for _, m := range page.Marks {
				switch m := m.(type) {
				case marks.Text:
					if m.Size < least*canvas.MillimetresPerPoint-1e-9 {
						t.Errorf("%s, page %d: %q is set at %.1f points, want at least %g", name, i+1, m.Words, m.Size/canvas.MillimetresPerPoint, least)
					}
				case marks.Path:
					if m.Fill == marks.Light {
						t.Errorf("%s, page %d: a grey under 40 %%", name, i+1)
					}
				}
			}
		}
	}
}

// Step numbers are at least 10 mm high and stop angles at least 7 mm.
func TestTallNumbers(t *testing.T) {
	for name, made := range everySheet(t) {
		numbers, stops := map[string]float64{}, map[string]float64{}
		for _, page := range made.pages {
			for _, m := range look.Each[marks.Text](page) {
				if m.White {
					numbers[m.Words] = max(numbers[m.Words], m.Size*canvas.CapHeight)
				}
				stops[m.Words] = max(stops[m.Words], m.Size*canvas.CapHeight)
			}
		}
		for _, s := range made.Steps {
			if got := numbers[strconv.Itoa(s.Number)]; got < 10 {
				t.Errorf("%s: the number of step %d is %.1f mm high, want 10", name, s.Number, got)
			}
			if got := stops[phrase.Angle(s.Stop)]; got < 7 {
				t.Errorf("%s: stop %s of step %d is %.1f mm high, want 7", name, phrase.Angle(s.Stop), s.Number, got)
			}
		}
	}
}

// A row is whole: what it tells stands on the page of its bookmark.
func TestRowsAreWhole(t *testing.T) {
	for name, made := range everySheet(t) {
		next := 0
		for i, page := range made.pages {
			stops := 0
			for _, m := range look.Each[marks.Text](page) {
				if m.Words == wordsStop {
					stops++
				}
			}
			rows := 0
			for _, m := range look.Each[marks.Bookmark](page) {
				if next < len(made.Steps) && m.Words == phrase.Bookmark(made.Steps[next]) {
					rows++
					next++
				}
			}
			if stops != rows {
				t.Errorf("%s, page %d: %d rows begin and %d stops are printed", name, i+1, rows, stops)
			}
		}
		if next != len(made.Steps) {
			t.Errorf("%s: %d of %d steps have a bookmark in their order", name, next, len(made.Steps))
		}
	}
}

func TestWhatTheSheetSays(t *testing.T) {
	words := look.Said(pagesOf(t, fixture.Cover()))
	words += strings.ReplaceAll(words, "\n", " ") // what takes two lines
	for _, want := range []string{
		"Lamp rail cover with turned-in lips", "LC-640", "B2", "J-1042", "24",
		"STAINLESS STEEL 304", "2B", "1.2 mm", "THICKNESS", "MEASURED", "does not stick",
		"Lay the blank as drawn: face A up, its lower edge towards you.", "on Leaf brake 2", "OUTSIDE, ±0.5 mm",
		"620.0 × 265.7 mm", "both diagonals 674.5", "FACE A UP, marked", "GRAIN", "scale 1:8",
		"STOP", "opening", "88.0°", "→ part 90.0° ±1.0", "(opening 90.0°)", "133.0°", "→ part 45.0° ±1.0", "(opening 135.0°)",
		"TURN OVER front to back: face B up", "ROTATE 180", "CHANGE BAR to wide", "TAKE THE LEAF EXTENSION OFF",
		"NOSE SETBACK", "NOSE LINE", "217.5", "CHECK", "OUTSIDE of leg p1", "first", "last", "L", "R",
		"stop zero: leaf flat reads 180.0° (opening)", "blank deburred; bed, bar clean", "cautions read", "magnet on: bar does not shift",
		"WARNING", "CAUTION", "NOTICE", "AM7G TGG2 7A84 PE74", fixture.Cover().Address,
		"Destroy this sheet if its revision differs from the page that the code opens.",
		"The machine's manual, local codes and qualified people come first.", "page 3 of 3",
		"issued 2026-05-04 09:30 UTC",
	} {
		if !strings.Contains(words, want) {
			t.Errorf("the sheet does not say %q", want)
		}
	}
	for _, never := range []string{"0.42", "K-factor", "420"} {
		if strings.Contains(words, never) {
			t.Errorf("the sheet says %q, which is of no use at the brake", never)
		}
	}
}

// All cautions of a step are printed, the gravest on top.
func TestAllCautionsOfAStep(t *testing.T) {
	words := look.Said(pagesOf(t, fixture.Cover()))
	grave, less := strings.Index(words, "The closed shape traps fingers"), strings.Index(words, "Slide the bar out endwise")
	if grave < 0 || less < 0 {
		t.Errorf("step 6 must print its warning and its notice: %d, %d", grave, less)
	}
	var above, below float64
	for _, page := range pagesOf(t, fixture.Cover()) {
		for _, m := range look.Each[marks.Text](page) {
			if strings.HasPrefix(m.Words, "The closed shape traps") {
				above = m.Y
			}
			if strings.HasPrefix(m.Words, "Slide the bar out endwise") {
				below = m.Y
			}
		}
	}
	if above == 0 || above >= below {
		t.Errorf("the warning stands at %.1f, the notice at %.1f", above, below)
	}
}

// The general cautions stand once on the sheet, and those
// on the magnet only where one holds the bars.
func TestSafetyIsPrintedOnce(t *testing.T) {
	for name, made := range everySheet(t) {
		if got := strings.Count(strings.ReplaceAll(look.Said(made.pages), "\n", " "), "Bar, bed and leaf crush fingers."); got != 1 {
			t.Errorf("%s: the general cautions are printed %d times", name, got)
		}
	}
	plain := fixture.Bracket()
	plain.Brake.Magnet = false
	words := look.Said(pagesOf(t, plain))
	if strings.Contains(words, "0.5 mT") || strings.Contains(words, "magnet on") {
		t.Error("a brake without a magnet warns of magnets")
	}
	if words := look.Said(pagesOf(t, fixture.Bracket())); !strings.Contains(words, "0.5 mT") || !strings.Contains(words, "emfs.info") {
		t.Error("the sheet of a magnet brake must name the field limit and where it comes from")
	}
}
