package hands_test

import (
	"context"
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"brakeside/server/internal/shoptest"
	"brakeside/server/report"
	"brakeside/server/store"
	"brakeside/server/table"
)

// The whole path, in browsers, with nothing typed but by hand: first run, a tray
// drawn in the form, planned and issued; a phone logs all bends of two pieces
// while the owner looks on; what was learned is accepted, the sheet is replaced
// and the old code refused. Export, backup and restore into a fresh folder then
// give the same figures.
func TestWholePath(t *testing.T) {
	t.Parallel()
	s, session := shoptest.OpenOffice(t)
	if err := s.Store.KeepSetting(t.Context(), store.SettingSetUp, ""); err != nil {
		t.Fatal(err)
	}
	desk, phone := s.Use(t, shoptest.Screen{Width: 1280, Height: 900, Touch: false}), s.Use(t, shoptest.PhoneScreen)
	quiet := []func() []string{desk.Watch(), phone.Watch()}
	firstRun(desk, phone)
	part := enterTray(desk)
	code := planAndIssue(desk, part)
	logTwoPieces(desk, phone, code)
	s.FlatOn(part, 5, session) // two pieces are too little to move a stop for
	acceptStop(desk)
	replaceSheet(desk, phone, code)
	for _, complaints := range quiet {
		if said := complaints(); len(said) > 0 {
			t.Errorf("the browser complains, or asked outside the service: %q", said)
		}
	}
	sameFiguresAfterRestore(t, s)
}

func firstRun(desk, phone *shoptest.Device) {
	desk.T.Helper()
	desk.Open("/")
	desk.TypeIn("password", shoptest.Password)
	desk.Press("button.main", "#f-shop")
	desk.TypeIn("f-shop", "Hollow Lane Sheet Works")
	desk.TypeIn("f-address", desk.Base)
	desk.Press("main button.main", "#greeting")
	phone.Open(strings.TrimPrefix(desk.Eval("document.querySelector('#greeting .hint').textContent"), desk.Base))
	phone.Says("This phone gets there")
	desk.Until("document.querySelector('#greeting.yes') !== null")
}

// enterTray fills in the form of a tray, makes a mistake on the way, and gives
// the number of the part.
func enterTray(desk *shoptest.Device) string {
	desk.T.Helper()
	desk.Open("/parts")
	desk.Press("a[href='/parts/new']", "nav.kinds")
	desk.Press("nav.kinds a[href$='kind=tray']", "#f-tray-base-0-")
	desk.TypeIn("f-number", "DT-310")
	desk.TypeIn("f-title", "Drip tray")
	const back = "f-tray-walls-back-0--leg"
	desk.TypeIn(back, "-5")
	desk.Until("document.getElementById('" + back + "').getAttribute('aria-invalid') === 'true'")
	desk.TypeIn(back, "60")
	desk.Until("document.querySelectorAll('#drawing svg').length === 4 && document.getElementById('" + back + "').getAttribute('aria-invalid') === null")
	desk.Press("button[value=ready]", ".state.ready")
	return desk.Eval("location.pathname.split('/').pop()")
}

func planAndIssue(desk *shoptest.Device, part string) string {
	desk.T.Helper()
	desk.Press("a[href='/parts/"+part+"/plans']", ".plan.good")
	desk.Says("can be bent", "minutes a piece")
	desk.Press(".plan.good a[href*='/bends?']", "#frame")
	desk.TypeIn("angle", "30")
	desk.Until("document.getElementById('frame').src.endsWith('angle=30') && document.getElementById('frame').naturalWidth > 0")
	desk.Press(".sequence li:nth-child(3) a", ".sequence li:nth-child(3).here")
	desk.Open("/jobs/new?part=" + part)
	desk.TypeIn("f-job", "2041")
	desk.TypeIn("f-quantity", "2")
	desk.Press("main button.main", "#progress")
	desk.Says("Job 2041")
	return desk.Eval("location.pathname.split('/').pop()")
}

