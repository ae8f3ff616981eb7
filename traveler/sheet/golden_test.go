package sheet

import (
	"flag"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"brakeside/traveler"
	"brakeside/traveler/internal/fixture"
	"brakeside/traveler/internal/look"
	"brakeside/traveler/internal/raster"
)

// fixtures are the travelers with goldens.
var fixtures = []struct {
	name string
	made func() *traveler.Traveler
}{
	{"bracket", fixture.Bracket},
	{"tray", fixture.Tray},
	{"cover", fixture.Cover},
}

var update = flag.Bool("update", false, "write the goldens anew")

// TestGoldens compares the marks of the fixtures with those kept in testdata.
func TestGoldens(t *testing.T) {
	for _, f := range fixtures {
		t.Run(f.name, func(t *testing.T) {
			golden(t, filepath.Join("testdata", f.name+".marks"), look.Listed(pagesOf(t, f.made())))
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
