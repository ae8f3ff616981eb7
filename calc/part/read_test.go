package part

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"brakeside/calc/fault"
	"brakeside/calc/unit"
)

// head begins every part file of these tests; what follows stands from line 2
// on.
const head = `{"number":"T-1","material":"mild-steel",` + "\n"

// Three shapes that read well.
const (
	profileShape = `"profile":{"length":200,"legs":[30,40],"bends":[90]}`
	trayShape    = `"tray":{"base":[200,100],"walls":{"left":[{"leg":30}],"front":[{"leg":20},{"leg":10,"angle":-45,"mitre":45}]}}`
	flatShape    = `"flat":{"faces":[{"id":"a","outline":[[0,0],[50,0],[50,30],[0,30]]},{"id":"b","outline":[[0,30],[50,30],[50,60],[0,60]]}],"bends":[{"id":"x","between":["a","b"],"line":[[0,30],[50,30]],"angle":-90,"radius":2}]}`
)

func read(t *testing.T, text string) Part {
	t.Helper()
	p, err := Read([]byte(text))
	if err != nil {
		t.Fatalf("Read(%s) = %v", text, err)
	}
	return p
}

func TestReadProfile(t *testing.T) {
	p := read(t, `{"number":"BR-210","title":"Rail foot","revision":"C","units":"mm","material":"mild-steel","thickness":1.5,
 "inside_radius":1.5,"k":0.42,"sizes":"inside","over_90":"tangent","grain":"x","marked_face":"B","tolerance":{"angle":0.5,"length":0.2},
 "profile":{"length":640,"legs":[34,52,20],"bends":[90,-45.5]}}`)
	for _, test := range []struct {
		field     string
		got, want any
	}{
		{"number", p.Number, "BR-210"}, {"title", p.Title, "Rail foot"}, {"revision", p.Revision, "C"},
		{"units", p.Inch, false}, {"material", p.Material, "mild-steel"}, {"thickness", p.Thickness, unit.MM(1.5)},
		{"gauge", p.Gauge, ""}, {"inside_radius", p.InsideRadius, unit.MM(1.5)}, {"k", p.K, 0.42}, {"sizes", p.Sizes, Inside},
		{"over_90", p.Over90, Tangent}, {"grain", p.Grain, "x"}, {"marked_face", p.MarkedFace, "B"},
		{"tolerance", p.Tolerance, Tolerance{0.5, 0.2, true, true}}, {"length", p.Profile.Length, unit.MM(640)},
		{"legs", fmt.Sprint(p.Profile.Legs), "[34 52 20]"}, {"bends", fmt.Sprint(p.Profile.Bends), "[90 -45.5]"},
		{"form", p.Form(), ProfileForm}, {"tray", p.Tray == nil, true}, {"flat", p.Flat == nil, true},
	} {
		if test.got != test.want {
			t.Errorf("%s = %v, want %v", test.field, test.got, test.want)
		}
	}
}

// What the file leaves out takes the value the contract of the file names.
func TestReadDefaults(t *testing.T) {
	p := read(t, head+`"gauge":"16",`+profileShape+`}`)
	if p.Sizes != Outside || p.Over90 != Apex || p.MarkedFace != "A" || p.Grain != "" || p.K != 0 || p.InsideRadius != 0 {
		t.Errorf("defaults = %v %v %v %q %v %v", p.Sizes, p.Over90, p.MarkedFace, p.Grain, p.K, p.InsideRadius)
	}
	if p.Gauge != "16" || p.Thickness != 0 {
		t.Errorf("gauge %q, thickness %v; want the gauge alone", p.Gauge, p.Thickness)
	}
	if p.Tolerance != (Tolerance{Angle: 1, Length: 0.5}) {
		t.Errorf("tolerance = %v", p.Tolerance)
	}
	tray := read(t, head+`"thickness":1,`+trayShape+`}`)
	if tray.Form() != TrayForm {
		t.Errorf("form = %v", tray.Form())
	}
	if got := tray.Tray.Corners; got != (Corners{Relief: Square, Size: 2, Gap: 0.5, Tabs: NoTabs}) {
		t.Errorf("corners = %+v", got)
	}
	if got := fmt.Sprint(tray.Tray.Walls[Left], tray.Tray.Walls[Right], tray.Tray.Walls[Front]); got != "[{30 90 0  [0 0]}] [] [{20 90 0  [0 0]} {10 -45 45  [0 0]}]" {
		t.Errorf("walls = %v", got)
	}
	flat := read(t, head+`"thickness":1,`+flatShape+`}`)
	if flat.Form() != FlatForm || len(flat.Flat.Faces) != 2 || flat.Flat.Bends[0].Radius != 2 || flat.Flat.Bends[0].Angle != -90 {
		t.Errorf("flat = %+v", flat.Flat)
	}
}

