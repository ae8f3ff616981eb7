package sheet

import (
	"bytes"
	"fmt"
	"image"
	"math"
	"math/rand"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	marks "brakeside/traveler/draw"
	"brakeside/traveler/internal/fixture"
	"brakeside/traveler/internal/raster"
	"brakeside/traveler/qr"
)

// photo is how badly a picture of a code was taken.
type photo struct {
	turn   float64 // most it is turned either way, in half turns
	fade   float64 // share of the contrast that is lost
	smudge float64 // share of the symbol's area under one blot, two thirds of them dark
	blur   float64 // radius in dots
	noise  float64 // of 255
	pull   float64 // how far the corners are pulled, as a share of the side
}

// taken photographs a symbol: turned at random, seen aslant, with a blot,
// blurred, pale and grainy, and with a light from one side.
func (p photo) taken(from *image.Gray, r *rand.Rand) *image.Gray {
	side := from.Bounds().Dx()
	dark := make([]float64, len(from.Pix))
	for i, v := range from.Pix {
		dark[i] = float64(v)
	}
	p.blot(dark, side, r)
	dark = p.seen(dark, side, r)
	dark = blurred(dark, side, p.blur)
	out := image.NewGray(image.Rect(0, 0, side, side))
	for i, v := range dark {
		v = 112 + (v-128)*(1-p.fade) + 32*float64(i%side)/float64(side) + r.NormFloat64()*p.noise
		out.Pix[i] = uint8(max(0, min(255, v)))
	}
	return out
}

// blot covers one ellipse of the symbol, which fills half of the picture.
func (p photo) blot(dark []float64, side int, r *rand.Rand) {
	if p.smudge == 0 {
		return
	}
	symbol := float64(side) / 1.6
	long := math.Sqrt(p.smudge*symbol*symbol/math.Pi) * (1 + r.Float64()*0.5)
	short := p.smudge * symbol * symbol / math.Pi / long
	x0, y0 := float64(side)/2+(r.Float64()-0.5)*symbol, float64(side)/2+(r.Float64()-0.5)*symbol
	sin, cos := math.Sincos(r.Float64() * math.Pi)
	tone := 30.0
	if r.Intn(3) == 0 {
		tone = 230
	}
	for i := range dark {
		dx, dy := float64(i%side)-x0, float64(i/side)-y0
		u, v := (dx*cos+dy*sin)/long, (dy*cos-dx*sin)/short
		if u*u+v*v < 1 {
			dark[i] = tone
		}
	}
}

// seen turns the picture about its middle and pulls its corners.
func (p photo) seen(dark []float64, side int, r *rand.Rand) []float64 {
	sin, cos := math.Sincos((2*r.Float64() - 1) * p.turn * math.Pi)
	pullX, pullY := (r.Float64()-0.5)*2*p.pull, (r.Float64()-0.5)*2*p.pull
	out := make([]float64, len(dark))
	half := float64(side) / 2
	for i := range out {
		x, y := (float64(i%side)-half)/half, (float64(i/side)-half)/half
		w := 1 + pullX*x + pullY*y
		x, y = x/w, y/w
		out[i] = sample(dark, side, (x*cos+y*sin)*half+half, (y*cos-x*sin)*half+half)
	}
	return out
}

// sample reads between dots; beyond the picture is white paper.
func sample(dark []float64, side int, x, y float64) float64 {
	at := func(x, y int) float64 {
		if x < 0 || y < 0 || x >= side || y >= side {
			return 255
		}
		return dark[y*side+x]
	}
	x0, y0 := int(math.Floor(x)), int(math.Floor(y))
	u, v := x-float64(x0), y-float64(y0)
	return (at(x0, y0)*(1-u)+at(x0+1, y0)*u)*(1-v) + (at(x0, y0+1)*(1-u)+at(x0+1, y0+1)*u)*v
}

// blurred spreads every dot over its neighbours, along the rows and then down
// the columns; beyond the picture its edge goes on.
func blurred(dark []float64, side int, radius float64) []float64 {
	if radius == 0 {
		return dark
	}
	reach, sum := int(3*radius)+1, 0.0
	weights := make([]float64, 2*reach+1)
	for k := range weights {
		weights[k] = math.Exp(-float64((k-reach)*(k-reach)) / (2 * radius * radius))
		sum += weights[k]
	}
	for _, step := range []int{1, side} {
		out := make([]float64, len(dark))
		for i := range dark {
			at := i / step % side
			for k, w := range weights {
				n := min(side-1, max(0, at+k-reach))
				out[i] += w / sum * dark[i+(n-at)*step]
			}
		}
		dark = out
	}
	return dark
}

