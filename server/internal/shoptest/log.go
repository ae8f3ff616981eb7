package shoptest

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"net/http"
	"testing"
	"time"

	"brakeside/calc/bend"
	"brakeside/calc/brake"
	"brakeside/calc/unit"
	"brakeside/server/lessons"
	"brakeside/server/store"
	"brakeside/traveler"
	"brakeside/traveler/standing"
)

// BendMany bends the first step of so many further pieces of a sheet at the
// printed stop and logs them, each so far from its target.
func (s *Shop) BendMany(code string, errors ...float64) {
	s.Helper()
	job, err := s.Store.Progress(context.Background(), code)
	if err != nil {
		s.Fatal(err)
	}
	step, piece := job.Traveler.Steps[0], 0
	for _, r := range job.Readings {
		piece = max(piece, r.Piece)
	}
	for i, e := range errors {
		s.Record(code, fmt.Sprintf(`{"id":"%s-%d-%d","piece":%d,"step":%d,"measured":%.1f,"stop":%.2f,"by":"AB","confirmed":true}`,
			code[:5], s.Now().Unix(), i, piece+i+1, step.Number, float64(step.Target.Deg())+e, float64(step.Stop.Deg())))
	}
}

// Wave is a row of errors about a mean that no rule finds odd: the scatter of a
// seeded chance.
func Wave(count int, mean float64) []float64 {
	random := rand.New(rand.NewPCG(4, 3))
	out := make([]float64, count)
	for i := range out {
		out[i] = math.Round(10*(mean+0.3*random.NormFloat64())) / 10
	}
	return out
}

// LetGo lets the run of a sheet go on whatever the first piece is.
func (s *Shop) LetGo(codes ...string) {
	for _, code := range codes {
		s.Decide(code, standing.Released, "a trial")
	}
}

// IssuedStep gives the first step of an issued sheet.
func (s *Shop) IssuedStep(code string) traveler.Step {
	s.Helper()
	kept, err := s.Store.TravelerByCode(context.Background(), code)
	if err != nil {
		s.Fatal(err)
	}
	return kept.Traveler.Steps[0]
}

// BentFlat issues sheets of a part of its own by FlatOn, and gives the part and the
// first sheet.
func (s *Shop) BentFlat(session *http.Cookie) (part, code string) {
	part = s.MakeReady(ExampleOf("l", "LP-1", "A"), session)
	return part, s.FlatOn(part, 3, session)
}

// FlatOn issues four sheets of a part, from lots of their own, and then bends so many
// pieces of each, which come out two degrees flat; it gives the first sheet.
func (s *Shop) FlatOn(part string, pieces int, session *http.Cookie) (code string) {
	var issued []string
	for n := range 4 {
		issued = append(issued, s.IssueFor(part, fmt.Sprintf("J-1%c", 'a'+n), session))
	}
	for _, code := range issued {
		s.LetGo(code)
		s.Decide(code, standing.Requantified, "40")
		s.BendMany(code, Wave(pieces, -2)...)
	}
	return issued[0]
}

// Many is a shop with enough readings of one group for every figure.
func Many(t testing.TB) (*Shop, *http.Cookie) {
	s := OpenShop(t)
	s.LetGo(ChannelCode)
	s.Decide(ChannelCode, standing.Requantified, "90")
	s.BendMany(ChannelCode, Wave(40, 0.1)...)
	s.Record(ChannelCode, `{"id":"other-angle","piece":80,"step":1,"measured":134.6,"confirmed":true}`)
	s.Record(ChannelCode, `{"id":"lifted","piece":81,"step":1,"measured":46,"flags":["bar-lifted"],"confirmed":true}`)
	s.Record(ChannelCode, `{"id":"rework","piece":82,"step":1,"measured":45,"state":"reworked","confirmed":true}`)
	return s, s.Owner()
}

// Strips bends so many trial strips that use up more than the textbook says.
func (s *Shop) Strips(count int) {
	s.Helper()
	for i := range count {
		strip := store.Trial{
			Material: "mild-steel", Thickness: 1500, Pack: fmt.Sprint(i), Strip: 100_000, Legs: [2]unit.Micron{51_500, 51_200},
			Angle: 9000, StopBend: 9150, Radius: 1500, By: "AB",
		}
		if err := s.Store.AddTrial(context.Background(), strip); err != nil {
			s.Fatal(err)
		}
	}
}

// Ks are the K-factors that the shop measured or accepted.
func (s *Shop) Ks() []bend.Calibration {
	s.Helper()
	figures, err := lessons.FiguresOf(context.Background(), s.Store)
	if err != nil {
		s.Fatal(err)
	}
	return figures.Calibrations
}

// HandlingNow reads the handling minutes of a brake as kept, and how many
// versions there are.
func (s *Shop) HandlingNow(name string) (brake.Minutes, int) {
	s.Helper()
	history, err := s.Store.History(context.Background(), store.Brakes, name)
	if err != nil || len(history) == 0 {
		s.Fatalf("History(%s) = %d, %v", name, len(history), err)
	}
	b, err := brake.Read(history[0].JSON)
	if err != nil {
		s.Fatal(err)
	}
	return b.Minutes, len(history)
}

// SlowJobs makes three jobs of twelve bends that take so many times the minutes
// planned.
func (s *Shop) SlowJobs(part string, times float64, session *http.Cookie) (brakeName string) {
	s.Helper()
	for range 3 {
		code := s.IssueFor(part, fmt.Sprintf("J-%d", s.Now().Unix()), session)
		kept, err := s.Store.TravelerByCode(context.Background(), code)
		if err != nil {
			s.Fatal(err)
		}
		sheet := kept.Traveler
		s.LetGo(code)
		s.Decide(code, standing.Requantified, "40")
		minutes, _ := s.HandlingNow(sheet.Brake.Name)
		planned := float64(sheet.Minutes)/100 - minutes.FirstSetup/float64(sheet.Quantity)
		each := time.Duration(times * planned / float64(len(sheet.Steps)) * float64(time.Minute))
		for piece := range 12 {
			s.Later(each)
			s.Record(code, fmt.Sprintf(`{"id":"%s-%d","piece":%d,"step":1,"measured":%s,"confirmed":true}`,
				code[:7], piece, piece+1, sheet.Steps[0].Target.Text(1)))
		}
		brakeName = sheet.Brake.Name
		s.Later(time.Hour)
	}
	return brakeName
}
