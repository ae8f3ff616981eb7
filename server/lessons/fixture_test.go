package lessons

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"brakeside/calc/figures"
	"brakeside/calc/unit"
	"brakeside/server/store"
	"brakeside/traveler"
	"brakeside/traveler/progress"
	"brakeside/traveler/standing"
)

var noon = time.Date(2026, 5, 4, 12, 0, 0, 0, time.UTC)

// bench is a store with a clock, on which sheets are issued and bent.
type bench struct {
	testing.TB
	*store.Store
	time   time.Time
	sheets int
	logged int
	random *rand.Rand
}

func newBench(t testing.TB) *bench {
	t.Helper()
	b := &bench{TB: t, time: noon, random: rand.New(rand.NewPCG(1, 1))}
	var err error
	if b.Store, err = store.Open(t.TempDir(), func() time.Time { return b.time }); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := b.Store.Close(); err != nil {
			t.Error(err)
		}
	})
	return b
}

// textbook is a shop that has settled nothing.
func textbook(context.Context) (figures.Shop, error) { return figures.Shop{}, nil }

func (b *bench) book() *Book { return NewBook(b.Store, textbook) }

// sheet is one issued sheet: a bend of 90 degrees and one of 45 in 1.5 mm.
type sheet struct {
	*traveler.Traveler
	bent *[2]int // pieces of each step
}

// issue puts out a sheet printed with a springback at 90 degrees, half of it at
// 45.
func (b *bench) issue(material string, printed unit.CentiDeg) sheet {
	b.Helper()
	b.sheets++
	step := func(number int, target, springback unit.CentiDeg) traveler.Step {
		return traveler.Step{Number: number, Bend: fmt.Sprintf("b%d", number), Target: target, Tolerance: 100, Stop: target + springback, StopBend: target + springback, Springback: springback, Bar: "wide"}
	}
	t := &traveler.Traveler{
		Form: traveler.Form, Code: fmt.Sprintf("abcdefghjkm%06d", b.sheets), Job: fmt.Sprintf("J-%d", b.sheets), Quantity: 40, Run: traveler.ByStep, Minutes: 200,
		IssuedAt: b.time.Format(time.RFC3339), IssuedBy: "owner",
		Part:  traveler.Part{Number: "TR-7", Revision: "A", MaterialID: material, Thickness: 1500, InsideRadius: 1500},
		Brake: traveler.Brake{Name: "north", Reads: "bend", MaxAngle: 13000},
		Blank: traveler.Blank{Lines: []traveler.BendLine{{Bend: "b1", Step: 1, Radius: 1500}, {Bend: "b2", Step: 2, Radius: 1500}}},
		Steps: []traveler.Step{step(1, 9000, printed), step(2, 4500, printed/2)},
	}
	snapshot, err := traveler.Encode(t)
	if err != nil {
		b.Fatal(err)
	}
	ctx := context.Background()
	if err := b.AddJob(ctx, store.Job{Number: t.Job, Part: "TR-7", Revision: "A", Quantity: 40, Brake: "north"}); err != nil {
		b.Fatal(err)
	}
	if err := b.KeepTraveler(ctx, store.Issued{Traveler: t, Snapshot: snapshot, PDF: []byte("%PDF")}); err != nil {
		b.Fatal(err)
	}
	if err := b.AddEvent(ctx, store.Event{Code: t.Code, Kind: standing.Released, Detail: "seen"}); err != nil {
		b.Fatal(err)
	}
	return sheet{Traveler: t, bent: new([2]int)}
}

// log logs one bend of a piece as it was measured, made at the printed stop unless more says
// where.
func (b *bench) log(s sheet, piece, step int, measured float64, more string) string {
	b.Helper()
	b.logged++
	id := fmt.Sprintf("r%d", b.logged)
	if !strings.Contains(more, `"stop"`) {
		more += fmt.Sprintf(`,"stop":%.2f`, float64(s.Steps[step-1].Stop.Deg()))
	}
	body := fmt.Sprintf(`{"id":%q,"piece":%d,"step":%d,"measured":%.2f,"confirmed":true%s}`, id, piece, step, measured, more)
	r, err := progress.ReadReading([]byte(body))
	if err != nil {
		b.Fatal(err)
	}
	if _, err := b.AddReading(context.Background(), store.Posted{Code: s.Code, Reading: r, Body: []byte(body)}, progress.Judge); err != nil {
		b.Fatalf("%s: %v", body, err)
	}
	return id
}

// bend bends a step of so many further pieces with a true springback, and logs
// them with the scatter of a protractor read to half a degree.
func (b *bench) bend(s sheet, step, pieces int, springback float64) {
	b.Helper()
	for piece := range pieces {
		made := float64(s.Steps[step-1].StopBend.Deg()) - springback + 0.3*b.random.NormFloat64()
		b.log(s, s.bent[step-1]+piece+1, step, math.Round(2*made)/2, "")
	}
	s.bent[step-1] += pieces
}

// steady bends another material that stays as it was: what moves beside it is not
// the scale.
func (b *bench) steady() {
	b.Helper()
	b.bend(b.issue("304", 400), 1, 10, 4)
}

var cellWide = store.CellKey{Material: "mild-steel", Thickness: 1500, Radius: 1500, Brake: "north", Bar: "wide"}
