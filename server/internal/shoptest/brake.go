package shoptest

import (
	"fmt"
	"time"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// What is done with a phone at the brake.

// Ready waits until the page at the brake has all it needs to go without a network.
func (d *Device) Ready() {
	d.T.Helper()
	d.Until(`document.querySelector("main[data-ready]") !== null`)
}

// TapKey touches a key of the pad, which saves. A tap that comes as quickly as the
// second of a double tap would not be heard, so there is a breath before it.
func (d *Device) TapKey(angle string) {
	d.T.Helper()
	d.Breathe()
	d.Tap(Pick("pad", angle))
}

// Enter types an angle over what was typed, and saves it.
func (d *Device) Enter(angle string) {
	d.T.Helper()
	d.Breathe()
	d.Eval(`document.querySelector("#typed").value = ""`)
	d.Do(chromedp.SendKeys("#typed", angle))
	d.Tap("form.log button.main")
}

// deaf is longer than a page hears no second tap after a reading.
const deaf = 750 * time.Millisecond

// Breathe lets the time go by in which the page is deaf after a reading.
func (d *Device) Breathe() {
	d.T.Helper()
	d.Pass(deaf)
}

// OnStep waits until the page shows a bend.
func (d *Device) OnStep(piece, step int) {
	d.T.Helper()
	d.Until(fmt.Sprintf(`document.title.startsWith("Piece %d, step %d ") && !document.querySelector("form.log").hidden`, piece, step))
}

// Logged waits until the service has so many readings of a sheet, and the phone none
// that wait.
func (d *Device) Logged(code string, readings int) {
	d.T.Helper()
	for end := time.Now().Add(Patience); d.Stored(code) < readings; time.Sleep(20 * time.Millisecond) {
		if time.Now().After(end) {
			d.T.Fatalf("%d readings are stored, want %d; the page says:\n%s", d.Stored(code), readings, d.Text())
		}
	}
	d.Sent()
}

// Sent waits until nothing waits on the phone any more.
func (d *Device) Sent() {
	d.T.Helper()
	d.Until(`typeof queue === "object" && queue.loaded() && queue.waiting().length === 0`)
}

// Leave opens another page although readings wait here, which the browser warns of.
func (d *Device) Leave(path string) {
	d.T.Helper()
	warned := make(chan struct{}, 1)
	err := chromedp.Listen(d.Tab, func(event any) {
		if _, ok := event.(*page.EventJavascriptDialogOpening); !ok {
			return
		}
		warned <- struct{}{}
		go chromedp.Call(d.Tab, page.HandleJavaScriptDialog, page.HandleJavaScriptDialogParams{Accept: true})
	})
	if err != nil {
		d.T.Fatal(err)
	}
	d.Open(path)
	if len(warned) == 0 {
		d.T.Error("the page was left with readings that wait, and nothing warned of it")
	}
}

// Pass lets time go by on the page that is open.
func (d *Device) Pass(time time.Duration) {
	d.T.Helper()
	d.Do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf("void pass(%d)", time.Milliseconds())))
}

// Wrong sets the time of day of the device so far off.
func (d *Device) Wrong(by time.Duration) {
	d.T.Helper()
	d.Do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`void (name = "wrong by %d")`, by.Milliseconds())))
}
