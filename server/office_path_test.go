package server

import (
	"context"
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"brakeside/server/store"
)

// typeIn puts a value into a field of the office as typing does.
func (d *device) typeIn(id, value string) {
	d.t.Helper()
	done := d.eval(fmt.Sprintf("(() => { const f = document.getElementById(%q); f.value = %q; f.dispatchEvent(new Event('input', {bubbles: true})); return f.value; })()", id, value))
	if done != value {
		d.t.Fatalf("%s holds %q, want %q; page: %s", id, done, value, d.text())
	}
}

// press presses a button or a link and waits for the page it leads to.
func (d *device) press(selector, next string) {
	d.t.Helper()
	d.do(chromedp.Click(selector))
	d.until(fmt.Sprintf("document.readyState === 'complete' && document.querySelector(%q) !== null", next))
}

// The whole path, in browsers, with nothing typed but by hand: first run, a tray
// drawn in the form, planned and issued; a phone logs all bends of two pieces
// while the owner looks on; what was learned is accepted, the sheet is replaced
// and the old code refused. Export, backup and restore into a fresh folder then
// give the same figures.
func TestWholePath(t *testing.T) {
	s, _ := openOffice(t)
	if err := s.store.KeepSetting(t.Context(), store.SettingSetUp, ""); err != nil {
		t.Fatal(err)
	}
	desk, phone := s.use(t, screen{1280, 900, false}), s.use(t, phoneScreen)
	quiet := []func() []string{desk.watch(), phone.watch()}
	firstRun(desk, phone)
	part := enterTray(desk)
	code := planAndIssue(desk, part)
	logTwoPieces(desk, phone, code)
	acceptStop(desk)
	replaceSheet(desk, phone, code)
	for _, complaints := range quiet {
		if said := complaints(); len(said) > 0 {
			t.Errorf("the browser complains, or asked outside the service: %q", said)
		}
	}
	sameFiguresAfterRestore(t, s)
}

func firstRun(desk, phone *device) {
	desk.t.Helper()
	desk.open("/")
	desk.typeIn("password", password)
	desk.press("button.main", "#f-shop")
	desk.typeIn("f-shop", "Hollow Lane Sheet Works")
	desk.typeIn("f-address", desk.base)
	desk.press("main button.main", "#greeting")
	phone.open(strings.TrimPrefix(desk.eval("document.querySelector('#greeting .hint').textContent"), desk.base))
	phone.says("This phone gets there")
	desk.until("document.querySelector('#greeting.yes') !== null")
}

// enterTray fills in the form of a tray, makes a mistake on the way, and gives
// the number of the part.
func enterTray(desk *device) string {
	desk.t.Helper()
	desk.open("/parts")
	desk.press("a[href='/parts/new']", "nav.kinds")
	desk.press("nav.kinds a[href$='kind=tray']", "#f-tray-base-0-")
	desk.typeIn("f-number", "DT-310")
	desk.typeIn("f-title", "Drip tray")
	const back = "f-tray-walls-back-0--leg"
	desk.typeIn(back, "-5")
	desk.until("document.getElementById('" + back + "').getAttribute('aria-invalid') === 'true'")
	desk.typeIn(back, "60")
	desk.until("document.querySelectorAll('#drawing svg').length === 4 && document.getElementById('" + back + "').getAttribute('aria-invalid') === null")
	desk.press("button[value=ready]", ".state.ready")
	return desk.eval("location.pathname.split('/').pop()")
}

func planAndIssue(desk *device, part string) string {
	desk.t.Helper()
	desk.press("a[href='/parts/"+part+"/plans']", ".plan.good")
	desk.says("can be bent", "minutes a piece")
	desk.press(".plan.good a[href*='/bends?']", "#frame")
	desk.typeIn("angle", "30")
	desk.until("document.getElementById('frame').src.endsWith('angle=30') && document.getElementById('frame').naturalWidth > 0")
	desk.press(".sequence li:nth-child(3) a", ".sequence li:nth-child(3).here")
	desk.open("/jobs/new?part=" + part)
	desk.typeIn("f-job", "2041")
	desk.typeIn("f-quantity", "2")
	desk.press("main button.main", "#progress")
	desk.says("Job 2041")
	return desk.eval("location.pathname.split('/').pop()")
}

