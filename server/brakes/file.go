package brakes

import (
	"encoding/json"
	"fmt"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"brakeside/calc/fault"
	"brakeside/server/shelf"
	"brakeside/server/web"
)

// A brake is kept as its file. The form shows the values of the file as fields
// named by their place in it, and puts what is typed back into the same places:
// what the form does not show stays as it is.

// The headings of the groups that a new brake has twelve figures for.
const (
	machineHeading = "Machine"
	barHeading     = "Bar: "
)

// brakeFields names the values of a brake that are the machine's own, in the
// order of the form.
var brakeFields = []struct {
	heading string
	more    bool
	fields  [][3]string // name, label, unit
}{
	{machineHeading, false, [][3]string{
		{"name", "Name", ""}, {"usable_length", "Usable length", "mm"},
		{"bed.depth", "Bed depth", "mm"}, {"bed.height", "Bed height", "mm"},
		{"leaf.full_face", "Leaf face with the extension", "mm"}, {"leaf.slim_face", "Leaf face without", "mm"},
		{"leaf.thickness", "Leaf thickness", "mm"}, {"leaf.max_angle", "Leaf opens to (max)", "°"},
		{"leaf.slim_rating_t", "Slim leaf is rated for", "mm"},
	}},
	{"Stop scale", false, [][3]string{{"stop_scale.reads", "The scale shows", ""}, {"stop_scale.zero", "Zero error", "°"}}},
	{"Nose setback and clearances", false, [][3]string{
		{"nose_setback.add", "Nose setback: allowance", "mm"}, {"nose_setback.times_t", "and times the thickness", ""},
		{"nose_setback.times_r_minus_t", "and times radius less thickness", ""},
		{"clearance.bar", "Clearance to the bar", "mm"}, {"clearance.nose", "to its nose slope", "mm"},
		{"clearance.bed_and_leaf", "to bed and leaf", "mm"}, {"overbend_swept", "Overbend checked", "°"},
		{"min_clamped_strip", "Least clamped strip", "mm"}, {"part_contact_allowance", "Contact allowance", "mm"},
	}},
	{"Back stop", false, [][3]string{
		{"back_stop.from", "Can be set behind the hinge line from", "mm"}, {"back_stop.to", "to", "mm"},
		{"back_stop.height", "Stands above the bed, if known", "mm"},
	}},
	{"Ratings", false, [][3]string{
		{"rating_length", "Rated at length", "mm"}, {"rating_cap", "Short bends up to, times the rating", ""},
		{"rating_factor.mild-steel", "Load factor, mild steel", ""}, {"rating_factor.stainless", "Load factor, stainless (mild steel = 1)", ""},
		{"rating_factor.aluminium", "Load factor, aluminium (mild steel = 1)", ""},
		{"magnet.pressure", "Magnet, pressure under the bar", "N/mm²"}, {"magnet.margin", "Hold over load, at least", ""},
	}},
	{"Controls", false, [][3]string{
		{"controls.foot", "Foot control for the leaf, yes or no", ""},
		{"controls.two_hand", "Two-hand start of the clamp, yes or no", ""},
	}},
	{"Minutes of handling", true, [][3]string{
		{"minutes.bend", "A bend", "min"}, {"minutes.first_setup", "First set-up", "min"},
		{"minutes.turn_over", "Turn over", "min"}, {"minutes.rotate_per_90", "Rotate by 90°", "min"},
		{"minutes.bar_change", "Change the bar", "min"}, {"minutes.per_finger_placed", "Place a finger", "min"},
		{"minutes.leaf_extension_change", "Leaf extension on or off", "min"}, {"minutes.stop_change", "Set the stop", "min"},
		{"minutes.slide_bar_out", "Slide a bar out", "min"}, {"minutes.packing_strip", "Packing strip", "min"},
		{"minutes.part_at_brake_end", "Part past the end", "min"}, {"minutes.heavier_side_swings", "Heavier side swings", "min"},
		{"minutes.set_nose_back", "Set the nose back anew", "min"}, {"minutes.hold_within_margin", "Hold within its margin", "min"},
		{"minutes.placed_by_eye", "Placed by eye to less than 1 mm", "min"}, {"minutes.bar_end_at_wall", "Bar end within 1 mm of a wall", "min"},
		{"minutes.bend_end_at_brake_end", "Bend ends at the brake's end", "min"},
	}},
}

