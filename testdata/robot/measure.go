package robot

import "math"

// Roundings: a printed length is true within half a tenth, and what is worked
// out of several is true within their sum. Hair is what drawing and arithmetic
// may add.
const (
	halfTenth = 0.05
	hair      = 0.03
)

// slack is how far a bend made by the paper may lie from where it is drawn: the
// running figure, the nose setback and the radius are each rounded.
func slack(angle float64) float64 {
	return 2*halfTenth + halfTenth*math.Min(1, math.Tan(angle*math.Pi/360)) + hair
}

// bench is the part as it lies in the brake, seen along the bend: how far back
// of the nose edge, and how high.
type bench struct {
	*operator
	poses []pose
	over  Point   // of the blank, from the clamped side to the operator
	nose  float64 // along over
	swing []bool  // the faces before the bend
}

// bench lays the part into the brake on its clamped face.
func (o *operator) bench(line, clamped int, step int) bench {
	h := o.metal.hinges[line]
	over, _ := h.toward(clamped)
	return bench{o, o.metal.poses(clamped), over, o.noseLine(h.line, over), o.metal.side(h.beyond(clamped), step)}
}

// behind is how far a place of a face lies behind the nose edge.
func (b bench) behind(face int, p Point, high float64) float64 {
	at := b.poses[face].at(space{p.X, p.Y, high})
	return b.nose - at.x*b.over.X - at.y*b.over.Y
}

// extent is how far a face reaches behind the nose edge, and up.
func (b bench) extent(face int) (low, high, lowest, top float64) {
	low, high, lowest, top = math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for _, p := range b.metal.faces[face] {
		for _, z := range []float64{0, b.metal.thickness} {
			at := b.poses[face].at(space{p.X, p.Y, z})
			y := b.nose - at.x*b.over.X - at.y*b.over.Y
			low, high = math.Min(low, y), math.Max(high, y)
			lowest, top = math.Min(lowest, at.z), math.Max(top, at.z)
		}
	}
	return low, high, lowest, top
}

// gauge compares the printed distance of the nose line with the ideal part as
// it lies there.
func (o *operator) gauge(s *Step, line, clamped int) {
	if s.NoseFrom.means == unknown {
		return // told as unread
	}
	b := o.bench(line, clamped, s.Number)
	o.alike(s, line)
	var at float64
	var why string
	but := -1 // the wall that is measured from
	allowed := 2*halfTenth + hair + o.paper.Blur
	switch s.NoseFrom.means {
	case fromLine:
		return // the pencilled line is always good
	case fromEdge:
		at, why = b.edge(s)
	case fromBend:
		at, but, why = b.outside(s)
		allowed += slack(90)
	}
	switch {
	case why != "":
		o.find(GaugeNoReach, s.Number, "%.1f from %s: %s", s.Nose, s.NoseFrom.Name, why)
	case b.barred(at, but):
		o.find(GaugeNoReach, s.Number, "%.1f from %s: across a standing wall", s.Nose, s.NoseFrom.Name)
	case !near(math.Abs(at), s.Nose, allowed):
		o.find(GaugeWrong, s.Number, "%.1f from %s is %.2f", s.Nose, s.NoseFrom.Name, math.Abs(at))
	}
	b.backStop(s, at, allowed)
}

// backStop pushes the part, with what its nose line is measured from, against the
// stop: the nose stands the nose setback behind the hinge.
func (b bench) backStop(s *Step, at, allowed float64) {
	stop := s.BackStop
	if stop == 0 {
		return
	}
	for f := range b.metal.faces { // what lies as low as the sheet runs against any stop
		if _, far, lowest, _ := b.extent(f); far > at+0.3 && lowest < b.metal.thickness {
			b.find(BackStopWrong, s.Number, "%.1f: the part reaches %.2f farther back", stop, far-at)
			return
		}
	}
	if at <= 0 || !near(s.Setback+at, stop, allowed+halfTenth) {
		b.find(BackStopWrong, s.Number, "%.1f is %.2f", stop, s.Setback+at)
	}
}

// alike looks for the printed distance among the running figures of other
// lines: who reads it there marks the wrong line.
func (o *operator) alike(s *Step, line int) {
	if s.Own {
		return
	}
	own := o.metal.hinges[line].line
	for _, h := range o.metal.hinges {
		l := h.line
		printed := l.Figured && near(l.Running, s.Nose, 0.01) && !near(own.Running, s.Nose, 0.01)
		if l.Step != s.Number && printed && l.along().parallel(own.along()) {
			o.find(GaugeAlike, s.Number, "%.1f is the running figure of line %d", s.Nose, l.Step)
			return
		}
	}
}

