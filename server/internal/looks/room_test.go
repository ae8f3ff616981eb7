package looks_test

import (
	"fmt"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"brakeside/server/internal/shoptest"
	"brakeside/testdata/suite"
)

// conditions are those under which a page is hard to lay out: the narrowest screen
// that WCAG 2.2 asks for (1.4.10), a phone on its side, and letters of twice the
// size (1.4.4), which the browser is told to begin with: 32 pixels in place of 16.
var conditions = []struct {
	name    string
	size    shoptest.Screen
	letters int64
}{
	{"320 wide", shoptest.Screen{Width: 320, Height: 568, Touch: true}, 16},
	{"on its side", shoptest.Screen{Width: 640, Height: 360, Touch: true}, 16},
	{"letters of 200 % on a phone", shoptest.PhoneScreen, 32},
	{"letters of 200 % on a desk", shoptest.Screen{Width: 1280, Height: 900}, 32},
}

// cramped lists what sticks out of the page, and words that are cut off, lie out
// of their box, or are no larger for larger letters. Drawings, and tables that
// roll sideways in a frame of their own, are as large as they are.
const cramped = `(() => {
	const page = document.documentElement, wrong = [];
	if (page.scrollWidth > page.clientWidth) wrong.push("the page is " + (page.scrollWidth - page.clientWidth) + " pixels wider than the screen");
	const begins = parseFloat(getComputedStyle(document.documentElement).fontSize);
	for (const e of document.body.querySelectorAll("*")) {
		if (e.closest("svg, .skip, .chart, .wide-table, noscript, template") || !e.checkVisibility() || e.closest(".list thead")) continue;
		if (![...e.childNodes].some((n) => n.nodeType === 3 && /[\p{L}\p{N}]/u.test(n.data))) continue;
		const style = getComputedStyle(e), said = e.tagName + "." + e.className + " " + e.textContent.trim().slice(0, 40);
		if (parseFloat(style.fontSize) < 0.69 * begins) wrong.push("small letters: " + said);
		if (style.display !== "inline" && e.scrollWidth > e.clientWidth + 1) wrong.push("cut off: " + said);
		const box = e.getBoundingClientRect();
		if (box.width > 0 && (box.right > page.clientWidth + 1 || box.left < -1)) wrong.push("off the screen: " + said);
	}
	const dock = document.querySelector(".dock");
	if (dock && getComputedStyle(dock).position === "sticky" && dock.getBoundingClientRect().height > innerHeight * 0.6) wrong.push("the pad covers the page");
	return wrong.join("\n");
})()`

// Every page at the brake and the main pages of the office have room on the
// narrowest screen, on a phone on its side and with letters of twice the size; each
// in one of them, and in all where CI is true.
func TestPagesHaveRoom(t *testing.T) {
	s, session := shoptest.BusyShop(t)
	for way, c := range conditions {
		d := s.Use(t, c.size)
		d.SignInWith(session.Value)
		sizes := page.SetFontSizesParams{FontSizes: &page.FontSizes{Standard: c.letters, Fixed: c.letters * 13 / 16}}
		if _, err := chromedp.Call(d.Tab, page.SetFontSizes, sizes); err != nil {
			t.Fatal(err)
		}
		for i, v := range append(shoptest.PhoneViews, shoptest.OfficeViews...) {
			if !suite.InTurn(i, way, len(conditions)) {
				continue
			}
			d.Open(v.Path)
			if got := d.Eval("getComputedStyle(document.documentElement).fontSize"); got != fmt.Sprintf("%gpx", 1.125*float64(c.letters)) {
				t.Fatalf("%s: letters of %s on the root, want those of the browser and an eighth", v.Name, got)
			}
			d.Eval(`document.querySelectorAll("details").forEach((e) => { e.open = true; })`)
			if wrong := d.Eval(cramped); wrong != "" {
				t.Errorf("%s, %s:\n%s", v.Name, c.name, wrong)
				d.Picture("room-" + v.Name + "-" + c.name)
			}
		}
	}
}

// pale lists words that would not be black on the white of paper: printers leave
// away what is behind them.
const pale = `[...document.body.querySelectorAll("*")].filter((e) => !e.closest("svg, template, noscript") && e.checkVisibility()
	&& [...e.childNodes].some((n) => n.nodeType === 3 && /[\p{L}\p{N}]/u.test(n.data))
	&& getComputedStyle(e).color.match(/\d+/g).slice(0, 3).some((v) => v > 0))
	.map((e) => getComputedStyle(e).color + " " + e.tagName + "." + e.className + " " + e.textContent.trim().slice(0, 40)).join("\n")`

// Every page prints in black, also from a browser that prefers dark colours.
func TestPagesPrintInBlack(t *testing.T) {
	s, session := shoptest.BusyShop(t)
	d := s.Use(t, shoptest.Screen{Width: 794, Height: 1123})
	d.SignInWith(session.Value)
	for way, scheme := range []string{"light", "dark"} {
		media := emulation.SetEmulatedMediaParams{Media: "print", Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}}
		if _, err := chromedp.Call(d.Tab, emulation.SetEmulatedMedia, media); err != nil {
			t.Fatal(err)
		}
		for i, v := range append(shoptest.PhoneViews, shoptest.OfficeViews...) {
			if !suite.InTurn(i, way, 2) {
				continue
			}
			d.Open(v.Path)
			if wrong := d.Eval(pale); wrong != "" {
				t.Errorf("%s, %s: not black on paper:\n%s", v.Name, scheme, wrong)
			}
			if over := d.Eval("document.documentElement.scrollWidth - document.documentElement.clientWidth"); over != "0" {
				t.Errorf("%s: %s pixels are off the paper", v.Name, over)
			}
		}
	}
}
