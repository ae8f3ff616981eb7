package brakes

import (
	"encoding/json"
	"fmt"
	"math"
	"net/url"
	"strings"

	"brakeside/calc/fault"
	"brakeside/server/say"
	"brakeside/server/shelf"
	"brakeside/server/web"
)

// A new brake is entered by twelve figures that its owner can measure. What they do not
// say is taken as is usual and stands folded away below them.

// measure is one of the twelve: where to measure it, and its letter in the drawing.
type measure struct {
	field, label, letter string
	sort                 sortOfMeasure
	where, with          string
}

type sortOfMeasure int

const (
	aName sortOfMeasure = iota
	aLength
	anAngle
	lengths
)

// guided is the field that says that a form is the one of the twelve figures.
const guided = "guided"

var measures = []measure{
	{"guide.name", "Name of the brake", "", aName, "as people in the shop call it", ""},
	{"guide.length", "Usable length", "A", aLength, "along the hinge, from where a bar can begin to where it must end", "tape"},
	{"guide.bed_depth", "Bed depth", "B", aLength, "from the hinge line straight back to the end of the bed's flat top", "tape"},
	{"guide.bed_height", "Bed height", "C", aLength, "from the bed's top down to the first thing that stands out", "tape"},
	{"guide.leaf_face", "Leaf width", "D", aLength, "from the hinge line forward to the front edge of the leaf, the leaf down", "rule"},
	{"guide.leaf_thickness", "Leaf thickness", "E", aLength, "from its face down to its lowest edge, the leaf down", "rule"},
	{"guide.leaf_angle", "Leaf opens to (max)", "F", anAngle, "what it swings through from flat; square is 90", "protractor"},
	{"guide.bar_depth", "Bar depth", "G", aLength, "the widest clamp bar, from its nose straight back", "rule"},
	{"guide.bar_height", "Bar height", "H", aLength, "from the sheet it lies on to its top", "rule"},
	{"guide.nose_angle", "Nose angle", "I", anAngle, "between the bed and the sloping front of the bar", "protractor"},
	{"guide.fingers", "Widths of the fingers", "K", lengths, "of every finger, such as 20 30 40; empty: there are none", "caliper"},
	{"guide.rating", "Rated, mild steel", "L", aLength, "the thickest over the whole length, from the machine's manual or plate", ""},
}

// guidePlaces tells beside which of them a refusal of the brake file belongs, by the
// beginning of its place.
var guidePlaces = [][2]string{
	{"name", "guide.name"}, {"usable_length", "guide.length"}, {"rating_length", "guide.length"},
	{"bed.depth", "guide.bed_depth"}, {"bed.height", "guide.bed_height"},
	{"leaf.full_face", "guide.leaf_face"}, {"leaf.slim_face", "guide.leaf_face"},
	{"leaf.thickness", "guide.leaf_thickness"}, {"leaf.max_angle", "guide.leaf_angle"},
	{"bars[0].depth", "guide.bar_depth"}, {"bars[0].height", "guide.bar_height"}, {"bars[0].section", "guide.nose_angle"},
	{"bars[0].length", "guide.length"}, {"bars[0].rating_t", "guide.rating"}, {"bars[1].widths", "guide.fingers"},
	{"bars[1].", "guide.fingers"}, {"bars[0].", "guide.bar_depth"},
}

// besideMeasure moves the refusals of a brake file beside the figures they come of.
func besideMeasure(err error) error {
	var moved []error
	for _, r := range fault.Each(err) {
		own := *r
		for _, p := range guidePlaces {
			if strings.HasPrefix(own.Field, p[0]) {
				own.Field = p[1]
				break
			}
		}
		moved = append(moved, &own)
	}
	if moved == nil {
		return err
	}
	return fault.Together(moved)
}

// guideGroups lists the fields of the form of a new brake: the twelve, and folded away
// what is usual.
func guideGroups(base []byte, u say.Ruler) ([]web.Group, error) {
	first := web.Group{Heading: "Measure these"}
	for _, m := range measures {
		f := web.Field{Name: m.field, Label: m.label, Hint: m.where, Needed: m.sort != lengths}
		if m.letter != "" {
			f.Label = m.letter + ": " + m.label
		}
		switch m.sort {
		case aLength:
			f.Unit, f.Figure = u.Unit(), true
		case lengths:
			f.Unit = u.Unit()
		case anAngle:
			f.Unit, f.Figure = "°", true
		}
		first.Fields = append(first.Fields, f)
	}
	rest, err := brakeGroups(base)
	groups := []web.Group{first}
	for _, g := range rest {
		if g.Heading != machineHeading && !strings.HasPrefix(g.Heading, barHeading) {
			g.More = true
			groups = append(groups, g)
		}
	}
	return groups, err
}

