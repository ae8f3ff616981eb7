package clash

import (
	"math"

	"brakeside/calc/bend"
	"brakeside/calc/brake"
	"brakeside/calc/geom"
	"brakeside/calc/unit"
)

// stop is where the leaf stops, as a bend angle.
func (s Setting) stop() unit.Deg { return s.firstBend().Angle + s.Overbend }

// firstBend is the arithmetic of the bends, which is the same for all.
func (s Setting) firstBend() bend.Bend { return s.Blank.Joints[s.Joints[0]].Bend }

// over is the round bar that the bend is made over, or nil: bars with an edge
// and round ones are never offered for the same bend, nor round ones of different
// radius.
func (s Setting) over() *brake.Bar {
	if len(s.Bars) == 0 || s.Brake.Bars[s.Bars[0]].Kind != brake.Round {
		return nil
	}
	return &s.Brake.Bars[s.Bars[0]]
}

// noseSetback is how far behind the hinge the nose of a bar stands for a stop.
func (s Setting) noseSetback(bar brake.Bar, stop unit.Deg) float64 {
	first := s.firstBend()
	return float64(s.Brake.NoseSetbackFor(bar, first.Radius, first.Thickness, stop))
}

// clampedTangent is how far behind the hinge the bend begins. Up to a right angle
// that is its outside setback, so that the outer faces of both legs meet on the
// hinge when it is finished, and beyond no more than there. Over a round bar it is
// under the bar's axis, where the metal leaves the bed: the same outside setback,
// of the radius and the angle that the bend has under load.
func (s Setting) clampedTangent() float64 {
	if bar := s.over(); bar != nil {
		return s.noseSetback(*bar, s.stop()) + float64(bar.Gauged().Behind)
	}
	first := s.firstBend()
	return float64(min(first.OutsideSetback(), first.Radius+first.Thickness))
}

// metalRoom is how much of the sheet's thickness is left out when the metal on the
// leaf turns past a bar: at the stop it touches the nose, and what is nearer than
// this to touching decide calls a hit.
const metalRoom = Step/2 + geom.Near

// LeafPasses reports whether the leaf in one of its forms can turn to the stop
// past a bar, neither striking it nor squeezing the metal that lies on it.
func (b *Bench) LeafPasses(bar int, form brake.Slimness) bool {
	past := &b.past[bar][formIndex(form)]
	if !past.known {
		past.known, past.free = true, b.passes(&b.Brake.Bars[bar], form, b.stop())
	}
	return past.free
}

// MostStop is the largest whole degree at which the leaf, stopped there instead,
// would pass a bar; 0 if it never does.
func (b *Bench) MostStop(bar int, form brake.Slimness) unit.Deg {
	stop := unit.Deg(math.Ceil(float64(b.stop()))) - 1
	for stop > 0 && !b.passes(&b.Brake.Bars[bar], form, stop) {
		stop--
	}
	return stop
}

// passes turns the leaf and the metal on it past a bar that stands as it would
// for the stop.
func (b *Bench) passes(bar *brake.Bar, form brake.Slimness, stop unit.Deg) bool {
	still, around := b.jaw(bar, stop)
	return b.clears(form, stop, &still, around)
}

// clears turns the leaf and the metal on it past a section and what is around that.
// Where all of it lies beyond a sheet that goes on without end on a leaf without
// end, nothing else need be asked.
func (b *Bench) clears(form brake.Slimness, stop unit.Deg, still *section, around float64) bool {
	thick := float64(b.Blank.Sheet.Thickness)
	sin, cos := math.Sincos(stop.Rad())
	if support(still.outline, geom.Point2{X: sin, Y: cos}) >= around+thick-geom.Near {
		return true
	}
	metal := newSection(geom.Polygon{{X: -b.metal}, {}, {Y: thick - metalRoom}, {X: -b.metal, Y: thick - metalRoom}})
	leaf := newSection(leafSection(b.Brake, form))
	near := min(float64(b.Brake.Clearance.BedAndLeaf), thick-metalRoom)
	return !turning(&metal, still, 0, stop.Rad(), around, nil).hit &&
		!turning(&leaf, still, 0, stop.Rad(), around+near, nil).hit
}

// jaw is the section of a bar in its place for a stop, and how far the bar reaches
// around that: a round bar is its axis and all that is within its radius.
func (b *Bench) jaw(bar *brake.Bar, stop unit.Deg) (still section, around float64) {
	at := geom.Point2{X: b.noseSetback(*bar, stop), Y: float64(b.Blank.Sheet.Thickness)}
	if bar.Kind == brake.Round {
		around = float64(bar.OutsideRadius)
		return newSection(geom.Polygon{at.Add(geom.Point2{X: around, Y: around})}), around
	}
	return newSection(moved(bar.Section, at.X, at.Y)), 0
}

// formIndex is where a form of the leaf is kept.
func formIndex(form brake.Slimness) int {
	if form == brake.Slim {
		return 1
	}
	return 0
}
