package hands_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"math/rand"
	"testing"

	"brakeside/calc/fault"
	"brakeside/calc/unit"
	"brakeside/server/internal/shoptest"
	"brakeside/traveler"
	"brakeside/traveler/progress"
	"brakeside/traveler/standing"
)

// ruled is one case: a job as the service tells it, what the phone logs since, and
// what the rules of the service say about the last of it.
type ruled struct {
	Table  progress.Table `json:"table"`
	Logged []knownReading `json:"logged"`
	Want   wanted         `json:"want"`
}

// knownReading is a reading as the rules of the phone take it.
type knownReading struct {
	Piece     int           `json:"piece"`
	Step      int           `json:"step"`
	Bend      unit.CentiDeg `json:"bend"`
	Stop      unit.CentiDeg `json:"stop"`
	Opening   bool          `json:"opening"`
	Place     string        `json:"place"`
	State     string        `json:"state"`
	Flags     []string      `json:"flags"`
	Thickness unit.Micron   `json:"thickness"`
	Confirmed bool          `json:"confirmed"`
	Leg       unit.MM       `json:"leg"`
	By        string        `json:"by"`
	Tool      string        `json:"tool"`
	Pack      string        `json:"pack"`
}

type wanted struct {
	Ask         string     `json:"ask"`
	Error       int        `json:"error"`
	InTolerance bool       `json:"in_tolerance"`
	Advice      string     `json:"advice"`
	Again       *wantedDue `json:"again"`
	Next        *wantedDue `json:"next"`
}

type wantedDue struct {
	Piece int    `json:"piece"`
	Step  int    `json:"step"`
	Do    string `json:"do"`
	Stop  int    `json:"stop"`
	Why   string `json:"why"`
	Words string `json:"words"`
}

func dueOf(due *progress.Due) *wantedDue {
	if due == nil {
		return nil
	}
	return &wantedDue{due.Piece, due.Step, due.Do, int(due.Stop), due.Why, due.Words}
}

func wantedOf(v progress.Verdict, err error) wanted {
	var doubt *fault.Refusal
	if errors.As(err, &doubt) {
		return wanted{Ask: doubt.Message}
	}
	return wanted{Error: int(v.Error), InTolerance: v.InTolerance, Advice: v.Advice, Again: dueOf(v.Again), Next: dueOf(v.Next)}
}

// ruledCase logs anyhow on an invented job, for a while at the service and then on a
// phone.
func ruledCase(random *rand.Rand) ruled {
	job := progress.Job{Traveler: anyTraveler(random), Standing: anyStanding(random)}
	for range random.Intn(12) {
		if v, err := progress.Judge(job, anyReading(random, job)); err == nil {
			job.Add(v.Reading)
		}
	}
	out := ruled{Table: progress.TableOf(job), Logged: []knownReading{}}
	atService := make(map[progress.Spot]bool)
	for _, r := range progress.Counted(job) {
		atService[progress.Spot{Piece: r.Piece, Step: r.Step}] = true
	}
	for range 1 + random.Intn(6) {
		r := anyReading(random, job)
		if atService[progress.Spot{Piece: r.Piece, Step: r.Step}] && r.State == progress.StateAsBent {
			r.State = progress.StateReworked // the table does not say where it was measured as bent
		}
		v, err := progress.Judge(job, r)
		out.Logged, out.Want = append(out.Logged, knownOf(job, r)), wantedOf(v, err)
		if err != nil {
			return out
		}
		job.Add(v.Reading)
	}
	return out
}

func knownOf(job progress.Job, r progress.Reading) knownReading {
	k := knownReading{
		Piece: r.Piece, Step: r.Step, Bend: r.Bend(), Stop: progress.StopBend(job.Traveler.Brake, *r.Stop), Opening: r.GivenAs == progress.GivenOpening,
		Place: r.Place, State: r.State, Flags: r.Flags, Confirmed: r.Confirmed,
		By: r.By, Tool: r.Tool, Pack: r.Pack,
	}
	if r.Leg != nil {
		k.Leg = r.Leg.MM()
	}
	if r.Thickness != nil {
		k.Thickness = *r.Thickness
	}
	return k
}

func anyTraveler(random *rand.Rand) *traveler.Traveler {
	t := shoptest.Channel()
	t.Quantity = 1 + random.Intn(6)
	t.Run = []string{traveler.ByStep, traveler.ByPiece}[random.Intn(2)]
	if random.Intn(3) == 0 {
		t.Brake.Reads, t.Brake.Zero = progress.GivenOpening, unit.CentiDeg(random.Intn(300)-150)
	}
	t.Brake.MaxAngle = []unit.CentiDeg{13000, 9300, 0}[random.Intn(3)]
	for i := range t.Steps {
		t.Steps[i].Stop = progress.StopOnScale(t.Brake, t.Steps[i].StopBend)
	}
	return t
}