// edge is how far the sheared edge of a face lies behind the nose edge. It must
// lie level with the sheet under the bar.
func (b bench) edge(s *Step) (at float64, why string) {
	face, known := b.face(s.NoseFrom.Name, s.Number)
	if !known || face < 0 {
		return 0, "the face is not known"
	}
	way := b.over.times(-1)
	if b.swing[face] {
		way = b.over
	}
	ends := b.metal.farthest(face, way)
	for _, h := range b.metal.hinges {
		over, _ := h.toward(face)
		if (h.faces[0] == face || h.faces[1] == face) && over.dot(way) > 0.99 && ends < over.dot(h.line.From)+0.2 {
			return 0, "the face ends in a bend there"
		}
	}
	if b.poses[face].z.z < 0.999 {
		return 0, "the edge is not level with the sheet"
	}
	return b.behind(face, way.times(ends), 0), ""
}

// outside is how far the outer face of a made bend lies behind the nose edge. It
// must stand square to the sheet with nothing that reaches beyond it.
func (b bench) outside(s *Step) (at float64, wall int, why string) {
	k := b.bendNamed(s.NoseFrom.Name)
	if k < 0 {
		return 0, -1, "the bend is not known"
	}
	h := b.metal.hinges[k]
	if h.bend.angle == 0 {
		return 0, -1, "the bend is not made yet"
	}
	wall = h.faces[0]
	if b.nearer(h.faces[0], h.faces[1]) {
		wall = h.faces[1]
	}
	if fold := h.bend.angle == 180; !fold && math.Abs(b.poses[wall].z.z) > 0.05 {
		return 0, -1, "its outer face does not stand square"
	}
	low, high, _, _ := b.extent(wall)
	at = high
	if b.swing[wall] {
		at = low
	}
	if h.bend.angle == 180 {
		at = b.fold(h, h.beyond(wall))
	}
	for f := range b.metal.faces {
		low, high, _, _ := b.extent(f)
		if b.swing[f] == b.swing[wall] && (b.swing[wall] && low < at-0.3 || !b.swing[wall] && high > at+0.3) {
			return 0, -1, "the part reaches beyond it"
		}
	}
	return at, wall, ""
}

// fold is how far the fold of a flattened hem lies behind the nose edge.
func (b bench) fold(h hinge, face int) float64 {
	over, middle := h.toward(face)
	tip := over.times(middle - h.bend.allowance/2 + h.bend.radius + b.metal.thickness)
	return b.behind(face, tip, 0)
}

// nearer reports whether one face hangs nearer to the clamped one than the
// other: it lies on the way.
func (b bench) nearer(f, g int) bool {
	steps := func(face int) int {
		seen, level := map[int]int{b.level: 0}, []int{b.level}
		for len(level) > 0 {
			at := level[0]
			level = level[1:]
			for _, h := range b.metal.hinges {
				if h.faces[0] != at && h.faces[1] != at {
					continue
				}
				if next := h.beyond(at); next != b.level && seen[next] == 0 {
					seen[next] = seen[at] + 1
					level = append(level, next)
				}
			}
		}
		return seen[face]
	}
	return steps(f) < steps(g)
}

// barred reports whether walls stand in the way of a rule between the nose edge
// and a place behind or before it, all along the bend, but the one that is
// measured from.
func (b bench) barred(at float64, but int) bool {
	low, high := math.Min(0, at)+0.5, math.Max(0, at)-0.5
	along := b.over.left()
	var from, to []float64
	least, most := math.Inf(1), math.Inf(-1)
	for f, ring := range b.metal.faces {
		l, r := math.Inf(1), math.Inf(-1)
		for _, p := range ring {
			at := b.poses[f].at(space{p.X, p.Y, 0})
			x := at.x*along.X + at.y*along.Y
			l, r = math.Min(l, x), math.Max(r, x)
		}
		if f == b.level {
			least, most = l, r
		}
		near, far, lowest, top := b.extent(f)
		if f != but && near < high && far > low && top > b.metal.thickness+0.5 && lowest < b.metal.thickness+1 {
			from, to = append(from, l), append(to, r)
		}
	}
	return !gaps(from, to, least, most)
}

// gaps reports whether stretches leave at least 5 mm of a length free.
func gaps(from, to []float64, least, most float64) bool {
	const wide = 5
	for x := least; x+wide <= most; x++ {
		free := true
		for i := range from {
			free = free && (to[i] <= x || from[i] >= x+wide)
		}
		if free {
			return true
		}
	}
	return most-least < wide && len(from) == 0
}
