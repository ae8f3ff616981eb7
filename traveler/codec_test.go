package traveler

import (
	"bytes"
	"os"
	"reflect"
	"strings"
	"sync"
	"testing"

	"brakeside/calc/fault"
	"brakeside/calc/unit"
)

// full is a traveler in which every field says something, so that the kept
// file of its form covers all of them. The job is made up.
func full() *Traveler {
	caution := Caution{Level: Care, Text: "Long sheet: it swings 310 mm up <in front of> you & your mate."}
	bed := Shape{Role: RoleBed, Points: []Point{{X: 0, Y: 0}, {X: 90000, Y: 0}, {X: 90000, Y: -60000}, {X: 0, Y: -60000}}}
	wall := Shape{Role: RoleSwinging, Points: []Point{{X: -32500, Y: 0}, {X: -1500, Y: 0}, {X: -1500, Y: 1500}, {X: -32500, Y: 1500}}}
	return &Traveler{
		Form: Form, Code: "abcdefgh23456789z", Address: "http://192.168.100.200:8080/t/abcdefgh23456789z",
		Shop: "Example Trays", Job: "J-1042", Quantity: 25, Run: ByStep, IssuedAt: "2026-05-04T09:30:00Z", IssuedBy: "owner", Paper: "a4",
		Part: Part{Number: "RB-07", Title: "Rail bracket – “left” ≤ 640 mm", Revision: "C", MaterialID: "mild-steel",
			Material: "mild steel", Family: "mild-steel", Magnetic: true, Thickness: 1500, InsideRadius: 1500,
			AngleTolerance: 100, SizeTolerance: 500,
			Sizes: "outside", PastSquare: "apex", MarkedFace: "A", Grain: "x"},
		Brake: Brake{
			Name: "Brake 1", Reads: "opening", Zero: -50, MaxAngle: 13500, Magnet: true, Foot: true, TwoHand: true, FullFace: 60000, SlimFace: 20000, LeafDepth: 45000,
		},
		Blank: Blank{Width: 640000, Height: 83114, Diagonal: 645374, Area: 53193, Grams: 626, SumSizes: 86000,
			Outline: []Point{{X: 0, Y: 0}, {X: 640000, Y: 0}, {X: 640000, Y: 83114}, {X: 0, Y: 83114}},
			Holes:   [][]Point{{{X: 20000, Y: 20000}, {X: 25000, Y: 20000}, {X: 25000, Y: 25000}}},
			Curves:  []Curve{{Ring: 1, From: 1, Chords: 2, Centre: Point{X: 22500, Y: 22500}, Radius: 3536}},
			Lines: []BendLine{{Bend: "b1", Step: 1, Up: true, Angle: 9000, Radius: 1500, Allowance: 3346, Deduction: 2654,
				KFactor: 420, KRule: "shop table",
				Line:     [2]Point{{X: 0, Y: 32673}, {X: 640000, Y: 32673}},
				Tangents: [2][2]Point{{{X: 0, Y: 31000}, {X: 640000, Y: 31000}}, {{X: 0, Y: 34346}, {X: 640000, Y: 34346}}},
				Nose:     [2]Point{{X: 0, Y: 34500}, {X: 640000, Y: 34500}}}},
			RunningX: []unit.Micron{0, 640000}, RunningY: []unit.Micron{0, 31000, 34346, 83114}},
		Steps: []Step{{Number: 1, Bend: "b1", TurnOver: true, Over: "left to right", Rotate: 180, RotateBy: 171, FaceUp: "B", Tip: true, Clamped: "p1", Swinging: "p0",
			Bar: "fingers", BarGrams: 14200, Segments: []Segment{{Width: 100000, At: 0}, {Width: 75000, At: 101000}},
			Leaf: SlimLeaf, Place: PastLeft, SlideOut: "left", Packing: true, Gaps: []Gap{{Side: "left", Face: "p3", Wide: 2_000}},
			BarPlace: "the brake ends 2.0 mm inside the bend's left end", Length: 640000,
			NoseSetback: 2250, ContactLine: 17250, Stop: 8750, StopBend: 9250, Springback: 250, StopFrom: "12 readings here", Target: 9000,
			Flatten: "Flatten the hem.", Tolerance: 100,
			Flattening: &Flattening{Face: "p0", Onto: "p1", Back: 2900, Strip: 800, Packing: 1600, OnBed: true, Width: 12000, Mallet: true,
				Before: []Shape{bed, wall}, After: []Shape{{Role: RoleStrip, Points: wall.Points}}},
			GaugeEdge: "lower edge", Gauge: 34500, CheckSize: "outside of the short leg", Check: 34000, Clearance: 4200,
			Between: [2]string{"p0", "bar fingers"}, Tight: true, Before: []Shape{bed, wall}, After: []Shape{bed}, Cautions: []Caution{caution}}},
		Cautions: []Caution{{Level: Notice, Text: "Deburr first."}, caution},
		Minutes:  215, Proven: true, MirrorCheck: "The 5.0 mm hole is at your left when bend b1 comes up.", MirrorMark: &Point{22500, 22500},
	}
}

