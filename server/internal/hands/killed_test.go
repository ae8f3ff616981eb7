//go:build unix

package hands_test

import (
	"context"
	"os/exec"
	"syscall"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"brakeside/server/internal/shoptest"
)

// ownBrowser starts a browser of its own on a folder that outlives it, and gives a
// way to kill it as a flat battery would.
func ownBrowser(t *testing.T, folder string) (tab context.Context, kill func()) {
	t.Helper()
	allocated, stop := chromedp.NewExecAllocator(context.Background(), append(shoptest.Chromium(t), chromedp.UserDataDir(folder),
		chromedp.ModifyCmdFunc(func(c *exec.Cmd) { c.SysProcAttr = &syscall.SysProcAttr{Setpgid: true} }))...)
	t.Cleanup(stop)
	tab, closes := chromedp.NewContext(allocated)
	t.Cleanup(closes)
	if err := chromedp.Do(tab, chromedp.Navigate("about:blank")); err != nil {
		t.Fatal(err)
	}
	return tab, func() {
		if err := syscall.Kill(-chromedp.FromContext(tab).Browser.Process().Pid, syscall.SIGKILL); err != nil {
			t.Fatal(err)
		}
	}
}

// What the page says is kept survives the browser, killed 0.3 seconds after it: the
// reading is sent when a page of the service is opened again.
func TestKeptReadingSurvivesTheBrowser(t *testing.T) {
	t.Parallel()
	s := shoptest.OpenShop(t)
	d := s.Use(t, shoptest.PhoneScreen) // serves the shop
	folder := t.TempDir()
	tab, kill := ownBrowser(t, folder)
	own := *d
	own.Tab = tab
	own.MovesClock()
	own.Open("/t/" + shoptest.ChannelCode)
	own.Tap(".convention button[value=bend]")
	own.Until(`document.querySelector(".convention") === null`)
	own.Ready()
	own.Network(false)
	own.TapKey("45.2")
	own.Until(`!document.querySelector("[data-unsent]").hidden`)
	own.Says("1 reading kept on this phone")
	time.Sleep(300 * time.Millisecond)
	kill()
	if n := d.Stored(shoptest.ChannelCode); n != 0 {
		t.Fatalf("%d readings are stored before the phone is back", n)
	}
	again := *d
	again.Tab, _ = ownBrowser(t, folder)
	again.Open("/t/" + shoptest.TrayCode)
	again.Logged(shoptest.ChannelCode, 1)
}
