package robot

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
)

// Drawn is the part as its drawing asks for it, built from the part file alone.
type Drawn struct {
	Bends []DrawnBend
	Legs  []Leg
	// Size of the blank by the robot's own development.
	Width, Height float64

	tangent   bool    // sizes past a right angle run to the outside tangent
	inside    bool    // sizes are inside sizes
	thickness float64 // the paper's
	pinned    float64 // K
	radius    float64 // of a bend that has none of its own
}

// DrawnBend is one bend as drawn.
type DrawnBend struct {
	ID     string
	Angle  float64 // + towards face A
	Radius float64
	Hem    string
	Faces  [2]string // Over points from the first to the second
	Over   Point
	At     Point // about the middle of its line on the blank
	exact  bool  // At is where the line is drawn
}

// Leg is one drawn size: of a face, between two bends or a bend and an edge.
type Leg struct {
	Face string
	Size float64
	Ends [2]string // bends, empty for a sheared edge
	Over Point     // from the first end to the second
	// Always is a size that is an outside size whatever the others are.
	Always bool
}

// file is a part file as the contract has it.
type file struct {
	Units  string  `json:"units"`
	Radius float64 `json:"inside_radius"`
	Sizes  string  `json:"sizes"`
	K      float64 `json:"k"`
	Over90 string  `json:"over_90"`

	Profile *struct {
		Length float64   `json:"length"`
		Legs   []float64 `json:"legs"`
		Bends  []float64 `json:"bends"`
	} `json:"profile"`
	Tray *struct {
		Base    [2]float64       `json:"base"`
		Walls   map[string][]leg `json:"walls"`
		Corners struct {
			Tabs     string  `json:"tabs"`
			TabWidth float64 `json:"tab_width"`
		} `json:"corners"`
	} `json:"tray"`
	Flat *struct {
		Faces []struct {
			ID      string  `json:"id"`
			Outline []Point `json:"outline"`
		} `json:"faces"`
		Bends []struct {
			ID      string    `json:"id"`
			Between [2]string `json:"between"`
			Line    [2]Point  `json:"line"`
			Angle   float64   `json:"angle"`
			Radius  float64   `json:"radius"`
		} `json:"bends"`
	} `json:"flat"`
}

// leg is a wall or lip of a tray in the file.
type leg struct {
	Leg   float64 `json:"leg"`
	Angle float64 `json:"angle"`
	Hem   string  `json:"hem"`
}

// UnmarshalJSON reads a point as a pair of numbers.
func (p *Point) UnmarshalJSON(b []byte) error {
	var pair [2]float64
	err := json.Unmarshal(b, &pair)
	p.X, p.Y = pair[0], pair[1]
	return err
}

// Draw builds the part of a file. Where the file leaves thickness (a gauge) or
// radius (the shop's) to others, the paper's stand.
func Draw(part []byte, p *Paper) (*Drawn, error) {
	var f file
	if err := json.Unmarshal(part, &f); err != nil {
		return nil, err
	}
	inch := 1.0
	if f.Units == "in" {
		inch = 25.4
	}
	d := &Drawn{tangent: f.Over90 == "tangent", inside: f.Sizes == "inside", thickness: p.Thickness, pinned: f.K, radius: f.Radius * inch}
	for _, l := range p.Lines {
		if d.radius == 0 && l.Angle < 180 {
			d.radius = l.Radius
		}
	}
	if p.LeftRadius > 0 {
		d.radius = p.LeftRadius
	}
	if d.radius == 0 {
		d.radius = p.Thickness
	}
	switch {
	case f.Profile != nil:
		d.profile(&f, inch)
	case f.Tray != nil:
		d.tray(&f, inch)
	case f.Flat != nil:
		d.flat(&f, inch)
	default:
		return nil, fmt.Errorf("the part file has no shape")
	}
	return d, nil
}

// made is a bend of the drawing with what follows from its angle.
func (d *Drawn) made(id string, angle float64, hem string) DrawnBend {
	b := DrawnBend{ID: id, Angle: angle, Radius: d.radius, Hem: hem}
	switch {
	case hem == "":
		return b
	case hem == "open":
		b.Radius = d.thickness / 2 // flattened over a strip of the same sheet
	default:
		b.Radius = 0
	}
	b.Angle = math.Copysign(180, angle)
	if angle == 0 {
		b.Angle = 180
	}
	return b
}

func (d *Drawn) reach(b DrawnBend) float64 {
	return apexReach(math.Abs(b.Angle), b.Radius, d.thickness, d.tangent)
}

