package main

import (
	"fmt"
	"maps"
	"net"
	"slices"
	"strings"
	"syscall"
	"testing"

	"github.com/chromedp/chromedp"
)

// clicks is an owner at the pages of a new shop: what is pressed is counted as the
// pages that come.
type clicks struct {
	window
	pages int
}

// run runs a script for what it does.
func (c *clicks) run(script string) { c.eval("(" + script + ", 'done')") }

func (c *clicks) eval(expression string) string {
	c.t.Helper()
	text, err := chromedp.Run(c.tab, chromedp.Evaluate[string](expression))
	if err != nil {
		c.t.Fatal(err)
	}
	return text
}

func (c *clicks) open(address string) {
	c.do(chromedp.Navigate(address))
	c.pages++
}

// types fills fields in, by their names.
func (c *clicks) types(fields map[string]string) {
	for _, name := range slices.Sorted(maps.Keys(fields)) {
		selector := fmt.Sprintf("[name=%q]", name)
		c.run(fmt.Sprintf(`(() => {
			const field = document.querySelector(%q);
			field.focus();
			field.value = %q;
			field.dispatchEvent(new Event("input", { bubbles: true }));
		})()`, selector, fields[name]))
	}
}

// press presses what leads to another page, and waits for it: no form may come back
// refused.
func (c *clicks) press(t *testing.T, selector string) {
	t.Helper()
	c.run(`window.before = true`)
	c.do(chromedp.Click(selector))
	c.until(`window.before === undefined && document.readyState === "complete"`)
	c.pages++
	if wrong := c.eval(`[...document.querySelectorAll(".wrong, .note.bad[role=alert]")].map(n => n.innerText).join("; ")`); wrong != "" {
		t.Fatalf("a save is refused: %s", wrong)
	}
}

// A new owner goes from the empty store to the first printed sheet of a hemmed tray on
// a brake entered by hand, in millimetres and in inches: no save is refused, and it
// takes at most ten pages.
func TestNewOwner(t *testing.T) {
	screen := browser(t)
	for units, figures := range map[string][2]map[string]string{
		"mm": {{
			"guide.length": "1250", "guide.bed_depth": "110", "guide.bed_height": "300", "guide.leaf_face": "60", "guide.leaf_thickness": "45",
			"guide.bar_depth": "70", "guide.bar_height": "30", "guide.fingers": "20 25 30 40 50 70 90 120 160 220 300", "guide.rating": "1.6",
		}, {"tray.base[0]": "220", "tray.base[1]": "140", "thickness": "1", "wall": "35", "hem": "8"}},
		"in": {{
			"guide.length": "49 1/4", "guide.bed_depth": "4 3/8", "guide.bed_height": "12", "guide.leaf_face": "2 3/8", "guide.leaf_thickness": "1 3/4",
			"guide.bar_depth": "2 3/4", "guide.bar_height": "1 3/16", "guide.fingers": "3/4 1 1.25 1.5 2 2.75 3.5 4.75 6.25 8.75 12", "guide.rating": "0.0625",
		}, {"tray.base[0]": "8 3/4", "tray.base[1]": "5 1/2", "thickness": "0.04", "wall": "1 3/8", "hem": "5/16"}},
	} {
		r := starts(t, "demo", "-empty", "-addr", net.JoinHostPort(ownAddress(t), "0"), "-data", t.TempDir())
		base, password := r.says("owner's pages:"), r.says("owner's password:")
		c := &clicks{window: opened(t, screen, 1280, 900)}
		c.open(base + "/")
		c.types(map[string]string{"password": password})
		c.press(t, "button.main")
		c.types(map[string]string{"shop": "Hollow Lane Sheet Works", "units": units})
		c.press(t, "button[name=use], main form button.main")
		c.press(t, ".next a") // to the brake
		c.types(map[string]string{"guide.name": "Yard brake", "guide.leaf_angle": "135", "guide.nose_angle": "45"})
		c.types(figures[0])
		c.press(t, "button[value=keep]")
		c.open(base + "/parts/new?kind=tray")
		tray := map[string]string{"number": "HT-1", "title": "Hemmed tray", "tray.walls.front[1].edge": "closed", "tray.walls.front[1].leg": figures[1]["hem"]}
		for _, side := range []string{"left", "right", "front", "back"} {
			tray["tray.walls."+side+"[0].leg"] = figures[1]["wall"]
		}
		for _, size := range []string{"tray.base[0]", "tray.base[1]", "thickness"} {
			tray[size] = figures[1][size]
		}
		c.types(tray)
		c.press(t, "button[value=ready]")
		c.press(t, ".actions a[href^='/jobs/new']")
		c.types(map[string]string{"job": "1", "quantity": "5"})
		c.press(t, "main button.main")
		c.says("Job 1", "Next: print the sheet")
		if c.pages > 10 {
			t.Errorf("%s: it takes %d pages, want at most ten", units, c.pages)
		}
		code := strings.TrimPrefix(c.eval("location.pathname"), "/jobs/")
		if status, sheet := get(t, base+"/t/"+code+"/sheet.pdf"); status != 200 || !strings.HasPrefix(sheet, "%PDF") {
			t.Errorf("%s: the first sheet is answered %d", units, status)
		}
		_, state := get(t, base+"/t/"+code+"/state")
		if !strings.Contains(state, `"quantity":5`) {
			t.Errorf("%s: the traveler's state is %s", units, state)
		}
		r.stop(syscall.SIGTERM)
	}
}
