package simulated_test

import (
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"net/http"
	"net/url"
	"os"
	"strings"
	"testing"
	"time"

	"brakeside/calc/bend"
	"brakeside/calc/stock"
	"brakeside/calc/unit"
	"brakeside/server/internal/shoptest"
	"brakeside/server/operator"
	"brakeside/server/store"
	"brakeside/traveler"
	"brakeside/traveler/progress"
)

var shops = flag.Int("shops", usualShops(), "how many simulated shops of each kind are run through the service; from 20 on they are held to the bounds proper")

// usualShops is how many shops of a kind are run where nobody says.
func usualShops() int {
	if os.Getenv("CI") == "true" {
		return 2
	}
	return 1
}

// What the shops of the simulation are like, standard deviations in degrees. They
// are invented, and others than the model expects.
const (
	trueZero, trueMaterial, trueCell, truePack = 0.5, 0.6, 0.4, 0.5
	trueMetal, trueMeasuring                   = 0.25, 0.3

	jobsADay, jobsOfPack, piecesOfJob = 3, 4, 4
	jobsOfShop, jobsToSeeAShift       = 60, 84
)

// shopKind is what goes wrong in a shop.
type shopKind struct {
	name            string
	biased, coarse  bool    // somebody reads 0.7 too high; protractors are read to a degree
	misreads, slips float64 // shares: off by 3 to 7 degrees, and 9.0 for 90
	opening         bool    // somebody logs openings
	shift           bool    // the scale moves by a degree on day 20 and is put right on day 26
	season          float64 // degrees at 90, over the time of the shop
	accepts         bool    // the owner accepts whatever is proposed
	always          bool    // run by a plain go test too
	stock           bool    // packs are chosen at issue, new ones bent on an offcut first
}

var shopKinds = []shopKind{
	{name: "packs not said"},
	{name: "clean, all accepted", stock: true, accepts: true},
	{name: "biased person", stock: true, biased: true},
	{name: "slips and misreads", stock: true, misreads: 0.02, slips: 0.01},
	{name: "coarse protractors", stock: true, coarse: true},
	{name: "opening", always: true, stock: true, opening: true},
	{name: "shift", stock: true, shift: true},
	{name: "everything", always: true, stock: true, biased: true, coarse: true, misreads: 0.02, slips: 0.01, opening: true, shift: true, season: 0.3, accepts: true},
}

const (
	shiftFrom, shiftUpTo = 20, 26 // days
	shiftBy              = 1.0
)

// simulated is one shop, whose truth is known, with its service.
type simulated struct {
	*shoptest.Shop
	shopKind
	owner  *http.Cookie
	random *rand.Rand
	people []*person

	zero      float64
	materials map[string]float64
	cells     map[string]float64
	parts     []simulatedPart
	packs     map[string]*simulatedPack // by part
	day       int
	ids       int
	right     bool // the scale was put right
}

type simulatedPart struct {
	seq      string
	material stock.Material
	t        unit.MM
}

// simulatedPack is a pack, and what an oracle knows of it that knows all else.
type simulatedPack struct {
	name        string
	truth       float64
	left        int
	told, doubt float64
}

// person reads angles.
type person struct {
	initials, tool string
	bias, step     float64
	opening        bool
	readings       int // logged without a question
}

// absolute adds up absolute errors.
type absolute struct {
	sum float64
	n   int
}

func (a *absolute) add(v float64) { a.sum, a.n = a.sum+math.Abs(v), a.n+1 }
func (a absolute) mean() float64  { return a.sum / float64(max(a.n, 1)) }

// came is how a kind of shop came out: true errors of angles, in degrees.
type came struct {
	first, firstOracle, firstTable absolute
	later, laterOracle, laterTable absolute
	readings, falseAlarms, asked   int
	falseQuestions                 int
	accepted                       int
	told                           int // shops whose shift was told
	latest                         int // most readings of somebody who logs openings until asked
}