// photoDPI is the fineness of the photographs. A telephone with 12 million dots
// that has half a sheet of A4 in its picture sees about as many an inch.
const photoDPI = 150

// shots is how many photographs are taken of each code in each way.
const shots = 20

// symbolPicture draws a code as printed, with 0.3 of its side of white paper on
// all sides. Every dot is the mean of 16 places.
func symbolPicture(m marks.Cells) *image.Gray {
	const fine = 4
	dot := 25.4 / photoDPI
	side := int(1.6 * m.Side / dot)
	picture := image.NewGray(image.Rect(0, 0, side, side))
	for i := range picture.Pix {
		light := 0
		for k := range fine * fine {
			x := (float64(i%side) + (float64(k%fine)+0.5)/fine) * dot
			y := (float64(i/side) + (float64(k/fine)+0.5)/fine) * dot
			column, row := int(math.Floor((x-0.3*m.Side)/m.Module())), int(math.Floor((y-0.3*m.Side)/m.Module()))
			if column < 0 || row < 0 || column >= m.Count || row >= m.Count || !m.Dark[row*m.Count+column] {
				light++
			}
		}
		picture.Pix[i] = uint8(light * 255 / (fine * fine))
	}
	return picture
}

// ways are how the photographs are taken, one fault at a time and all together.
// The floors are percent of the page's code, read by gozxing and by zbar: what
// was measured when level and size were chosen, less 15 points.
var ways = []struct {
	name         string
	photo        photo
	floor, zbars int
}{
	{"nearly straight", photo{turn: 0.02, noise: 4}, 80, 85},
	{"turned", photo{turn: 1}, 85, 85},
	{"turned and aslant", photo{turn: 1, pull: 0.12}, 75, 85},
	{"out of focus", photo{turn: 0.5, blur: 1.5}, 65, 85},
	{"grainy", photo{turn: 0.5, noise: 30}, 85, 10},
	{"pale", photo{turn: 0.5, fade: 0.75, noise: 4}, 80, 55},
	{"5 % smudged", photo{turn: 0.5, smudge: 0.05}, 45, 50},
	{"10 % smudged", photo{turn: 0.5, smudge: 0.10}, 25, 40},
	{"all, and 5 % smudged", photo{turn: 0.5, pull: 0.04, blur: 0.6, noise: 8, fade: 0.25, smudge: 0.05}, 45, 45},
}

// printedCodes are what is photographed: the page's code, the same at the
// stronger level, and a step's.
func printedCodes(t *testing.T) []marks.Cells {
	address := fixture.Tray().Address
	var all []marks.Cells
	for _, c := range []struct {
		text  string
		level qr.Level
		side  float64
	}{{address, qr.Q, 30}, {address, qr.H, 30}, {address + "/1", qr.Q, 18}} {
		m, err := qr.Mark(c.text, c.level, 0, 0, c.side)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, m)
	}
	return all
}

