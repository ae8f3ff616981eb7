package drawing

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"

	"brakeside/calc/fault"
	"brakeside/calc/geom"
	"brakeside/calc/part"
	"brakeside/calc/unit"
)

// Sketch is a drawing sorted by what its lines mean.
type Sketch struct {
	Edges []Stroke // outline and openings
	Up    []Stroke // bend lines, folded towards the viewer
	Down  []Stroke // and away
}

// Angles are the bend angles of a sketch, not signed: of all bends, and of
// some by their ids.
type Angles struct {
	All unit.Deg
	Of  map[string]unit.Deg // below zero turns the bend over
}

// Read is a sketch as a part, with what was made of it.
type Read struct {
	Flat    *part.Flat
	Holes   []part.Hole
	Cutouts []part.Cutout
	Dropped int // lines that were drawn twice
	Dashes  int // pieces that were joined into bend lines
}

// Flat makes a flat part of the sketch. The largest closed line is the outline,
// what lies in it are openings: circles become holes, other closed lines
// cutouts, and what a bend line crosses becomes part of the faces' outlines.
// Faces are named f1, f2 from the largest down, bends b1, b2 as they come.
// Refusals are fault.Invalid and name coordinates.
func (s Sketch) Flat(angles Angles) (Read, error) {
	rings, dropped, err := Rings(s.Edges)
	if err != nil {
		return Read{}, err
	}
	blank, holes, err := sorted(rings)
	if err != nil {
		return Read{}, err
	}
	lines, signs, twice, err := s.bends()
	if err != nil {
		return Read{}, err
	}
	blank.Bends = lines
	var dashes int
	blank.Bends, signs, dashes = blank.undashed(signs)
	cut, err := blank.Cut()
	if err != nil {
		return Read{}, err
	}
	out := Read{Flat: &part.Flat{}, Dropped: dropped + twice, Dashes: dashes}
	number := largestFirst(cut.Faces)
	out.faces(cut, number, holes)
	return out, out.bends(cut, number, bendAngles{angles, signs})
}

// sorted finds the outline among the rings; the others must lie in it and not
// in each other.
func sorted(rings []Ring) (Blank, []Ring, error) {
	if len(rings) == 0 {
		return Blank{}, nil, fault.New(fault.Invalid, "", "there is no closed line for the outline")
	}
	slices.SortStableFunc(rings, func(a, b Ring) int {
		return cmp.Compare(math.Abs(b.Points.Area()), math.Abs(a.Points.Area()))
	})
	blank := Blank{Outline: rings[0].Points}
	for i, r := range rings[1:] {
		p := r.Points[0]
		if !rings[0].Points.Holds(p) {
			return Blank{}, nil, fault.New(fault.Invalid, "",
				"the closed line at (%.2f, %.2f) lies outside the outline that begins at (%.2f, %.2f); draw one part only",
				p.X, p.Y, blank.Outline[0].X, blank.Outline[0].Y)
		}
		for k, other := range rings[:i+1] {
			if k > 0 && other.Points.Holds(p) {
				return Blank{}, nil, fault.New(fault.Invalid, "", "the closed line at (%.2f, %.2f) lies inside an opening; leave it out", p.X, p.Y)
			}
			if at, touch := r.Points.Meets(other.Points); touch {
				return Blank{}, nil, fault.New(fault.Invalid, "",
					"two closed lines meet at (%.2f, %.2f); draw the opening clear of the edge, or as a notch in the outline", at.X, at.Y)
			}
		}
		blank.Openings = append(blank.Openings, r.Points)
	}
	return blank, rings[1:], nil
}

// mostBendLines is how many bend lines are read, each dash of one counted.
const mostBendLines = 5000

// bends gives the bend lines in order, each once, and +1 for up and -1 for
// down.
func (s Sketch) bends() (lines []Line, signs []float64, dropped int, err error) {
	if n := len(s.Up) + len(s.Down); n > mostBendLines {
		return nil, nil, 0, fault.New(fault.TooLarge, "", "there are %d lines on the layers of bend lines, more than the %d that are read; "+
			"name the layers with bend lines only", n, mostBendLines)
	}
	for k, strokes := range [][]Stroke{s.Up, s.Down} {
		for _, stroke := range strokes {
			line, err := stroke.straight()
			if err != nil {
				return nil, nil, 0, err
			}
			if slices.ContainsFunc(lines, line.same) {
				dropped++
				continue
			}
			lines, signs = append(lines, line), append(signs, float64(1-2*k))
		}
	}
	if len(lines) == 0 {
		return nil, nil, 0, fault.New(fault.Invalid, "", "there is no bend line")
	}
	return lines, signs, dropped, nil
}