func openSimulated(t *testing.T, k shopKind, seed uint64) *simulated {
	shop, owner := shoptest.OpenOffice(t)
	s := &simulated{Shop: shop, shopKind: k, owner: owner, random: rand.New(rand.NewPCG(seed, 2026)),
		materials: map[string]float64{}, cells: map[string]float64{}, packs: map[string]*simulatedPack{}}
	s.Bench.Codes = nil
	for n := range jobsToSeeAShift {
		s.Bench.Codes = append(s.Bench.Codes, simulatedCode(n))
	}
	s.zero = trueZero * s.random.NormFloat64()
	for _, id := range []string{"mild-steel", "galvanised", "304", "5251-H22"} {
		s.materials[id] = trueMaterial * s.random.NormFloat64()
		for _, thickness := range []unit.MM{1, 1.2} {
			s.parts = append(s.parts, s.keepPart(id, thickness))
		}
	}
	s.people = []*person{{initials: "AA", step: 0.5}, {initials: "BB", step: 0.1, bias: 0.1}, {initials: "CC", step: 0.5, bias: -0.1}}
	if k.biased {
		s.people[0].bias = 0.7
	}
	if k.coarse {
		s.people[0].step, s.people[1].step = 1, 1
	}
	if k.opening {
		s.people[2].opening = true
	}
	return s
}

// simulatedCode is a code of 17 letters without look-alikes.
func simulatedCode(n int) string {
	const letters = "abcdefghjkmnpqrstuvwxyz"
	return "ffcem4xq2pvr9tt" + string(letters[n/len(letters)%len(letters)]) + string(letters[n%len(letters)])
}

func (s *simulated) keepPart(material string, t unit.MM) simulatedPart {
	s.Helper()
	m, err := stock.Find(material)
	if err != nil {
		s.Fatal(err)
	}
	number := fmt.Sprintf("S-%s-%s", material, t.Text(1))
	file := fmt.Sprintf(`{"number":%q,"title":"Clip","revision":"A","units":"mm","material":%q,"thickness":%v,"inside_radius":%v,"sizes":"outside",
		"tolerance":{"angle":1.0,"length":0.5},"profile":{"length":200,"legs":[40,80,60],"bends":[90,45]}}`, number, material, float64(t), float64(t))
	kept := s.Keep(store.Parts, store.Revision{Name: number, Revision: "A", Title: "Clip", JSON: []byte(file)})
	seq := fmt.Sprint(kept.Seq)
	s.Send("/parts/"+seq+"/marks", url.Values{"kind": {store.MarkReady}}, s.owner)
	return simulatedPart{seq, m, t}
}

// expected is what a bend springs back by brake, material and bar; usual by the
// table of practice alone.
func (s *simulated) expected(p simulatedPart, step traveler.Step) (plain, usual, share float64) {
	at90 := bend.Springback(stock.Sheet{Material: p.material, Thickness: p.t}, bend.Bend{Angle: 90, Radius: p.t, Thickness: p.t}).Degrees
	share = float64(step.Target.Deg()) / 90
	cell := fmt.Sprint(p.material.ID, p.t, step.Bar)
	if _, known := s.cells[cell]; !known {
		s.cells[cell] = trueCell * s.random.NormFloat64()
	}
	zero := s.zero
	if s.shifted() {
		zero += shiftBy
	}
	season := s.season * math.Sin(2*math.Pi*float64(s.day)/(jobsOfShop/jobsADay))
	usual = float64(at90) * share
	return zero + usual + share*(s.materials[p.material.ID]+s.cells[cell]+season), usual, share
}

func (s *simulated) shifted() bool { return s.shift && s.day >= shiftFrom && s.day < shiftUpTo }

func (s *simulated) packFor(p simulatedPart, job int) *simulatedPack {
	if pack := s.packs[p.seq]; pack != nil && pack.left > 0 {
		pack.left--
		return pack
	}
	s.packs[p.seq] = &simulatedPack{fmt.Sprintf("pack %d", job), truePack * s.random.NormFloat64(), jobsOfPack - 1, 0, truePack * truePack}
	return s.packs[p.seq]
}