// TestPhotographsOfTheCodeAreRead counts how often one single picture is read,
// by two programs that had no part in drawing the code. A telephone takes many
// pictures a second, so that one in three read at once is still found fast. The
// counts stand in a table, which -update writes anew; they may fall behind it by
// four of the shots, for machines that round otherwise.
func TestPhotographsOfTheCodeAreRead(t *testing.T) {
	const behind = 4
	path := filepath.Join("testdata", "decode.md")
	codes := printedCodes(t)
	pictures := make([]*image.Gray, len(codes))
	for i, m := range codes {
		pictures[i] = symbolPicture(m)
	}
	var rows [][]int
	zbar := zbarHere(t)
	for _, w := range ways {
		var row []int
		for i, m := range codes {
			taken := photographs(w.photo, pictures[i])
			row = append(row, readByGozxing(t, taken, m.Words), -1)
			if zbar {
				row[len(row)-1] = readByZbar(t, taken, m.Words)
			}
		}
		rows = append(rows, row)
		if row[0]*100 < w.floor*shots || zbar && row[1]*100 < w.zbars*shots {
			t.Errorf("%s: %d and %d of %d are read, want %d and %d %%", w.name, row[0], row[1], shots, w.floor, w.zbars)
		}
	}
	if *update && !zbar {
		t.Fatal("the table is not written: zbarimg is not installed")
	}
	if *update {
		if err := os.WriteFile(path, []byte(decodeTable(codes, rows)), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	kept, err := os.ReadFile(path)
	if err != nil {
		t.Fatalf("the table is missing; run with -update: %v", err)
	}
	want := countsIn(t, string(kept))
	for i, w := range ways {
		for k, n := range rows[i] {
			if n >= 0 && n < want[w.name][k]-behind {
				t.Errorf("%s, column %d: %d of %d are read, the table has %d", w.name, k+1, n, shots, want[w.name][k])
			}
		}
	}
}

// photographs are taken with the same seed each time.
func photographs(p photo, picture *image.Gray) []*image.Gray {
	r := rand.New(rand.NewSource(7))
	taken := make([]*image.Gray, shots)
	for i := range taken {
		taken[i] = p.taken(picture, r)
	}
	return taken
}

func readByGozxing(t *testing.T, taken []*image.Gray, want string) int {
	read := 0
	for _, p := range taken {
		text, err := raster.QR(t, p)
		if err == nil && text != want {
			t.Errorf("a photograph reads %q, want %q or nothing", text, want)
		}
		if err == nil {
			read++
		}
	}
	return read
}

func zbarHere(t *testing.T) bool {
	_, err := exec.LookPath("zbarimg")
	if err != nil {
		t.Log("zbarimg is not installed: its column is not checked")
	}
	return err == nil
}

// readByZbar has all photographs read by one run of zbarimg, which prints a
// line for each that it can read and ends with 4 if it cannot read one.
func readByZbar(t *testing.T, taken []*image.Gray, want string) int {
	folder := t.TempDir()
	args := []string{"--quiet", "--raw", "--set", "disable", "--set", "qrcode.enable"}
	for i, p := range taken {
		file := filepath.Join(folder, fmt.Sprintf("%02d.pgm", i))
		head := fmt.Sprintf("P5\n%d %d\n255\n", p.Rect.Dx(), p.Rect.Dy())
		if err := os.WriteFile(file, append([]byte(head), p.Pix...), 0o644); err != nil {
			t.Fatal(err)
		}
		args = append(args, file)
	}
	var told bytes.Buffer
	run := exec.Command("zbarimg", args...)
	run.Stderr = &told
	out, err := run.Output()
	if err != nil && run.ProcessState.ExitCode() != 4 {
		t.Fatalf("zbarimg: %v: %s", err, told.String())
	}
	lines := strings.Fields(string(out))
	for _, text := range lines {
		if text != want {
			t.Errorf("zbar reads %q, want %q or nothing", text, want)
		}
	}
	return len(lines)
}

// decodeTable words the counts, a way of photographing a line.
func decodeTable(codes []marks.Cells, rows [][]int) string {
	var b strings.Builder
	fmt.Fprintf(&b, "# How often a photograph of a code is read\n\n")
	fmt.Fprintf(&b,
		"Of %d photographs each at %d dots an inch, drawn by program with fixed seeds; "+
			"written by `go test -run Photographs -update`.\n", shots, photoDPI)
	fmt.Fprintf(&b,
		"Codes: the page's at level Q (%.0f mm, cells of %.2f mm), the same at level H (cells of %.2f mm), "+
			"a step's at level Q (%.0f mm, cells of %.2f mm).\n\n",
		codes[0].Side, codes[0].Module(), codes[1].Module(), codes[2].Side, codes[2].Module())
	b.WriteString("| photograph | page Q, gozxing | page Q, zbar | page H, gozxing | page H, zbar | step Q, gozxing | step Q, zbar |\n" +
		"|---|---|---|---|---|---|---|\n")
	sums := make([]int, len(rows[0]))
	line := func(name string, counts []int) {
		fmt.Fprintf(&b, "| %s |", name)
		for _, n := range counts {
			fmt.Fprintf(&b, " %d |", n)
		}
		b.WriteString("\n")
	}
	for i, row := range rows {
		line(ways[i].name, row)
		for k, n := range row {
			sums[k] += n
		}
	}
	line(fmt.Sprintf("all %d", shots*len(rows)), sums)
	return b.String()
}

// countsIn reads the table back.
func countsIn(t *testing.T, table string) map[string][]int {
	counts := map[string][]int{}
	for _, line := range strings.Split(table, "\n") {
		cells := strings.Split(strings.Trim(line, "| "), " | ")
		if len(cells) != 7 || strings.HasPrefix(cells[0], "photograph") {
			continue
		}
		for _, c := range cells[1:] {
			n := 0
			if _, err := fmt.Sscan(c, &n); err != nil {
				t.Fatalf("the table's line %q: %v", line, err)
			}
			counts[cells[0]] = append(counts[cells[0]], n)
		}
	}
	for _, w := range ways {
		if len(counts[w.name]) != 6 {
			t.Fatalf("the table has no line %q: run with -update", w.name)
		}
	}
	return counts
}
