package hands_test

import (
	"net/http"
	"os"
	"strings"
	"testing"

	"net/url"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"

	"brakeside/server/internal/shoptest"
)

// mostFoldBytes is the most that the frames of a part of six bends may take, uncompressed.
const mostFoldBytes = 60_000

// foldedTray issues a sheet for a tray of six bends.
func foldedTray(t *testing.T) (s *shoptest.Shop, session *http.Cookie, code string) {
	t.Helper()
	s, session = shoptest.OpenOffice(t)
	text, err := os.ReadFile("../../../testdata/parts/six-bend.json")
	if err != nil {
		t.Fatal(err)
	}
	return s, session, s.IssueFor(s.MakeReady(url.Values{"kind": {"file"}, "text": {string(text)}}, session), "1041", session)
}

// On the phone the flat blank is folded by key, slider and play; nothing of it is
// fetched before somebody opens it.
func TestPartIsFoldedOnThePhone(t *testing.T) {
	t.Parallel()
	s, _, code := foldedTray(t)
	answer, body := s.Get("/t/" + code + "/fold")
	if answer.StatusCode != http.StatusOK || len(body) >= mostFoldBytes || strings.Count(body, "<template") != 25 {
		t.Fatalf("the frames are answered %d with %d bytes and %d frames, want less than %d and 25", answer.StatusCode, len(body), strings.Count(body, "<template"), mostFoldBytes)
	}
	t.Logf("%d bytes for six bends", len(body))
	d := s.Use(t, shoptest.PhoneScreen)
	d.Quiet()
	d.Open("/t/" + code + "/1")
	d.Ready()
	const fetched = `performance.getEntriesByType("resource").filter(e => /fold$|finished/.test(e.name)).length`
	if n := d.Eval(fetched); n != "0" {
		t.Errorf("%s files of the folding were fetched with the page", n)
	}
	d.Tap(".fold summary")
	d.Until(`document.querySelector("#fold-says")?.textContent === "The flat blank"`)
	d.Tap(".fold [data-by='1']")
	d.Until(`document.querySelector("#fold-says").textContent.startsWith("After step 1 of 6: ")`)
	if small := d.Eval(`[...document.querySelectorAll(".fold button, .fold input")].filter(b => b.getBoundingClientRect().height < 48).length`); small != "0" {
		t.Errorf("%s keys are smaller than a gloved thumb", small)
	}
	d.Eval(`(() => { const s = document.querySelector(".fold input"); s.value = 23; s.dispatchEvent(new Event("input")); })()`)
	d.Until(`/^Step 6 of 6: .* comes up$/.test(document.querySelector("#fold-says").textContent)`)
	if drawn := d.Eval(`[...document.querySelectorAll(".fold svg path")].filter(p => p.getBBox().width > 10).length`); drawn != "2" {
		t.Errorf("%s of the two outlines are drawn while a wall comes up", drawn)
	}
	d.Screen("fold")
	d.Tap(".fold [data-play]")
	d.Until(`document.querySelector("#fold-says").textContent.startsWith("After step 6 of 6: ")`)
	d.Tap(".fold [data-play]") // again from the flat blank
	d.Until(`document.querySelector("#fold-says").textContent.endsWith("comes up")`)
	d.Tap(".fold [data-play]")
	d.Until(`document.querySelector(".fold [data-play]").getAttribute("aria-pressed") === "false"`)
}

// Who wants less motion is shown whole steps only, in the office as at the brake.
func TestFoldingWithoutMotion(t *testing.T) {
	t.Parallel()
	s, session, code := foldedTray(t)
	desk, _ := s.AtDesk(t, session)
	media := emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-reduced-motion", Value: "reduce"}}}
	if _, err := chromedp.Call(desk.Tab, emulation.SetEmulatedMedia, media); err != nil {
		t.Fatal(err)
	}
	desk.Open("/jobs/" + code)
	desk.Eval(`document.querySelector(".fold summary").click()`)
	desk.Until(`document.querySelector("#fold-says")?.textContent === "The flat blank"`)
	desk.Eval(`(() => {
		const says = document.querySelector("#fold-says");
		window.said = [];
		new MutationObserver(() => said.push(says.textContent)).observe(says, { childList: true });
	})()`)
	desk.Eval(`document.querySelector(".fold [data-play]").click()`)
	desk.Until(`said.length > 1`)
	if between := desk.Eval(`said.filter(w => !w.startsWith("After step")).join("|")`); between != "" {
		t.Errorf("who wants less motion is shown %q", between)
	}
	desk.Screen("fold-office")
}

// Without script the finished part stands there.
func TestFoldingWithoutScript(t *testing.T) {
	t.Parallel()
	s, _, code := foldedTray(t)
	d := s.Use(t, shoptest.PhoneScreen)
	d.Quiet()
	d.WithoutScript()
	d.Open("/t/" + code + "/1")
	d.Tap(".fold summary")
	d.See(".fold img")
	answer, body := s.Get("/t/" + code + "/finished.svg")
	if answer.StatusCode != http.StatusOK || !strings.Contains(body, "<path") {
		t.Errorf("the finished part is answered %d %q", answer.StatusCode, body)
	}
}
