package looks_test

import (
	"bytes"
	"cmp"
	"context"
	"flag"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/chromedp/chromedp"

	"brakeside/server/internal/shoptest"
	"brakeside/testdata/suite"
	"brakeside/traveler/standing"
)

var update = flag.Bool("update", false, "make the kept pictures of the pages anew")

// illegible lists the words of a page that stand out too little from what is
// behind them, by WCAG 2.2: 4.5 to 1, and 3 to 1 for letters of 24 pixels, or of
// 18.7 and bold. It also lists what is cut off because its box is too small.
const illegible = `(() => {
	const numbers = (colour) => (colour.match(/[\d.]+/g) || []).map(Number);
	const light = (colour) => {
		const [r, g, b] = numbers(colour).map((v) => (v /= 255) <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
		return 0.2126 * r + 0.7152 * g + 0.0722 * b;
	};
	const behind = (e) => {
		for (; e; e = e.parentElement) {
			const colour = getComputedStyle(e).backgroundColor, [, , , solid = 1] = numbers(colour);
			if (solid === 1) return colour;
		}
		return getComputedStyle(document.documentElement).backgroundColor;
	};
	const wrong = [];
	for (const e of document.body.querySelectorAll("*")) {
		if (e.closest("svg") || !e.checkVisibility() || ![...e.childNodes].some((n) => n.nodeType === 3 && /[\p{L}\p{N}]/u.test(n.data))) continue;
		const style = getComputedStyle(e), size = parseFloat(style.fontSize);
		const [a, b] = [light(style.color), light(behind(e))].sort((x, y) => y - x);
		const contrast = (a + 0.05) / (b + 0.05);
		const least = size >= 24 || (size >= 18.66 && Number(style.fontWeight) >= 700) ? 3 : 4.5;
		if (contrast < least) wrong.push(contrast.toFixed(1) + " to 1: " + e.textContent.trim().slice(0, 60));
		if (style.display !== "inline" && e.scrollWidth > e.clientWidth + 1) wrong.push("cut off: " + e.textContent.trim().slice(0, 60));
	}
	return wrong.join("\n");
})()`

// Every word at the brake can be read, by day and in a dark shop, and none is
// cut off. The upper part of each page is like the picture of it that is kept,
// so that whoever changes a page looks at it.
func TestPhoneLooks(t *testing.T) {
	s, _ := shoptest.BusyShop(t)
	s.Decide(shoptest.NewerCode, standing.Voided, "wrong material")
	for way, scheme := range []string{"light", "dark"} {
		d := s.Use(t, shoptest.PhoneScreen)
		if scheme == "dark" {
			d.Dark()
		}
		for i, v := range shoptest.PhoneViews {
			if !*update && !suite.InTurn(i, way, 2) {
				continue
			}
			d.Open(v.Path)
			d.Eval(`document.querySelectorAll("details").forEach((e) => { e.open = true; })`)
			d.Eval(`document.querySelectorAll("[name=state][value=scrapped]").forEach((e) => { e.checked = true; })`)
			if wrong := d.Eval(illegible); wrong != "" {
				t.Errorf("%s, %s:\n%s", v.Name, scheme, wrong)
			}
			d.Open(v.Path)
			compare(d, v.Name+"-"+scheme)
		}
	}
}

// compare holds what the screen shows against the kept picture of that name.
func compare(d *shoptest.Device, name string) {
	d.T.Helper()
	tab, cancel := context.WithTimeout(d.Tab, shoptest.Patience)
	defer cancel()
	shot, err := chromedp.Run(tab, chromedp.CaptureScreenshot())
	if err != nil {
		d.T.Fatal(err)
	}
	seen, err := png.Decode(bytes.NewReader(shot))
	if err != nil {
		d.T.Fatal(err)
	}
	path := filepath.Join("testdata", "phone", name+".png")
	if *update {
		keepPicture(d.T, path, seen)
	}
	text, err := os.ReadFile(path)
	if err != nil {
		d.T.Fatalf("%v; make it with -update, and look at it", err)
	}
	kept, err := png.Decode(bytes.NewReader(text))
	if err != nil {
		d.T.Fatal(err)
	}
	if len(text) > 24<<10 {
		d.T.Errorf("the picture %s has %d bytes, want a small one", name, len(text))
	}
	if unlike := unlike(kept, seen); unlike > 0.2 {
		d.Picture("unlike-" + name)
		d.T.Errorf("%s: %.0f of 100 parts of the screen are not as in the kept picture; look at it, and keep it with -update", name, 100*unlike)
	}
}

