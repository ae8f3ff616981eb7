package looks_test

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"brakeside/calc/unit"
	"brakeside/server/internal/shoptest"
	"brakeside/server/store"
	"brakeside/traveler"
)

// busy is a shop with three months behind it: sheets of two materials, first
// pieces that fail, notes, a replaced sheet that was scanned, strips and a study.
func busy(t *testing.T) (*shoptest.Shop, *http.Cookie) {
	t.Helper()
	s := shoptest.OpenShop(t)
	random := rand.New(rand.NewPCG(12, 5))
	springs := map[string]float64{"mild-steel": 2.6, "304": 4.6}
	for n := range 14 {
		sheet := []func() *traveler.Traveler{shoptest.Channel, shoptest.Tray}[n%2]()
		sheet.Code, sheet.Job, sheet.Quantity = fmt.Sprintf("bcdefghjkmpq%05d", n), fmt.Sprintf("J-%d", 2000+n), 20
		sheet.IssuedAt = s.Now().UTC().Format(time.RFC3339)
		s.Issue(sheet)
		s.LetGo(sheet.Code)
		pack := 0.5 * random.NormFloat64()
		for piece := 1; piece <= 12; piece++ {
			for _, step := range sheet.Steps {
				s.Later(90 * time.Second)
				back := (springs[sheet.Part.MaterialID] + pack) * float64(step.Target) / 9000
				measured := math.Round(2*(float64(step.StopBend.Deg())-back+0.4*random.NormFloat64())) / 2
				more := ""
				if random.IntN(25) == 0 {
					more = `,"flags":["bar-lifted"],"note":"the wide bar came up at the left"`
				}
				s.Record(sheet.Code, fmt.Sprintf(`{"id":"n%d-%d-%d","piece":%d,"step":%d,"measured":%.1f,"stop":%.2f,"by":"AB","pack":"heat %d","confirmed":true%s}`,
					n, piece, step.Number, piece, step.Number, measured, float64(step.Stop.Deg()), n/3, more))
			}
		}
		s.Later(6 * 24 * time.Hour)
	}
	newer := shoptest.Channel()
	newer.Code, newer.Part.Revision = "newerm4xq2pvr9tab", "D"
	s.Issue(newer, shoptest.ChannelCode)
	s.Get("/t/" + shoptest.ChannelCode)
	for i := range 3 {
		if err := s.Store.AddTrial(context.Background(), store.Trial{Material: "mild-steel", Thickness: 1500, Pack: fmt.Sprint(i), Strip: 100_000, Legs: [2]unit.Micron{51_500, 51_200}, Angle: 9000, StopBend: 9150, Radius: 1500, By: "AB"}); err != nil {
			t.Fatal(err)
		}
	}
	return s, s.Owner()
}

// Every page of the review at desktop and tablet width: nothing sticks out, no
// script fails, every chart has a name and a description for screen readers and
// is drawn in black on white.
func TestReviewLooks(t *testing.T) {
	s, session := busy(t)
	tablet := shoptest.Screen{Width: 768, Height: 1024, Touch: true}
	d := s.Use(t, tablet)
	d.SignInWith(session.Value)
	for _, v := range shoptest.ReviewPages {
		d.Open(v.Path)
		for _, size := range []shoptest.Screen{{Width: 1920, Height: 1080}, tablet} {
			d.Becomes(size)
			if over := d.Eval("document.documentElement.scrollWidth - document.documentElement.clientWidth"); over != "0" {
				t.Errorf("%s at %d: the page is %s pixels wider than the screen", v.Name, size.Width, over)
			}
			if odd := d.Eval(`[...document.querySelectorAll('svg.drawing')].filter(s => s.getAttribute('role') !== 'img' || !s.querySelector('title').textContent || !s.querySelector('desc').textContent).length`); odd != "0" {
				t.Errorf("%s: %s charts have no name or no description", v.Name, odd)
			}
			d.Picture(fmt.Sprintf("review-%s-%d", v.Name, size.Width))
		}
	}
}

// On paper the review is black on white: menus and forms are left away, charts
// stay, and nothing in them has a colour.
func TestReviewPrints(t *testing.T) {
	s, session := busy(t)
	d := s.Use(t, shoptest.Screen{Width: 1024, Height: 768, Touch: false})
	d.SignInWith(session.Value)
	d.Open("/review")
	d.Media("print")
	if shown := d.Eval(`[...document.querySelectorAll('form, .bar')].filter(e => e.offsetParent !== null).length`); shown != "0" {
		t.Errorf("%s forms or menus are printed", shown)
	}
	if charts := d.Eval(`[...document.querySelectorAll('svg.drawing')].filter(e => e.getBoundingClientRect().height > 50).length`); charts != "6" {
		t.Errorf("%s charts are printed, want those of four groups, of the weeks and of the last readings", charts)
	}
	colours := d.Eval(`[...new Set([...document.querySelectorAll('svg.drawing *')].flatMap(e => { const c = getComputedStyle(e); return [c.stroke, c.fill]; }))].filter(c => c.startsWith('rgb')).filter(c => { const [r, g, b] = c.match(/\d+/g); return r !== g || g !== b; }).join()`)
	if colours != "" {
		t.Errorf("the charts have colours on paper: %s", colours)
	}
	d.Picture("review-print")
}

// The owner narrows the review, looks closer at a group, accepts a stop and
// takes it back, by mouse and keyboard.
func TestReviewByHand(t *testing.T) {
	s, session := busy(t)
	d := s.Use(t, shoptest.Screen{Width: 1280, Height: 900, Touch: false})
	d.SignInWith(session.Value)
	d.Open("/review")
	d.Says("Angle error", "Week by week", "Said at the brake")
	d.Do(chromedp.SetValue("#material", "304"), chromedp.Click(".filters button"))
	d.Until(`location.search.includes('material=304')`)
	d.Until(`document.querySelector('#material').value === '304'`)
	if rows := d.Eval(`document.querySelectorAll('table.list tbody tr').length`); rows == "0" {
		t.Error("nothing is left of the stainless groups")
	}
	if others := d.Eval(`[...document.querySelectorAll('table.list tbody th')].filter(e => e.innerText !== '304').length`); others != "0" {
		t.Errorf("%s groups are of another material", others)
	}
	d.Do(chromedp.Click("table.list tbody th a"))
	d.Until(`location.pathname === '/review/cell'`)
	d.Says("304", "Is it steady?", "Is it good enough?")
	d.Open("/review/stops")
	before := d.Eval(`document.querySelectorAll('.plan form button.strong').length`)
	d.Do(chromedp.Click(".plan form button.strong"))
	d.Until(`document.body.innerText.includes('in use')`)
	if after := d.Eval(`document.querySelectorAll('.plan form button.strong').length`); after == before {
		t.Errorf("%s proposals before and %s after one was accepted", before, after)
	}
	d.Do(chromedp.Focus("table.list form button"), chromedp.KeyEvent("\r"))
	d.Until(`document.body.innerText.includes('returned')`)
	if strings.Contains(d.Text(), "in use") {
		t.Error("gone back, and the change is still in use")
	}
}
