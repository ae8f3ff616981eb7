// Package entry turns what is typed into the form of a part into a part file,
// and a part file back into what the form shows.
//
// The name of a field is the place of its value in the part file, as refusals
// write it: profile.legs[1], tray.walls.left[0].leg. So a refusal of the file
// is the fault of the field of the same name. An angle is typed without a sign
// beside a choice of up or down, whose field has the same name with .way behind
// it. Lengths may be typed in either system of units whatever the part is drawn
// in: "12.5", "12.5 mm", "1 1/2 in".
package entry

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/url"
	"strconv"
	"strings"

	"brakeside/calc/fault"
	"brakeside/calc/unit"
)

// Kinds lists the shapes that the form knows, in the order they are offered.
var Kinds = []Kind{
	{"l", "L", 2, ""}, {"z", "Z", 3, "ud"}, {JogKind, "Jog", 3, "ud"}, {"u", "U", 3, "uu"}, {"hat", "Hat", 5, "duud"},
	{"profile", "Other profile", 4, "uuu"}, {"tray", "Tray", 0, ""}, {"box", "Box with lips", 0, ""},
}

// Kind is one shape that the form knows.
type Kind struct {
	ID, Words string
	Legs      int    // of a profile; 0 for a tray
	ways      string // u and d by bend; up where it is silent
}

// KindOf finds a kind by its id; the first for an unknown one.
func KindOf(id string) Kind {
	for _, k := range Kinds {
		if k.ID == id {
			return k
		}
	}
	return Kinds[0]
}

// Tray reports whether the kind has walls on a base.
func (k Kind) Tray() bool { return k.Legs == 0 }

// MostLegs is how many legs of a profile the form takes.
const MostLegs = 13

// File writes the part file of a filled form. It refuses with fault.Invalid,
// each on its field, what is no number; what numbers can be a part is for the reader
// of part files to say.
func File(form url.Values) ([]byte, error) {
	t := &typed{form: form, system: unit.Metric}
	f := file{Units: "mm"}
	if form.Get("units") == "in" {
		t.system, f.Units = unit.Inch, "in"
	}
	f.Number, f.Title, f.Revision = t.words("number"), t.words("title"), t.words("revision")
	f.Material, f.Gauge = t.words("material"), t.words("gauge")
	f.Sizes, f.Over90, f.Grain, f.MarkedFace = t.words("sizes"), t.words("over_90"), t.words("grain"), t.words("marked_face")
	f.Thickness, f.InsideRadius, f.K = t.length("thickness"), t.length("inside_radius"), t.number("k")
	if angle, length := t.number("tolerance.angle"), t.length("tolerance.length"); angle != nil || length != nil {
		f.Tolerance = &tolerance{angle, length}
	}
	if KindOf(form.Get("kind")).Tray() {
		f.Tray = t.tray()
	} else {
		f.Profile, f.Tray = t.edged(t.profile(&f))
	}
	f.Holes = t.holes()
	if err := fault.Together(t.faults); err != nil {
		return nil, err
	}
	text, err := json.MarshalIndent(f, "", " ")
	return append(text, '\n'), err
}

func (t *typed) profile(f *file) *profile {
	p := &profile{Length: t.must("profile.length"), Legs: []float64{}, Bends: []float64{}}
	if t.form.Get("kind") == JogKind {
		return t.jogged(p, f)
	}
	for i := range Legs(t.form) {
		p.Legs = append(p.Legs, t.must(fmt.Sprintf("profile.legs[%d]", i)))
		if i == 0 {
			continue
		}
		name := fmt.Sprintf("profile.bends[%d]", i-1)
		if a := t.angle(name); a != nil {
			p.Bends = append(p.Bends, *a)
		} else {
			t.refuse(name, "This angle is missing.")
		}
	}
	return p
}

// Legs counts the legs that a form of a profile has.
func Legs(form url.Values) int {
	n := 0
	for n < MostLegs && form.Has(fmt.Sprintf("profile.legs[%d]", n)) {
		n++
	}
	return n
}

func (t *typed) tray() *tray {
	out := &tray{Base: [2]float64{t.must("tray.base[0]"), t.must("tray.base[1]")}, Walls: map[string][]wall{}}
	for _, side := range Sides {
		if chain := t.chain(side); chain != nil {
			out.Walls[side] = chain
		}
	}
	c := corners{
		t.words("tray.corners.relief"), t.length("tray.corners.size"), t.length("tray.corners.gap"),
		t.words("tray.corners.tabs"), t.length("tray.corners.tab_width"),
	}
	if c != (corners{}) {
		out.Corners = &c
	}
	return out
}

