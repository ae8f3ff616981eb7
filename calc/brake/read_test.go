package brake

import (
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"reflect"
	"strings"
	"testing"

	"brakeside/calc/fault"
	"brakeside/calc/geom"
	"brakeside/calc/unit"
)

func TestReadSuiteBrake(t *testing.T) {
	b := suite(t)
	for _, test := range []struct {
		field     string
		got, want any
	}{
		{"name", b.Name, "Reference brake (invented)"}, {"usable_length", b.UsableLength, unit.MM(1180)}, {"bed", b.Bed, Bed{98, 150}},
		{"leaf", b.Leaf, Leaf{62, 18, 40, 130, 1}}, {"bars", len(b.Bars), 4}, {"rating_length", b.RatingLength, unit.MM(1180)},
		{"rating_cap", b.RatingCap, 1.25}, {"nose_setback", b.NoseSetback, NoseSetback{0.3, 1, 0.5}}, {"clearance", b.Clearance, Clearance{1.5, 0.3, 0.3}},
		{"overbend_swept", b.OverbendSwept, unit.Deg(2)}, {"min_clamped_strip", b.LeastClampedStrip, unit.MM(10)},
		{"part_contact_allowance", b.PartContactAllowance, unit.MM(0.6)}, {"stop_scale", b.Scale, Scale{}}, {"magnet", b.Magnet, Magnet{0.35, 2}},
		{"clamping", b.Clamping, LooseBar}, {"leaf_extension_change", b.Minutes.LeafChange, 2.5}, {"stop_change", b.Minutes.StopChange, 0.4},
		{"per_finger_placed", b.Minutes.PerFinger, 0.2}, {"bar_preference", b.Minutes.BarPreference["fingers"], 0.25}, {"first_setup", b.Minutes.FirstSetup, 0.4},
		{"back_stop", b.BackStop, BackStop{}}, {"stainless", b.RatingFactor["stainless"], 1.3},
	} {
		if test.got != test.want {
			t.Errorf("%s = %v, want %v", test.field, test.got, test.want)
		}
	}
	wide := Bar{Name: "wide", Kind: FullBar, Depth: 74, Height: 27, Length: 1180, Rating: 1.6,
		Section: geom.Polygon{{X: 0, Y: 0}, {X: 74, Y: 0}, {X: 74, Y: 27}, {X: 26.4, Y: 27}, {X: 0, Y: 0.6}}}
	sectionArea := b.Bars[0].Section.Area()
	near(t, "area of the wide section", sectionArea, wide.Section.Area(), 1e-9)
	b.Bars[0].Section = wide.Section
	if !reflect.DeepEqual(b.Bars[0], wide) {
		t.Errorf("bars[0] = %+v, want %+v", b.Bars[0], wide)
	}
	if b.Bars[1].MaxAngle != 116 || b.Bars[1].Name != "narrow" {
		t.Errorf("bars[1] = %+v", b.Bars[1])
	}
	if want := (Slots{36, 24, 46, 7, 31, 0.5}); b.Bars[2].Slots != want || b.Bars[2].Kind != Slotted {
		t.Errorf("slots = %+v, want %+v", b.Bars[2].Slots, want)
	}
	f := b.Bars[3]
	if fmt.Sprint(f.Widths) != "[22 28 37 50 68 91 124 168 227 306]" || f.JointGapMax != 1 || f.EndGap != [2]unit.MM{1.5, 4.5} || f.UnsupportedEndMax != 8 || f.UnsupportedInsideMax != 10 {
		t.Errorf("fingers = %+v", f)
	}
}

