package qr

import (
	"fmt"
	"image"
	"image/color"
	"math"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/makiuchi-d/gozxing/qrcode/decoder"

	"brakeside/calc/fault"
	"brakeside/traveler/draw"
	"brakeside/traveler/internal/raster"
)

const address = "http://192.168.100.200:8080/t/abcdefgh23456789z"

// TestCellsAreRead reads symbols of many lengths, cell by cell, with a program
// that had no part in making them.
func TestCellsAreRead(t *testing.T) {
	alphabet := "http://192.168.0.1:8080/t/abcdefghjkmnpqrstuvwxyz?&=%#~+-_.!*'(),;:@$ "
	for _, level := range []Level{Q, H} {
		for length := 1; length <= 200; length += 5 {
			text := strings.Repeat(alphabet, 4)[:length]
			count, dark, err := Cells(text, level)
			if err != nil {
				t.Fatalf("Cells(%q): %v", text, err)
			}
			got, err := decoder.NewDecoder().DecodeBoolMapWithoutHint(rows(count, dark))
			if err != nil || got.GetText() != text {
				t.Fatalf("level %d: read %v, %v, want %q", level, got, err, text)
			}
			if got.GetOther() != nil { // the reader's note that it read a mirror image
				t.Fatalf("%d letters: rows and columns are turned round", length)
			}
			if want := [...]string{Q: "Q", H: "H"}[level]; got.GetECLevel() != want {
				t.Errorf("%d letters: the symbol says level %s, want %s", length, got.GetECLevel(), want)
			}
		}
	}
}

func rows(count int, dark []bool) [][]bool {
	var rows [][]bool
	for y := range count {
		rows = append(rows, dark[y*count:(y+1)*count])
	}
	return rows
}

// TestPictureIsRead finds and reads symbols of the usual length on a picture.
func TestPictureIsRead(t *testing.T) {
	for _, level := range []Level{Q, H} {
		for _, text := range []string{address, strings.ToUpper(address), "http://brake.example/t/abcdefgh23456789z", "1234567890"} {
			count, dark, err := Cells(text, level)
			if err != nil {
				t.Fatalf("Cells(%q): %v", text, err)
			}
			if got, err := raster.QR(t, picture(count, dark, 6)); err != nil || got != text {
				t.Errorf("level %d: read %q, %v, want %q", level, got, err, text)
			}
		}
	}
}

// picture draws cells of so many dots a side with a border of 4 cells.
func picture(count int, dark []bool, dots int) image.Image {
	const border = 4
	side := (count + 2*border) * dots
	drawn := image.NewGray(image.Rect(0, 0, side, side))
	for i := range drawn.Pix {
		drawn.Pix[i] = 255
	}
	for y := range count * dots {
		for x := range count * dots {
			if dark[y/dots*count+x/dots] {
				drawn.SetGray(x+border*dots, y+border*dots, color.Gray{})
			}
		}
	}
	return drawn
}

// TestCellsGrowAsTheStandardSays holds the size against the capacity of the
// versions in bytes (ISO/IEC 18004, table of capacities; from memory). Version
// v has 17 + 4v cells along a side.
func TestCellsGrowAsTheStandardSays(t *testing.T) {
	for level, capacities := range map[Level][]int{
		Q: {11, 20, 32, 46, 60, 74},
		H: {7, 14, 24, 34, 44, 58},
	} {
		for i, capacity := range capacities {
			version := i + 1
			for length, wantVersion := range map[int]int{capacity: version, capacity + 1: version + 1} {
				count, dark, err := Cells(strings.Repeat("x", length), level)
				if want := 17 + 4*wantVersion; err != nil || count != want || len(dark) != want*want {
					t.Errorf("level %d, %d letters: %d cells a side, %v, want %d", level, length, count, err, want)
				}
			}
		}
	}
}

// TestLevelIsKept covers a part of the symbol, as grease would, and reads it
// all the same: a twentieth of the cells, in the middle, where only data lie.
func TestLevelIsKept(t *testing.T) {
	for _, level := range []Level{Q, H} {
		count, dark, err := Cells(address, level)
		if err != nil {
			t.Fatal(err)
		}
		spot := int(float64(count) * math.Sqrt(0.05))
		for y := (count - spot) / 2; y < (count+spot)/2; y++ {
			for x := (count - spot) / 2; x < (count+spot)/2; x++ {
				dark[y*count+x] = true
			}
		}
		if got, err := raster.QR(t, picture(count, dark, 6)); err != nil || got != address {
			t.Errorf("level %d: with %d x %d cells covered read %q, %v", level, spot, spot, got, err)
		}
	}
}

// TestFinders looks for the three squares by which readers find the symbol, so
// that rows and columns are not turned round.
func TestFinders(t *testing.T) {
	count, dark, err := Cells(address, Q)
	if err != nil {
		t.Fatal(err)
	}
	at := func(x, y int) bool { return dark[y*count+x] }
	for name, corner := range map[string][2]int{"left top": {0, 0}, "right top": {count - 7, 0}, "left bottom": {0, count - 7}} {
		x, y := corner[0], corner[1]
		for i := range 7 {
			if !at(x+i, y) || !at(x+i, y+6) || !at(x, y+i) || !at(x+6, y+i) || !at(x+3, y+3) || at(x+1, y+1) {
				t.Errorf("no finder at the %s", name)
				break
			}
		}
	}
	if at(count-8, count-1) && at(count-1, count-8) && at(count-7, count-7) && at(count-4, count-4) {
		t.Error("a fourth finder at the right bottom")
	}
}

