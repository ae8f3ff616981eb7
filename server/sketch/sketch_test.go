package sketch

import (
	"math"
	"os"
	"strings"
	"testing"

	"brakeside/calc/brake"
	"brakeside/calc/figures"
	"brakeside/calc/flat"
	"brakeside/calc/part"
	"brakeside/server/entry"
	"brakeside/traveler/draw"
)

func blankOf(t testing.TB, kind string) *flat.Blank {
	t.Helper()
	form := entry.Example(entry.KindOf(kind))
	form.Set("number", "X-1")
	file, err := entry.File(form)
	if err != nil {
		t.Fatal(err)
	}
	drawn, err := part.Read(file)
	if err != nil {
		t.Fatal(err)
	}
	plan, err := figures.Shop{}.Draft(drawn)
	if err != nil {
		t.Fatal(err)
	}
	return plan.Blank
}

// The sizes written beside a section are the outside sizes of the part file.
func TestSectionSizes(t *testing.T) {
	cases := []struct {
		kind string
		want []string // over all, across and up, of each section
	}{
		{"l", []string{"60.0 40.0"}}, {"u", []string{"60.0 60.0"}}, {"hat", []string{"127.0 30.0"}},
		{"tray", []string{"300.0 40.0", "200.0 40.0"}}, {"box", []string{"300.0 40.0", "200.0 40.0"}},
	}
	for _, c := range cases {
		t.Run(c.kind, func(t *testing.T) {
			pages := Section(blankOf(t, c.kind), 90, 60)
			if len(pages) != len(c.want) {
				t.Fatalf("%d sections, want %d", len(pages), len(c.want))
			}
			for i, p := range pages {
				if err := p.Check(); err != nil {
					t.Error(err)
				}
				var words []string
				for _, m := range p.Marks {
					if text, ok := m.(draw.Text); ok {
						words = append(words, text.Words)
					}
				}
				if got := strings.Join(words, " "); got != c.want[i] {
					t.Errorf("section %d is %s over all, want %s", i, got, c.want[i])
				}
			}
		})
	}
}

// Every drawing stays on its page and can be written.
func TestDrawingsFitTheirPages(t *testing.T) {
	for _, k := range entry.Kinds {
		b := blankOf(t, k.ID)
		for _, p := range Section(b, 90, 60) {
			if err := p.Check(); err != nil {
				t.Errorf("%s: %v", k.ID, err)
			}
			for _, m := range p.Marks {
				path, ok := m.(draw.Path)
				if !ok {
					continue
				}
				for _, q := range path.Points {
					if q.X < -0.01 || q.X > p.Width+0.01 || q.Y < -0.01 || q.Y > p.Height+0.01 {
						t.Fatalf("%s, %s: %v lies off the page", k.ID, p.Title, q)
					}
				}
			}
		}
	}
}

func TestBarSection(t *testing.T) {
	file, err := os.ReadFile("../../testdata/suite/brake.json")
	if err != nil {
		t.Fatal(err)
	}
	k, err := brake.Read(file)
	if err != nil {
		t.Fatal(err)
	}
	for _, b := range k.Bars {
		p := Bar(b, 80, 46)
		if err := p.Check(); err != nil {
			t.Error(err)
		}
		path := p.Marks[0].(draw.Path)
		if len(path.Points) != len(b.Section) || path.Fill != draw.Grey {
			t.Errorf("bar %s is drawn with %d corners, want %d, grey", b.Name, len(path.Points), len(b.Section))
		}
		scale := (path.Points[0].X - path.Points[len(path.Points)-1].X) / (b.Section[0].X - b.Section[len(b.Section)-1].X)
		for i := range b.Section {
			if d := (path.Points[i].X - path.Points[0].X) - scale*(b.Section[i].X-b.Section[0].X); !(math.Abs(d) < 1e-6) && scale == scale {
				t.Errorf("bar %s: corner %d is off by %g", b.Name, i, d)
			}
		}
	}
}

func BenchmarkDrawing(b *testing.B) {
	blank := blankOf(b, "box")
	for b.Loop() {
		Section(blank, 90, 60)
	}
}