// Form gives what the form shows for a part file, and whether it holds all of
// it. A part with cutouts, with more at a wall than one edge or with a blank of its
// own is edited as a file.
func Form(part []byte) (url.Values, bool) {
	var f file
	d := json.NewDecoder(bytes.NewReader(part))
	d.DisallowUnknownFields()
	if err := d.Decode(&f); err != nil || (f.Profile == nil) == (f.Tray == nil) {
		return nil, false
	}
	v := shown{url.Values{}}
	v.words("number", f.Number).words("title", f.Title).words("revision", f.Revision).words("units", f.Units)
	v.words("material", f.Material).words("gauge", f.Gauge).words("sizes", f.Sizes).words("over_90", f.Over90)
	v.words("grain", f.Grain).words("marked_face", f.MarkedFace)
	v.number("thickness", f.Thickness).number("inside_radius", f.InsideRadius).number("k", f.K)
	if f.Tolerance != nil {
		v.number("tolerance.angle", f.Tolerance.Angle).number("tolerance.length", f.Tolerance.Length)
	}
	v.holes(f.Holes)
	if f.Tray != nil {
		if p, hems, is := profileOfWalls(f.Tray); is {
			v.hemsShown(hems)
			return v.Values, v.profile(p, nil)
		}
		return v.Values, v.tray(f.Tray)
	}
	return v.Values, v.profile(f.Profile, &f)
}

func (s shown) profile(p *profile, f *file) bool {
	if len(p.Legs) != len(p.Bends)+1 || len(p.Legs) > MostLegs {
		return false
	}
	ways := ""
	s.number("profile.length", &p.Length)
	if f != nil && s.jogShown(p, f) {
		return true
	}
	for i := range p.Legs {
		s.number(fmt.Sprintf("profile.legs[%d]", i), &p.Legs[i])
	}
	for i, a := range p.Bends {
		s.angle(fmt.Sprintf("profile.bends[%d]", i), a)
		ways += map[bool]string{true: "u", false: "d"}[a >= 0]
	}
	s.Set("kind", kindOfProfile(len(p.Legs), ways))
	return true
}

// kindOfProfile names the shape of a profile by the ways of its bends.
func kindOfProfile(legs int, ways string) string {
	for _, k := range Kinds {
		if k.Legs == legs && k.ID != "profile" && k.ID != JogKind && (k.ways == ways || legs == 2) {
			return k.ID
		}
	}
	return "profile"
}

func (s shown) tray(t *tray) bool {
	s.Set("kind", "tray")
	s.number("tray.base[0]", &t.Base[0]).number("tray.base[1]", &t.Base[1])
	for _, side := range Sides {
		if !s.chainShown(side, t.Walls[side]) {
			return false
		}
		if len(t.Walls[side]) == 1 {
			s.Set(WallEdge(side), string(Plain))
		}
		if len(t.Walls[side]) > 1 && t.Walls[side][1].Hem == "" {
			s.Set("kind", "box")
		}
	}
	if t.Corners != nil {
		s.words("tray.corners.relief", t.Corners.Relief).number("tray.corners.size", t.Corners.Size).number("tray.corners.gap", t.Corners.Gap)
		s.words("tray.corners.tabs", t.Corners.Tabs).number("tray.corners.tab_width", t.Corners.Wide)
	}
	return true
}

// Example fills the form of a kind with a part that can be looked at and
// changed, in millimetres; the sizes are invented.
func Example(k Kind) url.Values {
	s := shown{url.Values{
		"kind": {k.ID}, "units": {"mm"}, "material": {"mild-steel"}, "thickness": {"1.5"}, "sizes": {"outside"}, "revision": {"A"},
	}}
	if k.Tray() {
		s.exampleTray(k)
		return s.Values
	}
	s.Set("profile.length", "400")
	if k.ID == JogKind {
		s.words("profile.legs[0]", "40").words("profile.legs[1]", "40").words(JogOffset, "10").words(JogAngle, "45").words(JogAngle+".way", "up")
		return s.Values
	}
	for i := range k.Legs {
		leg := []string{"40", "60", "60", "60", "40"}[min(i, 4)]
		if k.Legs == 5 {
			leg = []string{"25", "30", "80", "30", "25"}[i]
		}
		s.Set(fmt.Sprintf("profile.legs[%d]", i), leg)
		if i > 0 {
			way := 90.0
			if i-1 < len(k.ways) && k.ways[i-1] == 'd' {
				way = -90
			}
			s.angle(fmt.Sprintf("profile.bends[%d]", i-1), way)
		}
	}
	return s.Values
}

// ExampleIn is Example in the units of a shop. In inches its sizes are as easily
// changed: an inch for 25 millimetres.
func ExampleIn(k Kind, system unit.System) url.Values {
	form := Example(k)
	if system != unit.Inch {
		return form
	}
	form.Set("units", "in")
	for name := range form {
		isLeg := strings.HasSuffix(name, ".leg") || strings.HasPrefix(name, "profile.legs[") || strings.HasPrefix(name, "tray.base[")
		if mm, err := strconv.ParseFloat(form.Get(name), 64); err == nil &&
			(isLeg || name == "thickness" || name == "profile.length" || name == JogOffset) {
			form.Set(name, text(mm/25))
		}
	}
	return form
}

func (s shown) exampleTray(k Kind) {
	s.Set("tray.base[0]", "300")
	s.Set("tray.base[1]", "200")
	s.words("thickness", "1").words("tray.corners.relief", "square")
	for _, side := range Sides {
		name := "tray.walls." + side
		s.words(name+"[0].leg", "40").angle(name+"[0].angle", 90)
		s.words(name+"[1].angle", "90").words(WallEdge(side), string(Plain))
		if k.ID == "box" {
			s.words(name+"[1].leg", "15").words(WallEdge(side), string(LipIn))
		}
	}
}