// The same drawing in inches gives the same part, but for the note of it.
func TestReadInches(t *testing.T) {
	p := read(t, head+`"units":"in","thickness":0.0625,"inside_radius":0.0625,"tolerance":{"angle":1,"length":0.01},"profile":{"length":10,"legs":[1.5,2],"bends":[90]}}`)
	if !p.Inch {
		t.Error("not noted as written in inches")
	}
	for _, test := range []struct {
		field     string
		got, want unit.MM
	}{
		{"thickness", p.Thickness, 1.5875}, {"inside_radius", p.InsideRadius, 1.5875}, {"tolerance.length", p.Tolerance.Length, 0.254},
		{"length", p.Profile.Length, 254}, {"legs[0]", p.Profile.Legs[0], 38.1}, {"legs[1]", p.Profile.Legs[1], 50.8},
	} {
		if d := test.got - test.want; d > 1e-9 || d < -1e-9 {
			t.Errorf("%s = %v mm, want %v", test.field, test.got, test.want)
		}
	}
	if p.Profile.Bends[0] != 90 || p.Tolerance.Angle != 1 {
		t.Errorf("angles are not lengths, but came out as %v and %v", p.Profile.Bends[0], p.Tolerance.Angle)
	}
	tray := read(t, head+`"units":"in","thickness":0.04,"tray":{"base":[8,4],"walls":{"left":[{"leg":1}]},"corners":{"relief":"round","size":0.125,"gap":0.02}}}`).Tray
	if tray.BaseX != 203.2 || tray.BaseY != 101.6 || tray.Walls[Left][0].Leg != 25.4 || tray.Corners.Size != 3.175 || tray.Corners.Gap != 0.508 {
		t.Errorf("tray in inches = %+v", tray)
	}
	flat := read(t, head+`"units":"in","thickness":0.04,"flat":{"faces":[{"id":"a","outline":[[0,0],[2,0],[2,1],[0,1]]},{"id":"b","outline":[[0,1],[2,1],[2,2],[0,2]]}],"bends":[{"id":"x","between":["a","b"],"line":[[0,1],[2,1]],"angle":90,"radius":0.04}]}}`).Flat
	if flat.Faces[0].Outline[2] != [2]unit.MM{50.8, 25.4} || flat.Bends[0].Line[1] != [2]unit.MM{50.8, 25.4} || flat.Bends[0].Radius != 1.016 {
		t.Errorf("flat in inches = %+v", flat)
	}
}

