package shoptest

import (
	"fmt"

	"github.com/chromedp/chromedp"
)

// KeyIn types into a field key by key, over what is in it.
func (d *Device) KeyIn(selector, text string) {
	d.T.Helper()
	d.Do(chromedp.Click(selector))
	d.Eval(fmt.Sprintf("document.querySelector(%q).select()", selector))
	d.Do(chromedp.KeyEvent(text))
	if got := d.Eval(fmt.Sprintf("document.querySelector(%q).value", selector)); got != text {
		d.T.Fatalf("%s holds %q, want %q; page: %s", selector, got, text, d.Text())
	}
}

// Turn presses a button or a link and waits for the page that comes of it, also
// where that has the address of the one before.
func (d *Device) Turn(selector string) {
	d.T.Helper()
	d.Eval("window.before = true")
	d.Do(chromedp.Click(selector))
	d.Until("window.before === undefined")
}

// Lacks checks that the page holds none of the elements.
func (d *Device) Lacks(selectors ...string) {
	d.T.Helper()
	for _, selector := range selectors {
		if n := d.Eval(fmt.Sprintf("document.querySelectorAll(%q).length", selector)); n != "0" {
			d.T.Errorf("%s: %s of them on the page, want none; it says:\n%s", selector, n, d.Text())
		}
	}
}

// Holds checks how many of an element the page has.
func (d *Device) Holds(count int, selector string) {
	d.T.Helper()
	if n := d.Eval(fmt.Sprintf("document.querySelectorAll(%q).length", selector)); n != fmt.Sprint(count) {
		d.T.Errorf("%s: %s of them on the page, want %d; it says:\n%s", selector, n, count, d.Text())
	}
}

// Fact gives what the page says beside a word of its list of facts.
func (d *Device) Fact(word string) string {
	d.T.Helper()
	return d.Eval(fmt.Sprintf("[...document.querySelectorAll('dl.facts > div')]"+
		".filter(f => f.querySelector('dt').innerText === %q).map(f => f.querySelector('dd').innerText).join('|')", word))
}

// TypeIn puts a value into a field of the office as typing does.
func (d *Device) TypeIn(id, value string) {
	d.T.Helper()
	done := d.Eval(fmt.Sprintf("(() => { const f = document.getElementById(%q); f.value = %q; "+
		"f.dispatchEvent(new Event('input', {bubbles: true})); return f.value; })()", id, value))
	if done != value {
		d.T.Fatalf("%s holds %q, want %q; page: %s", id, done, value, d.Text())
	}
}

// Press presses a button or a link and waits for the page it leads to.
func (d *Device) Press(selector, next string) {
	d.T.Helper()
	d.Do(chromedp.Click(selector))
	d.Until(fmt.Sprintf("document.readyState === 'complete' && document.querySelector(%q) !== null", next))
}

// Pick is the key of the pad for an angle, and its like.
func Pick(name, value string) string {
	return `label:has(input[name=` + name + `][value="` + value + `"])`
}
