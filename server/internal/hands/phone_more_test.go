package hands_test

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
	"time"

	"github.com/chromedp/chromedp"

	"brakeside/calc/fault"
	"brakeside/server/internal/shoptest"
	"brakeside/traveler/progress"
	"brakeside/traveler/standing"
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
func photoSizes(d *shoptest.Device, code string) []image.Point {
	d.T.Helper()
	photos, err := d.Store.Photos(context.Background(), code)
	if err != nil {
		d.T.Fatal(err)
	}
	var sizes []image.Point
	for _, p := range photos {
		picture, _, err := d.Store.Picture(context.Background(), code, p.Seq)
		if err != nil {
			d.T.Fatal(err)
		}
		size, _, err := image.DecodeConfig(bytes.NewReader(picture))
		if err != nil {
			d.T.Fatal(err)
		}
		sizes = append(sizes, image.Pt(size.Width, size.Height))
	}
	return sizes
}

// A photo is made smaller on the phone and kept; without a network it waits
// there, also while the phone turns to another bend.
func TestPhonePhoto(t *testing.T) {
	t.Parallel()
	d := shoptest.OpenShop(t).Use(t, shoptest.PhoneScreen)
	file := largePhoto(t)
	d.Open("/t/" + shoptest.ChannelCode)
	d.Do(chromedp.SendKeys("#by", "AB"), chromedp.SetUploadFiles("#photo", []string{file}))
	d.Until(`document.querySelector("[data-photo-words]").textContent === "The photo is saved."`)
	d.Picture("photo-kept")
	d.Ready()
	d.Network(false)
	d.TapKey("45.3")
	d.OnStep(1, 2)
	d.Do(chromedp.SetUploadFiles("#photo", []string{file}))
	d.Until(`document.querySelector("[data-photo-words]").textContent === "1 photo waits on this phone. No network."`)
	d.Picture("photo-waits")
	d.Eval(`indexedDB.open("brakeside-photos").onsuccess = (event) => {
		event.target.result.transaction("waiting").objectStore("waiting").getAll().onsuccess = (got) => { window.kept = got.target.result; };
	}`)
	d.Until(`window.kept && window.kept.length === 1 && window.kept[0].bytes instanceof ArrayBuffer`)
	d.Network(true)
	d.Until(`document.querySelector("[data-photo-words]").textContent === "The photo is saved."`)
	photos, err := d.Store.Photos(context.Background(), shoptest.ChannelCode)
	if err != nil || len(photos) != 2 || photos[0].Step != 1 || photos[1].Step != 2 || photos[0].By != "AB" || photos[0].ID == photos[1].ID {
		t.Fatalf("stored %+v, %v; want one photo of each bend", photos, err)
	}
	for _, size := range photoSizes(d, shoptest.ChannelCode) {
		if size != image.Pt(1600, 1067) {
			t.Errorf("a photo of %v is stored, want it made smaller to 1600 by 1067", size)
		}
	}
}

// A phone that keeps nothing on its disk, as in a private window, loses neither the
// photo nor the page while there is no network: the page holds the photo.
func TestPhonePhotoWithoutDisk(t *testing.T) {
	t.Parallel()
	d := shoptest.OpenShop(t).Use(t, shoptest.PhoneScreen)
	d.Open("/t/" + shoptest.ChannelCode)
	d.Ready()
	d.Eval(`IDBObjectStore.prototype.put = () => { throw new DOMException("no room", "QuotaExceededError"); }`)
	d.Network(false)
	d.Do(chromedp.SetUploadFiles("#photo", []string{largePhoto(t)}))
	d.Until(`document.querySelector("[data-photo-words]").textContent === "1 photo waits on this phone. No network."`)
	d.See("#typed")
	if asks := d.Eval(`!dispatchEvent(new Event("beforeunload", { cancelable: true }))`); asks != "true" {
		t.Error("the page may be left without a word while it holds a photo")
	}
	d.Network(true)
	d.Until(`document.querySelector("[data-photo-words]").textContent === "The photo is saved."`)
	if sizes := photoSizes(d, shoptest.ChannelCode); len(sizes) != 1 || sizes[0] != image.Pt(1600, 1067) {
		t.Errorf("stored %v, want the photo once, made smaller", sizes)
	}
}

