package fitting

import (
	"math"

	"brakeside/calc/brake"
	"brakeside/calc/clamp"
	"brakeside/calc/clash"
	"brakeside/calc/unit"
)

// slotted shifts a slotted bar along until every wall that stands in its way
// comes to stand in a slot; it returns why that cannot be, or nothing.
func (t *trial) slotted(w *way, bar *brake.Bar, swing *gathered, room clamp.Span) string {
	walls, rest := slottable(bar, swing)
	long := float64(t.bench.Length)
	if room.High < room.Low {
		return "does not lie on the bed and reach along the bend"
	}
	bands := []clamp.Span{room} // where the left end may be
	clear := float64(t.Plan.Brake.Clearance.Bar)
	for _, s := range rest {
		bands = meet(bands, []clamp.Span{
			{Low: s.High + clear, High: math.Inf(1)},
			{Low: math.Inf(-1), High: s.Low - clear - float64(bar.Length)},
		})
	}
	for i := 0; i < len(walls) && len(bands) > 0; i++ {
		bands = meet(bands, shifts(bar, walls[i]))
	}
	at, ok := central(roomiest(bands), (long-float64(bar.Length))/2)
	if !ok {
		return "no slots match what stands"
	}
	if swing.spans != nil {
		w.play = inBand(bands, at)
	}
	w.at, w.slots = at, slotsTaken(bar.Slots, at, walls)
	span := clamp.Span{Low: at, High: at + float64(bar.Length)}
	w.lies = span
	t.note(w, &body{name: BarName(bar), span: span, met: swing}, clamp.Gap(span, rest))
	return t.slottedInAndOut(w, span, bar, walls)
}

// slottable parts what blocks a slotted bar into walls that may stand in its
// slots and the rest. What touches along the brake is one wall.
func slottable(bar *brake.Bar, met *gathered) (walls, rest []clamp.Span) {
	for _, m := range met.spans {
		fits := m.High-m.Low <= float64(bar.Slots.Width-2*bar.Slots.Clearance)
		for _, b := range met.blocked {
			if !fits {
				break
			}
			fits = b.Low < m.Low || b.High > m.High || b.Stands && bar.Slots.Takes(unit.MM(b.Top))
		}
		if fits {
			walls = append(walls, m)
		} else {
			rest = append(rest, m)
		}
	}
	return walls, rest
}

// shifts lists where the left end of the bar may be so that a wall stands in
// one of its slots, or beside the bar.
func shifts(bar *brake.Bar, wall clamp.Span) []clamp.Span {
	s := bar.Slots
	half := float64(s.Width/2 - s.Clearance)
	out := make([]clamp.Span, 0, s.Count+2)
	out = append(out, clamp.Span{Low: wall.High + float64(s.Clearance), High: math.Inf(1)})
	for i := range s.Count {
		centre := float64(s.First) + float64(i)*float64(s.Pitch)
		out = append(out, clamp.Span{Low: wall.High - half - centre, High: wall.Low + half - centre})
	}
	return append(out, clamp.Span{Low: math.Inf(-1), High: wall.Low - float64(s.Clearance) - float64(bar.Length)})
}

// slotsTaken tells which slots of a bar that begins somewhere stand over a wall.
func slotsTaken(s brake.Slots, at float64, walls []clamp.Span) []int {
	var out []int
	for _, wall := range walls {
		for i := range s.Count {
			centre := at + float64(s.First) + float64(i)*float64(s.Pitch)
			if half := float64(s.Width / 2); wall.Low > centre-half && wall.High < centre+half {
				out = append(out, i+1)
			}
		}
	}
	return out
}

// meet gives what two lists of stretches have in common.
func meet(a, b []clamp.Span) []clamp.Span {
	var out []clamp.Span
	for _, s := range a {
		for _, o := range b {
			if low, high := max(s.Low, o.Low), min(s.High, o.High); low <= high {
				out = append(out, clamp.Span{Low: low, High: high})
			}
		}
	}
	return out
}

// roomiest narrows stretches to where there is room to place the bar by eye, or to
// their middle where none has so much.
func roomiest(bands []clamp.Span) []clamp.Span {
	var roomy, middles []clamp.Span
	for _, s := range bands {
		if low, high := s.Low+float64(brake.RoomByEye), s.High-float64(brake.RoomByEye); low <= high {
			roomy = append(roomy, clamp.Span{Low: low, High: high})
		}
		middles = append(middles, clamp.Span{Low: (s.Low + s.High) / 2, High: (s.Low + s.High) / 2})
	}
	if roomy == nil {
		return middles
	}
	return roomy
}

// inBand is how far a place lies inside the stretch it is in.
func inBand(bands []clamp.Span, at float64) float64 {
	most := 0.0
	for _, s := range bands {
		most = max(most, min(at-s.Low, s.High-at))
	}
	return most
}

// central gives the place in the stretches that is nearest to one wanted.
func central(bands []clamp.Span, wanted float64) (float64, bool) {
	best, off := 0.0, math.Inf(1)
	for _, s := range bands {
		at := min(max(wanted, s.Low), s.High)
		if d := math.Abs(at - wanted); d < off {
			best, off = at, d
		}
	}
	return best, !math.IsInf(off, 1)
}

// slottedInAndOut asks for the way in and out: walls in slots do not hinder
// lifting, but they do hinder sliding along. It returns what hinders, or nothing.
func (t *trial) slottedInAndOut(w *way, span clamp.Span, bar *brake.Bar, walls []clamp.Span) string {
	if walls == nil {
		return t.trapped(w, span)
	}
	free := func(q clash.Question) bool {
		for over := range t.onBar(w.bar, q).drawnBack {
			_, rest := slottable(bar, over)
			if clamp.Free(span, rest, 0) {
				return true
			}
		}
		return false
	}
	if !free(clash.LiftIn) || !free(clash.LiftOut) {
		return "trapped, it cannot be lifted past what stands over it"
	}
	return ""
}
