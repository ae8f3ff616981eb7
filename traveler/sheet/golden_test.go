package sheet

import (
	"crypto/sha256"
	"flag"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	marks "brakeside/traveler/draw"
	"brakeside/traveler/internal/raster"
	"brakeside/traveler/letter"
)

var update = flag.Bool("update", false, "write the goldens anew")

// TestGoldens compares the marks of the fixtures with those kept in testdata.
func TestGoldens(t *testing.T) {
	for _, f := range fixtures {
		t.Run(f.name, func(t *testing.T) {
			golden(t, filepath.Join("testdata", f.name+".marks"), listed(pagesOf(t, f.made())))
		})
	}
	kept, err := filepath.Glob("testdata/*.marks")
	if err != nil || len(kept) != len(fixtures) {
		t.Errorf("testdata holds %d goldens, want one for each of %d fixtures: %v", len(kept), len(fixtures), err)
	}
}

func golden(t *testing.T, path, got string) {
	t.Helper()
	if *update {
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatalf("the golden is missing; run with -update and look at it: %v", err)
	}
	if diff := cmp.Diff(strings.Split(string(want), "\n"), strings.Split(got, "\n")); diff != "" {
		t.Errorf("%s changed (-want +got):\n%s", path, diff)
	}
}

// listed writes pages as text, a mark a line.
func listed(pages []*marks.Page) string {
	var b strings.Builder
	for _, p := range pages {
		fmt.Fprintf(&b, "page %.1f x %.1f %q\n", p.Width, p.Height, p.Title)
		for _, m := range p.Marks {
			b.WriteString(listedMark(m) + "\n")
		}
	}
	return b.String()
}

func listedMark(m marks.Mark) string {
	switch m := m.(type) {
	case marks.Text:
		return fmt.Sprintf("text %.2f %.2f size %.2f face %d anchor %d turn %g white %t %q", m.X, m.Y, m.Size, m.Face, m.Anchor, m.Turn, m.White, letter.Clean(m.Words))
	case marks.Line:
		return fmt.Sprintf("line %.2f %.2f %.2f %.2f pen %s arrows %d", m.X1, m.Y1, m.X2, m.Y2, m.Pen.Name(), m.Arrows)
	case marks.Path:
		line := fmt.Sprintf("path closed %t pen %q fill %d", m.Closed, m.Pen.Name(), m.Fill)
		for _, p := range m.Points {
			line += fmt.Sprintf(" %.2f,%.2f", p.X, p.Y)
		}
		return line
	case marks.Arc:
		return fmt.Sprintf("arc %.2f %.2f radius %.2f from %.1f to %.1f pen %q fill %d", m.X, m.Y, m.Radius, m.From, m.To, m.Pen.Name(), m.Fill)
	case marks.Cells:
		return fmt.Sprintf("cells %.2f %.2f side %.2f count %d %q %x", m.X, m.Y, m.Side, m.Count, m.Words, sha256.Sum256([]byte(fmt.Sprint(m.Dark))))[:120]
	}
	return fmt.Sprintf("%T %+v", m, m)
}

// TestContactSheets keeps a picture of each fixture for people to look at. The
// renderer may change its greys, so only the shape of the picture is checked.
func TestContactSheets(t *testing.T) {
	const dpi = 50
	for _, f := range fixtures {
		t.Run(f.name, func(t *testing.T) {
			made := f.made()
			path := filepath.Join("testdata", f.name+".png")
			pages := len(pagesOf(t, made))
			if *update {
				keep(t, path, contact(t, written(t, made), pages, dpi))
			}
			file, err := os.Open(path)
			if err != nil {
				t.Fatalf("the picture is missing; run with -update and look at it: %v", err)
			}
			defer file.Close()
			picture, err := png.DecodeConfig(file)
			if err != nil {
				t.Fatal(err)
			}
			if wide := pages * 210 * dpi * 10 / 254; picture.Width < wide-4*pages || picture.Width > wide+4*pages {
				t.Errorf("%s is %d dots wide, want about %d for %d pages: run with -update", path, picture.Width, wide, pages)
			}
		})
	}
}

func contact(t *testing.T, file []byte, pages, dpi int) image.Image {
	var sheets []image.Image
	for i := range pages {
		sheets = append(sheets, raster.Page(t, file, i, dpi))
	}
	size := sheets[0].Bounds()
	all := image.NewGray(image.Rect(0, 0, size.Dx()*pages, size.Dy()))
	draw.Draw(all, all.Bounds(), image.NewUniform(color.White), image.Point{}, draw.Src)
	for i, s := range sheets {
		draw.Draw(all, size.Add(image.Pt(i*size.Dx(), 0)), s, image.Point{}, draw.Src)
	}
	return all
}

func keep(t *testing.T, path string, picture image.Image) {
	file, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	if err := (&png.Encoder{CompressionLevel: png.BestCompression}).Encode(file, picture); err != nil {
		t.Fatal(err)
	}
}