func TestPhonePhotoWithoutScript(t *testing.T) {
	t.Parallel()
	d := shoptest.OpenShop(t).Use(t, shoptest.PhoneScreen)
	d.WithoutScript()
	d.Open("/t/" + shoptest.ChannelCode)
	d.Do(chromedp.SetUploadFiles("#photo", []string{largePhoto(t)}))
	d.Tap("form.photo button")
	d.SaysSoon("1 saved of this bend")
	if sizes := photoSizes(d, shoptest.ChannelCode); len(sizes) != 1 || sizes[0] != image.Pt(3000, 2000) {
		t.Errorf("stored %v, want the picture as it was taken", sizes)
	}
}

// Each of two phones on one sheet sees which bend the other one has open, while
// it is open.
func TestTwoPhonesSeeEachOther(t *testing.T) {
	t.Parallel()
	s := shoptest.OpenShop(t)
	s.RecordFirstPiece()
	s.Record(shoptest.ChannelCode, `{"id":"g1","piece":2,"step":1,"measured":45,"confirmed":true}`)
	ab, cd := s.Use(t, shoptest.PhoneScreen), s.Use(t, shoptest.PhoneScreen)
	ab.Open("/t/" + shoptest.ChannelCode)
	cd.Open("/t/" + shoptest.ChannelCode)
	ab.Open("/t/" + shoptest.ChannelCode + "/2?piece=2")
	ab.Do(chromedp.SendKeys("#by", "AB"))
	sayHere(ab)
	cd.Open("/t/" + shoptest.ChannelCode + "/2?piece=2")
	cd.Says("AB has this bend open too", "Mine is piece 3")
	cd.Picture("company")
	cd.Do(chromedp.SendKeys("#by", "CD"))
	sayHere(cd)
	sayHere(ab)
	ab.Until(`document.querySelector("[data-company]").innerText.includes("CD has this bend open too.")`)
	cd.Tap("[data-company] a")
	cd.OnStep(3, 2)
	cd.Says("AB has piece 2, step 2 open.")
	sayHere(ab)
	ab.Until(`document.querySelector("[data-company]").innerText.includes("has piece 3, step 2 open.")`)
	cd.Open("/t/" + shoptest.TrayCode)
	ab.Until(`document.dispatchEvent(new Event("visibilitychange")), document.querySelector("[data-company]").hidden`)
}

// A stop of work that the office decides shows on a phone that lies open, before the
// next bend; what was bent is still taken, and there is a way back.
func TestPhoneHearsOfAStop(t *testing.T) {
	t.Parallel()
	s := shoptest.OpenShop(t)
	d := s.Use(t, shoptest.PhoneScreen)
	d.Open("/t/" + shoptest.ChannelCode)
	d.Ready()
	s.Decide(shoptest.ChannelCode, standing.Held, "wrong sheet")
	sayHere(d)
	d.See(".verdict.halt")
	d.Says("The run is stopped", "wrong sheet")
	if d.Eval(`document.querySelector("form.log").hidden`) != "true" {
		t.Error("angles are offered although the run is stopped")
	}
	d.Tap("[data-bent]")
	d.TapKey("45.0")
	d.Logged(shoptest.ChannelCode, 1)
	s.Decide(shoptest.ChannelCode, standing.Resumed, "the right one is here")
	d.Tap("[data-again]")
	d.OnStep(1, 2)
}

// Two phones that logged the same bend: the second is asked whether its piece was the
// next one, and that is sent as a correction.
func TestMineIsPieceThree(t *testing.T) {
	t.Parallel()
	s := shoptest.OpenShop(t)
	s.RecordFirstPiece()
	d := s.Use(t, shoptest.PhoneScreen)
	d.Open("/t/" + shoptest.ChannelCode)
	d.Ready()
	s.Record(shoptest.ChannelCode, `{"id":"other","piece":2,"step":1,"measured":45.1,"by":"CD"}`)
	d.TapKey("44.9")
	d.Until(`document.querySelector("[data-no]") !== null`)
	d.Says("Piece 2, step 1 was logged before.", "Mine is piece 3")
	d.Picture("mine-is")
	d.Tap("[data-no]")
	d.Logged(shoptest.ChannelCode, 6)
	job, err := s.Store.Progress(t.Context(), shoptest.ChannelCode)
	if err != nil {
		t.Fatal(err)
	}
	if next, _ := progress.Next(job); next != (progress.Spot{Piece: 2, Step: 2}) {
		t.Errorf("next is %v, want piece 2, step 2: pieces 2 and 3 have step 1", next)
	}
	d.OnStep(2, 2)
}

// sayHere lets the page tell at once that it is open, which it does by itself
// every ten seconds.
func sayHere(d *shoptest.Device) {
	d.T.Helper()
	d.Eval(`document.dispatchEvent(new Event("visibilitychange"))`)
	d.Until(`performance.getEntriesByType("resource").some((e) => e.name.endsWith("/presence"))`)
}

