package entry

import (
	"brakeside/calc/fault"
	"brakeside/calc/unit"
	"math"
	"net/url"
	"slices"
	"strconv"
	"strings"
)

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
	Holes        []hole     `json:"holes,omitempty"`
}

// hole is a round hole of a face.
type hole struct {
	Face     string     `json:"face"`
	At       [2]float64 `json:"at"`
	Diameter float64    `json:"diameter"`
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
	Leg   float64     `json:"leg"`
	Angle *float64    `json:"angle,omitempty"`
	Mitre float64     `json:"mitre,omitempty"`
	Hem   string      `json:"hem,omitempty"`
	Span  *[2]float64 `json:"span,omitempty"`
}

type corners struct {
	Relief string   `json:"relief,omitempty"`
	Size   *float64 `json:"size,omitempty"`
	Gap    *float64 `json:"gap,omitempty"`
	Tabs   string   `json:"tabs,omitempty"`
	Wide   *float64 `json:"tab_width,omitempty"`
}

// typed reads the fields of a form and keeps what it refuses.
type typed struct {
	form   url.Values
	system unit.System
	faults []error // one a field
}

func (t *typed) words(name string) string { return strings.TrimSpace(t.form.Get(name)) }

func (t *typed) refuse(name, format string, values ...any) {
	if !slices.ContainsFunc(t.faults, func(err error) bool { return err.(*fault.Refusal).Field == name }) {
		t.faults = append(t.faults, fault.New(fault.Invalid, name, format, values...))
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

func text(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