// run makes all jobs through the pages of the service.
func (s *simulated) run(c *came) {
	s.Helper()
	jobs := jobsOfShop
	if s.shift {
		jobs = jobsToSeeAShift
	}
	for number := range jobs {
		if s.day = number / jobsADay; number%jobsADay == 0 {
			s.owner = s.Owner() // signs in each day
		}
		s.looksAfterStops(c)
		p := s.parts[s.random.IntN(len(s.parts))]
		pack, by := s.packFor(p, number), s.people[s.random.IntN(len(s.people))]
		code := s.issues(p, pack, number)
		s.LetGo(code)
		kept, err := s.Store.TravelerByCode(context.Background(), code)
		if err != nil {
			s.Fatal(err)
		}
		j := simulatedJob{p, pack, by, kept.Traveler}
		s.bendsOffcut(j)
		s.bends(c, j)
		s.Later(24 * time.Hour / jobsADay)
	}
}

// issues issues a traveler, for its pack where packs are chosen.
func (s *simulated) issues(p simulatedPart, pack *simulatedPack, number int) string {
	s.Helper()
	job := url.Values{"part": {p.seq}, "brake": {s.NewestBrake()}, "job": {fmt.Sprintf("S-%d", number)}, "quantity": {fmt.Sprint(piecesOfJob)}, "by": {"owner"}}
	if s.stock {
		job.Set("pack", pack.name)
		if err := s.Store.KeepPack(context.Background(), store.Pack{Name: pack.name, Material: p.material.ID, Thickness: p.t.Micron()}); err != nil {
			s.Fatal(err)
		}
	}
	return s.Send("/jobs", job, s.owner)
}

// bendsOffcut bends an offcut to the first step where one is asked for, and types
// what it measures.
func (s *simulated) bendsOffcut(j simulatedJob) {
	s.Helper()
	if _, page := s.Get("/t/" + j.sheet.Code); !strings.Contains(page, "Lot "+j.pack.name+" is new") {
		return
	}
	first := j.sheet.Steps[0]
	plain, _, share := s.expected(j.part, first)
	seen := s.measures(j.by, float64(first.StopBend.Deg())-plain-share*j.pack.truth-trueMetal*s.random.NormFloat64())
	form := url.Values{"measured": {fmt.Sprintf("%.1f", seen.honest)}, "given_as": {progress.GivenBend}, "by": {j.by.initials}}
	if answer, body := s.PostForm("/t/"+j.sheet.Code+"/offcut", form); answer.StatusCode != http.StatusSeeOther {
		s.Fatalf("an offcut of %v: %d %s", seen, answer.StatusCode, body)
	}
}

type simulatedJob struct {
	part  simulatedPart
	pack  *simulatedPack
	by    *person
	sheet *traveler.Traveler
}

// bends bends a job as the page says, and logs the least.
func (s *simulated) bends(c *came, j simulatedJob) {
	for due := s.due(j.sheet.Code); due != nil; {
		step, _ := progress.StepOf(j.sheet, due.Step)
		s.answersQuestion(c, j, due.Spot)
		stop := float64(progress.StopBend(j.sheet.Brake, due.Stop).Deg())
		plain, usual, share := s.expected(j.part, step)
		back, target := plain+share*j.pack.truth+trueMetal*s.random.NormFloat64(), float64(step.Target.Deg())
		if due.Piece == 1 {
			c.first.add(stop - back - target)
			c.firstOracle.add(plain - back)
			c.firstTable.add(usual - back)
		} else {
			c.later.add(stop - back - target)
			c.laterOracle.add(plain + share*j.pack.told - back)
			c.laterTable.add(usual - back)
		}
		seen := s.measures(j.by, stop-back)
		if noise := trueMetal*trueMetal + trueMeasuring*trueMeasuring + j.by.step*j.by.step/12; !seen.wrong {
			gain := j.pack.doubt * share / (share*share*j.pack.doubt + noise)
			j.pack.told += gain * (stop - (seen.honest - j.by.bias) - plain - share*j.pack.told)
			j.pack.doubt *= 1 - gain*share
		}
		due = s.logs(j, due.Spot, seen)
		c.readings++
	}
}

