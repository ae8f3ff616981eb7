package sheet

import (
	"image"
	"image/color"
	"math"
	"math/rand"
	"testing"

	marks "brakeside/traveler/draw"
	"brakeside/traveler/internal/raster"
)

// photo is how badly a picture of a code was taken.
type photo struct {
	smudge float64 // share of the symbol's area under one blot, two thirds of them dark
	blur   float64 // radius in dots
	noise  float64 // of 255
	pull   float64 // how far the corners are pulled, as a share of the side
}

// taken photographs the dots of a sheet: turned at random, seen aslant, with a
// blot, blurred, pale and grainy.
func (p photo) taken(from image.Image, r *rand.Rand) *image.Gray {
	side := from.Bounds().Dx()
	dark := luminance(from)
	p.blot(dark, side, r)
	dark = p.seen(dark, side, r)
	dark = blurred(dark, side, p.blur)
	out := image.NewGray(image.Rect(0, 0, side, side))
	for i, v := range dark {
		v = 96 + (v-128)*0.75 + 32*float64(i%side)/float64(side) + r.NormFloat64()*p.noise
		out.Pix[i] = uint8(max(0, min(255, v)))
	}
	return out
}

func luminance(from image.Image) []float64 {
	b := from.Bounds()
	var all []float64
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			all = append(all, float64(color.GrayModel.Convert(from.At(x, y)).(color.Gray).Y))
		}
	}
	return all
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
	sin, cos := math.Sincos((r.Float64() - 0.5) * math.Pi)
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

// TestPhotographsOfTheCodeAreRead photographs the head's code with fixed seeds
// and counts how often one single picture is read. A telephone takes many
// pictures a second, so that one in three read at once is still found fast; the
// floors below are what was measured when the level and the size were chosen
// (23, 15, 12 and 18 of 24), less ten points.
func TestPhotographsOfTheCodeAreRead(t *testing.T) {
	const shots, dpi = 24, 150
	made := tray()
	code := each[marks.Cells](pagesOf(t, made)[0])[0]
	sheet := raster.Page(t, written(t, made), 0, dpi)
	around := box{code.X, code.Y, code.Side, code.Side}.grown(0.3 * code.Side)
	picture := window(sheet, around, dpi)
	cases := []struct {
		name  string
		photo photo
		floor int // percent
	}{
		{"clean", photo{blur: 0.6, noise: 8, pull: 0.04}, 85},
		{"5 % smudged", photo{smudge: 0.05, blur: 0.6, noise: 8, pull: 0.04}, 52},
		{"10 % smudged", photo{smudge: 0.10, blur: 0.6, noise: 8, pull: 0.04}, 40},
		{"out of focus", photo{blur: 1.5, noise: 8, pull: 0.04}, 65},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			r := rand.New(rand.NewSource(7))
			read := 0
			for range shots {
				text, err := raster.QR(t, c.photo.taken(picture, r))
				if err == nil && text != made.Address {
					t.Errorf("a photograph reads %q, want %q or nothing", text, made.Address)
				}
				if err == nil {
					read++
				}
			}
			t.Logf("%d of %d photographs are read", read, shots)
			if read*100 < c.floor*shots {
				t.Errorf("%d of %d photographs are read, want %d %%", read, shots, c.floor)
			}
		})
	}
}

// window cuts a square out of a page drawn at dpi.
func window(page image.Image, b box, dpi int) *image.RGBA {
	dot := func(mm float64) int { return int(mm / 25.4 * float64(dpi)) }
	side := dot(b.w)
	part := image.NewRGBA(image.Rect(0, 0, side, side))
	for y := range side {
		for x := range side {
			part.Set(x, y, page.At(dot(b.x)+x, dot(b.y)+y))
		}
	}
	return part
}