// Every refusal names the field and the place: § stands before what is wrong,
// and where there is none the whole file is meant.
func TestReadRefuses(t *testing.T) {
	const thick = `"thickness":1,`
	flat := func(old, now string) string { return thick + strings.Replace(flatShape, old, now, 1) + "}" }
	tests := []struct {
		name, text  string
		field, says string
	}{
		{"an unknown field", thick + `"thicknes":§1,` + profileShape + `}`, "thicknes", "spelling"},
		{"an unknown field inside", thick + `"profile":{"length":200,"leg":§[1],"bends":[90]}}`, "profile.leg", "spelling"},
		{"a field twice", thick + `§` + thick + profileShape + `}`, "thickness", ""},
		{"a text for a number", `"thickness":§"1",` + profileShape + `}`, "thickness", "a number"},
		{"an unknown unit", `"units":§"cm",` + thick + profileShape + `}`, "units", `"mm" or "in"`},
		{"no thickness", profileShape + `}`, "thickness", "thickness or a gauge"},
		{"thickness and gauge", `"thickness":1,"gauge":§"16",` + profileShape + `}`, "gauge", "not both"},
		{"an empty gauge", `"gauge":§"",` + profileShape + `}`, "gauge", "empty"},
		{"thickness 0", `"thickness":§0,` + profileShape + `}`, "thickness", "above 0"},
		{"a negative thickness", `"thickness":§-1,` + profileShape + `}`, "thickness", "above 0"},
		{"not a number", `"thickness":§NaN,` + profileShape + `}`, "thickness", ""},
		{"too large to be a number", `"thickness":§1e999,` + profileShape + `}`, "thickness", ""},
		{"larger than any sheet", `"thickness":§1e6,` + profileShape + `}`, "thickness", "100000"},
		{"radius 0", `"inside_radius":§0,` + thick + profileShape + `}`, "inside_radius", "above 0"},
		{"K of 0", `"k":§0,` + thick + profileShape + `}`, "k", "K-factor"},
		{"K above 1", `"k":§1.2,` + thick + profileShape + `}`, "k", "at most 1"},
		{"an unknown way of sizes", `"sizes":§"middle",` + thick + profileShape + `}`, "sizes", "outside"},
		{"an unknown over_90", `"over_90":§"round",` + thick + profileShape + `}`, "over_90", "apex"},
		{"an unknown grain", `"grain":§"z",` + thick + profileShape + `}`, "grain", "x"},
		{"an unknown face", `"marked_face":§"C",` + thick + profileShape + `}`, "marked_face", "A"},
		{"a tolerance of no degrees", `"tolerance":{"angle":§0},` + thick + profileShape + `}`, "tolerance.angle", "more than 0"},
		{"a negative tolerance", `"tolerance":{"length":§-1},` + thick + profileShape + `}`, "tolerance.length", "above 0"},
		{"a title of a thousand letters", `"title":§"` + strings.Repeat("a", 1000) + `",` + thick + profileShape + `}`, "title", "200"},
		{"no shape", `"thickness":1}`, "", "0 shapes"},
		{"two shapes", thick + profileShape + "," + trayShape + `}`, "", "2 shapes"},
		{"a leg of 0", thick + `"profile":{"length":200,"legs":[30,§0],"bends":[90]}}`, "profile.legs[1]", "above 0"},
		{"a leg too few", thick + `"profile":{"length":200,"legs":§[30],"bends":[90]}}`, "profile.legs", "2 legs"},
		{"no bends", thick + `"profile":{"length":200,"legs":[30],"bends":§[]}}`, "profile.bends", "1 to"},
		{"no length", thick + `"profile":§{"legs":[30,40],"bends":[90]}}`, "profile.length", "above 0"},
		{"a bend of 0", thick + `"profile":{"length":200,"legs":[30,40],"bends":[§0]}}`, "profile.bends[0]", "more than 0"},
		{"a bend of 180", thick + `"profile":{"length":200,"legs":[30,40],"bends":[§180]}}`, "profile.bends[0]", "less than 180"},
		{"a bend of -200", thick + `"profile":{"length":200,"legs":[30,40],"bends":[§-200]}}`, "profile.bends[0]", "less than 180"},
		{"no walls", thick + `"tray":{"base":[200,100],"walls":§{}}}`, "tray.walls", "1 to"},
		{"a base of one size", thick + `"tray":{"base":§[200],"walls":{"left":[{"leg":30}]}}}`, "tray.base", "two"},
		{"a base of no size", thick + `"tray":{"base":[200,§0],"walls":{"left":[{"leg":30}]}}}`, "tray.base[1]", "above 0"},
		{"a wall of no size", thick + `"tray":{"base":[200,100],"walls":{"back":[{"leg":30},§{"angle":90}]}}}`, "tray.walls.back[1].leg", "above 0"},
		{"a wall of 180 degrees", thick + `"tray":{"base":[200,100],"walls":{"back":[{"leg":30,"angle":§180}]}}}`, "tray.walls.back[0].angle", "less than 180"},
		{"a mitre of 85", thick + `"tray":{"base":[200,100],"walls":{"back":[{"leg":30,"mitre":§85}]}}}`, "tray.walls.back[0].mitre", "80"},
		{"an unknown side", thick + `"tray":{"base":[200,100],"walls":{"top":§[{"leg":30}]}}}`, "tray.walls.top", "spelling"},
		{"an unknown relief", thick + `"tray":{"base":[200,100],"walls":{"left":[{"leg":30}]},"corners":{"relief":§"star"}}}`, "tray.corners.relief", "square"},
		{"a relief of no size", thick + `"tray":{"base":[200,100],"walls":{"left":[{"leg":30}]},"corners":{"size":§0}}}`, "tray.corners.size", "above 0"},
		{"a negative gap", thick + `"tray":{"base":[200,100],"walls":{"left":[{"leg":30}]},"corners":{"gap":§-1}}}`, "tray.corners.gap", "0 or more"},
		{"a face twice", flat(`"id":"b"`, `"id":§"a"`), "flat.faces[1].id", "twice"},
		{"a face without a name", flat(`"id":"b"`, `"id":§""`), "flat.faces[1].id", "name"},
		{"a face of two corners", flat(`[[0,0],[50,0],[50,30],[0,30]]`, `§[[0,0],[50,0]]`), "flat.faces[0].outline", "at least 3"},
		{"a corner of three numbers", flat(`[50,0]`, `§[50,0,3]`), "flat.faces[0].outline[1]", "list of fixed length"},
		{"a corner beyond the world", flat(`[50,0]`, `[§1e9,0]`), "flat.faces[0].outline[1][0]", "farther"},
		{"a bend to an unknown face", flat(`"between":["a","b"]`, `"between":["a",§"c"]`), "flat.bends[0].between[1]", `no face "c"`},
		{"a bend of a face with itself", flat(`"between":["a","b"]`, `"between":§["a","a"]`), "flat.bends[0].between", "two different"},
		{"a bend line of no length", flat(`"line":[[0,30],[50,30]]`, `"line":§[[0,30],[0,30]]`), "flat.bends[0].line", "no length"},
		{"a radius of 0", flat(`"radius":2`, `"radius":§0`), "flat.bends[0].radius", "above 0"},
		{"no bend", thick + strings.Replace(strings.Replace(flatShape, `{"id":"x","between":["a","b"],"line":[[0,30],[50,30]],"angle":-90,"radius":2}`, ``, 1), `"bends":`, `"bends":§`, 1) + "}", "flat.bends", "no bend"},
		{"joined to an unknown face", flat(`"flat":{`, `"flat":{"joined":[["a",§"q"]],`), "flat.joined[0][1]", `no face "q"`},
		{"cut off in the middle", thick + `"profile":{"length":§`, "profile.length", "ends in the middle"},
		{"a second value", thick + profileShape + `} §{}`, "", ""},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			before, after, marked := strings.Cut(test.text, "§")
			place := "1:1"
			if marked { // the text after head is line 2
				place = fmt.Sprintf("2:%d", len([]rune(before))+1)
			}
			_, err := Read([]byte(head + before + after))
			var r *fault.Refusal
			if !errors.As(err, &r) {
				t.Fatalf("Read(%s%s) = %v, want a refusal", head, test.text, err)
			}
			if got := fmt.Sprintf("%d:%d", r.Line, r.Column); got != place || r.Field != test.field {
				t.Errorf("Read(%s) = %v; want it at %s on %q", test.text, err, place, test.field)
			}
			if r.Kind != fault.Invalid || !strings.Contains(r.Message, test.says) || r.Message == "" {
				t.Errorf("Read(%s) = kind %v, %q; want it invalid and to say %q", test.text, r.Kind, r.Message, test.says)
			}
		})
	}
}

