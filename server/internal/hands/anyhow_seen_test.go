//go:build unix

package hands_test

import (
	"context"
	"encoding/json"
	"fmt"
	"time"

	"github.com/chromedp/chromedp"

	"brakeside/server/internal/shoptest"
)

// seen is what is on the screen of the phone, and what lies on its disk.
type seen struct {
	Sheet           string // code of the sheet
	Ready           bool   // an angle can be given, and the phone needs nobody for it
	Form            bool   // an angle can be given
	Piece, Step     int
	Stop, Used      string // the large figure, and the one in the field
	By, State       string
	Pad, Typed      string   // the convention of the keys, and of what is typed
	Keys            []string // of the pad
	Key             string   // the one that was touched
	Answers         []string // to a question
	No              string
	Undo, Look      bool // are offered
	Measured        string
	Convention      bool // it is asked for
	Bent            bool // what was bent may be logged although the work is stopped
	Ways            int
	Waiting, Denied []queued
}

// queued is one line of the lists on the phone's disk.
type queued struct {
	Sheet   string
	Reading *struct {
		ID                  string
		Piece, Step         int
		Measured            json.Number
		By, State, Corrects string
		GivenAs             string `json:"given_as"`
		Stop                *json.Number
		Flags               []string
	}
	Words string
}

// onScreen gives what is on the screen. It shares nothing with the scripts of the page.
const onScreen = `(() => {
	const all = (selector) => [...document.querySelectorAll(selector)].filter((e) => e.getClientRects().length > 0 && !e.disabled);
	const one = (selector) => all(selector)[0], words = (selector) => (one(selector) || { textContent: "" }).textContent.trim();
	const main = document.querySelector("main.brake"), form = document.querySelector("form.log");
	const value = (name) => form ? form.elements[name].value : "";
	const able = main && main.dataset.ready === "yes";
	return {
		Sheet: main && main.dataset.sheet ? main.dataset.sheet.split("/").pop() : "",
		Form: Boolean(one("form.log")), Ready: Boolean(able && one("form.log")),
		Piece: Number(words("[data-piece-number]")), Step: Number(words("[data-step-number]")), Stop: words("[data-stop]"), Used: value("stop"),
		By: value("by"), State: value("state"), Pad: (one(".pad [data-reads]") || { dataset: {} }).dataset.reads || "", Typed: value("given_as"),
		Keys: all(".pad label").map((key) => key.innerText.trim()), Answers: all("[data-answers] button").map((key) => key.innerText),
		No: words("[data-no]"), Undo: Boolean(one("[data-undo]")), Look: Boolean(one("[data-look]")),
		Measured: words("[data-last] [data-measured]:not([data-old] *)"),
		Convention: Boolean(one(".convention button")), Bent: Boolean(one("[data-bent]")),
		// Without a network a page that has all it needs turns to another bend in place.
		Ways: all("form.log button.main, [data-answers] button, [data-bent], .convention button, .ask form button").length +
			all(navigator.onLine || !main || !main.dataset.table ? "a.main, a.plain, nav.bends a, form.ask button"
				: able ? ".bends a[href*='piece=']" : "none").length,
	};
})()`

// looking gives what is on the screen of a page that is whole, and on the phone's disk.
const looking = `(async () => {
	if (document.readyState !== "complete") return "";
	const lists = await new Promise((done) => {
		const opening = indexedDB.open("brakeside");
		opening.onupgradeneeded = () => opening.transaction.abort();
		opening.onerror = () => done({});
		opening.onsuccess = () => {
			const read = opening.result.transaction(["waiting", "refused"]), found = {};
			for (const list of ["waiting", "refused"]) read.objectStore(list).getAll().onsuccess = (got) => { found[list] = got.target.result; };
			read.oncomplete = () => { opening.result.close(); done(found); };
		};
	});
	return JSON.stringify({ ...` + onScreen + `, Waiting: lists.waiting || [], Denied: lists.refused || [] });
})()`

// watching marks what the page has said, so that what it says next is told from it,
// and notes what is on the screen at the moment of a touch.
const watching = `void ([...document.querySelector("[data-last]").children].forEach((e) => { e.dataset.old = "yes"; }),
	window.touched || document.addEventListener("click", (event) => {
		const key = event.target.closest(".pad label");
		if (!event.isTrusted) return; // what the page does by itself
		window.touched = { ...` + onScreen + `, Key: key ? key.innerText.trim() : "" };
	}, true), window.touched = {})`

// look waits for a whole page that is as wanted, and gives what is seen.
func (a *anyhow) look(what string, wanted func(seen) bool) seen {
	a.t.Helper()
	var s seen
	for end := time.Now().Add(shoptest.Patience); ; time.Sleep(10 * time.Millisecond) {
		ctx, cancel := context.WithTimeout(a.Tab, shoptest.Patience/5)
		text, err := chromedp.Run(ctx, chromedp.Evaluate[string](looking, chromedp.EvalAwaitPromise))
		cancel()
		s = seen{}
		if err == nil && text != "" {
			if err := json.Unmarshal([]byte(text), &s); err != nil {
				a.t.Fatal(err)
			}
			if wanted(s) {
				return s
			}
		}
		if time.Now().After(end) {
			a.Picture("anyhow")
			a.t.Fatalf("never %s; last %v %+v; the page says:\n%s", what, err, s, a.Text())
		}
	}
}

func (a *anyhow) now() seen {
	a.t.Helper()
	return a.look("a way on", func(s seen) bool { return s.Ways > 0 })
}

func (a *anyhow) watch() {
	a.t.Helper()
	a.Do(chromedp.Evaluate[chromedp.Void](watching))
}

// touched is what was on the screen at the last touch.
func (a *anyhow) touched() (s seen) {
	a.t.Helper()
	if err := json.Unmarshal([]byte(a.Eval("JSON.stringify(window.touched)")), &s); err != nil {
		a.t.Fatal(err)
	}
	return s
}

// press touches what a selector names, the first of it that is seen.
// It is false where none is seen any more: a stop of the work may come to the screen
// before the finger.
func (a *anyhow) press(selector string) bool {
	a.t.Helper()
	found := a.Eval(fmt.Sprintf(`(() => {
		for (const e of document.querySelectorAll("[data-pressed]")) delete e.dataset.pressed;
		const seen = (e) => e.getClientRects().length > 0 && !e.disabled && getComputedStyle(e).visibility === "visible";
		const key = [...document.querySelectorAll(%q)].find(seen);
		if (key) key.dataset.pressed = "yes";
		return Boolean(key);
	})()`, selector))
	if found != "true" {
		return false
	}
	tab, cancel := context.WithTimeout(a.Tab, shoptest.Patience)
	defer cancel()
	return chromedp.Do(tab, chromedp.ScrollIntoView("[data-pressed]"), chromedp.Tap("[data-pressed]")) == nil
}