// tiles is how many parts a picture is compared in, across and down. Letters of
// another machine are a little different; a page that lost a part of itself or
// its colours is very different.
var tiles = image.Pt(6, 12)

// unlike gives the share of tiles whose mean brightness differs by more than an
// eighth.
func unlike(a, b image.Image) float64 {
	differ := 0
	for y := range tiles.Y {
		for x := range tiles.X {
			if d := meanOf(a, image.Pt(x, y)) - meanOf(b, image.Pt(x, y)); d > 32 || d < -32 {
				differ++
			}
		}
	}
	return float64(differ) / float64(tiles.X*tiles.Y)
}

// meanOf is the mean brightness of one tile, 0 to 255.
func meanOf(m image.Image, tile image.Point) int {
	size := m.Bounds().Size()
	sum, count := 0, 0
	for y := size.Y * tile.Y / tiles.Y; y < size.Y*(tile.Y+1)/tiles.Y; y++ {
		for x := size.X * tile.X / tiles.X; x < size.X*(tile.X+1)/tiles.X; x++ {
			sum += int(color.GrayModel.Convert(m.At(x, y)).(color.Gray).Y)
			count++
		}
	}
	return sum / max(count, 1)
}

// keepPicture writes a screen of two dots to the pixel in half its size and with
// few colours.
func keepPicture(t *testing.T, path string, m image.Image) {
	t.Helper()
	size := m.Bounds().Size().Div(2)
	small := image.NewRGBA(image.Rectangle{Max: size})
	uses := map[color.RGBA]int{}
	for y := range size.Y {
		for x := range size.X {
			c := meanColour(m, image.Pt(2*x, 2*y))
			small.SetRGBA(x, y, c)
			uses[c]++
		}
	}
	var few color.Palette
	for _, c := range slices.SortedFunc(maps.Keys(uses), func(a, b color.RGBA) int {
		return cmp.Or(uses[b]-uses[a], int(a.R)-int(b.R), int(a.G)-int(b.G), int(a.B)-int(b.B))
	}) {
		if few = append(few, c); len(few) == 32 {
			break
		}
	}
	paletted := image.NewPaletted(small.Bounds(), few)
	draw.Draw(paletted, paletted.Bounds(), small, image.Point{}, draw.Src)
	var out bytes.Buffer
	if err := (&png.Encoder{CompressionLevel: png.BestCompression}).Encode(&out, paletted); err != nil {
		t.Fatal(err)
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, out.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
}

// meanColour is the colour of a square of two dots by two, with five bits of
// each of its parts.
func meanColour(m image.Image, at image.Point) color.RGBA {
	var sum [3]uint32
	for _, step := range []image.Point{{}, {X: 1}, {Y: 1}, {X: 1, Y: 1}} {
		r, g, b, _ := m.At(at.X+step.X, at.Y+step.Y).RGBA()
		sum[0], sum[1], sum[2] = sum[0]+r>>8, sum[1]+g>>8, sum[2]+b>>8
	}
	few := func(v uint32) uint8 { return uint8(v / 4 &^ 7) }
	return color.RGBA{few(sum[0]), few(sum[1]), few(sum[2]), 255}
}

// The comparison of pictures tells a page from another one, and from the same
// page in the dark.
func TestUnlike(t *testing.T) {
	files, err := filepath.Glob("testdata/phone/*.png")
	if err != nil || len(files) != 2*len(shoptest.PhoneViews) {
		t.Fatalf("%d kept pictures, %v; want %d", len(files), err, 2*len(shoptest.PhoneViews))
	}
	for _, v := range shoptest.PhoneViews {
		var both [2]image.Image
		for i, scheme := range []string{"light", "dark"} {
			name := filepath.Join("testdata", "phone", fmt.Sprintf("%s-%s.png", v.Name, scheme))
			if !slices.Contains(files, name) {
				t.Fatalf("there is no %s", name)
			}
			text, err := os.ReadFile(name)
			if err != nil {
				t.Fatal(err)
			}
			if both[i], err = png.Decode(bytes.NewReader(text)); err != nil {
				t.Fatalf("%s: %v", name, err)
			}
		}
		if same := unlike(both[0], both[0]); same != 0 {
			t.Errorf("%s is unlike itself: %v", v.Name, same)
		}
		if other := unlike(both[0], both[1]); other <= 0.2 {
			t.Errorf("%s by day and in the dark are unlike in %v of their parts only", v.Name, other)
		}
	}
}