func TestCellsRefuses(t *testing.T) {
	for _, c := range []struct {
		name, text string
		kind       fault.Kind
	}{
		{"nothing", "", fault.Invalid},
		{"umlaut", "http://größe.example", fault.Invalid},
		{"line end", "http://a.example\n", fault.Invalid},
		{"broken", "a\xff", fault.Invalid},
		{"delete", "a\x7f", fault.Invalid},
		{"too long", strings.Repeat("x", 3000), fault.TooLarge},
	} {
		t.Run(c.name, func(t *testing.T) {
			for _, level := range []Level{Q, H} {
				count, dark, err := Cells(c.text, level)
				if fault.KindOf(err) != c.kind || err == nil || count != 0 || dark != nil {
					t.Errorf("Cells(%.20q) = %d, %v, want a refusal of kind %d", c.text, count, err, c.kind)
				}
			}
		})
	}
}

func TestMark(t *testing.T) {
	cells, err := Mark(address, Q, 12, 34, 30)
	if err != nil {
		t.Fatal(err)
	}
	if cells.X != 12 || cells.Y != 34 || cells.Side != 30 || cells.Words != address || cells.Count != 37 {
		t.Errorf("Mark() = %g %g %g %q %d, want 12 34 30, the address and 37 cells", cells.X, cells.Y, cells.Side, cells.Words, cells.Count)
	}
	if got, want := Module(cells), 30.0/37; got != want {
		t.Errorf("Module() = %g, want %g", got, want)
	}
	if got, want := QuietZone(cells), 4*30.0/37; math.Abs(got-want) > 1e-12 {
		t.Errorf("QuietZone() = %g, want %g", got, want)
	}
	if Module(cells) < LeastModule {
		t.Errorf("an address of a sheet in 30 mm has modules of %g mm, want at least %g", Module(cells), LeastModule)
	}
	if err := (&draw.Page{Width: 100, Height: 100, Marks: []draw.Mark{cells}}).Check(); err != nil {
		t.Errorf("the mark does not pass: %v", err)
	}
}

func TestMarkRefuses(t *testing.T) {
	for _, side := range []float64{0, -1, math.NaN()} {
		if _, err := Mark(address, Q, 0, 0, side); err == nil {
			t.Errorf("Mark() of side %g = nil, want an error", side)
		}
	}
	if _, err := Mark("ä", Q, 0, 0, 30); fault.KindOf(err) != fault.Invalid {
		t.Errorf("Mark(ä) = %v, want a refusal", err)
	}
}

func TestEqualTextsGiveEqualCells(t *testing.T) {
	_, one, _ := Cells(address, H)
	_, two, _ := Cells(address, H)
	for i := range one {
		if one[i] != two[i] {
			t.Fatalf("cell %d differs", i)
		}
	}
}

// Whoever asks for a symbol, alone or beside others, before or after those kept
// were forgotten, gets the same as one encoded anew.
func TestKeptSymbols(t *testing.T) {
	var all sync.WaitGroup
	for worker := range 4 {
		all.Go(func() {
			for i := range mostKept/2 + 20 {
				text := fmt.Sprintf("%d", (i*7+worker)%300)
				count, dark, err := Cells(text, Q)
				if err != nil || i%20 > 0 {
					continue
				}
				if want, err := encode(asked{text, Q}); err != nil || count != want.count || !slices.Equal(dark, want.dark) {
					t.Errorf("the symbol of %q is not the one that is encoded: %v", text, err)
				}
			}
		})
	}
	all.Wait()
	if n := len(lately.made); n == 0 || n > mostKept {
		t.Errorf("%d symbols are kept, want up to %d", n, mostKept)
	}
	if _, dark, err := Cells("7", Q); err != nil || &dark[0] != &first(Cells("7", Q))[0] {
		t.Errorf("asked for twice, a symbol is encoded twice: %v", err)
	}
}

func first(_ int, dark []bool, _ error) []bool { return dark }

func FuzzCells(f *testing.F) {
	f.Add(address)
	f.Add("1234567890")
	f.Add("\x00")
	f.Fuzz(func(t *testing.T, text string) {
		count, dark, err := Cells(text, Q)
		if err != nil {
			if kind := fault.KindOf(err); kind != fault.Invalid && kind != fault.TooLarge {
				t.Fatalf("Cells(%q) = %v, no refusal", text, err)
			}
			return
		}
		if len(dark) != count*count || count < 21 {
			t.Fatalf("Cells(%q) gave %d cells, %d a side", text, len(dark), count)
		}
	})
}

func BenchmarkCells(b *testing.B) {
	for b.Loop() {
		if _, _, err := Cells(address, Q); err != nil {
			b.Fatal(err)
		}
	}
}
