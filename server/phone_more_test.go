package server

import (
	"bytes"
	"context"
	"errors"
	"image"
	"image/jpeg"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"

	"github.com/chromedp/chromedp"

	"brakeside/calc/fault"
)

// largePhoto is a picture of the size a phone's camera takes, in a file.
func largePhoto(t *testing.T) string {
	t.Helper()
	picture := image.NewGray(image.Rect(0, 0, 3000, 2000))
	for i := range picture.Pix {
		picture.Pix[i] = uint8(i/3000 + i%3000)
	}
	var out bytes.Buffer
	if err := jpeg.Encode(&out, picture, nil); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "IMG_0001.jpg")
	if err := os.WriteFile(path, out.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// photoSizes gives the sizes of the photos of a sheet, in pixels.
func (d *device) photoSizes(code string) []image.Point {
	d.t.Helper()
	photos, err := d.store.Photos(context.Background(), code)
	if err != nil {
		d.t.Fatal(err)
	}
	var sizes []image.Point
	for _, p := range photos {
		picture, _, err := d.store.Picture(context.Background(), code, p.Seq)
		if err != nil {
			d.t.Fatal(err)
		}
		size, _, err := image.DecodeConfig(bytes.NewReader(picture))
		if err != nil {
			d.t.Fatal(err)
		}
		sizes = append(sizes, image.Pt(size.Width, size.Height))
	}
	return sizes
}

// A photo is made smaller on the phone and kept; without a network it waits
// there, also while the phone turns to another bend.
func TestPhonePhoto(t *testing.T) {
	d := openShop(t).use(t, phoneScreen)
	file := largePhoto(t)
	d.open("/t/" + channelCode)
	d.do(chromedp.SendKeys("#by", "AB"), chromedp.SetUploadFiles("#photo", []string{file}))
	d.until(`document.querySelector("[data-photo-words]").textContent === "The photo is kept."`)
	d.picture("photo-kept")
	d.until(`performance.getEntriesByType("resource").filter((e) => /\/[123]$/.test(e.name)).length >= 3`)
	d.network(false)
	d.tap(pick("pad", "45.3"))
	d.tap("button.main")
	d.see("[data-go]")
	d.tap("[data-go]")
	d.until(`document.querySelector("form.log [name=step]").value === "2"`)
	d.do(chromedp.SetUploadFiles("#photo", []string{file}))
	d.until(`document.querySelector("[data-photo-words]").textContent === "1 photo waits on this phone. No network."`)
	d.picture("photo-waits")
	d.network(true)
	d.until(`document.querySelector("[data-photo-words]").textContent === "The photo is kept."`)
	photos, err := d.store.Photos(context.Background(), channelCode)
	if err != nil || len(photos) != 2 || photos[0].Step != 1 || photos[1].Step != 2 || photos[0].By != "AB" || photos[0].ID == photos[1].ID {
		t.Fatalf("stored %+v, %v; want one photo of each bend", photos, err)
	}
	for _, size := range d.photoSizes(channelCode) {
		if size != image.Pt(1600, 1067) {
			t.Errorf("a photo of %v is stored, want it made smaller to 1600 by 1067", size)
		}
	}
}

func TestPhonePhotoWithoutScript(t *testing.T) {
	d := openShop(t).use(t, phoneScreen)
	d.withoutScript()
	d.open("/t/" + channelCode)
	d.do(chromedp.SetUploadFiles("#photo", []string{largePhoto(t)}))
	d.tap("form.photo button")
	d.saysSoon("1 kept of this bend")
	if sizes := d.photoSizes(channelCode); len(sizes) != 1 || sizes[0] != image.Pt(3000, 2000) {
		t.Errorf("stored %v, want the picture as it was taken", sizes)
	}
}

// Each of two phones on one sheet sees which bend the other one has open, while
// it is open.
func TestTwoPhonesSeeEachOther(t *testing.T) {
	s := openShop(t)
	s.recordFirstPiece()
	s.record(channelCode, `{"id":"g1","piece":2,"step":1,"measured":45,"confirmed":true}`)
	ab, cd := s.use(t, phoneScreen), s.use(t, phoneScreen)
	ab.open("/t/" + channelCode + "/2?piece=2")
	ab.do(chromedp.SendKeys("#by", "AB"))
	ab.sayHere()
	cd.open("/t/" + channelCode + "/2?piece=2")
	cd.says("AB has this bend open too", "Take piece 3")
	cd.picture("company")
	cd.do(chromedp.SendKeys("#by", "CD"))
	cd.sayHere()
	ab.sayHere()
	ab.until(`document.querySelector("[data-company]").innerText.includes("CD has this bend open too.")`)
	cd.tap("[data-company] a")
	cd.until(`document.title.startsWith("Piece 3, bend 2")`)
	cd.says("AB has piece 2, bend 2 open.")
	ab.sayHere()
	ab.until(`document.querySelector("[data-company]").innerText.includes("has piece 3, bend 2 open.")`)
	cd.open("/t/" + trayCode)
	ab.until(`document.dispatchEvent(new Event("visibilitychange")), document.querySelector("[data-company]").hidden`)
}

// sayHere lets the page tell at once that it is open, which it does by itself
// every ten seconds.
func (d *device) sayHere() {
	d.t.Helper()
	d.eval(`document.dispatchEvent(new Event("visibilitychange"))`)
	d.until(`performance.getEntriesByType("resource").some((e) => e.name.endsWith("/presence"))`)
}

func TestPhoneUndo(t *testing.T) {
	d := openShop(t).use(t, phoneScreen)
	d.open("/t/" + channelCode)
	d.tap(pick("pad", "45.4"))
	d.tap("button.main")
	d.until(`location.search.startsWith("?saved=")`)
	d.tap("form.undo button")
	d.until(`document.querySelector("h1").innerText === "Taken back"`)
	d.picture("taken-back")
	d.tap("a.main")
	d.until(`document.title.startsWith("Piece 1, bend 1")`)
	d.tap(pick("pad", "45.1"))
	d.tap("button.main")
	d.see(".verdict.right")
	readings, err := d.store.Readings(context.Background(), channelCode)
	if err != nil || len(readings) != 3 || !readings[1].Withdrawn() || readings[2].Measured != 4510 {
		t.Errorf("stored %+v, %v; want the reading, its taking back and the new one", readings, err)
	}
}

// Scrapping wants a reason, also with script; then the piece can be made again.
func TestPhoneScrapsAndMakesAgain(t *testing.T) {
	s := openShop(t)
	s.recordFirstPiece()
	d := s.use(t, phoneScreen)
	d.open("/t/" + channelCode + "/1?piece=2")
	d.tap(pick("pad", "45.4"))
	d.tap("form.log summary")
	d.tap(pick("state", "scrapped"))
	d.tap("button.main")
	d.until(`document.querySelector("[role=alert]") !== null`)
	d.says("Say in a few words why the piece is scrapped")
	d.picture("why-scrapped")
	d.do(chromedp.SendKeys("#note", "corner torn open"))
	d.tap("button.main")
	d.see(".verdict.halt")
	d.picture("scrapped")
	d.tap("form.again button")
	d.until(`document.title.startsWith("Piece 3, bend 1")`)
	d.says("Job J-1041 · 4 off")
}

// A phone tells why nothing is taken when the service itself says so, and keeps
// the reading.
func TestPhoneSaysThatTheDiskIsFull(t *testing.T) {
	s := openShop(t)
	var full atomic.Bool
	full.Store(true)
	pages := s.server.Handler()
	d := s.useBehind(t, phoneScreen, func(w http.ResponseWriter, r *http.Request) {
		if full.Load() && r.Method == http.MethodPost && strings.HasSuffix(r.URL.Path, "/readings") {
			s.guarded(func(http.ResponseWriter, *http.Request) error {
				return errors.Join(fault.New(fault.Busy, "", "The disk is full: nothing was stored. Free some space and try again."), errors.New("SQLITE_FULL"))
			}).ServeHTTP(w, r)
			return
		}
		pages.ServeHTTP(w, r)
	})
	d.open("/t/" + channelCode)
	d.tap(pick("pad", "45.4"))
	d.tap("button.main")
	d.see(".verdict.right")
	d.says("kept on this phone", "The disk is full")
	d.picture("disk-full")
	full.Store(false)
	d.eval(`document.querySelector("[data-send]").click()`) // unless it has just been sent by itself
	d.until(`location.search.startsWith("?saved=")`)
	if n := d.stored(channelCode); n != 1 {
		t.Errorf("%d readings stored, want 1", n)
	}
}

// A reading that comes in after the owner's page was made and before its stream
// stands is not missed.
func TestOwnersPageMissesNothing(t *testing.T) {
	s := openShop(t)
	session := s.owner()
	logged := make(chan struct{})
	pages := s.server.Handler()
	d := s.useBehind(t, screen{1280, 800, false}, func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path == "/news" {
			<-logged
		}
		pages.ServeHTTP(w, r)
	})
	d.signInWith(session.Value)
	d.open("/")
	d.says("0 / 9")
	s.record(channelCode, `{"id":"x1","piece":1,"step":1,"measured":45}`)
	close(logged)
	d.until(`document.querySelector("#jobs").innerText.includes("1 / 9")`)
}

// Who has bent a piece again after an angle that was off logs it with the same
// three taps, and it is kept apart from the bend as it came off the brake.
func TestPhoneLogsReworkInThreeTaps(t *testing.T) {
	d := openShop(t).use(t, phoneScreen)
	d.open("/t/" + channelCode)
	d.do(chromedp.SendKeys("#typed", "42.1"))
	d.tap("button.main")
	d.until(`document.querySelector(".verdict.under") !== null`)
	d.tap(`.after a[href*="state=reworked"]`)
	d.until(`document.querySelector("form.log [name=state]:checked").value === "reworked"`)
	d.tap(pick("pad", "44.9"))
	d.tap("button.main")
	d.until(`document.querySelector(".verdict.right") !== null`)
	if d.eval(`document.querySelector(".after a[href*='state=reworked']")`) != "null" {
		t.Error("a bend in tolerance is offered for rework")
	}
	readings, err := d.store.Readings(context.Background(), channelCode)
	if err != nil || len(readings) != 2 || readings[0].State != "as-bent" || readings[1].State != "reworked" || readings[1].Teaches() {
		t.Errorf("stored %+v, %v; want the bend as bent, and after rework", readings, err)
	}
}