func (d *Drawn) allowance(b DrawnBend) float64 {
	return allowance(math.Abs(b.Angle), b.Radius, d.thickness, d.pinned)
}

// outsideSize is the size over the outer faces: an inside size lacks at each
// end what the sheet adds there; between bends of opposite sign it runs from an
// inner to an outer face and lacks half.
func (d *Drawn) outsideSize(size float64, ends ...*DrawnBend) float64 {
	if !d.inside {
		return size
	}
	share := 1.0
	if len(ends) == 2 && ends[0] != nil && ends[1] != nil && (ends[0].Angle > 0) != (ends[1].Angle > 0) {
		share = 0.5
	}
	for _, e := range ends {
		if e != nil {
			size += share * (d.reach(*e) - apexReach(math.Abs(e.Angle), e.Radius, 0, d.tangent))
		}
	}
	return size
}

// leg is a drawn size as a rule measures it: of a hem its width over the fold, as
// none reaches the inside of that.
func (d *Drawn) leg(face string, size float64, from, to *DrawnBend, over Point) Leg {
	l := Leg{Face: face, Size: size, Ends: [2]string{nameOf(from), nameOf(to)}, Over: over}
	fold := from
	if fold == nil {
		fold = to
	}
	if fold != nil && fold.Hem != "" && (from == nil || to == nil) {
		l.Size, l.Always = d.outsideSize(size, fold, nil), true
	}
	return l
}

// flatOf is what is left of a drawn size between the beginnings of its bends.
func (d *Drawn) flatOf(size float64, ends ...*DrawnBend) float64 {
	out := d.outsideSize(size, ends...)
	for _, e := range ends {
		if e != nil {
			out -= d.reach(*e)
		}
	}
	return out
}

func nameOf(b *DrawnBend) string {
	if b == nil {
		return ""
	}
	return b.ID
}

// profile lays the legs one behind the other, the first at the lower edge.
func (d *Drawn) profile(f *file, inch float64) {
	up := Point{0, 1}
	for i, a := range f.Profile.Bends {
		b := d.made(fmt.Sprintf("b%d", i+1), a, "")
		b.Over, b.Faces = up, [2]string{fmt.Sprintf("leg %d", i+1), fmt.Sprintf("leg %d", i+2)}
		d.Bends = append(d.Bends, b)
	}
	at := func(i int) *DrawnBend {
		if i < 0 || i >= len(d.Bends) {
			return nil
		}
		return &d.Bends[i]
	}
	d.Width = f.Profile.Length * inch
	for i, size := range f.Profile.Legs {
		from, to := at(i-1), at(i)
		d.Height += d.flatOf(size*inch, from, to)
		if to != nil {
			to.At = Point{d.Width / 2, d.Height + d.allowance(*to)/2}
			d.Height += d.allowance(*to)
		}
		d.Legs = append(d.Legs, d.leg(fmt.Sprintf("leg %d", i+1), size*inch, from, to, up))
	}
}

// sides of a tray with the way outwards.
var sides = []struct {
	name string
	out  Point
}{{"left", Point{-1, 0}}, {"right", Point{1, 0}}, {"front", Point{0, -1}}, {"back", Point{0, 1}}}

// wallName is what a shop calls the i-th face of a side, counted outwards.
func wallName(side string, i int, hem string) string {
	if hem != "" {
		return side + " hem"
	}
	return side + " " + []string{"wall", "lip", "return", "return 2", "return 3"}[i]
}