// measured is full with what travelers say since they tell what is touched: where
// they do, the older words stay empty.
func measured() *Traveler {
	t := full()
	t.Blank.Faces = []Face{{Name: "leg 1", Piece: []Point{{X: 0, Y: 0}, {X: 640000, Y: 0}, {X: 640000, Y: 31000}, {X: 0, Y: 31000}}, Sizes: []unit.Micron{34000}}}
	s := &t.Steps[0]
	s.GaugeFrom = &Touch{Kind: OutsideOfBend, Face: "p2", Bend: "b2", Step: 1}
	s.Checks = []Check{{Size: 34000, Kind: LegCheck, Face: "p0", To: *s.GaugeFrom}}
	s.BackStop = 84300
	s.Leg, s.ToolsAt = 34000, []ToolAt{{Tool: "wide", From: 1000, To: 981000}}
	t.Pack, t.NewPack, t.Units = "P7", true, "in"
	t.Finished = &Picture{
		Strokes: []Strokes{{Kind: StrokeMetal, Lines: [][4]unit.Micron{{100, 200, 300, 400}}}},
		Spots:   []Spot{{What: SpotBend, Name: "legs 1-2", Step: 1, At: Point{150, 250}, Room: 20, Seen: true, Side: "left"}},
	}
	s.Bench, s.Lay = t.Finished, t.Finished
	t.Blank.Lines[0].Word, s.Word = "legs 1-2", "legs 1-2"
	return t
}

// TestFullIsFull fails when a field is added to the types and not to measured.
func TestFullIsFull(t *testing.T) {
	checkFull(t, reflect.ValueOf(*measured()), "Traveler")
}

func TestMeasuredComesBack(t *testing.T) {
	encoded, err := Encode(measured())
	if err != nil {
		t.Fatal(err)
	}
	if read, err := Decode(encoded); err != nil || !reflect.DeepEqual(read, measured()) {
		t.Errorf("Decode(Encode) = %+v, %v", read, err)
	}
}

func checkFull(t *testing.T, v reflect.Value, path string) {
	t.Helper()
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Type() != reflect.TypeFor[Point]() && v.Type() != reflect.TypeFor[Segment]() { // 0 is a good place
				checkFull(t, v.Field(i), path+"."+v.Type().Field(i).Name)
			}
		}
	case reflect.Slice, reflect.Array:
		if v.Len() == 0 {
			t.Errorf("%s is empty", path)
			return
		}
		if !v.Type().Elem().Comparable() || v.Type().Elem().Kind() == reflect.Struct { // among plain numbers 0 is one
			checkFull(t, v.Index(0), path+"[0]")
		}
	case reflect.Pointer:
		if !v.IsNil() {
			checkFull(t, v.Elem(), path)
			return
		}
		t.Errorf("%s says nothing", path)
	default:
		if v.IsZero() {
			t.Errorf("%s says nothing", path)
		}
	}
}

