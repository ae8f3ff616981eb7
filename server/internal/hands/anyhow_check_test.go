//go:build unix

package hands_test

import (
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"slices"
	"strings"
	"time"

	"brakeside/calc/unit"
	"brakeside/server/store"
	"brakeside/traveler/progress"
	"brakeside/traveler/standing"
)

// told is a reading as it was on the screen when it was saved.
type told struct {
	sheet       string
	piece, step int
	measured    unit.CentiDeg
	given       string
	stop        string // on the brake's scale; empty for one that takes another back
	by, state   string
	corrects    bool
	withdrawn   bool
}

func (r told) bend() unit.CentiDeg {
	if r.given == progress.GivenOpening {
		return unit.Deg(180).CentiDeg() - r.measured
	}
	return r.measured
}

// othersBegin is what the ids of readings of the other phone begin with.
const othersBegin = "other-"

// state is what the service says of a sheet.
type state struct {
	Readings []storedReading
	Steps    []struct {
		Step   int
		Target float64
	}
	Next *struct {
		Piece, Step int
		Do          string
	}
}

type storedReading struct {
	ID          string
	Piece, Step int
	Measured    float64
	GivenAs     string `json:"given_as"`
	Stop        *float64
	By, State   string
	Corrects    string
	Flags       []string
}

func (r storedReading) told(sheet string) told {
	t := told{
		sheet: sheet, piece: r.Piece, step: r.Step, measured: unit.Deg(r.Measured).CentiDeg(), given: r.GivenAs, by: r.By, state: r.State,
		corrects: r.Corrects != "", withdrawn: slices.Contains(r.Flags, progress.FlagWithdrawn),
	}
	if t.withdrawn {
		t.corrects = false
	}
	if r.Stop != nil {
		t.stop = unit.Deg(*r.Stop).CentiDeg().Text(1)
	}
	return t
}