// tray lays the walls around the base.
func (d *Drawn) tray(f *file, inch float64) {
	chains, long := map[string][]DrawnBend{}, map[string]float64{}
	for _, s := range sides {
		parent := "base"
		for i, w := range f.Tray.Walls[s.name] {
			id := s.name
			if i > 0 {
				id = fmt.Sprintf("%s.%d", s.name, i+1)
			}
			b := d.made(id, w.Angle, w.Hem)
			b.Over, b.Faces = s.out, [2]string{parent, wallName(s.name, i, w.Hem)}
			chains[s.name] = append(chains[s.name], b)
			parent = b.Faces[1]
		}
	}
	first := func(side string) *DrawnBend {
		if len(chains[side]) == 0 {
			return nil
		}
		return &chains[side][0]
	}
	base := Point{
		d.flatOf(f.Tray.Base[0]*inch, first("left"), first("right")),
		d.flatOf(f.Tray.Base[1]*inch, first("front"), first("back")),
	}
	var outs []float64 // how far the lines of a side lie outside the flat base
	for _, s := range sides {
		reach := 0.0
		for i, w := range f.Tray.Walls[s.name] {
			b := &chains[s.name][i]
			var next *DrawnBend
			if i+1 < len(chains[s.name]) {
				next = &chains[s.name][i+1]
			}
			outs = append(outs, reach+d.allowance(*b)/2)
			reach += d.allowance(*b) + d.flatOf(w.Leg*inch, b, next)
			d.Legs = append(d.Legs, d.leg(b.Faces[1], w.Leg*inch, b, next, s.out))
		}
		long[s.name] = reach
	}
	d.Legs = append(d.Legs,
		Leg{"base", f.Tray.Base[0] * inch, [2]string{nameOf(first("left")), nameOf(first("right"))}, Point{1, 0}, false},
		Leg{"base", f.Tray.Base[1] * inch, [2]string{nameOf(first("front")), nameOf(first("back"))}, Point{0, 1}, false})
	low := Point{long["left"], long["front"]} // the corner of the flat base on the blank
	for _, s := range sides {
		for i := range chains[s.name] {
			b := chains[s.name][i]
			b.At = low.plus(base.times(0.5)).plus(Point{s.out.X * (base.X/2 + outs[0]), s.out.Y * (base.Y/2 + outs[0])})
			outs = outs[1:]
			d.Bends = append(d.Bends, b)
		}
	}
	d.Width, d.Height = base.X+long["left"]+long["right"], base.Y+long["front"]+long["back"]
	if f.Tray.Corners.Tabs != "" && f.Tray.Corners.Tabs != "none" {
		d.tabs(f, inch, low, base)
	}
}

// tabs are the flanges on the ends of the front and back walls that lap the
// walls beside them.
func (d *Drawn) tabs(f *file, inch float64, low, base Point) {
	for _, wall := range []string{"front", "back"} {
		for _, side := range sides[:2] {
			if len(f.Tray.Walls[wall]) == 0 || len(f.Tray.Walls[side.name]) == 0 {
				continue
			}
			w := f.Tray.Walls[wall][0]
			b := d.made(fmt.Sprintf("%s.tab.%s", wall, side.name), w.Angle, "")
			b.Faces, b.Over = [2]string{wall + " wall", fmt.Sprintf("%s tab to %s", wall, side.name)}, side.out
			b.At = Point{low.X + base.X*(1+side.out.X)/2, low.Y - w.Leg*inch/2}
			if wall == "back" {
				b.At.Y = low.Y + base.Y + w.Leg*inch/2
			}
			d.Bends = append(d.Bends, b)
			d.Legs = append(d.Legs, Leg{b.Faces[1], f.Tray.Corners.TabWidth * inch, [2]string{b.ID, ""}, side.out, true})
		}
	}
}

// flat takes the lines where they are drawn.
func (d *Drawn) flat(f *file, inch float64) {
	low, high := Point{math.Inf(1), math.Inf(1)}, Point{math.Inf(-1), math.Inf(-1)}
	outlines := map[string][]Point{}
	for _, face := range f.Flat.Faces {
		for _, p := range face.Outline {
			low = Point{math.Min(low.X, p.X), math.Min(low.Y, p.Y)}
			high = Point{math.Max(high.X, p.X), math.Max(high.Y, p.Y)}
		}
		outlines[face.ID] = face.Outline
	}
	for _, b := range f.Flat.Bends {
		made := d.made(b.ID, b.Angle, "")
		if b.Radius > 0 {
			made.Radius = b.Radius * inch
		}
		mid := b.Line[0].half(b.Line[1])
		made.Faces, made.At, made.exact = b.Between, low.to(mid).times(inch), true
		made.Over = b.Line[0].to(b.Line[1]).unit().left()
		if made.Over.dot(mid) > made.Over.dot(centre(outlines[b.Between[1]])) {
			made.Over = made.Over.times(-1)
		}
		d.Bends = append(d.Bends, made)
	}
	d.Width, d.Height = (high.X-low.X)*inch, (high.Y-low.Y)*inch
}

// centre is the mean of some corners.
func centre(ring []Point) Point {
	var sum Point
	for _, p := range ring {
		sum = sum.plus(p)
	}
	return sum.times(1 / float64(len(ring)))
}

// bend finds a drawn bend by its id.
func (d *Drawn) bend(id string) *DrawnBend {
	for i := range d.Bends {
		if strings.EqualFold(d.Bends[i].ID, id) {
			return &d.Bends[i]
		}
	}
	return nil
}
