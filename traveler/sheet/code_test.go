package sheet

import (
	"fmt"
	"image"
	"image/draw"
	"testing"

	"brakeside/traveler/canvas"
	marks "brakeside/traveler/draw"
	"brakeside/traveler/internal/fixture"
	"brakeside/traveler/internal/look"
	"brakeside/traveler/internal/raster"
)

// decoded reads the code inside a square of a page drawn at dpi.
func decoded(t *testing.T, picture image.Image, m marks.Cells, quiet float64, dpi int) string {
	t.Helper()
	dot := func(mm float64) int { return int(mm / 25.4 * float64(dpi)) }
	window := image.Rect(dot(m.X-quiet), dot(m.Y-quiet), dot(m.X+m.Side+quiet), dot(m.Y+m.Side+quiet))
	part := image.NewRGBA(image.Rect(0, 0, window.Dx(), window.Dy()))
	draw.Draw(part, part.Bounds(), picture, window.Min, draw.Src)
	text, err := raster.QR(t, part)
	if err != nil {
		t.Errorf("the code for %s cannot be read at %d dpi: %v", m.Words, dpi, err)
	}
	return text
}

// The codes of the pages are read from a raster of 150 dots an inch, those of
// the steps from 200, each with just its quiet zone around it.
func TestCodesCanBeScanned(t *testing.T) {
	for _, f := range fixtures {
		t.Run(f.name, func(t *testing.T) {
			made := f.made()
			file := written(t, made)
			steps := 0
			for i, page := range pagesOf(t, made) {
				codes := look.Each[marks.Cells](page)
				coarse := raster.Page(t, file, i, 150)
				if got := decoded(t, coarse, codes[0], 4*codes[0].Module(), 150); got != made.Address {
					t.Errorf("the code of page %d reads %q, want %q", i+1, got, made.Address)
				}
				if len(codes) == 1 {
					continue // a page without rows
				}
				fine := raster.Page(t, file, i, 200)
				for _, code := range codes[1:] {
					steps++
					want := fmt.Sprintf("%s/%d", made.Address, steps)
					if got := decoded(t, fine, code, 4*code.Module(), 200); got != want {
						t.Errorf("page %d: a step's code reads %q, want %q", i+1, got, want)
					}
				}
			}
			if steps != len(made.Steps) {
				t.Errorf("%d steps have a code, want %d", steps, len(made.Steps))
			}
		})
	}
}

// Around every code four modules stay free of all other marks.
func TestQuietZones(t *testing.T) {
	for name, made := range everySheet(t) {
		for i, page := range made.pages {
			for _, code := range look.Each[marks.Cells](page) {
				quiet := canvas.Box{X: code.X, Y: code.Y, W: code.Side, H: code.Side}.Grown(4*code.Module() - 0.01)
				for _, m := range page.Marks {
					b, ok := look.Bounds(m)
					if _, frame := m.(marks.Path); !ok || frame && framesIn(b, quiet) {
						continue // the row's frame lies around the code
					}
					if _, self := m.(marks.Cells); !self && b.Grown(0.2).Meets(quiet) {
						t.Errorf("%s, page %d: %s lies in the quiet zone of %s", name, i+1, look.ListedMark(m), code.Words)
					}
				}
			}
		}
	}
}

// framesIn reports whether a frame goes round a box without touching it.
func framesIn(frame, b canvas.Box) bool {
	return frame.X <= b.X-0.2 && frame.Y <= b.Y-0.2 && frame.Right() >= b.Right()+0.2 && frame.Bottom() >= b.Bottom()+0.2
}

func TestCodeSizes(t *testing.T) {
	for name, made := range everySheet(t) {
		for i, page := range made.pages {
			for n, code := range look.Each[marks.Cells](page) {
				side, module := 24.75, 0.75
				switch {
				case n > 0, code.Words != made.Address: // a step's
					side, module = 18, 0.45
				case i == 0:
					side = 30
				}
				if code.Side < side || code.Module() < module {
					t.Errorf("%s, page %d, code %d: side %.2f and module %.3f, want %.2f and %.2f", name, i+1, n, code.Side, code.Module(), side, module)
				}
			}
		}
	}
}

// Every code is a link to what it says.
func TestCodesAreLinks(t *testing.T) {
	for i, page := range pagesOf(t, fixture.Tray()) {
		codes, links := look.Each[marks.Cells](page), look.Each[marks.Link](page)
		if len(codes) != len(links) {
			t.Fatalf("page %d: %d codes and %d links", i+1, len(codes), len(links))
		}
		for n, code := range codes {
			l := links[n]
			if l.Address != code.Words ||
				!(canvas.Box{X: l.X, Y: l.Y, W: l.Width, H: l.Height}).Meets(canvas.Box{X: code.X, Y: code.Y, W: code.Side, H: code.Side}) {
				t.Errorf("page %d: code %q has the link %+v", i+1, code.Words, l)
			}
		}
	}
}

// The head's code is read from coarse and fine rasters alike.
func TestHeadCodeFromCoarseToFine(t *testing.T) {
	made := fixture.Tray()
	file := written(t, made)
	code := look.Each[marks.Cells](pagesOf(t, made)[0])[0]
	for _, dpi := range []int{100, 300} {
		if got := decoded(t, raster.Page(t, file, 0, dpi), code, 4*code.Module(), dpi); got != made.Address {
			t.Errorf("at %d dpi the code reads %q, want %q", dpi, got, made.Address)
		}
	}
}
