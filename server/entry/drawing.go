package entry

import (
	"fmt"
	"maps"
	"math"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"brakeside/calc/drawing"
	"brakeside/calc/fault"
	"brakeside/calc/part"
	"brakeside/calc/unit"
	"brakeside/traveler/dxf"
)

// What a layer can mean, as the values of its field.
const (
	nothingLayer = "-"
	edgeLayer    = "outline"
	upLayer      = "up"
	downLayer    = "down"
)

// LayerMeanings are what a layer of a drawing can mean: value and words in turn.
var LayerMeanings = []string{
	nothingLayer, "nothing here", edgeLayer, "outline and openings", upLayer, "bend lines, up towards face A", downLayer, "bend lines, down",
}

// Layers reads which layers the drawing of a form has. A form that does not say
// yet what they mean is given what their names suggest.
func Layers(form url.Values) ([]string, error) {
	d, err := drawingOf(form)
	if err != nil {
		return nil, err
	}
	for i, name := range d.Layers() {
		if field := LayerField(i); !form.Has(field) {
			form.Set(field, suggested(name))
		}
	}
	return d.Layers(), nil
}

// LayerField names the field of a layer.
func LayerField(i int) string { return fmt.Sprintf("layer[%d]", i) }

// BendField names the field of the angle of one bend.
func BendField(id string) string { return "bend[" + id + "]" }

// suggested guesses what a layer means by its name.
func suggested(layer string) string {
	name := strings.ToLower(layer)
	has := func(words ...string) bool {
		for _, w := range words {
			if strings.Contains(name, w) {
				return true
			}
		}
		return false
	}
	switch {
	case has("bend", "fold") && has("down", "dn", "neg"):
		return downLayer
	case has("bend", "fold"):
		return upLayer
	case has("cut", "outline", "contour", "profile", "edge", "hole", "opening", "slot"):
		return edgeLayer
	}
	return nothingLayer
}

func drawingOf(form url.Values) (*dxf.Drawing, error) {
	if strings.TrimSpace(form.Get("text")) == "" {
		return nil, fault.New(fault.Invalid, "text", "Choose a drawing.")
	}
	return dxf.Read([]byte(form.Get("text")), dxf.Units(form.Get("drawn_in")))
}

// DrawnPart is what was made of a drawing.
type DrawnPart struct {
	File       []byte
	Bends      []string    // their ids
	Used, Left []dxf.Tally // what was used of the drawing and what was left out, also where there is no file
}

// Drawn makes the part file of a form that holds a drawing. A refusal is about a
// field of the form, or names a place in the drawing.
func Drawn(form url.Values) (out DrawnPart, err error) {
	d, err := drawingOf(form)
	if err != nil {
		return out, err
	}
	t := &typed{form: form, system: unit.Metric}
	if form.Get("units") == "in" {
		t.system = unit.Inch
	}
	p := t.drawnPart()
	s := sortedBy(form, d)
	s.Angles = t.angles()
	out.Used, out.Left = s.Account()
	if t.faults == nil && len(s.Outline) == 0 {
		t.refuse(LayerField(0), "Say which layer the outline is on.")
	}
	if wide, high := d.Size(); d.Doubtful() {
		t.refuse("drawn_in", "The drawing does not say its unit, and is %.4g by %.4g. Say whether it is drawn in millimetres or in inches.",
			wide, high)
	}
	if err := fault.Together(t.faults); err != nil {
		return out, err
	}
	p, read, err := s.Into(p)
	if err != nil {
		return out, err
	}
	for _, b := range read.Flat.Bends {
		out.Bends = append(out.Bends, b.ID)
	}
	out.File, err = part.Write(p)
	return out, err
}

// sortedBy takes what the layers mean from a form.
func sortedBy(form url.Values, d *dxf.Drawing) dxf.Sorted {
	s := dxf.Sorted{Drawing: d}
	for i, name := range d.Layers() {
		switch form.Get(LayerField(i)) {
		case edgeLayer:
			s.Outline = append(s.Outline, name)
		case upLayer:
			s.Up = append(s.Up, name)
		case downLayer:
			s.Down = append(s.Down, name)
		}
	}
	return s
}

// drawnPart reads what is typed beside a drawing.
func (t *typed) drawnPart() part.Part {
	p := part.Part{
		Number: t.words("number"), Title: t.words("title"), Revision: t.words("revision"), Inch: t.system == unit.Inch,
		Material: t.words("material"), Gauge: t.words("gauge"), Grain: t.words("grain"), MarkedFace: t.words("marked_face"),
		Thickness: t.sized("thickness"), InsideRadius: t.sized("inside_radius"),
	}
	p.Tolerance.Length = t.sized("tolerance.length")
	if a := t.number("tolerance.angle"); a != nil {
		p.Tolerance.Angle = unit.Deg(*a)
	}
	if k := t.number("k"); k != nil {
		p.K = *k
	}
	return p
}

// sized is a length that may be left out; 0 when it is.
func (t *typed) sized(name string) unit.MM {
	l := t.length(name)
	if l == nil {
		return 0
	}
	if *l <= 0 {
		t.refuse(name, "This size must be more than nothing.")
	}
	return unit.MM(*l) * t.system.PerUnit()
}

// angles reads the bend angles: one of all bends, and those of some.
func (t *typed) angles() drawing.Angles {
	out := drawing.Angles{All: 90, Of: map[string]unit.Deg{}}
	if a := t.turn("angle"); a != 0 {
		out.All = a
	}
	for _, name := range slices.Sorted(maps.Keys(t.form)) {
		if id, found := strings.CutPrefix(name, "bend["); found {
			if a := t.turn(name); a != 0 {
				out.Of[strings.TrimSuffix(id, "]")] = a
			}
		}
	}
	return out
}

// turn reads a bend angle of a drawing; 0 for an empty field.
func (t *typed) turn(name string) unit.Deg {
	text := t.words(name)
	if text == "" {
		return 0
	}
	a, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsNaN(a) || math.Abs(a) >= 180 || a == 0 {
		t.refuse(name, "%.20q is no bend angle; write more than 0 and less than 180, with - before it to fold the other way", text)
		return 0
	}
	return unit.Deg(a)
}
