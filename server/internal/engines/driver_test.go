package engines_test

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"net"
	"strconv"
	"testing"
	"time"
)

// command is one command of WebDriver (W3C Recommendation, 2018) as it is called
// over http and in the protocol of Firefox, which takes the same parameters.
type command struct{ method, path, name string }

var (
	newSession = command{"POST", "", "WebDriver:NewSession"}
	endSession = command{"DELETE", "", "WebDriver:DeleteSession"}
	navigate   = command{"POST", "/url", "WebDriver:Navigate"}
	goBack     = command{"POST", "/back", "WebDriver:Back"}
	execute    = command{"POST", "/execute/sync", "WebDriver:ExecuteScript"}
	find       = command{"POST", "/element", "WebDriver:FindElement"}
	click      = command{"POST", "/element/{id}/click", "WebDriver:ElementClick"}
	sendKeys   = command{"POST", "/element/{id}/value", "WebDriver:ElementSendKeys"}
	setRect    = command{"POST", "/window/rect", "WebDriver:SetWindowRect"}
)

// params are those of a command.
type params map[string]any

// line takes commands to a browser and gives the value of each answer.
type line interface {
	send(c command, p params) (json.RawMessage, error)
}

// driven is a browser with one window.
type driven struct {
	*testing.T
	line
	base string // of the pages that are opened
}

// patience bounds every wait for a browser, and for one to start.
const patience = 40 * time.Second

func (d *driven) do(c command, p params) json.RawMessage {
	d.Helper()
	value, err := d.send(c, p)
	if err != nil {
		d.Fatalf("%s %v: %v", c.name, p, err)
	}
	return value
}

func (d *driven) open(path string) { d.Helper(); d.do(navigate, params{"url": d.base + path}) }

func (d *driven) back() { d.Helper(); d.do(goBack, params{}) }

// eval gives the value of an expression of the page, as text.
func (d *driven) eval(expression string) string {
	d.Helper()
	value, err := d.send(execute, params{"script": "return String(" + expression + ")", "args": []any{}})
	if err != nil {
		return fmt.Sprintf("(%v)", err) // the page is going away
	}
	var text string
	if err := json.Unmarshal(value, &text); err != nil {
		d.Fatal(err)
	}
	return text
}

// until waits until an expression is true in a page that is loaded whole.
func (d *driven) until(expression string) {
	d.Helper()
	for end := time.Now().Add(patience); d.eval(`document.readyState === "complete" && Boolean(`+expression+`)`) != "true"; time.Sleep(50 * time.Millisecond) {
		if time.Now().After(end) {
			d.Fatalf("never %s; the page %s says:\n%s", expression, d.eval("location.href"), d.text())
		}
	}
}

func (d *driven) text() string { d.Helper(); return d.eval("document.body.innerText") }

func (d *driven) says(words string) {
	d.Helper()
	d.until(fmt.Sprintf("document.body.innerText.includes(%q)", words))
}

// element finds what a selector names, once it is there.
func (d *driven) element(selector string) string {
	d.Helper()
	d.until(fmt.Sprintf("document.querySelector(%q) !== null", selector))
	var found map[string]string
	if err := json.Unmarshal(d.do(find, params{"using": "css selector", "value": selector}), &found); err != nil {
		d.Fatal(err)
	}
	for _, id := range found {
		return id
	}
	d.Fatalf("%s was not found", selector)
	return ""
}

func (d *driven) tap(selector string) {
	d.Helper()
	id := d.element(selector)
	d.eval(fmt.Sprintf(`document.querySelector(%q).scrollIntoView({ block: "center" })`, selector))
	d.do(click, params{"id": id})
}

// keyIn types into a field; into one for a file, its path.
func (d *driven) keyIn(selector, text string) {
	d.Helper()
	d.do(sendKeys, params{"id": d.element(selector), "text": text})
}

// freePort is one that nobody listens at just now, and below those that systems hand
// out by themselves (from 32768 on, or from 49152: RFC 6335, section 6): one of those
// went to another test before the browser had come up, and was called in its place.
func freePort(t *testing.T) string {
	t.Helper()
	for {
		port := strconv.Itoa(20000 + rand.IntN(12000))
		listener, err := net.Listen("tcp", "127.0.0.1:"+port)
		if err == nil {
			listener.Close()
			return port
		}
	}
}

// dialled connects to a program that was just started.
func dialled(t *testing.T, port string) net.Conn {
	t.Helper()
	for end := time.Now().Add(patience); ; time.Sleep(100 * time.Millisecond) {
		connection, err := net.Dial("tcp", "127.0.0.1:"+port)
		if err == nil {
			return connection
		}
		if time.Now().After(end) {
			t.Fatal(err)
		}
	}
}