// logTwoPieces bends two pieces, each bend 0.9 degrees under, and sees the
// owner's page follow.
func logTwoPieces(desk, phone *device, code string) {
	desk.t.Helper()
	kept, err := desk.store.TravelerByCode(context.Background(), code)
	if err != nil {
		desk.t.Fatal(err)
	}
	steps := kept.Traveler.Steps
	phone.open("/t/" + code)
	for n := range 2 * len(steps) {
		phone.see("#typed")
		if n == 0 {
			phone.typeIn("by", "AB")
		}
		phone.typeIn("typed", fmt.Sprintf("%.1f", float64(steps[n%len(steps)].Target.Deg())-0.9))
		phone.tap("button.main")
		phone.until(`location.search.startsWith("?saved=")`)
		if n < 2*len(steps)-1 {
			phone.tap("a.main")
		}
		if n == 0 {
			desk.until("document.querySelectorAll('#progress tbody tr.out, #progress table.dense tbody tr').length === 1")
		}
	}
	desk.until(fmt.Sprintf("document.querySelectorAll('#progress table.dense tbody tr').length === %d && document.body.innerText.includes('none: all are in')", 2*len(steps)))
	if n := desk.stored(code); n != 2*len(steps) {
		desk.t.Errorf("%d readings are stored, want %d", n, 2*len(steps))
	}
}

func acceptStop(desk *device) {
	desk.t.Helper()
	desk.open("/review/stops")
	proposed := desk.eval("document.querySelectorAll('.plan').length")
	if proposed == "0" {
		desk.t.Fatalf("nothing is proposed: %s", desk.text())
	}
	desk.press(".plan form:has(input[value=accepted]) button", "table.list")
	desk.says("in use", "What was changed")
}

// replaceSheet makes the next revision with a lower wall and issues its sheet in
// place of the old one, whose code then says so.
func replaceSheet(desk, phone *device, code string) {
	desk.t.Helper()
	old, err := desk.store.TravelerByCode(context.Background(), code)
	if err != nil {
		desk.t.Fatal(err)
	}
	desk.open("/parts")
	desk.press("table.list th a", "a[href^='/parts/new?from=']")
	desk.press("a[href^='/parts/new?from=']:not([href*=copy])", "#f-revision")
	desk.typeIn("f-tray-walls-back-0--leg", "50")
	desk.press("button[value=ready]", ".state.ready")
	desk.open("/jobs/" + code)
	desk.press("a[href='/jobs/new?replaces="+code+"']", "#f-reason")
	desk.typeIn("f-reason", "the back wall was too high")
	desk.press("main button.main", "#progress")
	newer := desk.eval("location.pathname.split('/').pop()")
	kept, err := desk.store.TravelerByCode(context.Background(), newer)
	if err != nil || newer == code || kept.Traveler.Part.Revision != "B" {
		desk.t.Fatalf("the new sheet is %s of revision %s, %v", newer, kept.Traveler.Part.Revision, err)
	}
	changed := false
	for i, step := range kept.Traveler.Steps {
		changed = changed || step.Stop != old.Traveler.Steps[i].Stop
	}
	if !changed {
		desk.t.Error("the stop that was accepted stands on no step of the new sheet")
	}
	phone.open("/t/" + code)
	phone.says("replaced", "the back wall was too high")
	if phone.eval("document.querySelector('form.log')") != "null" {
		phone.t.Error("the old code still takes readings")
	}
}

func sameFiguresAfterRestore(t *testing.T, s *shop) {
	t.Helper()
	ctx := context.Background()
	var before strings.Builder
	if err := WriteCSV(ctx, &before, s.store); err != nil {
		t.Fatal(err)
	}
	copied := filepath.Join(t.TempDir(), "copy.db")
	if err := s.store.Backup(ctx, copied); err != nil {
		t.Fatal(err)
	}
	fresh := filepath.Join(t.TempDir(), "fresh")
	if err := store.Restore(fresh, copied); err != nil {
		t.Fatal(err)
	}
	restored, err := store.Open(fresh, s.now)
	if err != nil {
		t.Fatal(err)
	}
	defer restored.Close()
	var after strings.Builder
	if err := WriteCSV(ctx, &after, restored); err != nil {
		t.Fatal(err)
	}
	if before.String() != after.String() || strings.Count(after.String(), "\n") < 9 {
		t.Errorf("the export after the restore differs, or is empty:\n%s\n%s", before.String(), after.String())
	}
}
