package lessons

import (
	"context"
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
	Planned, Actual        float64 // minutes a piece
	Bends                  int     // bends that the actual minutes stand for
	Pauses                 int     // gaps that were left out
}

// Ratio is actual over planned.
func (p Pace) Ratio() float64 { return p.Actual / p.Planned }

// The figures behind a pace. Common practice, no source.
const (
	longestGap   = 15 * time.Minute // a longer one is a pause: lunch, another job, the night
	leastBends   = 10               // fewer say nothing of a job
	leastSheets  = 3                // fewer say nothing of a brake
	sheetsLooked = 200              // newest sheets that are looked at
)

// Paces lists the jobs of a choice whose readings tell how long they took, the
// last made first.
func (b *Book) Paces(ctx context.Context, c store.Choice) ([]Pace, error) {
	codes, err := b.from.SheetsOf(ctx, c, sheetsLooked)
	if err != nil {
		return nil, err
	}
	var out []Pace
	for _, code := range codes {
		kept, err := b.from.TravelerByCode(ctx, code)
		if err != nil {
			return nil, err
		}
		readings, err := b.from.Readings(ctx, code)
		if err != nil {
			return nil, err
		}
		if p := paceOf(kept.Traveler, readings); p.Bends >= leastBends && p.Planned > 0 {
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
	type stroke struct {
		at     time.Time
		number int // of bends made up to it, in the order of the run
	}
	var strokes []stroke
	for _, r := range progress.Counted(progress.Job{Traveler: t, Readings: readings}) {
		if at, known := madeAt(r); known && r.State == progress.StateAsBent {
			strokes = append(strokes, stroke{at, bendNumber(t, r)})
		}
	}
	slices.SortStableFunc(strokes, func(a, b stroke) int { return a.at.Compare(b.at) })
	var minutes float64
	for i := 1; i < len(strokes); i++ {
		gap, bends := strokes[i].at.Sub(strokes[i-1].at), strokes[i].number-strokes[i-1].number
		switch {
		case bends <= 0: // measured again, or out of order
		case gap > longestGap:
			p.Pauses++
		default:
			minutes += gap.Minutes()
			p.Bends += bends
		}
	}
	if p.Bends > 0 {
		p.Actual = minutes / float64(p.Bends) * float64(len(t.Steps))
	}
	return p
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

// Handling is what the paces of a brake say of its handling minutes.
type Handling struct {
	Brake  string
	Sheets int
	Ratio  float64 // the middle one of its paces
	Now    brake.Minutes
	Known  bool // the brake is kept, so that Now is known
}

// Proposed scales a figure by what was measured.
func (h Handling) Proposed(minutes float64) float64 { return minutes * h.Ratio }

// Handlings sums the paces up brake by brake, for brakes with enough of them, in
// the order of first mention.
func (b *Book) Handlings(ctx context.Context, paces []Pace) ([]Handling, error) {
	ratios := map[string][]float64{}
	var order []string
	for _, p := range paces {
		if ratios[p.Brake] == nil {
			order = append(order, p.Brake)
		}
		ratios[p.Brake] = append(ratios[p.Brake], p.Ratio())
	}
	kept, err := b.from.Newest(ctx, store.Brakes)
	if err != nil {
		return nil, err
	}
	var out []Handling
	for _, name := range order {
		all := ratios[name]
		if len(all) < leastSheets {
			continue
		}
		slices.Sort(all)
		h := Handling{Brake: name, Sheets: len(all), Ratio: (all[(len(all)-1)/2] + all[len(all)/2]) / 2}
		for _, r := range kept {
			if k, err := brake.Read(r.JSON); err == nil && k.Name == name {
				h.Now, h.Known = k.Minutes, true
			}
		}
		out = append(out, h)
	}
	return out, nil
}
