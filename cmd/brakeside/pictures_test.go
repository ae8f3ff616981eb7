package main

import (
	"bytes"
	"flag"
	"image/png"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"testing"

	"github.com/chromedp/chromedp"
)

// paint takes the pictures of the README anew:
//
//	go test ./cmd/brakeside -run TestReadmePictures -paint
var paint = flag.Bool("paint", false, "take the pictures of the README anew; needs chromium and pdftoppm")

const pictureFolder = "../../testdata/pictures"

// The README shows a traveler and a page of the phone, both as the demo makes
// them.
func TestReadmePictures(t *testing.T) {
	if *paint {
		takePictures(t)
	}
	readme, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	var shown []string
	for _, found := range regexp.MustCompile(`!\[[^]]+\]\(testdata/pictures/([a-z-]+\.png)\)`).FindAllSubmatch(readme, -1) {
		shown = append(shown, string(found[1]))
	}
	if slices.Sort(shown); !slices.Equal(shown, []string{"phone.png", "traveler.png"}) {
		t.Fatalf("the README shows %q, want a traveler and a phone", shown)
	}
	for _, name := range shown {
		file, err := os.ReadFile(filepath.Join(pictureFolder, name))
		if err != nil {
			t.Fatalf("%v; take it with -paint", err)
		}
		size, err := png.DecodeConfig(bytes.NewReader(file))
		if err != nil || size.Width < 300 || size.Height < 400 || len(file) > 400_000 {
			t.Errorf("%s is %d by %d in %d bytes, %v", name, size.Width, size.Height, len(file), err)
		}
	}
}

func takePictures(t *testing.T) {
	t.Helper()
	r := starts(t, "demo", "-addr", net.JoinHostPort(ownAddress(t), "0"), "-data", t.TempDir())
	g := r.greeting()
	if err := os.MkdirAll(pictureFolder, 0o755); err != nil {
		t.Fatal(err)
	}
	traveler := exec.Command("pdftoppm", "-png", "-singlefile", "-gray", "-r", "90", g.sheet, filepath.Join(pictureFolder, "traveler"))
	if out, err := traveler.CombinedOutput(); err != nil {
		t.Fatalf("pdftoppm: %v: %s", err, out)
	}
	phone := opened(t, browser(t), 390, 844, chromedp.EmulateScale(1.25), chromedp.EmulatePortrait, chromedp.EmulateMobile, chromedp.EmulateTouch)
	phone.do(chromedp.Navigate(g.base+"/t/"+g.codes[1]), chromedp.Tap(".convention button[value=bend]"))
	phone.until(`document.querySelector("main[data-ready]") !== null && document.querySelector(".convention") === null`)
	image, err := chromedp.Run(phone.tab, chromedp.CaptureScreenshot())
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(pictureFolder, "phone.png"), image, 0o644); err != nil {
		t.Fatal(err)
	}
}
