package lessons

import (
	"context"
	"reflect"
	"slices"
	"time"

	"brakeside/calc/brake"
	"brakeside/server/store"
	"brakeside/traveler"
	"brakeside/traveler/progress"
)

// Pace is how long a job took beside how long it was planned to take.
type Pace struct {
	Code, Job, Part, Brake string
	Issued                 time.Time
	Planned, Actual        float64 // minutes a piece, without the first setting up
	Bends                  int     // bends that the actual minutes stand for
	Pauses                 int     // gaps that were left out
}

// Ratio is actual over planned.
func (p Pace) Ratio() float64 { return p.Actual / p.Planned }

// The figures behind a pace. Common practice, no source.
const (
	longestGap   = 15 * time.Minute // a longer one is a pause: lunch, another job, the night
	leastPace    = 0.2              // of the plan; a faster job was logged afterwards, not as it was made
	leastBends   = 10               // fewer say nothing of a job
	leastSheets  = 3                // fewer say nothing of a brake
	sheetsLooked = 200              // newest sheets that are looked at
	leastOff     = 0.1              // a ratio nearer to 1, or to a refused one, is not worth a change
	mostTimes    = 2.0              // handling minutes are at most doubled or halved at once
)

// Paces lists the jobs of a choice whose readings tell how long they took, the
// last made first.
func (b *Book) Paces(ctx context.Context, c store.Choice) ([]Pace, error) {
	codes, err := b.from.SheetsOf(ctx, c, sheetsLooked)
	if err != nil {
		return nil, err
	}
	kept, err := b.keptBrakes(ctx)
	if err != nil {
		return nil, err
	}
	var out []Pace
	for _, code := range codes {
		sheet, err := b.from.TravelerByCode(ctx, code)
		if err != nil {
			return nil, err
		}
		readings, err := b.from.Readings(ctx, code)
		if err != nil {
			return nil, err
		}
		p := paceOf(sheet.Traveler, readings)
		// The first setting up is over before the first reading comes in.
		p.Planned -= kept[p.Brake].Minutes.FirstSetup / float64(max(1, sheet.Traveler.Quantity))
		if p.Bends >= leastBends && p.Planned > 0 && p.Ratio() >= leastPace {
			out = append(out, p)
		}
	}
	return out, nil
}

// paceOf adds up the gaps between readings, each over the bends made in it. The
// time of a reading is the phone's where it gave one, for a reading may be sent
// late; measuring and logging are in it.
func paceOf(t *traveler.Traveler, readings []progress.Reading) Pace {
	p := Pace{Code: t.Code, Job: t.Job, Part: t.Part.Number, Brake: t.Brake.Name, Planned: float64(t.Minutes) / 100}
	p.Issued, _ = time.Parse(time.RFC3339, t.IssuedAt) // the zero time is before every change
	strokes := strokesOf(t, readings)
	var minutes float64
	furthest := 0
	for i, s := range strokes {
		bends := s.number - furthest
		furthest = max(furthest, s.number)
		if i == 0 || bends <= 0 { // measured again, or out of order
			continue
		}
		if gap := s.at.Sub(strokes[i-1].at); gap > longestGap {
			p.Pauses++
		} else {
			minutes += gap.Minutes()
			p.Bends += bends
		}
	}
	if p.Bends > 0 {
		p.Actual = minutes / float64(p.Bends) * float64(len(t.Steps))
	}
	return p
}

// stroke is a bend by its time and by how many bends of the job were made with
// it.
type stroke struct {
	at     time.Time
	number int
}

// strokesOf puts the bends in the order of their times and numbers them in the
// order of the run: of the sheet's, or of the other where the readings follow
// that one better, for not every shop runs a job as it is planned.
func strokesOf(t *traveler.Traveler, readings []progress.Reading) []stroke {
	other := traveler.ByStep
	if t.Run == traveler.ByStep {
		other = traveler.ByPiece
	}
	planned, otherwise := numbered(t, t.Run, readings), numbered(t, other, readings)
	if steppedBack(otherwise) < steppedBack(planned) {
		return otherwise
	}
	return planned
}

func numbered(t *traveler.Traveler, run string, readings []progress.Reading) []stroke {
	var out []stroke
	as := *t
	as.Run = run
	for _, r := range progress.Counted(progress.Job{Traveler: t, Readings: readings}) {
		if at, known := madeAt(r); known && r.State == progress.StateAsBent {
			out = append(out, stroke{at, bendNumber(&as, r)})
		}
	}
	slices.SortStableFunc(out, func(a, b stroke) int { return a.at.Compare(b.at) })
	return out
}

// steppedBack counts the bends that come before the one logged before them.
func steppedBack(strokes []stroke) (n int) {
	for i := 1; i < len(strokes); i++ {
		if strokes[i].number < strokes[i-1].number {
			n++
		}
	}
	return n
}

func madeAt(r progress.Reading) (time.Time, bool) {
	for _, text := range []string{r.At, r.Received} {
		if at, err := time.Parse(time.RFC3339, text); err == nil {
			return at, true
		}
	}
	return time.Time{}, false
}

// bendNumber counts the bends of the job up to and with this one. The first
// piece is made whole in either run.
func bendNumber(t *traveler.Traveler, r progress.Reading) int {
	if t.Run == traveler.ByPiece || r.Piece == 1 {
		return (r.Piece-1)*len(t.Steps) + r.Step
	}
	return len(t.Steps) + (r.Step-1)*(t.Quantity-1) + r.Piece - 1
}

// keptBrake is a brake as it is kept now.
type keptBrake struct {
	brake.Minutes
	store.Revision
	since time.Time // from when on sheets are planned by these minutes
}

// keptBrakes reads the brakes that are kept, by name.
func (b *Book) keptBrakes(ctx context.Context) (map[string]keptBrake, error) {
	newest, err := b.from.Newest(ctx, store.Brakes)
	if err != nil {
		return nil, err
	}
	out := map[string]keptBrake{}
	for _, r := range newest {
		k, err := brake.Read(r.JSON)
		if err != nil {
			continue // a brake that can no longer be read plans nothing
		}
		history, err := b.from.History(ctx, store.Brakes, r.Name)
		if err != nil {
			return nil, err
		}
		out[k.Name] = keptBrake{k.Minutes, r, sameSince(k.Minutes, history)}
	}
	return out, nil
}

// sameSince finds when the minutes of a brake were last others; the zero time
// when they never were. Its history comes newest first.
func sameSince(now brake.Minutes, history []store.Revision) time.Time {
	for i, r := range history {
		k, err := brake.Read(r.JSON)
		if err != nil || !reflect.DeepEqual(k.Minutes, now) {
			return history[max(0, i-1)].Created
		}
	}
	return time.Time{}
}
