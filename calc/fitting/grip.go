package fitting

import (
	"brakeside/calc/bend"
	"brakeside/calc/brake"
	"brakeside/calc/unit"
)

// held is how the magnet holds the bar of a way.
func (t *trial) held(w *way) bend.HoldState {
	if w.leaf == brake.Slim {
		return t.holds[t.op][t.side][w.bar][1]
	}
	return t.holds[t.op][t.side][w.bar][0]
}

// Grip is how the bar of a chosen way is held down, and what would hold it better.
type Grip struct {
	bend.Hold
	PackEnds bool    // the bar rests on packing at its ends, and pulls along all its length
	Depth    unit.MM // of another bar that no longer lifts; 0 where the bed is too shallow for one
	Length   unit.MM // of the longest bend under this bar that holds once its ends are packed; 0 under fingers
}

// grip works it out; all zero where no magnet holds the bar.
func (t *trial) grip(w *way) Grip {
	bar := &t.Plan.Brake.Bars[w.bar]
	out := Grip{PackEnds: restsOnPacking(bar, t.bench.Length)}
	c := clampedUnder(t.Plan, t.bench, bar, w.leaf)
	if c.Pressure == 0 {
		return out
	}
	out.Hold = c.Hold()
	if deep := c.LeastDepth(); deep <= t.Plan.Brake.Bed.Depth {
		out.Depth = deep
	}
	if bar.Kind != brake.Segments {
		out.Length = bar.Length * unit.MM(out.Limit/max(c.Share, 1)/out.NoseLoad)
	}
	return out
}
