package hands_test

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"math/rand"
	"slices"
	"strconv"
	"testing"

	"brakeside/calc/learn"
	"brakeside/calc/unit"
	"brakeside/server/internal/shoptest"
	"brakeside/server/store"
	"brakeside/traveler"
	"brakeside/traveler/progress"
	"brakeside/traveler/standing"

	"github.com/chromedp/chromedp"
)

// carriedOn is one case: a job as the service tells it, what the phone logs since, and
// the stops that the service tells once it has all of it, by step.
type carriedOn struct {
	Table  progress.Table `json:"table"`
	Logged []knownReading `json:"logged"`

	known bool // who measures has been read of on this sheet
	want  []learnedStop
}

// learnedStop is a stop as it is learned, before it is rounded, and as it is told.
type learnedStop struct {
	Raw  float64 `json:"raw"` // 0 when readings of this phone have taught nothing
	Stop int     `json:"stop"`
	Why  string  `json:"why"`
}

// crew are the people of these shops, with how much too high they read and how finely.
var crew = []struct {
	learn.Reader
	off, reads float64
}{
	{learn.Reader{Person: "AB", Tool: "bevel"}, 0.1, 0.5},
	{learn.Reader{Person: "CD", Tool: "dial"}, -0.3, 0.1},
	{learn.Reader{Person: "EF"}, 0.6, 1},
}

// metalOf is what a sheet of these tests really springs back by.
type metalOf struct {
	random    *rand.Rand
	brake     traveler.Brake
	zero, at9 float64
}

// read gives a reading of a bend made at a stop, by one of the crew; one in twelve is a slip.
func (m metalOf) read(who int, step *traveler.Step, stop unit.CentiDeg, id string) progress.Reading {
	c := crew[who]
	made := float64(progress.StopBend(m.brake, stop).Deg()) - m.zero - m.at9*float64(step.Target)/9000 + 0.3*m.random.NormFloat64() + c.off + 0.4*m.random.NormFloat64()
	if m.random.Intn(12) == 0 {
		made += 6 * (2*m.random.Float64() - 1)
	}
	r := progress.Reading{
		ID: id, Step: step.Number, Stop: &stop, GivenAs: progress.GivenBend, Place: progress.PlaceMiddle, State: progress.StateAsBent,
		Measured: unit.Deg(math.Round(made/c.reads) * c.reads).CentiDeg(), By: c.Person, Tool: c.Tool, Confirmed: true,
	}
	if m.random.Intn(10) == 0 {
		leg := unit.Micron(9000)
		r.Leg = &leg
	}
	return r
}

// longChannel is the channel, many times, from a pack with a name or its own, on a brake
// with one scale or the other and a leaf that goes far or not.
func longChannel(n int) *traveler.Traveler {
	t := shoptest.Channel()
	t.Code = fmt.Sprintf("carried%010d", n)
	t.Job, t.Quantity, t.Pack = fmt.Sprintf("J-%d", 3000+n), 60, []string{"", "P-7"}[n%2]
	if n%3 == 2 {
		t.Brake.Reads, t.Brake.Zero = progress.GivenOpening, 37
	}
	t.Brake.MaxAngle = []unit.CentiDeg{13000, 13000, 0, 9300}[n%4]
	for i := range t.Steps {
		t.Steps[i].Stop = progress.StopOnScale(t.Brake, t.Steps[i].StopBend)
	}
	return t
}

// logAt bends the next piece of a step at the stop that is told.
func logAt(job *progress.Job, m metalOf, who int) progress.Reading {
	step := &job.Traveler.Steps[m.random.Intn(len(job.Traveler.Steps))]
	piece := 1
	for _, r := range job.Readings {
		if r.Step == step.Number {
			piece = max(piece, r.Piece+1)
		}
	}
	stop := progress.DueAt(*job, progress.Spot{Piece: piece, Step: step.Number}).Stop
	r := m.read(who, step, stop, fmt.Sprintf("%s-%d", job.Traveler.Code, m.random.Int63()))
	r.Piece = piece
	return r
}

// carriedCase logs on where a sheet stands.
func carriedCase(t *testing.T, job progress.Job, m metalOf) carriedOn {
	t.Helper()
	who := m.random.Intn(len(crew))
	c := carriedOn{Table: progress.TableOf(job), Logged: []knownReading{}}
	c.known = slices.ContainsFunc(job.Readings, func(r progress.Reading) bool { return r.By == crew[who].Person })
	job.Readings = slices.Clone(job.Readings)
	for range 1 + m.random.Intn(6) {
		r := logAt(&job, m, who)
		v, err := progress.Judge(job, r)
		if err != nil {
			t.Fatal(err)
		}
		c.Logged = append(c.Logged, knownOf(job, r))
		job.Add(v.Reading)
	}
	c.want = stopsOf(job)
	return c
}

