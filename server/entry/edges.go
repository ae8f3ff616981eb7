package entry

import (
	"fmt"
	"math"
	"net/url"
	"slices"
)

// Edge is what becomes of the free edge of a wall or of the end of a profile.
type Edge string

// The edges. A lip is one more flange; a hem is folded flat.
const (
	Plain     Edge = "plain"
	LipIn     Edge = "lip-in"  // folded up, towards face A
	LipOut    Edge = "lip-out" // folded down
	OpenHem   Edge = "open"
	ClosedHem Edge = "closed"
	OpenUnder Edge = "open-under" // hems that are folded down, away from face A
	ShutUnder Edge = "closed-under"
)

// Edges are all of them with the words of the form, in turn.
var Edges = []string{
	string(Plain), "plain", string(LipIn), "lip, inwards", string(LipOut), "lip, outwards",
	string(ClosedHem), "closed hem, inwards", string(OpenHem), "open hem, inwards",
	string(ShutUnder), "closed hem, outwards", string(OpenUnder), "open hem, outwards",
}

// hemWords are the words of the part file for the hems, and whether they go down.
var hemWords = map[Edge]struct {
	hem  string
	down bool
}{OpenHem: {"open", false}, ClosedHem: {"closed", false}, OpenUnder: {"open", true}, ShutUnder: {"closed", true}}

// hemEdge is the edge that a hem of a part file is.
func hemEdge(w wall) Edge {
	down := w.Angle != nil && *w.Angle < 0
	for edge, words := range hemWords {
		if words.hem == w.Hem && words.down == down {
			return edge
		}
	}
	return Plain
}

// WallEdge is the field for the edge of a wall of a tray; its width and the angle of a
// lip stand in the fields of the second entry of that wall.
func WallEdge(side string) string { return wallName(side, 1) + ".edge" }

// ProfileEdge is the field for an end of a profile, 0 or 1; .leg and .angle behind it
// are the fields of its width and of the angle of a lip.
func ProfileEdge(end int) string { return fmt.Sprintf("profile.edges[%d]", end) }

func profileSize(end int) string { return ProfileEdge(end) + ".leg" }

func wallName(side string, i int) string { return fmt.Sprintf("tray.walls.%s[%d]", side, i) }

// Alike reports whether all sides of a tray are like the left one.
func Alike(form url.Values) bool { return form.Get(AlikeField) == "yes" }

// AlikeField says that all sides of a tray are like the left one.
const AlikeField = "tray.alike"

// ShownSides are the sides of a tray that have fields of their own.
func ShownSides(form url.Values) []string {
	if Alike(form) {
		return Sides[:1]
	}
	return Sides
}

// ShownField says that the form showed the left side for all of them: where they are
// not alike any more, the others begin like it.
const ShownField = "tray.shown"

// Spread gives each side of a tray fields of its own, those of the left one where the
// form showed it for all.
func Spread(form url.Values) {
	if form.Get(ShownField) == "" || Alike(form) {
		return
	}
	for _, side := range Sides[1:] {
		for _, field := range []string{"[0].leg", "[0].angle", "[0].angle.way", "[1].edge", "[1].leg", "[1].angle"} {
			if name := "tray.walls." + side + field; !form.Has(name) {
				form.Set(name, form.Get("tray.walls."+Sides[0]+field))
			}
		}
	}
}

// chain reads the wall of one side and what is at its edge.
func (t *typed) chain(side string) []wall {
	from := side
	if Alike(t.form) || t.form.Get(ShownField) != "" && !t.form.Has(wallName(side, 0)+".leg") {
		from = Sides[0]
	}
	first := wallName(from, 0)
	leg := t.length(first + ".leg")
	if leg == nil {
		return nil
	}
	out := []wall{{Leg: *leg, Angle: t.angle(first + ".angle"), Mitre: t.valueOf(first + ".mitre"), Span: t.span(first + ".span")}}
	if edge := t.edge(WallEdge(from), wallName(from, 1)+".leg", wallName(from, 1)+".angle"); edge != nil {
		edge.Mitre, edge.Span = t.valueOf(wallName(from, 1)+".mitre"), t.span(wallName(from, 1)+".span")
		out = append(out, *edge)
	}
	return out
}

// edge reads an edge: what it is, how wide and at what angle; nil for a plain one. A
// form without the field for what it is has a lip where a width is typed.
func (t *typed) edge(kind, size, angle string) *wall {
	if !t.form.Has(kind) {
		if leg := t.length(size); leg != nil {
			return &wall{Leg: *leg, Angle: t.angle(angle)}
		}
		return nil
	}
	edge := Edge(t.form.Get(kind))
	if edge == Plain || edge == "" {
		return nil
	}
	leg := t.must(size)
	if hem, is := hemWords[edge]; is {
		w := &wall{Leg: leg, Hem: hem.hem}
		if hem.down {
			over := -180.0
			w.Angle = &over
		}
		return w
	}
	bend := 90.0
	if a := t.number(angle); a != nil {
		bend = *a
	}
	switch edge {
	case LipIn:
	case LipOut:
		bend = -bend
	default:
		t.refuse(kind, "There is no such edge: %.20q.", string(edge))
	}
	return &wall{Leg: leg, Angle: &bend}
}

// valueOf reads a number that may be left out: 0.
func (t *typed) valueOf(name string) float64 {
	if v := t.number(name); v != nil {
		return *v
	}
	return 0
}

