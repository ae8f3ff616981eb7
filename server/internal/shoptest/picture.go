package shoptest

import (
	"context"
	"os"
	"path/filepath"
	"strings"

	"github.com/chromedp/chromedp"
)

// Picture writes what the whole page looks like, when asked for.
func (d *Device) Picture(name string) { d.T.Helper(); d.picture(name, chromedp.FullScreenshot(100)) }

// Screen writes what is on the screen, when asked for.
func (d *Device) Screen(name string) { d.T.Helper(); d.picture(name, chromedp.CaptureScreenshot()) }

func (d *Device) picture(name string, shot chromedp.Action[[]byte]) {
	d.T.Helper()
	if *Pictures == "" {
		return
	}
	tab, cancel := context.WithTimeout(d.Tab, Patience)
	defer cancel()
	image, err := chromedp.Run(tab, shot)
	if err != nil {
		d.T.Logf("picture %s: %v", name, err)
		return
	}
	if err := os.WriteFile(filepath.Join(*Pictures, strings.ReplaceAll(name, "/", "-")+".png"), image, 0o644); err != nil {
		d.T.Fatal(err)
	}
}
