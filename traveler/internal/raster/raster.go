// Package raster turns the pages of a PDF into pictures and reads QR codes off
// them, with programs that had no part in making them. Only tests import it.
package raster

import (
	"fmt"
	"image"
	"image/draw"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/klippa-app/go-pdfium"
	"github.com/klippa-app/go-pdfium/requests"
	"github.com/klippa-app/go-pdfium/webassembly"
	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/qrcode"
	"github.com/tetratelabs/wazero"
	"github.com/tetratelabs/wazero/api"
	"github.com/tetratelabs/wazero/experimental"
)

// wait is the longest that a test waits for another to give the renderer back.
const wait = time.Minute

// pool is the renderer. It takes two seconds to make ready, so all tests of a
// package share one, which lives as long as the process.
var pool = sync.OnceValues(func() (pdfium.Pool, error) {
	return webassembly.Init(webassembly.Config{MinIdle: 1, MaxIdle: 1, MaxTotal: 1, RuntimeConfig: compiled()})
})

// compiled keeps what the library has been compiled to for the next process, in the
// user's cache: compiling takes seconds, and ten times as long beside the race
// detector.
func compiled() wazero.RuntimeConfig {
	config := wazero.NewRuntimeConfig().WithCoreFeatures(api.CoreFeaturesV2 | experimental.CoreFeaturesExceptionHandling)
	folder, err := os.UserCacheDir()
	if err != nil {
		return config
	}
	kept, err := wazero.NewCompilationCacheWithDir(filepath.Join(folder, "brakeside-tests"))
	if err != nil {
		return config
	}
	return config.WithCompilationCache(kept)
}

// Page draws one page, counted from 0, at dpi dots an inch.
func Page(tb testing.TB, pdf []byte, index int, dpi int) image.Image {
	tb.Helper()
	renderer, err := pool()
	if err != nil {
		tb.Fatalf("the PDF renderer does not start: %v", err)
	}
	instance, err := renderer.GetInstance(wait)
	if err != nil {
		tb.Fatalf("the PDF renderer is not free: %v", err)
	}
	defer instance.Close()
	document, err := instance.OpenDocument(&requests.OpenDocument{File: &pdf})
	if err != nil {
		tb.Fatalf("open the PDF of %d bytes: %v", len(pdf), err)
	}
	defer instance.FPDF_CloseDocument(&requests.FPDF_CloseDocument{Document: document.Document})
	page := requests.Page{ByIndex: &requests.PageByIndex{Document: document.Document, Index: index}}
	drawn, err := instance.RenderPageInDPI(&requests.RenderPageInDPI{Page: page, DPI: dpi})
	if err != nil {
		tb.Fatalf("draw page %d: %v", index, err)
	}
	defer drawn.Cleanup()
	return own(drawn.Result.RenderedImage)
}

// own copies a picture, since the renderer takes its own back.
func own(shared image.Image) image.Image {
	picture := image.NewRGBA(shared.Bounds())
	draw.Draw(picture, picture.Bounds(), shared, shared.Bounds().Min, draw.Src)
	return picture
}

// QR reads the one QR code on a picture. It returns an error when none can be
// read.
func QR(tb testing.TB, picture image.Image) (string, error) {
	tb.Helper()
	bitmap, err := gozxing.NewBinaryBitmapFromImage(picture)
	if err != nil {
		return "", fmt.Errorf("the picture cannot be read: %w", err)
	}
	hints := map[gozxing.DecodeHintType]any{gozxing.DecodeHintType_TRY_HARDER: true}
	result, err := qrcode.NewQRCodeReader().Decode(bitmap, hints)
	if err != nil {
		return "", fmt.Errorf("no QR code was read: %w", err)
	}
	return result.GetText(), nil
}

// Dark reports whether the picture is darker than middle grey at a place given
// in millimetres from its top left corner, when it was drawn at dpi.
func Dark(picture image.Image, dpi int, x, y float64) bool {
	at := func(mm float64) int { return int(mm / 25.4 * float64(dpi)) }
	red, green, blue, _ := picture.At(at(x), at(y)).RGBA()
	return (red+green+blue)/3 < 0x8000
}