// TestForm1 holds the encoding against the file that is kept for ever. When
// this fails, sheets already issued could not be read or would get another
// digest: give the new encoding a new form and keep the old decoder.
func TestForm1(t *testing.T) {
	kept, err := os.ReadFile("testdata/form1.json")
	if err != nil {
		t.Fatal(err)
	}
	made, err := Encode(full())
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(made, kept) {
		t.Errorf("form 1 is no longer written as it was:\n made %s kept %s", made, kept)
	}
	read, err := Decode(kept)
	if err != nil {
		t.Fatalf("form 1 can no longer be read: %v", err)
	}
	want := full()
	ownLists(reflect.ValueOf(want).Elem())
	if !reflect.DeepEqual(read, want) {
		t.Errorf("Decode(form 1) = %+v, want %+v", read, want)
	}
	if got, want := Digest(kept), form1Digest; got != want {
		t.Errorf("Digest(form 1) = %s, want %s", got, want)
	}
}

// form1Digest was worked out by another program (sha256sum).
const form1Digest = "3060fb9911f514790d68575bfb0ad3ee34638550844d951c00a078668029f99e"

// Travelers issued before a field was added keep their bytes and their digest.
func TestFormerBytesAreKept(t *testing.T) {
	const digest = "100de6a5f92486e240a0562e08e90170261f98d7afb81e7aab6219fa4def5e69"
	kept, err := os.ReadFile("testdata/form1-before-turns.json")
	if err != nil {
		t.Fatal(err)
	}
	read, err := Decode(kept)
	if err != nil {
		t.Fatal(err)
	}
	again, err := Encode(read)
	if err != nil || !bytes.Equal(again, kept) || Digest(again) != digest {
		t.Errorf("read and written again it is %s (%v), want the same bytes", again, err)
	}
}

func TestEncode(t *testing.T) {
	encoded, err := Encode(full())
	if err != nil {
		t.Fatal(err)
	}
	text := string(encoded)
	if !strings.HasPrefix(text, `{"form":1,"code":"abcdefgh23456789z","address":"http://`) {
		t.Errorf("the encoding begins %.80s", text)
	}
	if !strings.HasSuffix(text, "}\n") || strings.Count(text, "\n") != 1 {
		t.Error("the encoding is not one line with an end")
	}
	if !strings.Contains(text, "<in front of> you & your mate") || !strings.Contains(text, "≤") {
		t.Error("letters are escaped that need not be")
	}
}

func TestEncodeOtherForm(t *testing.T) {
	for _, form := range []int{0, Form + 1} {
		if out, err := Encode(&Traveler{Form: form}); err == nil || out != nil {
			t.Errorf("Encode(form %d) = %q, %v, want an error", form, out, err)
		}
	}
}

// TestNilListsAreEmpty also sees to it that Encode leaves its argument alone.
func TestNilListsAreEmpty(t *testing.T) {
	given := &Traveler{Form: Form, Steps: []Step{{Number: 1}}}
	encoded, err := Encode(given)
	if err != nil {
		t.Fatal(err)
	}
	if strings.Contains(string(encoded), "null") {
		t.Errorf("the encoding has null: %s", encoded)
	}
	for _, want := range []string{`"outline":[]`, `"holes":[]`, `"segments":[]`, `"before":[]`, `"running_x":[]`} {
		if !strings.Contains(string(encoded), want) {
			t.Errorf("the encoding lacks %s", want)
		}
	}
	if given.Cautions != nil || given.Steps[0].Segments != nil {
		t.Error("Encode changed the traveler it was given")
	}
	read, err := Decode(encoded)
	if err != nil {
		t.Fatal(err)
	}
	again, err := Encode(read)
	if err != nil || !bytes.Equal(again, encoded) {
		t.Errorf("encoded again: %s, %v, want %s", again, err, encoded)
	}
	if read.Steps[0].Segments == nil || read.Cautions == nil {
		t.Error("Decode left a list nil")
	}
}

// TestDecodeNull: a list written as null by hand is read as an empty one.
func TestDecodeNull(t *testing.T) {
	read, err := Decode([]byte(`{"form":1,"steps":null}`))
	if err != nil || read.Steps == nil || read.Blank.Lines == nil {
		t.Errorf("Decode(null list) = %+v, %v, want empty lists", read, err)
	}
}

