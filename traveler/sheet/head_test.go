package sheet

import (
	"strings"
	"testing"

	"brakeside/traveler/canvas"
	marks "brakeside/traveler/draw"
	"brakeside/traveler/internal/fixture"
	"brakeside/traveler/internal/look"
	"brakeside/traveler/phrase"
)

// largest gives the size in which words are set on a page, 0 for never.
func largest(page *marks.Page, words string) float64 {
	size := 0.0
	for _, m := range look.Each[marks.Text](page) {
		if m.Words == words {
			size = max(size, m.Size)
		}
	}
	return size
}

// The revision is the largest thing on every page: a letter 20 mm high.
func TestRevisionIsTheLargest(t *testing.T) {
	for i, page := range pagesOf(t, fixture.Bracket()) {
		revision := largest(page, "C")
		if got := revision * canvas.CapHeight; got < 20-1e-9 {
			t.Errorf("page %d: the revision is %.1f mm high, want 20", i+1, got)
		}
		for _, m := range look.Each[marks.Text](page) {
			if m.Words != "C" && m.Size >= revision {
				t.Errorf("page %d: %q is set as large as the revision", i+1, m.Words)
			}
		}
	}
}

// Letters that hang below the line stay in the revision's frame, and a long
// revision is set in lines rather than cut.
func TestOddRevisions(t *testing.T) {
	for _, revision := range []string{"g", "Qj", "12", "B2-draft", "REV-2026-05", ""} {
		made := fixture.Bracket()
		made.Part.Revision = revision
		for i, page := range pagesOf(t, made) {
			for _, fault := range look.Crowded(page) {
				t.Errorf("revision %q, page %d: %s", revision, i+1, fault)
			}
			joined := strings.ReplaceAll(look.Said([]*marks.Page{page}), "\n", "")
			if !strings.Contains(joined, revision) {
				t.Errorf("revision %q is cut on page %d", revision, i+1)
			}
		}
	}
}

func TestTitleIsOneLineOrTwo(t *testing.T) {
	cases := []struct {
		name, title string
		lines       int
	}{
		{"short", "Drip tray", 1},
		{"long", "Lower half of the drip tray for the instrument rack, with feet", 2},
		{"far too long", strings.Repeat("drip tray ", 40), 4},
	}
	for _, c := range cases {
		made := fixture.Bracket()
		made.Part.Title = c.title
		lines := 0
		for _, m := range look.Each[marks.Text](pagesOf(t, made)[0]) {
			if m.Face == marks.Bold && m.Y < look.ClipEdge+11 && m.X == look.SideEdge {
				lines++
			}
		}
		if lines != c.lines {
			t.Errorf("%s: the title takes %d lines, want %d", c.name, lines, c.lines)
		}
	}
}

// The thickness stands whole however long the material's name is.
func TestThicknessSurvivesALongMaterial(t *testing.T) {
	made := fixture.Bracket()
	made.Part.Material = strings.Repeat("cold-rolled mild steel, oiled, ", 6)
	pages := pagesOf(t, made)
	if largest(pages[0], "1.0 mm") < canvas.Large {
		t.Error("the head does not show the thickness in large figures")
	}
	if !strings.Contains(look.Said(pages[1:2]), "1.0 mm COLD-ROLLED MILD STEEL") {
		t.Error("the strip of page 2 does not begin the material with its thickness")
	}
}

// Every further page says which sheet it is, so that a loose one finds back.
func TestLoosePagesAreNamed(t *testing.T) {
	made := fixture.Cover()
	pages := pagesOf(t, made)
	for i, page := range pages {
		words := look.Said([]*marks.Page{page})
		for _, want := range []string{
			"LC-640", "B2", "J-1042", phrase.Code(made.Code), phrase.Page(i+1, len(pages)), "issued 2026-05-04 09:30 UTC",
			"Destroy this sheet if its revision differs from the page that the code opens.",
		} {
			if !strings.Contains(words, want) {
				t.Errorf("page %d does not say %q", i+1, want)
			}
		}
		if !strings.Contains(page.Title, phrase.Page(i+1, len(pages))) || page.Description == "" {
			t.Errorf("page %d has the title %q and the description %q", i+1, page.Title, page.Description)
		}
	}
}

// The clip covers the top 20 mm.
func TestClipMarginIsFree(t *testing.T) {
	for name, made := range everySheet(t) {
		for i, page := range made.pages {
			for _, m := range page.Marks {
				if b, ok := look.Bounds(m); ok && b.Y < 20-1e-6 {
					t.Errorf("%s, page %d: %s lies under the clip", name, i+1, look.ListedMark(m))
				}
			}
		}
	}
}

// Row 0 names the brake, and asks for what the brake needs.
func TestPrepare(t *testing.T) {
	made := fixture.Bracket()
	words := look.Said(pagesOf(t, made)[:1])
	for _, want := range []string{
		wordsPrepare, "on Leaf brake 2", wordsStart, "stop zero: leaf flat reads 0.0° (bend)", "magnet on: bar does not shift", wordsNoseLine,
	} {
		if !strings.Contains(words, want) {
			t.Errorf("row 0 does not say %q", want)
		}
	}
	made.Brake.Magnet, made.Brake.Reads, made.Brake.Zero = false, "opening", fixture.Deg(1)
	words = look.Said(pagesOf(t, made)[:1])
	for _, want := range []string{"stop zero: leaf flat reads 181.0° (opening)", "bar clamps evenly along its length"} {
		if !strings.Contains(words, want) {
			t.Errorf("row 0 without a magnet does not say %q", want)
		}
	}
	ticks := 0
	for _, p := range look.Each[marks.Path](pagesOf(t, made)[0]) {
		if b := canvas.Around(p.Points); p.Closed && b.W == b.H && b.W > 3.9 && b.W < 4.1 {
			ticks++
		}
	}
	if want := len(phrase.Prepare(made.Brake, "")); ticks != want {
		t.Errorf("row 0 has %d boxes to tick, want %d", ticks, want)
	}
}

// A code of many letters takes more lines and more head.
func TestLongCodesAreWhole(t *testing.T) {
	made := fixture.Bracket()
	made.Code = "ABCDEFGHJKMNPQRSTVWXYZ23456789ABCDEFGH"
	page := pagesOf(t, made)[0]
	for _, fault := range look.Crowded(page) {
		t.Error(fault)
	}
	var all []string
	for _, m := range look.Each[marks.Text](page) {
		all = append(all, m.Words)
	}
	if text := strings.Join(all, " "); !strings.Contains(text, phrase.Code(made.Code)) {
		t.Errorf("the page says %q, without %q", text, phrase.Code(made.Code))
	}
}

// Boxes are there to write in what the brake was set to and what came out.
func TestBoxesToWriteIn(t *testing.T) {
	made := fixture.Tray()
	count := map[string]int{}
	for _, page := range pagesOf(t, made) {
		for _, m := range look.Each[marks.Text](page) {
			count[m.Words]++
		}
	}
	for _, words := range []string{"L", "R", wordsNoseSetback, wordsCheck, "first", "last"} {
		if count[words] != len(made.Steps) {
			t.Errorf("%q is printed %d times, want once a step", words, count[words])
		}
	}
	if count[wordsMeasured] != 1 {
		t.Errorf("the box for the measured thickness is printed %d times", count[wordsMeasured])
	}
}