func TestReadRefusesWithoutNumberOrMaterial(t *testing.T) {
	for _, test := range []struct{ text, field string }{
		{`{"material":"mild-steel","thickness":1,` + profileShape + `}`, "number"},
		{`{"number":"","material":"mild-steel","thickness":1,` + profileShape + `}`, "number"},
		{`{"number":"A","thickness":1,` + profileShape + `}`, "material"},
		{``, ""}, {`null`, ""}, {`[]`, ""}, {`3`, ""},
	} {
		_, err := Read([]byte(test.text))
		var r *fault.Refusal
		if !errors.As(err, &r) || r.Kind != fault.Invalid || (test.field != "" && r.Field != test.field) {
			t.Errorf("Read(%s) = %v, want a refusal on %q", test.text, err, test.field)
		}
	}
}

// points writes an outline of n corners around a circle of 200 mm.
func points(n int) string {
	var b strings.Builder
	for i := range n {
		if i > 0 {
			b.WriteByte(',')
		}
		fmt.Fprintf(&b, "[%d,%d]", i%200, i/200)
	}
	return b.String()
}

func TestReadBoundsTheNumberOfPoints(t *testing.T) {
	text := func(n int) []byte {
		return []byte(head + `"thickness":1,` + strings.Replace(flatShape, `[0,0],[50,0],[50,30],[0,30]`, points(n), 1) + "}")
	}
	if _, err := Read(text(MostVertices)); err != nil {
		t.Errorf("%d points: %v", MostVertices, err)
	}
	_, err := Read(text(MostVertices + 1))
	var r *fault.Refusal
	if !errors.As(err, &r) || r.Kind != fault.TooLarge || r.Field != "flat.faces[0].outline" || r.Line != 2 {
		t.Errorf("%d points: %v, want it refused as too large with its place", MostVertices+1, err)
	}
}