// straight gives a bend line, which must be straight.
func (s Stroke) straight() (Line, error) {
	points := plain(s.Points, false)
	if len(points) < 2 {
		return Line{}, fault.New(fault.Invalid, "", "a bend line has no length")
	}
	first, last := points[0], points[len(points)-1]
	along := last.Sub(first)
	if along.Length() < Snap || s.Closed {
		return Line{}, fault.New(fault.Invalid, "", "the bend line at (%.2f, %.2f) comes back to itself; a bend line is straight",
			first.X, first.Y)
	}
	for _, p := range points {
		if math.Abs(along.Unit().Cross(p.Sub(first))) > Snap {
			return Line{}, fault.New(fault.Invalid, "", "the bend line from (%.2f, %.2f) is not straight at (%.2f, %.2f)",
				first.X, first.Y, p.X, p.Y)
		}
	}
	return Line{first, last}, nil
}

// same reports whether two lines lie over each other, either way round.
func (l Line) same(m Line) bool {
	near := func(p, q geom.Point2) bool { return p.Sub(q).Length() < Snap }
	return near(l[0], m[0]) && near(l[1], m[1]) || near(l[0], m[1]) && near(l[1], m[0])
}

// largestFirst numbers faces from the largest down; equal ones keep their order.
func largestFirst(faces []Face) []int {
	order := make([]int, len(faces))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(faces[b].Outline.Area(), faces[a].Outline.Area()) })
	number := make([]int, len(faces))
	for i, f := range order {
		number[f] = i
	}
	return number
}

func faceID(number int) string { return fmt.Sprintf("f%d", number+1) }

func (r *Read) faces(cut Cut, number []int, rings []Ring) {
	r.Flat.Faces = make([]part.Face, len(cut.Faces))
	for i, f := range cut.Faces {
		id := faceID(number[i])
		r.Flat.Faces[number[i]] = part.Face{ID: id, Outline: places(f.Outline)}
		for _, o := range f.Openings {
			if ring := rings[o]; ring.Radius > 0 {
				r.Holes = append(r.Holes, part.Hole{Face: id, At: place(ring.Centre), Diameter: unit.MM(tidy(2 * ring.Radius))})
			} else {
				r.Cutouts = append(r.Cutouts, part.Cutout{Face: id, Outline: places(ring.Points)})
			}
		}
	}
}

// bendAngles are the angles that were asked for and the directions of the
// lines.
type bendAngles struct {
	Angles
	signs []float64
}

func (r *Read) bends(cut Cut, number []int, angles bendAngles) error {
	pieces := map[int]int{}
	known := map[string]bool{}
	for _, p := range cut.Pieces {
		pieces[p.Bend]++
		line := fmt.Sprintf("b%d", p.Bend+1)
		id := line
		if n := pieces[p.Bend]; n > 1 {
			id = fmt.Sprintf("%s.%d", line, n)
		}
		angle := angles.All
		if own, given := angles.Of[line]; given {
			angle = own
		}
		known[line] = true
		r.Flat.Bends = append(r.Flat.Bends, part.FlatBend{
			ID: id, Between: [2]string{faceID(number[p.Faces[0]]), faceID(number[p.Faces[1]])},
			Line: [2][2]unit.MM{place(p.Line[0]), place(p.Line[1])}, Angle: angle * unit.Deg(angles.signs[p.Bend]),
		})
	}
	for _, id := range slices.Sorted(maps.Keys(angles.Of)) {
		if !known[id] {
			return fault.New(fault.Invalid, "angle", "there is no bend line %q; they are b1 to b%d, those folded up first", id, len(angles.signs))
		}
	}
	return nil
}

// tidy rounds to a tenth of a micrometre, so that a part file shows no dust of
// binary arithmetic.
func tidy(v float64) float64 { return math.Round(v*1e4) / 1e4 }

func place(p geom.Point2) [2]unit.MM { return [2]unit.MM{unit.MM(tidy(p.X)), unit.MM(tidy(p.Y))} }

func places(g geom.Polygon) [][2]unit.MM {
	out := make([][2]unit.MM, len(g))
	for i, p := range g {
		out[i] = place(p)
	}
	return out
}
