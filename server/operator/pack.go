package operator

import (
	"context"
	"fmt"
	"math"

	"brakeside/calc/learn"
	"brakeside/calc/unit"
	"brakeside/server/lessons"
	"brakeside/server/store"
	"brakeside/traveler/progress"
)

// packHint proposes another stop than the printed one for the first bend of a
// step, from what other bends told of this very pack. What is known of the
// material alone is for the owner to accept; see the page of the stops. It is
// empty when nothing is told or the printed stop is right.
func (s *Section) packHint(ctx context.Context, b bendRequest) string {
	t := b.kept.Traveler
	step, found := progress.StepOf(t, b.spot.Step)
	if !found {
		return ""
	}
	pack := "sheet " + t.Code
	for _, r := range progress.Counted(b.job) {
		if r.Step == b.spot.Step && r.Teaches() {
			return "" // the step tells of itself
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
		return ""
	}
	change := a.Stop - step.StopBend.Deg()
	if !known || a.Basis != learn.OfPack || math.Abs(float64(change)) < float64(learn.LeastChange) {
		return ""
	}
	move := unit.Deg(math.Max(-float64(learn.MostChange), math.Min(float64(learn.MostChange), float64(change))))
	stop := step.StopBend + move.CentiDeg()
	if t.Brake.MaxAngle > 0 {
		stop = min(stop, t.Brake.MaxAngle)
	}
	return fmt.Sprintf("Instead of the printed stop, set the stop at %s (%s).", progress.StopOnScale(t.Brake, stop).Text(1), a.From)
}