// stopsOf gives the stops of further pieces.
func stopsOf(job progress.Job) (out []learnedStop) {
	var counted []*progress.Reading
	for _, r := range progress.Counted(job) {
		counted = append(counted, &r)
	}
	for i := range job.Traveler.Steps {
		step := &job.Traveler.Steps[i]
		due := progress.DueAt(job, progress.Spot{Piece: 1000, Step: step.Number})
		raw, _, _ := job.Stops.Stop(step, counted)
		out = append(out, learnedStop{float64(raw), int(due.Stop), due.Why})
	}
	return out
}

const carriesOn = `JSON.stringify(cases.map(({ table, logged }) => {
	let job = rules.begin(table);
	for (const reading of logged) job = rules.add(job, reading);
	return table.steps.map((step) => {
		const back = told.springback(job.learned, step.step), due = rules.dueAt(job, { piece: 1000, step: step.step });
		return { raw: back === null ? 0 : step.target / 100 + back, stop: due.stop, why: due.why };
	});
}))`

// Readings that the service has not seen move the stops on the phone as they will move
// those of the service once it has them, and never by 2 degrees for one reading.
func TestPhoneTellsStopsAsTheServiceWill(t *testing.T) {
	s := shoptest.OpenShop(t)
	d := s.Use(t, shoptest.PhoneScreen)
	d.Open("/t/" + shoptest.ChannelCode)
	d.Ready()
	random := rand.New(rand.NewSource(1))
	var all []carriedOn
	for n := range 24 {
		sheet := longChannel(n)
		m := metalOf{random, sheet.Brake, 0.5 * random.NormFloat64(), 2 + 1.2*random.NormFloat64()}
		s.Issue(sheet)
		s.LetGo(sheet.Code)
		job := progressOf(t, s, sheet.Code)
		for range []int{0, 0, 1, 3, 8, 30}[n%6] {
			r := logAt(&job, m, random.Intn(2))
			posted := store.Posted{Code: sheet.Code, Reading: r, Body: []byte(r.ID)}
			if _, err := s.Store.AddReading(t.Context(), posted, progress.Judge); err != nil {
				t.Fatal(err)
			}
			job = progressOf(t, s, sheet.Code)
		}
		for range 40 {
			all = append(all, carriedCase(t, job, m))
		}
	}
	text, err := json.Marshal(all)
	if err != nil {
		t.Fatal(err)
	}
	var got [][]learnedStop
	if err := json.Unmarshal([]byte(d.Eval(fmt.Sprintf("((cases) => %s)(%s)", carriesOn, text))), &got); err != nil {
		t.Fatal(err)
	}
	compareStops(t, all, got)
}

func progressOf(t *testing.T, s *shoptest.Shop, code string) progress.Job {
	t.Helper()
	job, err := s.Store.Progress(context.Background(), code)
	if err != nil {
		t.Fatal(err)
	}
	return job
}

// compareStops holds what the phone tells against what the service does: all of it to
// 0.05 degrees where who measures was read of before. The digits of who was not tell the
// service how finely they read, and the phone nothing.
func compareStops(t *testing.T, all []carriedOn, got [][]learnedStop) {
	t.Helper()
	total, near, told := map[bool]int{}, map[bool]int{}, map[bool]int{}
	for i, c := range all {
		for j, want := range c.want {
			have := got[i][j]
			if have.Raw == 0 {
				continue
			}
			total[c.known]++
			if math.Abs(have.Raw-want.Raw) <= 0.05 {
				near[c.known]++
			}
			if math.Abs(float64(have.Stop-want.Stop)) <= 10 && (have.Why == want.Why || have.Why == "from this phone's readings") {
				told[c.known]++
			}
			if moved := have.Raw - before(c.Table, j); len(c.Logged) == 1 && math.Abs(moved) >= 2 {
				t.Errorf("one reading moves the stop of step %d by %.2f: %+v", j+1, moved, c.Logged)
			}
		}
	}
	for _, known := range []bool{true, false} {
		t.Logf("read of before %v: %d stops, %d within 0.05, %d told within 0.1", known, total[known], near[known], told[known])
	}
	if total[true] < 900 || near[true] < total[true] || told[true] < total[true]*998/1000 {
		t.Error("who was read of before is told another stop on the phone")
	}
	if total[false] < 900 || near[false] < total[false]*96/100 || told[false] < total[false]*98/100 {
		t.Error("who was not read of before is told another stop on the phone")
	}
}

// before is a stop as it is learned without the readings of the phone.
func before(table progress.Table, step int) float64 {
	c := table.Learned
	b := c.Bends[table.Steps[step].Number]
	return float64(table.Steps[step].Target)/100 + b.Usual + c.Means[0] + b.Share*c.Means[b.Metal]
}

