package hands_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"brakeside/server/entry"
	"brakeside/server/internal/shoptest"
)

// drawnWithin is how long a part may take to be drawn anew after a change in its
// form: what is slower no longer seems to follow the hand.
const drawnWithin = 100 * time.Millisecond

// watchDrawing notes, in milliseconds, how long each drawing took from the key
// that changed the form until it was on the screen: after the drawing has
// changed the browser lays out and paints before it comes to the timer.
const watchDrawing = `(() => {
	window.took = [];
	let pressed = 0;
	document.querySelector("form[data-live]").addEventListener("input", e => pressed = e.timeStamp);
	new MutationObserver(() => {
		const since = pressed;
		requestAnimationFrame(() => setTimeout(() => took.push(performance.now() - since)));
	}).observe(document.getElementById("drawing"), {childList: true});
})()`

// In the browser a key that is pressed in the form is on the screen as a changed
// drawing within a tenth of a second. That holds on a quiet machine; on one that
// is busy with other work some changes come later, so each shape gets a few
// changes, and the fastest has to be in time. What slows down every change is
// found all the same.
func TestDrawingFollowsTheHand(t *testing.T) {
	const changes, most = 8, 5 // where none of so many is in time, as many again, at most so often
	limit := float64(drawnWithin.Milliseconds()) * shoptest.WatchedSlower
	s, owner := shoptest.OpenOffice(t)
	d := s.Use(t, shoptest.Screen{Width: 1280, Height: 900, Touch: false})
	d.SignInWith(owner.Value)
	for _, kind := range entry.Kinds {
		d.Open("/parts/new?kind=" + kind.ID)
		field := map[bool]string{true: "f-tray-walls-back-0--leg", false: "f-profile-legs-1-"}[kind.Tray()]
		d.Eval(watchDrawing)
		d.TypeIn(field, d.Eval("document.getElementById('"+field+"').value")+".") // the same size
		d.Until("window.took.length === 1")
		d.Eval("window.took = [], document.getElementById('" + field + "').focus()")
		before := d.Eval("document.getElementById('drawing').innerHTML")
		var took []float64
		for i := 0; i < most*changes && (i < changes || i%changes != 0 || slices.Min(took) > limit); i++ {
			d.Do(chromedp.KeyEvent([]string{"5", kb.Backspace}[i%2]))
			d.Until(fmt.Sprintf("window.took.length === %d", i+1))
			if after := d.Eval("document.getElementById('drawing').innerHTML"); (after == before) != (i%2 == 1) {
				t.Fatalf("%s: change %d is not in the drawing: %.300s", kind.Words, i+1, after)
			}
			if err := json.Unmarshal([]byte(d.Eval("JSON.stringify(window.took)")), &took); err != nil {
				t.Fatal(err)
			}
		}
		slices.Sort(took)
		t.Logf("%s: %.0f ms at best, %.0f in the middle, %.0f at worst", kind.Words, took[0], took[len(took)/2], took[len(took)-1])
		if took[0] > limit {
			t.Errorf("%s: the fastest of %d changes took %.0f ms, want at most %.0f", kind.Words, len(took), took[0], limit)
		}
	}
}

// Of many changes at one moment the last is drawn, and those that nobody would
// see are not asked for.
func TestTheLastOfManyChangesIsDrawn(t *testing.T) {
	s, owner := shoptest.OpenOffice(t)
	var asked atomic.Int32
	d := s.UseBehind(t, shoptest.Screen{Width: 1280, Height: 900, Touch: false}, func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path == "/parts/drawing" {
			asked.Add(1)
		}
		s.Pages.ServeHTTP(w, r)
	})
	d.SignInWith(owner.Value)
	d.Open("/parts/new?kind=u")
	last := shoptest.ExampleOf("u", "", "A")
	last.Set("profile.length", "419")
	words := shoptest.WordsIn(shoptest.One(t, shoptest.Parsed(t, s.Draws(last, owner).Body.String()), shoptest.Named("dl")))
	size, _, _ := strings.Cut(strings.TrimPrefix(words, "Blank "), " mm")
	if !strings.Contains(size, "419") {
		t.Fatalf("the blank is said to be %q: %s", size, words)
	}
	d.Eval(`(() => {
		const length = document.getElementById("f-profile-length");
		for (let n = 400; n < 420; n++) {
			length.value = n;
			length.dispatchEvent(new Event("input", {bubbles: true}));
		}
	})()`)
	d.Until(fmt.Sprintf("document.getElementById('drawing').textContent.includes(%q)", size))
	if n := asked.Load(); n != 2 {
		t.Errorf("twenty changes at once are drawn %d times, want the first and the last", n)
	}
}

// Enter in a field draws: it neither adds a bend or a bar nor keeps anything. With
// scripts the page stays, and the hand where it was.
func TestEnterDraws(t *testing.T) {
	s, owner := shoptest.OpenOffice(t)
	brake := s.NewestBrake()
	for _, scripts := range []bool{true, false} {
		desk, _ := s.AtDesk(t, owner)
		if !scripts {
			desk.WithoutScript()
		}
		desk.Open("/parts/new?kind=u")
		legs := desk.Eval("document.querySelectorAll('[name^=\"profile.legs\"]').length")
		desk.Eval("window.stays = true")
		desk.KeyIn("#f-profile-length", "419")
		desk.Do(chromedp.KeyEvent(kb.Enter))
		desk.SaysSoon("419.0 mm")
		if scripts {
			if at := desk.Eval("window.stays + ' ' + document.activeElement.id"); at != "true f-profile-length" {
				t.Errorf("after Enter the page and the hand are %q, want both where they were", at)
			}
		}
		if now := desk.Eval("document.querySelectorAll('[name^=\"profile.legs\"]').length"); now != legs {
			t.Errorf("scripts %v: Enter made %s legs of %s", scripts, now, legs)
		}
		desk.Open("/brakes/new?all=yes")
		bars := drawnBars(desk)
		desk.KeyIn("#f-bars-0--name", "broad")
		desk.Do(chromedp.KeyEvent(kb.Enter))
		if desk.SaysSoon("broad"); drawnBars(desk) != strings.Replace(bars, "wide", "broad", 1) {
			t.Errorf("scripts %v: Enter made %q of the bars %q", scripts, drawnBars(desk), bars)
		}
	}
	if s.NewestBrake() != brake {
		t.Error("Enter kept the brake")
	}
	if _, page := s.OwnerPage(owner, "/parts"); !strings.Contains(page, "No part is saved yet.") {
		t.Errorf("Enter kept a part: %s", page)
	}
}