// Undo is a correction that takes the reading back: what was shown as saved stays in
// the log. After five seconds the page of the reading is offered in its place.
func TestPhoneUndo(t *testing.T) {
	t.Parallel()
	d := shoptest.OpenShop(t).Use(t, shoptest.PhoneScreen)
	d.Open("/t/" + shoptest.ChannelCode)
	d.Ready()
	d.TapKey("45.4")
	d.OnStep(1, 2)
	d.Tap("[data-undo]")
	d.OnStep(1, 1)
	d.Says("Taken back: 45.4°")
	d.Picture("taken-back")
	d.TapKey("45.1")
	d.OnStep(1, 2)
	d.Sent()
	readings, err := d.Store.Readings(context.Background(), shoptest.ChannelCode)
	if err != nil || len(readings) != 3 || !readings[1].Withdrawn() || readings[2].Measured != 4510 {
		t.Errorf("stored %+v, %v; want the reading, its taking back and the new one", readings, err)
	}
	d.Pass(5 * time.Second)
	d.Until(`document.querySelector("[data-undo]").hidden && !document.querySelector("[data-look]").hidden`)
	d.Tap("[data-look]")
	d.See("form.undo")
}

// Scrapping wants a reason, also with script; then the piece can be made again.
func TestPhoneScrapsAndMakesAgain(t *testing.T) {
	t.Parallel()
	s := shoptest.OpenShop(t)
	s.RecordFirstPiece()
	d := s.Use(t, shoptest.PhoneScreen)
	d.Open("/t/" + shoptest.ChannelCode + "/1?piece=2")
	d.Ready()
	d.Tap("form.log summary")
	d.Tap(shoptest.Pick("state", "scrapped"))
	d.TapKey("45.4")
	d.Until(`document.querySelector("[role=alert]") !== null`)
	d.Says("Say in a few words why the piece is scrapped")
	d.Picture("why-scrapped")
	d.Do(chromedp.SendKeys("#note", "corner torn open"))
	d.Enter("45.4")
	d.See(".verdict.halt")
	d.OnStep(3, 1)
	d.Picture("scrapped")
	d.Sent()
	d.Pass(5 * time.Second)
	d.Until(`!document.querySelector("[data-look]").hidden`)
	d.Tap("[data-look]")
	d.See("form.again button")
	d.Tap("form.again button")
	d.OnStep(3, 1)
	d.Says("Job J-1041 · qty 4")
}

// A phone tells why nothing is taken when the service itself says so, and keeps
// the reading.
func TestPhoneSaysThatTheDiskIsFull(t *testing.T) {
	t.Parallel()
	s := shoptest.OpenShop(t)
	var full atomic.Bool
	full.Store(true)
	pages := s.Server.Handler()
	d := s.UseBehind(t, shoptest.PhoneScreen, func(w http.ResponseWriter, r *http.Request) {
		if full.Load() && r.Method == http.MethodPost && strings.HasSuffix(r.URL.Path, "/readings") {
			s.Guarded(func(http.ResponseWriter, *http.Request) error {
				return errors.Join(fault.New(fault.Busy, "", "The disk is full: nothing was stored. Free some space and try again."), errors.New("SQLITE_FULL"))
			}).ServeHTTP(w, r)
			return
		}
		pages.ServeHTTP(w, r)
	})
	d.Open("/t/" + shoptest.ChannelCode)
	d.Ready()
	d.TapKey("45.4")
	d.See(".verdict.right")
	d.Until(`!document.querySelector("[data-unsent]").hidden`)
	d.Says("kept on this phone", "The service answers: The disk is full")
	d.Picture("disk-full")
	full.Store(false)
	d.Eval(`document.querySelector("[data-send]").click()`) // unless it has just been sent by itself
	d.Sent()
	if n := d.Stored(shoptest.ChannelCode); n != 1 {
		t.Errorf("%d readings stored, want 1", n)
	}
}

// A reading that comes in after the owner's page was made and before its stream
// stands is not missed.
func TestOwnersPageMissesNothing(t *testing.T) {
	t.Parallel()
	s := shoptest.OpenShop(t)
	session := s.Owner()
	logged := make(chan struct{})
	pages := s.Server.Handler()
	d := s.UseBehind(t, shoptest.Screen{Width: 1280, Height: 800, Touch: false}, func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path == "/news" {
			<-logged
		}
		pages.ServeHTTP(w, r)
	})
	d.SignInWith(session.Value)
	d.Open("/")
	d.Says("0 / 9")
	s.Record(shoptest.ChannelCode, `{"id":"x1","piece":1,"step":1,"measured":45}`)
	close(logged)
	d.Until(`document.querySelector("#jobs").innerText.includes("1 / 9")`)
}