func TestReadBoundsTheNumberOfFaces(t *testing.T) {
	bends, legs := strings.Repeat("90,", MostFaces), strings.Repeat("20,", MostFaces+1)
	_, err := Read([]byte(head + `"thickness":1,"profile":{"length":9,"legs":[` + legs + `20],"bends":[` + bends + `90]}}`))
	if fault.KindOf(err) != fault.Invalid {
		t.Errorf("%d bends: %v, want a refusal", MostFaces+1, err)
	}
	walls := strings.TrimSuffix(strings.Repeat(`{"leg":9},`, MostFaces+1), ",")
	_, err = Read([]byte(head + `"thickness":1,"tray":{"base":[9,9],"walls":{"left":[` + walls + `]}}}`))
	if fault.KindOf(err) != fault.Invalid {
		t.Errorf("%d walls: %v, want a refusal", MostFaces+1, err)
	}
}

// A later package refuses by the place in the file.
func TestRefuseFindsThePlaceInTheFile(t *testing.T) {
	p := read(t, head+`"thickness":1,`+profileShape+`}`)
	r := p.Refuse("/profile/legs/1", "is too short")
	if r.Error() != "2:50: profile.legs[1]: is too short" {
		t.Errorf("Refuse = %q", r.Error())
	}
	if r.Kind != fault.Invalid {
		t.Errorf("kind = %v", r.Kind)
	}
}

// The development suite reads.
func TestReadSuite(t *testing.T) {
	files, err := filepath.Glob("../../testdata/suite/parts/*.json")
	if err != nil || len(files) < 12 {
		t.Fatalf("%d parts in the suite (%v), want 12 or more", len(files), err)
	}
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		p, err := Read(data)
		if err != nil {
			t.Errorf("%s: %v", file, err)
		}
		if want := strings.TrimSuffix(filepath.Base(file), ".json"); p.Number != want || p.Form() != FlatForm {
			t.Errorf("%s reads as %q in the form %s", file, p.Number, p.Form())
		}
	}
}

// FuzzRead: whatever is fed in, Read gives a part with sensible sizes or a
// refusal that is no mistake of the program.
func FuzzRead(f *testing.F) {
	for _, shape := range []string{profileShape, trayShape, flatShape} {
		f.Add([]byte(head + `"thickness":1,` + shape + `}`))
		f.Add([]byte(head + `"gauge":"16","units":"in","sizes":"inside","over_90":"tangent","k":0.4,"inside_radius":1,"grain":"y","tolerance":{"angle":1},` + shape + `}`))
	}
	f.Add([]byte(`{"number":"a","thickness":1e308,"units":"in"}`))
	f.Add([]byte("\xef\xbb\xbf{}"))
	f.Add([]byte(`{"flat":{"bends":[{"between":["a"]}]}}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := Read(data)
		if err != nil {
			var r *fault.Refusal
			if !errors.As(err, &r) || r.Kind == fault.Internal || r.Message == "" {
				t.Fatalf("Read(%q) = %#v, want a refusal with a message", data, err)
			}
			return
		}
		sensible(t, p)
	})
}

// sensible asks what later packages rely on.
func sensible(t *testing.T, p Part) {
	t.Helper()
	size := func(what string, l unit.MM) {
		if !(l > 0 && l <= LargestSize) {
			t.Errorf("%s = %v", what, l)
		}
	}
	angle := func(a unit.Deg) {
		if !(a > -180 && a < 180 && a != 0) {
			t.Errorf("bend angle %v", a)
		}
	}
	if (p.Thickness > 0) == (p.Gauge != "") || p.Number == "" || p.Material == "" {
		t.Errorf("thickness %v, gauge %q, number %q, material %q", p.Thickness, p.Gauge, p.Number, p.Material)
	}
	switch p.Form() {
	case ProfileForm:
		size("length", p.Profile.Length)
		if len(p.Profile.Legs) != len(p.Profile.Bends)+1 {
			t.Errorf("%d legs, %d bends", len(p.Profile.Legs), len(p.Profile.Bends))
		}
		for i, a := range p.Profile.Bends {
			angle(a)
			size("leg", p.Profile.Legs[i])
		}
	case TrayForm:
		size("base", p.Tray.BaseX)
		size("base", p.Tray.BaseY)
		for _, side := range SidesInOrder {
			for _, w := range p.Tray.Walls[side] {
				size("leg", w.Leg)
				angle(w.Angle)
			}
		}
	case FlatForm:
		for _, b := range p.Flat.Bends {
			angle(b.Angle)
			if b.Radius != 0 {
				size("radius", b.Radius)
			}
		}
	}
}