// changed reads the suite's brake with one value changed; path is a JSON
// pointer, and a nil value takes the field away.
func changed(t testing.TB, path string, value any) []byte {
	t.Helper()
	data, err := os.ReadFile("../../testdata/suite/brake.json")
	if err != nil {
		t.Fatal(err)
	}
	var whole any
	if err := json.Unmarshal(data, &whole); err != nil {
		t.Fatal(err)
	}
	names := strings.Split(path[1:], "/")
	at := whole
	for i, name := range names {
		last := i == len(names)-1
		switch inner := at.(type) {
		case map[string]any:
			if last && value == nil {
				delete(inner, name)
			} else if last {
				inner[name] = value
			}
			at = inner[name]
		case []any:
			var k int
			fmt.Sscan(name, &k)
			if last {
				inner[k] = value
			}
			at = inner[k]
		}
	}
	out, err := json.MarshalIndent(whole, "", " ")
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func TestReadRefuses(t *testing.T) {
	tests := []struct {
		path  string
		value any
		field string // "" where it is the path
		says  string
	}{
		{"/name", "", "", "name"},
		{"/units", "cm", "", `"mm" or "in"`},
		{"/colour", "grey", "", "spelling"},
		{"/usable_length", 0, "", "above 0"},
		{"/usable_length", -5, "", "above 0"},
		{"/bed/depth", 0, "", "above 0"},
		{"/bed/height", "150", "", "a number"},
		{"/leaf/full_face", 0, "", "above 0"},
		{"/leaf/slim_face", -1, "", "0 or more"},
		{"/leaf/thickness", 0, "", "above 0"},
		{"/leaf/max_angle", 0, "", "more than 0 and less than 180"},
		{"/leaf/max_angle", 180, "", "more than 0 and less than 180"},
		{"/rating_factor/stainless", 0, "", "above 0"},
		{"/rating_factor/stainless", -1.3, "", "above 0"},
		{"/rating_length", -1, "", "0 or more"},
		{"/rating_cap", -1, "", "0 or more"},
		{"/nose_setback/add", -0.3, "", "0 or more"},
		{"/nose_setback/times_t", -1, "", "0 or more"},
		{"/clearance/bar", -1.5, "", "0 or more"},
		{"/overbend_swept", -2, "", "0 or more"},
		{"/min_clamped_strip", -2, "", "0 or more"},
		{"/stop_scale/reads", "opened", "", `"bend" or "opening"`},
		{"/stop_scale/zero", 45, "", "-30 to 30"},
		{"/minutes/bend", -1, "", "0 or more"},
		{"/minutes/bar_preference/wide", -1, "", "0 or more"},
		{"/part_contact_allowance", -0.1, "", "0 or more"},
		{"/magnet/pressure", -1, "", "0 or more"},
		{"/back_stop", map[string]any{}, "/back_stop/from", "above 0"},
		{"/back_stop", map[string]any{"from": 80}, "/back_stop/to", "above 0"},
		{"/back_stop", map[string]any{"from": 0, "to": 600}, "/back_stop/from", "above 0"},
		{"/back_stop", map[string]any{"from": 80, "to": 200000}, "/back_stop/to", "above 0"},
		{"/back_stop", map[string]any{"from": 80, "to": 79.9}, "/back_stop/to", "least distance behind the hinge first"},
		{"/back_stop", map[string]any{"from": 80, "to": 600, "height": -1}, "/back_stop/height", "0 or more"},
		{"/back_stop", map[string]any{"from": 80, "to": 600, "high": 12}, "/back_stop/high", "spelling"},
		{"/clamping", "screws", "", `"loose-bar" or "top-leaf"`},
		{"/bars", []any{}, "", "at least one"},
		{"/bars/1/name", "wide", "", "of its own"},
		{"/bars/1/name", "", "", "of its own"},
		{"/bars/0/kind", "wedge", "", "slotted"},
		{"/bars/0/rating_t", 0, "", "above 0"},
		{"/bars/0/length", 0, "", "above 0"},
		{"/bars/0/max_angle", -1, "", "0 or more"},
		{"/bars/0/nose_radius", -0.1, "", "0 or more"},
		{"/bars/0/nose_radius", 13.6, "", "lower or less deep"},
		{"/bars/0/nose_radius", "0.4", "", "number"},
		{"/bars/0/section", []any{[]any{0, 0}, []any{5, 5}}, "", "outline of the cross-section"},
		{"/bars/0/section", []any{[]any{0, 0}, []any{74, 0}, []any{74, 27}, []any{40, 5}, []any{0, 27}}, "", "bulges inwards"},
		{"/bars/0/section", []any{[]any{37, 27}, []any{15.2, 2.6}, []any{72.2, 17.7}, []any{1.8, 17.7}, []any{58.7, 2.6}}, "", "bulges inwards"},
		{"/bars/0/section", []any{[]any{-3, 0}, []any{74, 0}, []any{74, 27}, []any{-3, 27}}, "", "before the nose"},
		{"/bars/0/section", []any{[]any{0, -2}, []any{74, -2}, []any{74, 27}, []any{0, 27}}, "", "below the sheet"},
		{"/bars/0/depth", 70, "/bars/0/section", "depth and height say"},
		{"/bars/0/height", 30, "/bars/0/section", "depth and height say"},
		{"/bars/2/slots", nil, "", "needs its slots"},
		{"/bars/2/slots/pitch", 0, "", "above 0"},
		{"/bars/2/slots/width", 0, "", "above 0"},
		{"/bars/2/slots/count", 0, "", "1 or more"},
		{"/bars/2/slots/count", 2.5, "", "whole number"},
		{"/bars/3/widths/2", 0, "", "above 0"},
		{"/bars/3/widths", make([]int, 41), "/bars/3/widths/0", "above 0"},
		{"/bars/3/end_gap", []any{4.5, 1.5}, "", "least gap first"},
		{"/bars/3/end_gap/0", -1, "", "0 or more"},
		{"/bars/3/joint_gap_max", -1, "", "0 or more"},
		{"/bars/3/unsupported_end_max", -1, "", "0 or more"},
	}
	for _, test := range tests {
		t.Run(fmt.Sprint(test.path, "=", test.value), func(t *testing.T) {
			_, err := Read(changed(t, test.path, test.value))
			want := test.field
			if want == "" {
				want = test.path
			}
			want = strings.NewReplacer("bars.0", "bars[0]", "bars.1", "bars[1]", "bars.2", "bars[2]", "bars.3", "bars[3]", "widths.0", "widths[0]", "widths.2", "widths[2]", "end_gap.0", "end_gap[0]").Replace(strings.ReplaceAll(want[1:], "/", "."))
			var r *fault.Refusal
			if !errors.As(err, &r) {
				t.Fatalf("Read = %v, want a refusal", err)
			}
			if r.Kind != fault.Invalid || r.Field != want || !strings.Contains(r.Message, test.says) || r.Line < 1 || r.Column < 1 {
				t.Errorf("Read = %v, want it on %q, saying %q, with its place", err, want, test.says)
			}
		})
	}
}

// A back stop is read in the units of its file, and reaches both ends of its range.
func TestReadBackStop(t *testing.T) {
	b, err := Read([]byte(strings.Replace(string(changed(t, "/back_stop", map[string]any{"from": 80, "to": 600, "height": 0.5})), `"units": "mm"`, `"units": "in"`, 1)))
	if err != nil || b.BackStop != (BackStop{80 * 25.4, 600 * 25.4, 12.7}) {
		t.Errorf("in inches: %+v, %v", b, err)
	}
	if b, err = Read(changed(t, "/back_stop", map[string]any{"from": 120, "to": 120})); err != nil || !b.BackStop.Reaches(120) {
		t.Errorf("a stop that stands in one place: %+v, %v", b, err)
	}
	stop := BackStop{From: 80, To: 600}
	for behind, reaches := range map[unit.MM]bool{79.999: false, 79.9997: true, 80: true, 600: true, 600.0003: true, 600.001: false, 0: false, -80: false} {
		if stop.Reaches(behind) != reaches {
			t.Errorf("Reaches(%v) = %t", float64(behind), !reaches)
		}
	}
	if !(BackStop{To: 0.5}).Reaches(0.4) {
		t.Error("a stop that reaches hardly behind the hinge is none")
	}
	if (BackStop{}).Reaches(0) {
		t.Error("a brake without a stop has one at the hinge")
	}
}

func TestReadTellsThePlace(t *testing.T) {
	_, err := Read([]byte("{\"name\":\"B\",\n \"usable_length\": -3}"))
	if err == nil || !strings.HasPrefix(err.Error(), "2:19: usable_length: ") {
		t.Errorf("Read = %v, want it at 2:19", err)
	}
}

// The same mistakes give the same words every time, also those in a list of
// names, which has no order of its own.
func TestReadIsSteady(t *testing.T) {
	data := changed(t, "/rating_factor", map[string]any{"a": -1, "b": -2, "c": -3, "d": -4})
	_, first := Read(data)
	for range 50 {
		if _, err := Read(data); err.Error() != first.Error() {
			t.Fatalf("Read = %v and then %v", first, err)
		}
	}
}

func TestReadDefaults(t *testing.T) {
	b, err := Read(changed(t, "/rating_length", nil))
	if err != nil || b.RatingLength != b.UsableLength {
		t.Errorf("rating length not given: %v, want the usable length", b)
	}
	b, err = Read(changed(t, "/rating_cap", nil))
	if err != nil || b.RatingCap != 1 {
		t.Errorf("rating cap not given: %v, %v; want 1, no thicker than the rating", b, err)
	}
	b, err = Read(changed(t, "/magnet", nil))
	if err != nil || b.Magnet != (Magnet{}) {
		t.Errorf("no magnet given: %v, %v", b, err)
	}
}

func TestReadTopLeaf(t *testing.T) {
	var whole map[string]any
	if err := json.Unmarshal(changed(t, "/clamping", "top-leaf"), &whole); err != nil {
		t.Fatal(err)
	}
	whole["finger_height"], whole["beam_depth"] = 90, 120
	data, _ := json.Marshal(whole)
	if _, err := Read(data); err == nil || !strings.Contains(err.Error(), "beam_height") {
		t.Errorf("Read without the beam's height = %v", err)
	}
	whole["beam_height"] = 200
	data, _ = json.Marshal(whole)
	b, err := Read(data)
	if err != nil || b.Clamping != TopLeaf || b.FingerHeight != 90 || b.BeamDepth != 120 || b.BeamHeight != 200 {
		t.Errorf("Read = %+v, %v", b, err)
	}
}

// inches is a brake whose file is in inches.
const inches = `{"name":"B","units":"in","usable_length":40,"bed":{"depth":4,"height":6},"leaf":{"full_face":2.5,"thickness":1.5,"max_angle":130},
	"nose_setback":{"add":0.01,"times_t":1},"clearance":{"bar":0.06},
	"bars":[{"name":"one","kind":"full","depth":3,"height":1,"section":[[0,0],[3,0],[3,1],[1,1]],"length":40,"rating_t":0.06,"nose_radius":0.02},
	 {"name":"two","kind":"segments","depth":3,"height":1,"section":[[0,0],[3,0],[3,1],[1,1]],"widths":[1,2],"end_gap":[0.06,0.18],"rating_t":0.06}]}`

// A brake in inches is the same brake.
func TestReadInches(t *testing.T) {
	b, err := Read([]byte(inches))
	if err != nil {
		t.Fatal(err)
	}
	for _, test := range []struct {
		name      string
		got, want float64
	}{
		{"usable_length", float64(b.UsableLength), 1016}, {"bed.depth", float64(b.Bed.Depth), 101.6}, {"leaf.full_face", float64(b.Leaf.FullFace), 63.5},
		{"nose_setback.add", b.NoseSetback.Add, 0.254}, {"nose_setback.times_t", b.NoseSetback.TimesT, 1}, {"clearance.bar", float64(b.Clearance.Bar), 1.524},
		{"bars[0].depth", float64(b.Bars[0].Depth), 76.2}, {"section area", b.Bars[0].Section.Area(), 2.5 * 25.4 * 25.4}, {"rating_t", float64(b.Bars[0].Rating), 1.524}, {"nose_radius", float64(b.Bars[0].NoseRadius), 0.508},
		{"widths[1]", float64(b.Bars[1].Widths[1]), 50.8}, {"end_gap[1]", float64(b.Bars[1].EndGap[1]), 4.572}, {"rating_length", float64(b.RatingLength), 1016},
		{"max_angle", float64(b.Leaf.MaxAngle), 130},
	} {
		near(t, test.name, test.got, test.want, 1e-9)
	}
}

// How far the nose edge is rounded need not be said; half the height of the bar is
// the most.
func TestNoseRadius(t *testing.T) {
	if got := suite(t).Bars[0].NoseRadius; got != 0 {
		t.Errorf("a nose of which nothing is said is rounded by %v", got)
	}
	for _, radius := range []float64{0, 0.4, 13.5} {
		b, err := Read(changed(t, "/bars/0/nose_radius", radius))
		if err != nil || float64(b.Bars[0].NoseRadius) != radius {
			t.Errorf("nose_radius %v: %v, %v", radius, b, err)
		}
	}
}

// A round bar without a section is a polygon around the circle, with its front at
// the nose and standing on the sheet.
func TestRoundBar(t *testing.T) {
	bar := map[string]any{"name": "rod", "kind": "round", "length": 1000, "outside_radius": 12.5, "rating_t": 1.5}
	b, err := Read(changed(t, "/bars/1", bar))
	if err != nil {
		t.Fatal(err)
	}
	rod := b.Bars[1]
	if rod.Kind != Round || rod.OutsideRadius != 12.5 || rod.Depth != 25 || rod.Height != 25 {
		t.Errorf("rod = %+v", rod)
	}
	low, high := geom.Bounds(rod.Section...)
	near(t, "front of the rod", low.X, 0, 1e-9)
	near(t, "foot of the rod", low.Y, 0, 1e-9)
	near(t, "back of the rod", high.X, 25, 1e-9)
	for _, p := range rod.Section {
		if r := p.Sub(geom.Point2{X: 12.5, Y: 12.5}).Length(); r < 12.5 || r > 12.7 {
			t.Errorf("a corner of the rod lies %v from its middle, want just over 12.5", r)
		}
	}
	for i, p := range rod.Section {
		if m := p.Add(rod.Section[(i+1)%len(rod.Section)]).Times(0.5).Sub(geom.Point2{X: 12.5, Y: 12.5}).Length(); m < 12.5-1e-9 {
			t.Errorf("an edge of the rod cuts %v into it", 12.5-m)
		}
	}
	delete(bar, "outside_radius")
	if _, err := Read(changed(t, "/bars/1", bar)); err == nil || !strings.Contains(err.Error(), "outside_radius") {
		t.Errorf("a rod without its radius: %v", err)
	}
}

// FuzzRead: whatever is fed in, Read gives a brake or a refusal that is no mistake
// of the program.
func FuzzRead(f *testing.F) {
	data, err := os.ReadFile("../../testdata/suite/brake.json")
	if err != nil {
		f.Fatal(err)
	}
	f.Add(data)
	f.Add([]byte(`{"name":"B","usable_length":9,"bed":{"depth":4,"height":6},"leaf":{"full_face":2,"thickness":1,"max_angle":130},"bars":[{"name":"r","kind":"round","outside_radius":1,"length":9,"rating_t":1}]}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		b, err := Read(data)
		if err != nil {
			var r *fault.Refusal
			if !errors.As(err, &r) || r.Kind == fault.Internal || r.Message == "" {
				t.Fatalf("Read(%q) = %#v, want a refusal with a message", data, err)
			}
			return
		}
		if !(b.UsableLength > 0 && b.Leaf.MaxAngle > 0 && b.Leaf.MaxAngle < 180) || len(b.Bars) == 0 {
			t.Fatalf("Read(%q) = %+v", data, b)
		}
		for _, bar := range b.Bars {
			if !bar.Section.Convex() || !(bar.Section.Area() > 0) || !(bar.Rating > 0) {
				t.Fatalf("bar %+v", bar)
			}
		}
	})
}

// A file that is silent about a clearance asks for the usual one, a file that
// writes 0 asks for none.
func TestUsualClearances(t *testing.T) {
	for _, test := range []struct {
		path  string
		value any
		want  Clearance
		strip unit.MM
	}{
		{"/clearance", nil, Clearance{1.5, 0.3, 0.3}, 10},
		{"/clearance/bar", nil, Clearance{1.5, 0.3, 0.3}, 10},
		{"/clearance/bar", 0, Clearance{0, 0.3, 0.3}, 10},
		{"/clearance/nose", 0.0, Clearance{1.5, 0, 0.3}, 10},
		{"/min_clamped_strip", nil, Clearance{1.5, 0.3, 0.3}, 10},
		{"/min_clamped_strip", 0, Clearance{1.5, 0.3, 0.3}, 0},
	} {
		b, err := Read(changed(t, test.path, test.value))
		if err != nil {
			t.Errorf("%s = %v: %v", test.path, test.value, err)
			continue
		}
		if b.Clearance != test.want || b.LeastClampedStrip != test.strip {
			t.Errorf("%s = %v: clearance %v, strip %v, want %v, %v", test.path, test.value, b.Clearance, b.LeastClampedStrip, test.want, test.strip)
		}
	}
}