// After a bend that is off its rework is the next thing, with one tap, and it is kept
// apart from the bend as it came off the brake. The owner's release can be asked for
// where only that or the scrap heap helps.
func TestPhoneLogsReworkInOneTap(t *testing.T) {
	t.Parallel()
	d := shoptest.OpenShop(t).Use(t, shoptest.PhoneScreen)
	d.Open("/t/" + shoptest.ChannelCode)
	d.Ready()
	d.Enter("42.1")
	d.See(".verdict.under")
	d.OnStep(1, 1)
	d.Says("Under-bent by 2.9°", "Bend again at 49.9, then measure.")
	if stop := d.Eval(`document.querySelector("[data-stop]").textContent + document.querySelector("#stop").value`); stop != "49.949.9" {
		t.Errorf("the stop of the rework is %s, want 49.9 told and filled in", stop)
	}
	d.Picture("rework")
	d.TapKey("44.9")
	d.OnStep(1, 2)
	d.Sent()
	readings, err := d.Store.Readings(context.Background(), shoptest.ChannelCode)
	if err != nil || len(readings) != 2 || readings[0].State != "as-bent" || readings[1].State != "reworked" || readings[1].Teaches() {
		t.Errorf("stored %+v, %v; want the bend as bent, and after rework", readings, err)
	}
	d.Enter("95")
	d.See(".verdict.over")
	d.Says("Scrap piece 1, or ask for the release of the run.")
	d.See("[data-release] form")
	d.Picture("decide")
}

// An angle that cannot be is told beside the field when the service refuses it, and the
// next Save works at once: the queue of the phone holds no refusals.
func TestPhoneCorrectsWhatIsNoAngle(t *testing.T) {
	t.Parallel()
	s := shoptest.OpenShop(t)
	d := s.Use(t, shoptest.PhoneScreen)
	d.Open("/t/" + shoptest.ChannelCode)
	d.Ready()
	d.Enter("451")
	d.See(".verdict.ask")
	d.Says("Tap an angle, or type one such as 89.4.", "Not saved yet", "45.1°?")
	d.Enter("45.1")
	d.See(".verdict.right")
	d.OnStep(1, 2)
	d.Enter("abc")
	d.Says("Not saved. Tap an angle, or type one such as 89.4.")
	d.Sent()
	if readings, err := s.Store.Readings(context.Background(), shoptest.ChannelCode); err != nil || len(readings) != 1 || readings[0].Measured != 4510 {
		t.Errorf("stored %+v, %v; want 45.1 alone", readings, err)
	}
}

// What is refused later stands on the page by name, is deleted only after it was
// asked, and holds up nothing; what is asked about waits in the list of questions.
func TestPhoneQueueHoldsNoRefusals(t *testing.T) {
	t.Parallel()
	s := shoptest.OpenShop(t)
	d := s.Use(t, shoptest.PhoneScreen)
	refused := d.Quiet()
	d.Open("/t/" + shoptest.ChannelCode)
	d.Eval(`localStorage.setItem("brakeside-unsent", JSON.stringify([
		{ sheet: "/t/` + shoptest.ChannelCode + `", reading: { id: "z1", piece: 99, step: 2, measured: 90.4 } },
		{ sheet: "/t/` + shoptest.ChannelCode + `", reading: { id: "z2", piece: 1, step: 2, measured: 9 } },
		{ sheet: "/t/` + shoptest.ChannelCode + `", reading: { id: "z3", piece: 1, step: 3, measured: 90 } }]))`)
	d.Open("/t/" + shoptest.ChannelCode)
	d.Sent()
	d.Until(`document.querySelector("[data-drop]") !== null`)
	refused(http.StatusUnprocessableEntity)
	d.Says("Piece 99, step 2: 90.4 is not stored.", "There is no piece 99")
	if n := d.Stored(shoptest.ChannelCode); n != 1 {
		t.Errorf("%d readings are stored, want the one behind the other two", n)
	}
	d.Tap("[data-drop]")
	d.Says("Delete piece 99, step 2, 90.4 from this phone?")
	d.Tap("[data-drop]")
	d.Until(`queue.refused().length === 0`)
	d.Open("/t/" + shoptest.ChannelCode + "/questions")
	d.Says("Piece 1, step 2", "90.0°?")
	d.Tap("form button.main")
	d.See(".verdict.right")
}