// due is what the service says is next; nil when all is in.
func (s *simulated) due(code string) *progress.Due {
	_, body := s.Get("/t/" + code + "/state")
	return s.next(body)
}

// next reads what is next from an answer of the service.
func (s *simulated) next(body string) *progress.Due {
	s.Helper()
	var answer struct {
		Next *struct {
			Piece, Step int
			Stop        float64
		}
	}
	if err := json.Unmarshal([]byte(body), &answer); err != nil {
		s.Fatal(err)
	}
	if answer.Next == nil {
		return nil
	}
	return &progress.Due{Spot: progress.Spot{Piece: answer.Next.Piece, Step: answer.Next.Step}, Stop: unit.Deg(answer.Next.Stop).CentiDeg()}
}

// seen is what a protractor shows: the bend angle, what is typed of it, and
// whether it is misread.
type seen struct {
	honest, typed float64
	slip, wrong   bool
}

func (s *simulated) measures(by *person, truth float64) seen {
	v := truth + by.bias + trueMeasuring*s.random.NormFloat64()
	var out seen
	if s.random.Float64() < s.misreads {
		v += (3 + 4*s.random.Float64()) * float64(1-2*s.random.IntN(2))
		out.wrong = true
	}
	out.honest = math.Round(v/by.step) * by.step
	out.typed = out.honest
	if by.opening {
		out.typed = 180 - out.honest
	}
	if s.random.Float64() < s.slips {
		out.typed, out.slip = out.typed/10, true
	}
	return out
}

// logs posts a reading without its stop. What the service asks about is looked at
// again: a slip is typed right, an opening is given as one. It gives what is next.
func (s *simulated) logs(j simulatedJob, at progress.Spot, v seen) *progress.Due {
	s.Helper()
	post := func(measured float64, more string) (status int, body string) {
		s.ids++
		answer, body := s.PostJSON("/t/"+j.sheet.Code+"/readings", fmt.Sprintf(`{"id":"s%d","piece":%d,"step":%d,"measured":%.1f,"by":%q,"tool":%q%s}`,
			s.ids, at.Piece, at.Step, measured, j.by.initials, j.by.tool, more))
		return answer.StatusCode, body
	}
	if status, body := post(v.typed, ""); status == http.StatusCreated {
		j.by.readings++
		return s.next(body)
	}
	more := `,"confirmed":true`
	if j.by.opening {
		v.honest, more = 180-v.honest, more+`,"given_as":"opening"`
	}
	status, body := post(v.honest, more)
	if status != http.StatusCreated {
		s.Fatalf("%v of piece %d, step %d = %d %s", v, at.Piece, at.Step, status, body)
	}
	return s.next(body)
}

// answersQuestion opens the page of the bend as the phone of that person does, and
// answers what is asked of it.
func (s *simulated) answersQuestion(c *came, j simulatedJob, at progress.Spot) {
	s.Helper()
	if at.Piece != 1 && !j.by.opening {
		return
	}
	phone := []*http.Cookie{{Name: operator.InitialsCookie, Value: j.by.initials}}
	_, page := s.Get(fmt.Sprintf("/t/%s/%d?piece=%d", j.sheet.Code, at.Step, at.Piece), phone...)
	if !strings.Contains(page, "Which angle do you read?") {
		return
	}
	form := shoptest.Filled(shoptest.One(s, shoptest.Parsed(s, page), shoptest.Classed("ask")))
	form.Set("kind", store.ShowsBend)
	if j.by.opening {
		form.Set("kind", store.ShowsOpening)
		c.asked, c.latest, j.by.opening = c.asked+1, max(c.latest, j.by.readings), false
	} else {
		c.falseQuestions++
	}
	if answer, body := s.PostForm("/t/"+j.sheet.Code+"/protractor", form, phone...); answer.StatusCode != http.StatusSeeOther {
		s.Fatalf("answered: %d %s", answer.StatusCode, body)
	}
}