// asked asks the service for something as another program does.
func (a *anyhow) asked(path string) string {
	a.t.Helper()
	answer, err := http.Get("http://" + a.service.address + path)
	if err != nil {
		a.t.Fatal(err)
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	if err != nil || answer.StatusCode != http.StatusOK {
		a.t.Fatalf("GET %s: %s %s %v", path, answer.Status, text, err)
	}
	return string(text)
}

func (a *anyhow) state(code string) (s state) {
	a.t.Helper()
	if err := json.Unmarshal([]byte(a.asked("/t/"+code+"/state")), &s); err != nil {
		a.t.Fatal(err)
	}
	return s
}

// stored gives what the service has of this phone, each as often as it is there.
func (a *anyhow) stored() map[told]int {
	a.t.Helper()
	all := make(map[told]int)
	for _, code := range a.sheets {
		for _, r := range a.state(code).Readings {
			if !strings.HasPrefix(r.ID, othersBegin) {
				all[r.told(code)]++
			}
		}
	}
	return all
}

// counted says how often each reading was shown as saved.
func (a *anyhow) counted() map[told]int {
	all := make(map[told]int)
	for _, r := range a.kept {
		all[r]++
	}
	return all
}

// check makes sure after each step that there is a way on, that nothing was refused,
// and, where the service can be asked, that all that was shown as saved is there or on
// the phone's disk, and nothing more often than it was shown.
func (a *anyhow) check() {
	a.t.Helper()
	s := a.now()
	for _, denied := range s.Denied {
		a.t.Errorf("refused: %+v because %s", *denied.Reading, denied.Words)
	}
	if s.Form && s.Stop != s.Used {
		a.t.Errorf("%s is told in large figures and %s would be stored", s.Stop, s.Used)
	}
	for _, said := range a.complaints() {
		if strings.HasPrefix(said, "script") {
			a.t.Errorf("the browser complains: %s", said)
		}
	}
	if a.service.process == nil {
		return
	}
	have, want := a.stored(), a.counted()
	for r, n := range have {
		if n > want[r] {
			a.t.Errorf("stored %d times, shown as saved %d times: %+v", n, want[r], r)
		}
	}
	for _, e := range s.Waiting {
		if e.Reading != nil {
			have[e.told(a)]++ // what is on its way is in both
		}
	}
	for r, n := range want {
		if have[r] < n {
			a.t.Errorf("neither stored nor on the phone: %+v, shown as saved %d times; there are %v, and wait %+v", r, n, have, s.Waiting)
		}
	}
	if a.t.Failed() {
		a.t.FailNow()
	}
}

// atTheEnd gives the phone its network and the service back, and checks that after a
// while everything is there once, that no question waits that was answered, and that
// the work goes on.
func (a *anyhow) atTheEnd() {
	a.t.Helper()
	a.service.start()
	if a.offline {
		a.network()
	}
	for try := 0; len(a.now().Waiting) > 0; try++ {
		if try%50 == 0 {
			a.Pass(time.Minute) // the pause between two tries is no longer
		}
		if try == 1000 {
			a.t.Fatalf("still waiting on the phone: %+v", a.now().Waiting)
		}
		time.Sleep(10 * time.Millisecond)
	}
	a.check()
	have, want := a.stored(), a.counted()
	for r, n := range want {
		if have[r] != n {
			a.t.Errorf("stored %d times, shown as saved %d times: %+v", have[r], n, r)
		}
	}
	waiting := 0
	for _, code := range a.sheets {
		waiting += strings.Count(a.asked("/t/"+code+"/questions"), `id="q-`)
	}
	if waiting > len(a.doubts) {
		a.t.Errorf("%d questions wait, %d were left without an answer", waiting, len(a.doubts))
	}
	a.open()
}

// told is a reading that waits on the phone as the service will have it.
func (e queued) told(a *anyhow) told {
	r := e.Reading
	t := told{
		sheet: strings.TrimPrefix(e.Sheet, "/t/"), piece: r.Piece, step: r.Step, measured: centi(a.t, r.Measured.String()),
		given: r.GivenAs, by: r.By,
		state: r.State, withdrawn: slices.Contains(r.Flags, progress.FlagWithdrawn),
	}
	if t.state == "" {
		t.state = progress.StateAsBent
	}
	if t.corrects = r.Corrects != "" && !t.withdrawn; r.Stop != nil {
		t.stop = centi(a.t, r.Stop.String()).Text(1)
	}
	return t
}

// What the office and another phone do --------------------------------------

func (a *anyhow) decide(kind, why string) {
	a.t.Helper()
	a.service.told(order{Decide: &store.Event{Code: a.sheets[len(a.sheets)-1], Kind: kind, Detail: why, By: "owner"}})
}

func (a *anyhow) release() {
	a.t.Helper()
	if a.service.process != nil && !a.released {
		a.decide(standing.Released, "a trial")
		a.released = true
	}
}

// halt stops the run, or lets it go on.
func (a *anyhow) halt() {
	a.t.Helper()
	if a.service.process == nil {
		return
	}
	if a.held {
		a.decide(standing.Resumed, "the right one is here")
	} else {
		a.decide(standing.Held, "wrong sheet")
	}
	a.held = !a.held
}

// other logs a good bend on another phone: what is due next, which may be what this
// phone has open.
func (a *anyhow) other() {
	a.t.Helper()
	code := a.sheets[len(a.sheets)-1]
	if a.service.process == nil {
		return
	}
	now := a.state(code)
	if now.Next == nil {
		return
	}
	a.others++
	as := progress.StateAsBent
	if now.Next.Do != progress.DoBend {
		as = progress.StateReworked
	}
	body := fmt.Sprintf(`{"id":"%s%d","piece":%d,"step":%d,"measured":%g,"state":%q}`,
		othersBegin, a.others, now.Next.Piece, now.Next.Step, now.Steps[now.Next.Step-1].Target, as)
	answer, err := http.Post("http://"+a.service.address+"/t/"+code+"/readings", "application/json", strings.NewReader(body))
	if err != nil {
		a.t.Fatal(err)
	}
	answer.Body.Close()
	if answer.StatusCode != http.StatusCreated {
		a.t.Fatalf("POST %s: %s", body, answer.Status)
	}
}