// usual is the brake file that the twelve figures are put into: how it is handled and
// what is kept clear as in the example, a bar in one piece and fingers, and nothing
// that is not known of this brake, such as a magnet.
func (s *Section) usual() ([]byte, error) {
	root, err := shelf.Decoded(s.example)
	if err != nil {
		return nil, err
	}
	for _, unknown := range []string{"magnet", "controls", "back_stop"} {
		delete(root, unknown)
	}
	if minutes, has := root["minutes"].(map[string]any); has {
		delete(minutes, "bar_preference")
	}
	var bars []any
	for _, kind := range []string{"full", "segments"} {
		for _, bar := range barsOf(root) {
			if bar["kind"] == kind {
				bar["name"] = map[string]string{"full": "bar", "segments": "fingers"}[kind]
				delete(bar, "missing")
				bars = append(bars, bar)
				break
			}
		}
	}
	root["bars"] = bars
	return json.MarshalIndent(root, "", " ")
}

// measured reads the twelve figures; its faults are each beside a field.
type measured struct {
	form   url.Values
	ruler  say.Ruler
	faults []error
}

func (m *measured) refuse(field, format string, values ...any) {
	m.faults = append(m.faults, fault.New(fault.Invalid, field, format, values...))
}

func (m *measured) length(field string) float64 {
	if m.form.Get(field) == "" {
		m.refuse(field, "This figure is missing.")
		return 0
	}
	v, err := m.ruler.Read(field, m.form.Get(field))
	if err != nil {
		m.faults = append(m.faults, err)
	}
	return math.Round(float64(v)*1000) / 1000
}

func (m *measured) angle(field string, least, most float64) float64 {
	text := strings.TrimSpace(strings.TrimSuffix(m.form.Get(field), "°"))
	n, err := number(text)
	v, _ := n.Float64()
	if err != nil || v < least || v > most {
		m.refuse(field, "Give an angle from %v to %v degrees, not %.20q.", least, most, text)
	}
	return v
}

// widths reads the widths of the fingers.
func (m *measured) widths(field string) []any {
	var out []any
	for _, text := range listed(field, m.form.Get(field)) {
		v, err := m.ruler.Read(field, text)
		if err != nil {
			m.faults = append(m.faults, err)
			return nil
		}
		out = append(out, math.Round(float64(v)*1000)/1000)
	}
	return out
}

// noseEdge is how high the blunt edge of a nose is below its slope, in millimetres.
// Common practice, no source.
const noseEdge = 0.6

// section is the cross-section of a bar of three figures: a nose that slopes at an
// angle from the bed, a flat top, a square back.
func (m *measured) section(depth, height, angle float64) []any {
	slope := (height - noseEdge) / math.Tan(angle*math.Pi/180)
	switch {
	case depth <= 0 || height <= noseEdge || angle <= 0:
		return nil // told beside the figure
	case slope > depth:
		m.refuse("guide.nose_angle", "At %v° the slope of a bar %v high is %.0f long, and the bar is %v deep. Measure it from the bed.",
			angle, height, slope, depth)
		return nil
	}
	corner := func(back, up float64) []any { return []any{math.Round(back*1000) / 1000, up} }
	out := []any{corner(0, 0), corner(0, noseEdge)}
	if slope < depth {
		out = append(out, corner(slope, height))
	}
	return append(out, corner(depth, height), corner(depth, 0))
}

// fingersRated is what fingers are rated for beside a bar in one piece, where nothing
// else is known. Common practice, no source.
const fingersRated = 0.75

// guidedFile puts the twelve figures into a brake file.
func guidedFile(base []byte, form url.Values, u say.Ruler) ([]byte, error) {
	root, err := shelf.Decoded(base)
	if err != nil {
		return nil, err
	}
	m := &measured{form: form, ruler: u}
	name := strings.TrimSpace(form.Get("guide.name"))
	if name == "" {
		m.refuse("guide.name", "Give the brake a name.")
	}
	length := m.length("guide.length")
	root["name"], root["usable_length"], root["rating_length"] = name, length, length
	root["bed"] = map[string]any{"depth": m.length("guide.bed_depth"), "height": m.length("guide.bed_height")}
	face, thick, rating := m.length("guide.leaf_face"), m.length("guide.leaf_thickness"), m.length("guide.rating")
	root["leaf"] = map[string]any{
		"full_face": face, "slim_face": face, "thickness": thick, "slim_rating_t": rating,
		"max_angle": m.angle("guide.leaf_angle", 1, 170),
	}
	depth, height := m.length("guide.bar_depth"), m.length("guide.bar_height")
	section := m.section(depth, height, m.angle("guide.nose_angle", 15, 90))
	bars := barsOf(root)
	if len(bars) != 2 {
		return nil, fmt.Errorf("the usual brake has %d bars", len(bars))
	}
	for i, bar := range bars {
		bar["depth"], bar["height"], bar["section"] = depth, height, section
		bar["rating_t"] = math.Round(rating*[]float64{1, fingersRated}[i]*100) / 100
	}
	bars[0]["length"] = length
	bars[1]["widths"] = m.widths("guide.fingers")
	if bars[1]["widths"].([]any) == nil {
		root["bars"] = []any{bars[0]}
	}
	if err := fault.Together(m.faults); err != nil {
		return nil, err
	}
	return json.MarshalIndent(root, "", " ")
}