// logTwoPieces bends two pieces, each bend 0.9 degrees under, and sees the
// owner's page follow.
func logTwoPieces(desk, phone *shoptest.Device, code string) {
	desk.T.Helper()
	kept, err := desk.Store.TravelerByCode(context.Background(), code)
	if err != nil {
		desk.T.Fatal(err)
	}
	steps := kept.Traveler.Steps
	phone.Open("/t/" + code)
	for n := range 2 * len(steps) {
		phone.See("#typed")
		if n == 0 {
			phone.TypeIn("by", "AB")
		}
		phone.Ready()
		phone.TypeIn("typed", fmt.Sprintf("%.1f", float64(steps[n%len(steps)].Target.Deg())-0.9))
		phone.Tap("form.log button.main")
		phone.Sent()
		phone.Until(fmt.Sprintf("document.querySelectorAll('.verdict.right').length === 1 && %d === queue.sent()", n+1))
		if n == 0 {
			desk.Until("document.querySelectorAll('#progress tbody tr.out, #progress table.dense tbody tr').length === 1")
		}
	}
	desk.Until(fmt.Sprintf("document.querySelectorAll('#progress table.dense tbody tr').length === %d && document.body.innerText.includes('none: all are in')", 2*len(steps)))
	if n := desk.Stored(code); n != 2*len(steps) {
		desk.T.Errorf("%d readings are stored, want %d", n, 2*len(steps))
	}
}

func acceptStop(desk *shoptest.Device) {
	desk.T.Helper()
	desk.Open("/review/stops")
	proposed := desk.Eval("document.querySelectorAll('.plan').length")
	if proposed == "0" {
		desk.T.Fatalf("nothing is proposed: %s", desk.Text())
	}
	desk.Press(".plan form:has(input[value=accepted]) button", "table.list")
	desk.Says("in use", "What was changed")
}

// replaceSheet makes the next revision with a lower wall and issues its sheet in
// place of the old one, whose code then says so.
func replaceSheet(desk, phone *shoptest.Device, code string) {
	desk.T.Helper()
	old, err := desk.Store.TravelerByCode(context.Background(), code)
	if err != nil {
		desk.T.Fatal(err)
	}
	desk.Open("/parts")
	desk.Press("table.list tbody th a", "a[href^='/parts/new?from=']")
	desk.Press("a[href^='/parts/new?from=']:not([href*=copy])", "#f-revision")
	desk.TypeIn("f-tray-walls-back-0--leg", "50")
	desk.Press("button[value=ready]", ".state.ready")
	desk.Open("/jobs/" + code)
	desk.Press("a[href='/jobs/new?replaces="+code+"']", "#f-reason")
	desk.TypeIn("f-reason", "the back wall was too high")
	desk.Press("main button.main", "#progress")
	newer := desk.Eval("location.pathname.split('/').pop()")
	kept, err := desk.Store.TravelerByCode(context.Background(), newer)
	if err != nil || newer == code || kept.Traveler.Part.Revision != "B" {
		desk.T.Fatalf("the new sheet is %s of revision %s, %v", newer, kept.Traveler.Part.Revision, err)
	}
	changed := false
	for i, step := range kept.Traveler.Steps {
		changed = changed || step.Stop != old.Traveler.Steps[i].Stop
	}
	if !changed {
		desk.T.Error("the stop that was accepted stands on no step of the new sheet")
	}
	phone.Open("/t/" + code)
	phone.Says("replaced", "the back wall was too high")
	if phone.Eval("document.querySelector('form.log')") != "null" {
		phone.T.Error("the old code still takes readings")
	}
}

func sameFiguresAfterRestore(t *testing.T, s *shoptest.Shop) {
	t.Helper()
	ctx := context.Background()
	var before strings.Builder
	if err := report.WriteCSV(ctx, &before, table.Plain, s.Store); err != nil {
		t.Fatal(err)
	}
	copied := filepath.Join(t.TempDir(), "copy.db")
	if err := s.Store.Backup(ctx, copied); err != nil {
		t.Fatal(err)
	}
	fresh := filepath.Join(t.TempDir(), "fresh")
	if err := store.Restore(fresh, copied); err != nil {
		t.Fatal(err)
	}
	restored, err := store.Open(fresh, s.Now)
	if err != nil {
		t.Fatal(err)
	}
	defer restored.Close()
	var after strings.Builder
	if err := report.WriteCSV(ctx, &after, table.Plain, restored); err != nil {
		t.Fatal(err)
	}
	if before.String() != after.String() || strings.Count(after.String(), "\n") < 9 {
		t.Errorf("the export after the restore differs, or is empty:\n%s\n%s", before.String(), after.String())
	}
}