// span reads from where to where along its side a wall is; nil for all of it.
func (t *typed) span(name string) *[2]float64 {
	from, to := t.length(name+"[0]"), t.length(name+"[1]")
	switch {
	case from == nil && to == nil:
		return nil
	case from == nil:
		from = new(float64)
	case to == nil:
		t.refuse(name+"[1]", "Say up to where it goes, counted from the left end.")
		return nil
	}
	return &[2]float64{*from, *to}
}

// chainShown fills the fields of one side; false where the form cannot say it.
func (s shown) chainShown(side string, chain []wall) bool {
	if len(chain) > 2 || len(chain) > 0 && chain[0].Hem != "" {
		return false
	}
	for i, w := range chain {
		name := wallName(side, i)
		s.number(name+".leg", &w.Leg)
		if w.Mitre != 0 {
			s.number(name+".mitre", &w.Mitre)
		}
		if w.Span != nil {
			s.number(name+".span[0]", &w.Span[0]).number(name+".span[1]", &w.Span[1])
		}
		if i == 1 {
			s.edgeShown(WallEdge(side), name+".angle", w)
			continue
		}
		s.angle(name+".angle", angleOf(w))
	}
	return true
}

// edgeShown fills the fields of what is at an edge, besides its width.
func (s shown) edgeShown(kind, angle string, w wall) {
	if w.Hem != "" {
		s.Set(kind, string(hemEdge(w)))
		return
	}
	a := angleOf(w)
	s.Set(kind, string(LipIn))
	if a < 0 {
		s.Set(kind, string(LipOut))
	}
	a = math.Abs(a)
	s.number(angle, &a)
}

// angleOf is the bend angle of a wall, square where the file leaves it out.
func angleOf(w wall) float64 {
	if w.Angle == nil {
		return 90
	}
	return *w.Angle
}

// edged gives a profile what is at its ends: a lip is one more leg. A profile with a
// hem is written as walls on its longest leg, as a part file has hems there only.
func (t *typed) edged(p *profile) (*profile, *tray) {
	first := t.edge(ProfileEdge(0), profileSize(0), ProfileEdge(0)+".angle")
	last := t.edge(ProfileEdge(1), profileSize(1), ProfileEdge(1)+".angle")
	hemmed := first != nil && first.Hem != "" || last != nil && last.Hem != ""
	if first != nil && first.Hem == "" {
		p.Legs, p.Bends = slices.Insert(p.Legs, 0, first.Leg), slices.Insert(p.Bends, 0, *first.Angle)
		first = nil
	}
	if last != nil && last.Hem == "" {
		p.Legs, p.Bends = append(p.Legs, last.Leg), append(p.Bends, *last.Angle)
		last = nil
	}
	if !hemmed || len(p.Legs) == 0 {
		return p, nil
	}
	longest := 0
	for i, leg := range p.Legs {
		if leg > p.Legs[longest] {
			longest = i
		}
	}
	out := &tray{Base: [2]float64{p.Length, p.Legs[longest]}, Walls: map[string][]wall{}}
	for i := longest - 1; i >= 0 && i < len(p.Bends); i-- {
		out.Walls["front"] = append(out.Walls["front"], wall{Leg: p.Legs[i], Angle: &p.Bends[i]})
	}
	for i := longest + 1; i < len(p.Legs) && i <= len(p.Bends); i++ {
		out.Walls["back"] = append(out.Walls["back"], wall{Leg: p.Legs[i], Angle: &p.Bends[i-1]})
	}
	for side, hem := range map[string]*wall{"front": first, "back": last} {
		if hem != nil {
			out.Walls[side] = append(out.Walls[side], *hem)
		}
	}
	return nil, out
}

// profileOfWalls gives the profile that walls in front and behind a base are, where
// only a profile with hems can be that: chains too long for the form of a tray.
func profileOfWalls(t *tray) (*profile, [2]*wall, bool) {
	front, back := t.Walls["front"], t.Walls["back"]
	if len(t.Walls["left"]) > 0 || len(t.Walls["right"]) > 0 || t.Corners != nil || len(front) <= 2 && len(back) <= 2 {
		return nil, [2]*wall{}, false
	}
	var hems [2]*wall
	for end, chain := range []*[]wall{&front, &back} {
		if n := len(*chain); n > 0 && (*chain)[n-1].Hem != "" {
			hems[end] = &(*chain)[n-1]
			*chain = (*chain)[:n-1]
		}
	}
	p := &profile{Length: t.Base[0], Legs: []float64{t.Base[1]}}
	for _, w := range front {
		p.Legs, p.Bends = slices.Insert(p.Legs, 0, w.Leg), slices.Insert(p.Bends, 0, angleOf(w))
	}
	for _, w := range back {
		p.Legs, p.Bends = append(p.Legs, w.Leg), append(p.Bends, angleOf(w))
	}
	for _, w := range slices.Concat(front, back) {
		if w.Mitre != 0 || w.Span != nil || w.Hem != "" {
			return nil, hems, false
		}
	}
	return p, hems, true
}

// hemsShown fills the fields of the hems at the ends of a profile.
func (s shown) hemsShown(hems [2]*wall) {
	for end, hem := range hems {
		if hem != nil {
			s.number(profileSize(end), &hem.Leg).edgeShown(ProfileEdge(end), "", *hem)
		}
	}
}