// barFields are the values of one bar.
var barFields = [][3]string{
	{"name", "Name", ""}, {"kind", "Kind", ""}, {"depth", "Depth", "mm"}, {"height", "Height", "mm"}, {"length", "Length", "mm"},
	{"rating_t", "Rated, mild steel", "mm"}, {"max_angle", "Up to", "°"}, {"nose_radius", "Nose, rounded by", "mm"},
	{"outside_radius", "Radius of a round bar", "mm"}, {"section", "Cross-section points, back and up", "mm"},
	{"widths", "Fingers, widths", "mm"}, {"joint_gap_max", "Widest gap between fingers", "mm"},
	{"end_gap", "Gap to a wall: least to its face, most to its curve", "mm"}, {"unsupported_end_max", "Bend past the fingers, most", "mm"},
	{"slots.first", "First slot at", "mm"}, {"slots.pitch", "Slots every", "mm"}, {"slots.count", "Slots", ""},
	{"slots.width", "Slot, wide", "mm"}, {"slots.height", "Slot, high", "mm"},
}

// meanings say of values what they are, where their name does not.
var meanings = map[string]string{
	"stop_scale.zero":        "what the scale shows with the leaf flat",
	"nose_setback.add":       "the nose stands so far behind the hinge, and by the two below more",
	"clearance.bar":          "kept between part and bar over the whole swing",
	"clearance.nose":         "kept below the slope of the nose",
	"clearance.bed_and_leaf": "kept between part, bed and leaf",
	"overbend_swept":         "how far past the target is looked for room",
	"min_clamped_strip":      "less than this under the bar is not held",
	"part_contact_allowance": "how far two faces of one part may nominally overlap",
	"back_stop.from":         "empty: there is no back stop",
	"rating_length":          "the ratings of the bars are for a bend of this length",
	"rating_cap":             "how far a short bend may go past the rating",
	"magnet.pressure":        "empty: the bars are not held by a magnet",
	"magnet.margin":          "less is warned of",
	"minutes.bend":           "what a plan counts for each doing; the log corrects it",
	"section":                "as 0 / 0, 9 / 21: behind the nose and above the sheet",
	"widths":                 "such as 20 30 40",
}

// textFields hold words, yesNoFields yes or no; all others hold numbers.
var (
	textFields  = []string{"name", "kind", "stop_scale.reads"}
	yesNoFields = []string{"controls.foot", "controls.two_hand"}
)

// yesNo is how a form says what is true.
var yesNo = map[bool]string{true: "yes", false: "no"}

// at finds a value by its place below another.
func at(root any, name string) (any, bool) {
	for _, key := range strings.Split(name, ".") {
		fields, ok := root.(map[string]any)
		if !ok {
			return nil, false
		}
		if root, ok = fields[key]; !ok {
			return nil, false
		}
	}
	return root, true
}

// barsOf gives the bars of a brake file.
func barsOf(root map[string]any) []map[string]any {
	list, _ := root["bars"].([]any)
	var out []map[string]any
	for _, item := range list {
		if bar, ok := item.(map[string]any); ok {
			out = append(out, bar)
		}
	}
	return out
}

// brakeGroups lists the fields of a brake's form, filled from its file.
func brakeGroups(file []byte) ([]web.Group, error) {
	root, err := shelf.Decoded(file)
	if err != nil {
		return nil, nil // the trouble is told above the form
	}
	var groups []web.Group
	for _, g := range brakeFields {
		groups = append(groups, fieldsOf(g.heading, "", root, g.fields))
		groups[len(groups)-1].More = g.more
	}
	for i, bar := range barsOf(root) {
		name, _ := bar["name"].(string)
		groups = append(groups, fieldsOf(barHeading+name, fmt.Sprintf("bars[%d].", i), bar, barFields))
	}
	return groups, nil
}

