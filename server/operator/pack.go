package operator

import (
	"context"
	"math"

	"brakeside/calc/learn"
	"brakeside/calc/unit"
	"brakeside/server/lessons"
	"brakeside/server/store"
	"brakeside/traveler/progress"
)

// dueAt says what to do about a bend, with the stop that this job's readings of the
// step advise, or else those of the same pack.
func (s *Section) dueAt(ctx context.Context, b bendRequest) progress.Due {
	due := progress.DueAt(b.job, b.spot)
	if stop, why := s.packStop(ctx, b); why != "" && due.Do == progress.DoBend {
		due.Stop, due.Why = stop, why
	}
	return due
}

// packStop proposes another stop than the printed one, on the brake's scale, for
// the first bend of a step, from what other bends told of this very pack. What is
// known of the material alone is for the owner to accept; see the page of the
// stops. The reason is empty when nothing is told or the printed stop is right.
func (s *Section) packStop(ctx context.Context, b bendRequest) (scale unit.CentiDeg, why string) {
	t := b.kept.Traveler
	step, found := progress.StepOf(t, b.spot.Step)
	if !found {
		return 0, ""
	}
	pack := "sheet " + t.Code
	for _, r := range progress.Counted(b.job) {
		if r.Step == b.spot.Step && r.Teaches() {
			return 0, "" // the step tells of itself
		}
		if r.Pack != "" {
			pack = r.Pack
		}
	}
	a, known, err := s.book.Next(ctx, lessons.Ask{Angle: step.Target, Pack: pack, Cell: store.CellKey{
		Material: t.Part.MaterialID, Thickness: t.Part.Thickness, Radius: lessons.RadiusOf(t, step.Number), Brake: t.Brake.Name, Bar: step.Bar,
	}})
	if err != nil {
		s.Log.Warn("no advice from the log", "error", err)
		return 0, ""
	}
	change := a.Stop - step.StopBend.Deg()
	if !known || a.Basis != learn.OfPack || math.Abs(float64(change)) < float64(learn.LeastChange) {
		return 0, ""
	}
	move := unit.Deg(math.Max(-float64(learn.MostChange), math.Min(float64(learn.MostChange), float64(change))))
	stop := step.StopBend + move.CentiDeg()
	if t.Brake.MaxAngle > 0 {
		stop = min(stop, t.Brake.MaxAngle)
	}
	return progress.StopOnScale(t.Brake, stop), a.From
}
