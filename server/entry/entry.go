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
	"math"
	"net/url"
	"strconv"
	"strings"

	"brakeside/calc/fault"
	"brakeside/calc/unit"
)

// Kinds lists the shapes that the form knows, in the order they are offered.
var Kinds = []Kind{
	{"l", "L", 2, ""}, {"z", "Z", 3, "ud"}, {"u", "U", 3, "uu"}, {"hat", "Hat", 5, "duud"},
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

// Sides are the sides of a tray in the order of the form.
var Sides = []string{"left", "right", "front", "back"}

// file is as much of a part file as the form holds.
type file struct {
	Number       string     `json:"number"`
	Title        string     `json:"title,omitempty"`
	Revision     string     `json:"revision,omitempty"`
	Units        string     `json:"units"`
	Material     string     `json:"material"`
	Thickness    *float64   `json:"thickness,omitempty"`
	Gauge        string     `json:"gauge,omitempty"`
	InsideRadius *float64   `json:"inside_radius,omitempty"`
	K            *float64   `json:"k,omitempty"`
	Sizes        string     `json:"sizes,omitempty"`
	Over90       string     `json:"over_90,omitempty"`
	Grain        string     `json:"grain,omitempty"`
	MarkedFace   string     `json:"marked_face,omitempty"`
	Tolerance    *tolerance `json:"tolerance,omitempty"`
	Profile      *profile   `json:"profile,omitempty"`
	Tray         *tray      `json:"tray,omitempty"`
}

type tolerance struct {
	Angle  *float64 `json:"angle,omitempty"`
	Length *float64 `json:"length,omitempty"`
}

type profile struct {
	Length float64   `json:"length"`
	Legs   []float64 `json:"legs"`
	Bends  []float64 `json:"bends"`
}

type tray struct {
	Base    [2]float64        `json:"base"`
	Walls   map[string][]wall `json:"walls"`
	Corners *corners          `json:"corners,omitempty"`
}

type wall struct {
	Leg   float64  `json:"leg"`
	Angle *float64 `json:"angle,omitempty"`
}

type corners struct {
	Relief string   `json:"relief,omitempty"`
	Size   *float64 `json:"size,omitempty"`
	Gap    *float64 `json:"gap,omitempty"`
}

// File writes the part file of a filled form. It refuses with fault.Invalid,
// on the field, what is no number; what numbers can be a part is for the reader
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
		f.Profile = t.profile()
	}
	if t.err != nil {
		return nil, t.err
	}
	text, err := json.MarshalIndent(f, "", " ")
	return append(text, '\n'), err
}

// typed reads the fields of a form and keeps the first refusal.
type typed struct {
	form   url.Values
	system unit.System
	err    error
}

func (t *typed) words(name string) string { return strings.TrimSpace(t.form.Get(name)) }

func (t *typed) refuse(name, format string, values ...any) {
	if t.err == nil {
		t.err = fault.New(fault.Invalid, name, format, values...)
	}
}

// number reads a plain number; nil for an empty field.
func (t *typed) number(name string) *float64 {
	text := t.words(name)
	if text == "" {
		return nil
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		t.refuse(name, "%.20q is not a number; write for example 1.5", text)
		return nil
	}
	return &v
}

// length reads a length into the units of the part; nil for an empty field.
func (t *typed) length(name string) *float64 {
	text := t.words(name)
	if text == "" {
		return nil
	}
	l, err := unit.ParseMM(text, t.system)
	if err != nil {
		t.refuse(name, "%.20q is not a length; write for example 34, 34 mm or 1 1/2 in", text)
		return nil
	}
	v := math.Round(float64(l/t.system.PerUnit())*1e6) / 1e6
	return &v
}

// must reads a length that the shape cannot do without.
func (t *typed) must(name string) float64 {
	if l := t.length(name); l != nil {
		return *l
	}
	t.refuse(name, "This size is missing.")
	return 0
}

// angle reads a bend angle and its way; nil for an empty field.
func (t *typed) angle(name string) *float64 {
	a := t.number(name)
	if a != nil && t.form.Get(name+".way") == "down" {
		*a = -*a
	}
	return a
}

func (t *typed) profile() *profile {
	p := &profile{Length: t.must("profile.length"), Legs: []float64{}, Bends: []float64{}}
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
		for i := range 2 {
			name := fmt.Sprintf("tray.walls.%s[%d]", side, i)
			leg := t.length(name + ".leg")
			if leg == nil {
				break
			}
			out.Walls[side] = append(out.Walls[side], wall{*leg, t.angle(name + ".angle")})
		}
	}
	relief, size, gap := t.words("tray.corners.relief"), t.length("tray.corners.size"), t.length("tray.corners.gap")
	if relief != "" || size != nil || gap != nil {
		out.Corners = &corners{relief, size, gap}
	}
	return out
}

// Form gives what the form shows for a part file, and whether it holds all of
// it. A part with holes, mitred lips or a blank of its own is edited as a file.
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
	if f.Tray != nil {
		return v.Values, v.tray(f.Tray)
	}
	return v.Values, v.profile(f.Profile)
}

// shown fills the fields of a form.
type shown struct{ url.Values }

func (s shown) words(name, text string) shown {
	if text != "" {
		s.Set(name, text)
	}
	return s
}

func (s shown) number(name string, v *float64) shown {
	if v != nil {
		s.Set(name, strconv.FormatFloat(*v, 'f', -1, 64))
	}
	return s
}

func (s shown) angle(name string, a float64) shown {
	way := "up"
	if a < 0 {
		way, a = "down", -a
	}
	s.Set(name+".way", way)
	return s.number(name, &a)
}

func (s shown) profile(p *profile) bool {
	if len(p.Legs) != len(p.Bends)+1 || len(p.Legs) > MostLegs {
		return false
	}
	ways := ""
	s.number("profile.length", &p.Length)
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
		if k.Legs == legs && k.ID != "profile" && (k.ways == ways || legs == 2) {
			return k.ID
		}
	}
	return "profile"
}

func (s shown) tray(t *tray) bool {
	s.Set("kind", "tray")
	s.number("tray.base[0]", &t.Base[0]).number("tray.base[1]", &t.Base[1])
	for _, side := range Sides {
		if len(t.Walls[side]) > 2 {
			return false
		}
		for i, w := range t.Walls[side] {
			name := fmt.Sprintf("tray.walls.%s[%d]", side, i)
			s.number(name+".leg", &w.Leg)
			angle := 90.0
			if w.Angle != nil {
				angle = *w.Angle
			}
			s.angle(name+".angle", angle)
			if i > 0 {
				s.Set("kind", "box")
			}
		}
	}
	if t.Corners != nil {
		s.words("tray.corners.relief", t.Corners.Relief).number("tray.corners.size", t.Corners.Size).number("tray.corners.gap", t.Corners.Gap)
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

func (s shown) exampleTray(k Kind) {
	s.Set("tray.base[0]", "300")
	s.Set("tray.base[1]", "200")
	s.words("thickness", "1").words("tray.corners.relief", "square")
	for _, side := range Sides {
		name := "tray.walls." + side
		s.words(name+"[0].leg", "40").angle(name+"[0].angle", 90)
		s.angle(name+"[1].angle", 90)
		if k.ID == "box" {
			s.words(name+"[1].leg", "15")
		}
	}
}