// fieldsOf makes the fields of one group; a bar shows only what it has.
func fieldsOf(heading, prefix string, root map[string]any, fields [][3]string) web.Group {
	g := web.Group{Heading: heading}
	for _, f := range fields {
		value, _ := at(root, f[0])
		if prefix != "" && !asks(root, f[0]) {
			continue
		}
		figure := !slices.Contains(textFields, f[0]) && !slices.Contains(yesNoFields, f[0])
		field := web.Field{Name: prefix + f[0], Label: f[1], Unit: f[2], Value: typedValue(value), Figure: figure, Hint: meanings[f[0]]}
		switch f[0] {
		case "stop_scale.reads":
			field.Choices = web.Choices(field.Value, "bend", "the bend angle", "opening", "the opening")
		case "kind":
			field.Choices = web.Choices(field.Value,
				"full", "bar in one piece", "slotted", "slotted bar", "segments", "fingers", "round", "round bar")
		case "section", "widths", "end_gap":
			field.Figure = false
		}
		g.Fields = append(g.Fields, field)
	}
	return g
}

// kindNeeds lists what a kind of bar is asked besides what every bar is.
var kindNeeds = map[string][]string{
	"full":     {"nose_radius"},
	"round":    {"outside_radius"},
	"segments": {"nose_radius", "widths", "joint_gap_max", "end_gap", "unsupported_end_max"},
	"slotted":  {"nose_radius", "slots.first", "slots.pitch", "slots.count", "slots.width", "slots.height"},
}

// asks reports whether the form shows a field of a bar: one it has, or one that
// its kind needs.
func asks(bar map[string]any, field string) bool {
	if _, has := at(bar, field); has {
		return true
	}
	kind, _ := bar["kind"].(string)
	return slices.Contains(kindNeeds[kind], field)
}

// typedValue writes a value as it is typed: lists with commas, corners of a
// section as pairs with a slash.
func typedValue(value any) string {
	switch v := value.(type) {
	case nil:
		return ""
	case []any:
		var parts []string
		for _, item := range v {
			if pair, ok := item.([]any); ok && len(pair) == 2 {
				parts = append(parts, typedValue(pair[0])+" / "+typedValue(pair[1]))
				continue
			}
			parts = append(parts, typedValue(item))
		}
		return strings.Join(parts, ", ")
	case json.Number:
		return v.String()
	case bool:
		return yesNo[v]
	}
	return fmt.Sprint(value)
}

// withFields puts what is typed into a brake file.
func withFields(file []byte, form url.Values) ([]byte, error) {
	root, err := shelf.Decoded(file)
	if err != nil {
		return nil, err
	}
	var faults []error
	for _, g := range brakeFields {
		for _, f := range g.fields {
			if err := put(root, place{f[0], f[0]}, form); err != nil {
				faults = append(faults, err)
			}
		}
	}
	if stop, has := root["back_stop"].(map[string]any); has && len(stop) == 0 {
		delete(root, "back_stop") // none of its fields is filled: there is none
	}
	for i, bar := range barsOf(root) {
		for _, f := range barFields {
			if err := put(bar, place{fmt.Sprintf("bars[%d].%s", i, f[0]), f[0]}, form); err != nil {
				faults = append(faults, err)
			}
		}
	}
	if err := fault.Together(faults); err != nil {
		return nil, err
	}
	return json.MarshalIndent(root, "", " ")
}

// place is a field of the form and where its value lies below a value.
type place struct{ field, path string }