func anyStanding(random *rand.Rand) standing.Standing {
	s := standing.Standing{Every: []int{0, 1, 2, 3}[random.Intn(4)], Override: random.Intn(3) == 0}
	if random.Intn(4) == 0 {
		s.Skipped = []int{1 + random.Intn(3)}
	}
	if random.Intn(5) == 0 {
		s.Hold = standing.Hold{Why: "the bar slips"}
	}
	return s
}

func anyReading(random *rand.Rand, job progress.Job) progress.Reading {
	spread := []int{80, 200, 600, 1200}[random.Intn(4)]
	spot := progress.Spot{Piece: 1 + random.Intn(job.Traveler.Quantity), Step: 1 + random.Intn(len(job.Traveler.Steps))}
	if next, more := progress.Next(job); more && random.Intn(3) > 0 {
		spot = next
	}
	step, _ := progress.StepOf(job.Traveler, spot.Step)
	due := progress.DueAt(job, spot)
	stop := due.Stop + []unit.CentiDeg{0, 0, 0, 150}[random.Intn(4)]
	r := progress.Reading{
		ID: fmt.Sprintf("r%d", random.Int63()), Piece: spot.Piece, Step: spot.Step, Stop: &stop, GivenAs: progress.GivenBend,
		Measured: step.Target + unit.CentiDeg(random.Intn(2*spread)-spread), Confirmed: random.Intn(4) == 0,
		Place: []string{"", progress.PlaceMiddle, progress.PlaceLeft, progress.PlaceRight}[random.Intn(4)],
		State: []string{progress.StateAsBent, progress.StateAsBent, progress.StateAsBent, progress.StateReworked, progress.StateScrapped}[random.Intn(5)],
	}
	if due.Do != progress.DoBend && r.State == progress.StateAsBent {
		r.State = progress.StateReworked
	}
	if random.Intn(12) == 0 {
		r.Measured = 18000 - r.Measured
	}
	if random.Intn(4) == 0 {
		r.GivenAs, r.Measured = progress.GivenOpening, 18000-r.Measured
	}
	if r.State == progress.StateScrapped {
		r.Note = "torn"
	}
	if random.Intn(6) == 0 {
		r.Flags = []string{progress.FlagBarLifted}
	}
	if random.Intn(4) == 0 {
		thickness := []unit.Micron{1500, 1549, 1560, 1700}[random.Intn(4)]
		r.Thickness = &thickness
	}
	return r
}

// judged has the phone judge a list of cases and gives those that differ.
const judged = `JSON.stringify(cases.map(({ table, logged, want }, i) => {
	const plain = (due) => due ? { piece: due.piece, step: due.step, do: due.do, stop: due.stop, why: due.why, words: due.words } : null;
	let job = rules.begin(table);
	for (const reading of logged.slice(0, -1)) job = rules.add(job, reading);
	const v = rules.judge(job, logged[logged.length - 1]);
	const got = v.ask ? { ...want, ask: v.ask } : { ask: "", error: v.error, in_tolerance: v.in_tolerance, advice: v.advice, again: plain(v.again), next: plain(v.next) };
	return JSON.stringify(got) === JSON.stringify(want) ? null : { i, got, want, logged };
}).filter(Boolean).slice(0, 3))`

// The phone says the same about a reading as the service does: verdict, question,
// advice, rework, the first-piece gate and what is next with its stop.
func TestPhoneJudgesAsTheServiceDoes(t *testing.T) {
	t.Parallel()
	d := shoptest.OpenShop(t).Use(t, shoptest.PhoneScreen)
	d.Open("/t/" + shoptest.ChannelCode)
	d.Ready()
	random := rand.New(rand.NewSource(1))
	var all []ruled
	for range 3000 {
		all = append(all, ruledCase(random))
	}
	asked, reworks, finished := 0, 0, 0
	for from := 0; from < len(all); from += 250 {
		text, err := json.Marshal(all[from : from+250])
		if err != nil {
			t.Fatal(err)
		}
		if differ := d.Eval(fmt.Sprintf("((cases) => %s)(%s)", judged, text)); differ != "[]" {
			t.Fatalf("the phone and the service differ: %s", differ)
		}
	}
	for _, c := range all {
		asked += min(len(c.Want.Ask), 1)
		if c.Want.Again != nil {
			reworks++
		}
		if c.Want.Ask == "" && c.Want.Next == nil {
			finished++
		}
	}
	if asked < 100 || reworks < 300 || finished < 30 {
		t.Errorf("%d asked about, %d reworked, %d at the end of 3000: the cases do not vary", asked, reworks, finished)
	}
}