// What is of another pack, was flagged at the brake, or was given as a bend by one who is
// asked about the opening moves no stop.
func TestPhoneLearnsFromWhatTeaches(t *testing.T) {
	s := shoptest.OpenShop(t)
	s.RecordFirstPiece()
	d := s.Use(t, shoptest.PhoneScreen)
	d.Open("/t/" + shoptest.ChannelCode)
	d.Ready()
	table := progress.TableOf(progressOf(t, s, shoptest.ChannelCode))
	if len(table.Learned.Pairs) != 1 || table.Learned.Pairs[0].Person != "AB" {
		t.Fatalf("carried pairs: %+v", table.Learned.Pairs)
	}
	moves := func(change string) string {
		t.Helper()
		text, err := json.Marshal(table)
		if err != nil {
			t.Fatal(err)
		}
		return d.Eval(fmt.Sprintf(`(() => {
			const reading = { piece: 2, step: 1, bend: 4400, stop: 4700, place: "middle", state: "as-bent", by: "AB", %s };
			return told.springback(rules.add(rules.begin(%s), reading).learned, 1) !== null;
		})()`, change, text))
	}
	for change, want := range map[string]string{
		``: "true", `pack: "another"`: "false", `flags: ["bar-lifted"]`: "false", `state: "reworked"`: "false", `piece: 1`: "false", `bend: 3800`: "false",
	} {
		if got := moves(change); got != want {
			t.Errorf("a reading with %q moves the stop: %s, want %s", change, got, want)
		}
	}
	table.Learned.Pairs[0].Asked = true
	if as, opening := moves(``), moves(`opening: true`); as != "false" || opening != "true" {
		t.Errorf("of one who is asked a bend teaches: %s, an opening: %s; want false and true", as, opening)
	}
	table.Halt = &standing.Halt{Cause: standing.IsHeld}
	if got := moves(`opening: true`); got != "false" {
		t.Errorf("in a run that is stopped a reading teaches: %s", got)
	}
}

// Without a network the told stop moves after the first piece that comes out flat, as it
// does with one; each reading is stored with the stop that stood on the screen.
func TestPhoneOfflineStopMoves(t *testing.T) {
	away, there := shoptest.OpenShop(t), shoptest.OpenShop(t)
	away.LetGo(shoptest.ChannelCode)
	there.LetGo(shoptest.ChannelCode)
	d := away.Use(t, shoptest.PhoneScreen)
	d.Open("/t/" + shoptest.ChannelCode)
	d.Do(chromedp.SendKeys("#by", "AB"))
	d.Ready()
	d.Network(false)
	var stops []string
	for _, bend := range [][2]int{{1, 1}, {1, 2}, {1, 3}, {2, 1}, {3, 1}, {2, 2}} {
		at := progress.Spot{Piece: bend[0], Step: bend[1]}
		d.OnStep(at.Piece, at.Step)
		stop, measured := d.Eval(`document.querySelector("[data-stop]").textContent`), []string{"43.5", "88.5", "88.5"}[at.Step-1]
		if want := next(t, there); want.Piece != at.Piece || want.Step != at.Step || math.Abs(want.Stop-number(t, stop)) > 0.1001 {
			t.Errorf("piece %d, step %d: the phone tells %s, with a network it is %+v", at.Piece, at.Step, stop, want)
		}
		stops = append(stops, stop)
		d.Enter(measured)
		d.Until(`!document.querySelector("[data-go-on]").hidden`)
		d.Tap("[data-go-on] button")
		there.Record(shoptest.ChannelCode, fmt.Sprintf(`{"id":"r%d","piece":%d,"step":%d,"measured":%s,"stop":%s,"by":"AB"}`,
			len(stops), at.Piece, at.Step, measured, stop))
	}
	t.Logf("stops without a network: %v", stops)
	if first, second := number(t, stops[0]), number(t, stops[3]); second < first+0.5 {
		t.Errorf("step 1 came out 1.5 flat at %.1f and is told to be bent at %.1f", first, second)
	}
	d.Network(true)
	d.Sent()
	readings, err := away.Store.Readings(t.Context(), shoptest.ChannelCode)
	if err != nil || len(readings) != len(stops) {
		t.Fatalf("stored %d readings, %v; want %d", len(readings), err, len(stops))
	}
	for i, r := range readings {
		if r.StopBend.Text(1) != stops[i] {
			t.Errorf("reading %d is stored at %s; on the screen stood %s", i+1, r.StopBend.Text(1), stops[i])
		}
	}
}

func next(t *testing.T, s *shoptest.Shop) (due struct {
	Piece, Step int
	Stop        float64
}) {
	t.Helper()
	state := struct{ Next any }{&due}
	if _, body := s.Get("/t/" + shoptest.ChannelCode + "/state"); json.Unmarshal([]byte(body), &state) != nil {
		t.Fatalf("the state is %s", body)
	}
	return due
}

func number(t *testing.T, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}
