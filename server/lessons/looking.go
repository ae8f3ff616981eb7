package lessons

import (
	"context"
	"math"
	"time"

	"brakeside/calc/learn"
	"brakeside/calc/unit"
	"brakeside/server/store"
)

// Errors are the angle errors of some readings.
type Errors struct {
	N         int
	Mean      unit.Deg
	MeanSize  unit.Deg // of the error without its sign
	Spread    unit.Deg
	sum, size float64
	squares   float64
}

func (e *Errors) add(off unit.Deg) {
	v := float64(off)
	e.N, e.sum, e.size, e.squares = e.N+1, e.sum+v, e.size+math.Abs(v), e.squares+v*v
	n := float64(e.N)
	e.Mean, e.MeanSize = unit.Deg(e.sum/n), unit.Deg(e.size/n)
	if e.N > 1 {
		e.Spread = unit.Deg(math.Sqrt(max(0, e.squares-e.sum*e.sum/n) / (n - 1)))
	}
}

// Change is a decision that changed a printed stop, and the errors of the bends
// printed before it and after it: the first pieces of sheets, which are bent to
// the printed stop.
type Change struct {
	store.Decision
	Before, After Errors
	Current       bool // it is what sheets are printed with now
}

// mostBeside is how many readings of a cell are looked at for a change.
const mostBeside = 2000

// Changes lists the changes, the newest first.
func (b *Book) Changes(ctx context.Context) (out []Change, err error) {
	all, err := b.from.Decisions(ctx)
	if err != nil {
		return nil, err
	}
	h := historyOf(all)
	d, err := newDesk(ctx, b.from, b.figures)
	if err != nil {
		return nil, err
	}
	for i := len(all) - 1; i >= 0; i-- {
		if all[i].Kind == store.DecisionRefused {
			continue
		}
		c := Change{Decision: all[i], Current: h.now(all[i].Cell) != nil && h.now(all[i].Cell).Seq == all[i].Seq}
		from, to := neighbours(all, i)
		if err := d.beside(&c, from, to); err != nil {
			return nil, err
		}
		out = append(out, c)
	}
	return out, nil
}

// neighbours are the times of the changes of the same cell before and after one:
// only the sheets between them say something of it.
func neighbours(all []store.Decision, at int) (from, to time.Time) {
	for i, d := range all {
		switch {
		case d.Cell != all[at].Cell || d.Kind == store.DecisionRefused || i == at:
		case i < at:
			from = d.At
		case to.IsZero():
			to = d.At
		}
	}
	return from, to
}

// beside adds up the errors on either side of a change. A sheet belongs to the
// side on which it was issued.
func (d *desk) beside(c *Change, from, to time.Time) error {
	k := c.Cell
	samples, err := d.from.Chosen(d.ctx, store.Choice{Material: k.Material, Thickness: k.Thickness, Bar: k.Bar, Brake: k.Brake}, mostBeside)
	if err != nil {
		return err
	}
	for _, x := range samples {
		key, err := d.key(x)
		if err != nil {
			return err
		}
		if key != k || x.Reading.Piece != 1 {
			continue
		}
		sheet, err := d.sheet(x.Code)
		if err != nil {
			return err
		}
		issued, err := time.Parse(time.RFC3339, sheet.IssuedAt)
		if err != nil {
			continue // nobody knows on which side it belongs
		}
		switch off := x.Reading.Error.Deg(); {
		case !issued.Before(c.At) && (to.IsZero() || issued.Before(to)):
			c.After.add(off)
		case issued.Before(c.At) && !issued.Before(from):
			c.Before.add(off)
		}
	}
	return nil
}

// Replayed is how well past readings would have been foretold.
type Replayed struct {
	All       learn.Score
	Materials []MaterialScore
	Courses   []learn.Score // by stretches of a hundred readings, oldest first
	Moved     int           // alarms
}

// MaterialScore is the score of one material.
type MaterialScore struct {
	Material string
	learn.Score
}

// mostReplayed bounds a replay, so that a page does not take long.
const mostReplayed = 5000

// stretch is how many readings a point of the course stands for.
const stretch = 100

// Replay goes through the newest readings of the log, telling each from earlier
// ones only, and scores those of a choice.
func (b *Book) Replay(ctx context.Context, c store.Choice) (Replayed, error) {
	d, err := newDesk(ctx, b.from, b.figures)
	if err != nil {
		return Replayed{}, err
	}
	from, err := b.from.LessonsFrom(ctx, mostReplayed)
	if err != nil {
		return Replayed{}, err
	}
	samples, err := b.from.LessonsAfter(ctx, from, mostReplayed)
	if err != nil {
		return Replayed{}, err
	}
	var readings []learn.Reading
	var chosen []bool
	for _, x := range samples {
		r, _, known, err := d.reading(x)
		if err != nil {
			return Replayed{}, err
		}
		if known {
			readings, chosen = append(readings, r), append(chosen, matches(x, c))
		}
	}
	return scored(readings, learn.Replay(learn.Usual, readings), chosen), nil
}

// matches reports whether a reading is of a choice; its day is that of receipt.
func matches(x store.Sample, c store.Choice) bool {
	day := x.Reading.Received[:min(len(x.Reading.Received), len(time.DateOnly))]
	return day >= c.From && (c.To == "" || day <= c.To) && (c.Part == "" || c.Part == x.Part) && (c.Job == "" || c.Job == x.Job) &&
		(c.Material == "" || c.Material == x.Material) && (c.Brake == "" || c.Brake == x.Brake) && (c.Bar == "" || c.Bar == x.Bar) &&
		(c.Thickness == 0 || c.Thickness == x.Thickness)
}

func scored(readings []learn.Reading, told []learn.Told, chosen []bool) Replayed {
	var out Replayed
	var all, course []learn.Told
	byMaterial := map[string][]learn.Told{}
	var order []string
	for i, t := range told {
		if !chosen[i] {
			continue
		}
		id := readings[i].Sheet.Material.ID
		if byMaterial[id] == nil {
			order = append(order, id)
		}
		all, byMaterial[id], course = append(all, t), append(byMaterial[id], t), append(course, t)
		out.Moved += t.Moved * t.Moved
		if len(course) == stretch {
			out.Courses, course = append(out.Courses, learn.Scored(course)), nil
		}
	}
	out.All = learn.Scored(all)
	for _, id := range order {
		out.Materials = append(out.Materials, MaterialScore{id, learn.Scored(byMaterial[id])})
	}
	return out
}