// put puts one typed value into its place. An empty field takes a value away
// that was there.
func put(root map[string]any, p place, form url.Values) error {
	if !form.Has(p.field) {
		return nil
	}
	keys := strings.Split(p.path, ".")
	last := keys[len(keys)-1]
	for _, key := range keys[:len(keys)-1] {
		below, ok := root[key].(map[string]any)
		if !ok {
			below = map[string]any{}
			if form.Get(p.field) != "" {
				root[key] = below
			}
		}
		root = below
	}
	text := form.Get(p.field)
	if text == "" {
		delete(root, last)
		return nil
	}
	if slices.Contains(textFields, p.path) {
		root[last] = text
		return nil
	}
	if slices.Contains(yesNoFields, p.path) {
		if text = strings.ToLower(text); text != yesNo[true] && text != yesNo[false] {
			return fault.New(fault.Invalid, p.field, "write yes or no")
		}
		root[last] = text == yesNo[true]
		return nil
	}
	value, err := typedNumbers(p.path, text)
	if err != nil {
		return fault.New(fault.Invalid, p.field, "%s", err.Error())
	}
	root[last] = value
	return nil
}

// typedNumbers reads a number, a list of numbers, or the corners of a section.
func typedNumbers(path, text string) (any, error) {
	switch path {
	case "section", "widths", "end_gap":
	default:
		return number(text)
	}
	list := []any{}
	for _, part := range listed(path, text) {
		if strings.TrimSpace(part) == "" {
			continue
		}
		pair := strings.Split(part, "/")
		first, err := number(pair[0])
		if err != nil {
			return nil, err
		}
		if path != "section" {
			list = append(list, first)
			continue
		}
		if len(pair) != 2 {
			return nil, fmt.Errorf("%.20q is no corner; write how far back and how far up, such as 9 / 21", strings.TrimSpace(part))
		}
		second, err := number(pair[1])
		if err != nil {
			return nil, err
		}
		list = append(list, []any{first, second})
	}
	return list, nil
}

// listed takes a list apart: between commas, semicolons or blanks, but the two figures
// of a corner belong together.
func listed(path, text string) []string {
	if path == "section" {
		return strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ';' })
	}
	return strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ';' || unicode.IsSpace(r) })
}

func number(text string) (json.Number, error) {
	text = strings.TrimSpace(text)
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || v != v || v > 1e9 || v < -1e9 {
		return "", fmt.Errorf("%.20q is not a number; write for example 1.5", text)
	}
	return json.Number(strconv.FormatFloat(v, 'f', -1, 64)), nil
}

// fingersOf lists the fingers of a bar and which of them are missing.
func fingersOf(file []byte, name string) ([]fingerView, error) {
	root, err := shelf.Decoded(file)
	if err != nil {
		return nil, err
	}
	for i, bar := range barsOf(root) {
		if bar["name"] != name {
			continue
		}
		gone := numbers(bar["missing"])
		var out []fingerView
		for k, width := range numbers(bar["widths"]) {
			at := slices.Index(gone, width)
			out = append(out, fingerView{fmt.Sprintf("missing-%d-%d", i, k), width, at >= 0})
			if at >= 0 {
				gone = slices.Delete(gone, at, at+1)
			}
		}
		return out, nil
	}
	return nil, nil
}

// numbers gives a list of numbers as they are written.
func numbers(value any) []string {
	list, _ := value.([]any)
	var out []string
	for _, item := range list {
		out = append(out, typedValue(item))
	}
	return out
}

// withMissing notes in a brake file which fingers were ticked as missing.
func withMissing(file []byte, form url.Values) ([]byte, error) {
	root, err := shelf.Decoded(file)
	if err != nil {
		return nil, err
	}
	for i, bar := range barsOf(root) {
		var gone []any
		for k, width := range numbers(bar["widths"]) {
			if form.Has(fmt.Sprintf("missing-%d-%d", i, k)) {
				gone = append(gone, json.Number(width))
			}
		}
		if gone == nil {
			delete(bar, "missing")
		} else {
			bar["missing"] = gone
		}
	}
	return json.MarshalIndent(root, "", " ")
}

// fingerView is one finger of a set, and whether it is on the shelf.
type fingerView struct {
	Field, Width string
	Missing      bool
}