func TestDecodeRefuses(t *testing.T) {
	for _, c := range []struct{ name, data, want string }{
		{"nothing", "", "cut off"},
		{"no JSON", "PK\x03\x04", "cannot be read"},
		{"cut off", `{"form":1,"code":"ab`, "cut off"},
		{"a list", `[]`, "a JSON array, not an object"},
		{"null", `null`, "no form number"},
		{"no form", `{}`, "no form number"},
		{"form of words", `{"form":"1"}`, "cannot be read"},
		{"form 0", `{"form":0}`, "no form 0"},
		{"form below", `{"form":-1}`, "no form -1"},
		{"a newer form", `{"form":2,"laser":true}`, "newer program"},
		{"form said twice", `{"form":1,"Form":1,"form":2}`, "newer program"},
		{"unknown field", `{"form":1,"colour":"red"}`, `unknown field "colour"`},
		{"unknown field deep down", `{"form":1,"steps":[{"colour":"red"}]}`, `unknown field "colour"`},
		{"part of a micrometre", `{"form":1,"blank":{"width":1.5}}`, "blank.width: the traveler cannot be read: a JSON number 1.5 does"},
		{"too large a number", `{"form":1,"blank":{"width":9223372036854775808}}`, "cannot be read"},
		{"more behind", `{"form":1} {}`, "behind the end"},
		{"letters behind", `{"form":1}x`, "behind the end"},
		{"not UTF-8", "{\"form\":1,\"shop\":\"\xff\"}", "not UTF-8"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := Decode([]byte(c.data))
			if err == nil || got != nil || fault.KindOf(err) != fault.Invalid || !strings.Contains(err.Error(), c.want) {
				t.Errorf("Decode(%q) = %v, %v, want a refusal with %q", c.data, got, err, c.want)
			}
			if err != nil && strings.Contains(err.Error(), "json:") {
				t.Errorf("the refusal speaks of its library: %v", err)
			}
		})
	}
}

// TestDigest uses the first example of FIPS 180-2, appendix B.
func TestDigest(t *testing.T) {
	const want = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
	if got := Digest([]byte("abc")); got != want {
		t.Errorf("Digest(abc) = %s, want %s", got, want)
	}
}

// TestEncodeAtTheSameTime is for the race detector: one traveler, many pages.
func TestEncodeAtTheSameTime(t *testing.T) {
	shared := full()
	shared.Steps[0].Cautions = nil
	want, err := Encode(shared)
	if err != nil {
		t.Fatal(err)
	}
	var all sync.WaitGroup
	for range 8 {
		all.Go(func() {
			if got, err := Encode(shared); err != nil || !bytes.Equal(got, want) {
				t.Errorf("Encode() beside others = %v", err)
			}
		})
	}
	all.Wait()
}

func FuzzDecode(f *testing.F) {
	encoded, err := Encode(full())
	if err != nil {
		f.Fatal(err)
	}
	f.Add(encoded)
	for _, data := range []string{`{"form":1}`, `{"form":1,"steps":[{"segments":null}],"blank":{"lines":[{"line":[{"x":1}]}]}}`,
		`{"form":2}`, `{"form":1,"shop":"\ud800"}`, `null`, "", `{"form":1}{"form":1}`} {
		f.Add([]byte(data))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		first, err := Decode(data)
		if err != nil {
			if fault.KindOf(err) != fault.Invalid {
				t.Fatalf("Decode(%q) = %v, no refusal", data, err)
			}
			return
		}
		again, err := Encode(first)
		if err != nil {
			t.Fatalf("Encode: %v", err)
		}
		second, err := Decode(again)
		if err != nil || !reflect.DeepEqual(first, second) {
			t.Fatalf("decoded again: %+v, %v, want %+v", second, err, first)
		}
	})
}

func BenchmarkEncode(b *testing.B) {
	t := full()
	for b.Loop() {
		if _, err := Encode(t); err != nil {
			b.Fatal(err)
		}
	}
}