// looksAfterStops opens the page of the stops before a job, as an owner would who
// does what it says: the scale is put right on its day, and what is proposed is
// accepted where that is the owner's way.
func (s *simulated) looksAfterStops(c *came) {
	s.Helper()
	root, _ := s.OwnerPage(s.owner, "/review/stops")
	for _, form := range shoptest.All(root, shoptest.Named("form")) {
		fields := shoptest.Filled(form)
		switch to := shoptest.Attribute(form, "action"); {
		case to == "/review/scale" && s.shift && s.day >= shiftFrom:
			if s.day < shiftUpTo || s.right {
				continue
			}
			c.told, s.right = c.told+1, true
			fields.Set("kind", store.ScaleSet)
			s.Send(to, fields, s.owner)
			return
		case to == "/review/scale":
			c.falseAlarms++
			fields.Set("kind", store.ScaleStays)
			s.Send(to, fields, s.owner)
			return
		case to == "/review/stops" && s.accepts && fields.Get("kind") == store.DecisionAccepted:
			c.accepted++
			s.Send(to, fields, s.owner)
		}
	}
}

// A shop is run through the pages of the service by people who obey what they are
// told and type the least. The stops that are printed and told are held against
// oracles that know what no shop knows: first pieces against brake, material and
// bar, at most 1.3 times as far off (1.5 where everything goes wrong); further ones
// against all but the pack, which is learned, at most 1.25 times (1.3 where everything
// goes wrong; 1.25 is aimed at and not met there, see the guide). Never worse than
// the fixed table by more than 0.05. Nobody honest is asked about openings, in 960
// readings of each honest kind and more, and whoever logs them is within 15 of the
// readings that are so logged. In 4,000 readings no scale is said to have moved that
// stands. A plain run makes the kinds with most in them; where CI=true, or for twenty
// shops, all are.
func TestSimulatedShops(t *testing.T) {
	for _, k := range shopKinds {
		if !k.always && *shops < 20 && os.Getenv("CI") != "true" {
			continue // held to the same bounds in the room of the model, without pages
		}
		t.Run(k.name, func(t *testing.T) {
			t.Parallel()
			var c came
			for seed := range *shops {
				openSimulated(t, k, uint64(seed)).run(&c)
			}
			t.Logf("first pieces %.2f (oracle %.2f, table %.2f); further %.2f (oracle %.2f, table %.2f); %d readings, %d false alarms, %d of %d shifts told, "+
				"%d asked after %d readings at the most, %d false questions, %d proposals accepted", c.first.mean(), c.firstOracle.mean(), c.firstTable.mean(),
				c.later.mean(), c.laterOracle.mean(), c.laterTable.mean(), c.readings, c.falseAlarms, c.told, *shops, c.asked, c.latest, c.falseQuestions, c.accepted)
			k.judge(t, c)
		})
	}
}

func (k shopKind) judge(t *testing.T, c came) {
	t.Helper()
	slack, most, mostLater := 1.25, 1.3, 1.25 // few shops are held to a fourth more
	if *shops >= 20 {
		slack = 1
	}
	if k.name == "everything" {
		most, mostLater = 1.5, 1.3
	}
	if c.first.mean() > most*slack*c.firstOracle.mean() || c.later.mean() > mostLater*slack*c.laterOracle.mean() {
		t.Errorf("first pieces are %.2f times the oracle, further ones %.2f times", c.first.mean()/c.firstOracle.mean(), c.later.mean()/c.laterOracle.mean())
	}
	if c.first.mean() > c.firstTable.mean()+0.05 || c.later.mean() > c.laterTable.mean()+0.05 {
		t.Error("the fixed table is better")
	}
	if c.falseQuestions > 0 || c.falseAlarms > c.readings/4000 {
		t.Errorf("%d false questions, %d false alarms in %d readings", c.falseQuestions, c.falseAlarms, c.readings)
	}
	if k.opening && (c.asked < *shops || c.latest > 15) {
		t.Errorf("who logs openings is asked in %d of %d shops, after %d such readings at the most", c.asked, *shops, c.latest)
	}
}
