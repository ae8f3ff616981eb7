package shoptest

import (
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// Dark asks for the dark colours.
func (d *Device) Dark() { d.T.Helper(); d.Colours("dark") }

// Colours sets what the device prefers: light or dark.
func (d *Device) Colours(scheme string) {
	d.T.Helper()
	d.emulate(emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}})
}

// Media lays the page out for another medium: print, or none in particular.
func (d *Device) Media(medium string) {
	d.T.Helper()
	d.emulate(emulation.SetEmulatedMediaParams{Media: medium})
}

func (d *Device) emulate(media emulation.SetEmulatedMediaParams) {
	d.T.Helper()
	if _, err := chromedp.Call(d.Tab, emulation.SetEmulatedMedia, media); err != nil {
		d.T.Fatal(err)
	}
}
