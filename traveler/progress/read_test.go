package progress

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"brakeside/calc/fault"
	"brakeside/calc/unit"
)

const fullBody = `{"id":"p7-000123","piece":1,"step":2,"measured":89.4,"given_as":"opening","stop":92.0,"place":"left","by":"AB",
 "state":"reworked","note":"two\nlines","flags":["bar-lifted","corner-torn"],"leg":33.5,"pack":"A4","thickness":1.48,
 "nose_setback":[1.5,null],"tool":"bevel","confirmed":true,"at":"2026-05-04T11:30:00+02:00","corrects":"p7-000122"}`

func micron(v unit.Micron) *unit.Micron { return &v }

func TestReadReading(t *testing.T) {
	stop := unit.CentiDeg(9200)
	cases := []struct {
		name, body string
		want       Reading
	}{
		{"only what is required", `{"id":"abcdefgh","piece":1,"step":2,"measured":89.4}`,
			Reading{ID: "abcdefgh", Piece: 1, Step: 2, Measured: 8940, GivenAs: GivenBend, State: StateAsBent}},
		{"everything", fullBody,
			Reading{ID: "p7-000123", Piece: 1, Step: 2, Measured: 8940, GivenAs: GivenOpening, Stop: &stop, Place: PlaceLeft, By: "AB",
				State: StateReworked, Note: "two\nlines", Flags: []string{FlagBarLifted, FlagCornerTorn}, Leg: micron(33500), Pack: "A4",
				Thickness: micron(1480), NoseSetback: [2]*unit.Micron{micron(1500), nil}, Tool: "bevel", Confirmed: true,
				At: "2026-05-04T09:30:00Z", Corrects: "p7-000122"}},
		{"null is not given",
			`{"id":"a","piece":1,"step":1,"measured":0,"given_as":null,"stop":null,"place":null,"by":null,"state":null,"note":null,
			"flags":null,"leg":null,"pack":null,"thickness":null,"nose_setback":null,"tool":null,"confirmed":null,"at":null,"corrects":null}`,
			Reading{ID: "a", Piece: 1, Step: 1, GivenAs: GivenBend, State: StateAsBent}},
		{"empty texts",
			`{"id":"a","piece":1,"step":1,"measured":-10,"place":"","by":"","note":"","flags":[],"at":"","corrects":"","nose_setback":[null,null]}`,
			Reading{ID: "a", Piece: 1, Step: 1, Measured: -1000, GivenAs: GivenBend, State: StateAsBent}},
		{"whole numbers in any form", `{"id":"a","piece":1e1,"step":2.0,"measured":200}`,
			Reading{ID: "a", Piece: 10, Step: 2, Measured: 20000, GivenAs: GivenBend, State: StateAsBent}},
		{"halves round away from zero", `{"id":"a","piece":1,"step":1,"measured":0.125}`,
			Reading{ID: "a", Piece: 1, Step: 1, Measured: 13, GivenAs: GivenBend, State: StateAsBent}},
		{"a time with parts of a second, as browsers write it", `{"id":"a","piece":1,"step":1,"measured":1,"at":"2026-05-04T09:30:00.123Z"}`,
			Reading{ID: "a", Piece: 1, Step: 1, Measured: 100, GivenAs: GivenBend, State: StateAsBent, At: "2026-05-04T09:30:00Z"}},
		{"flags that the service sets are left out", `{"id":"a","piece":1,"step":1,"measured":1,"flags":["twice","bar-lifted","out-of-order"]}`,
			Reading{ID: "a", Piece: 1, Step: 1, Measured: 100, GivenAs: GivenBend, State: StateAsBent, Flags: []string{FlagBarLifted}}},
		{"a flag said twice is said once", `{"id":"a","piece":1,"step":1,"measured":1,"flags":["bar-lifted","bar-lifted"]}`,
			Reading{ID: "a", Piece: 1, Step: 1, Measured: 100, GivenAs: GivenBend, State: StateAsBent, Flags: []string{FlagBarLifted}}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			got, err := ReadReading([]byte(c.body))
			if err != nil || !reflect.DeepEqual(got, c.want) {
				t.Errorf("ReadReading(%s) = %+v, %v, want %+v", c.body, got, err, c.want)
			}
		})
	}
}

// with adds fields to a body that would be right.
func with(extra string) string {
	return `{"id":"abcdefgh","piece":1,"step":1,"measured":90` + extra + `}`
}

// unreadable lists bodies that are refused, with the field that is wrong.
var unreadable = []struct{ name, body, field string }{
	{"empty", ``, ""},
	{"not JSON", `piece=1`, ""},
	{"cut off", `{"id":"abcdefgh","piece":1`, ""},
	{"a list", `[1]`, ""},
	{"a number", `1`, ""},
	{"NaN", `{"id":"abcdefgh","piece":1,"step":1,"measured":NaN}`, ""},
	{"infinity", `{"id":"abcdefgh","piece":1,"step":1,"measured":Infinity}`, ""},
	{"something behind", with("") + `{}`, ""},
	{"not UTF-8", with(`,"note":"` + "\xff" + `"`), ""},
	{"very deep", strings.Repeat(`{"a":`, 3000), ""},
	{"unknown field", with(`,"weight":3`), "weight"},
	{"a known field in other letters", with(`,"Stop":3`), "Stop"},
	{"a field of the stored form", with(`,"error":0`), "error"},
	{"nameless field", with(`,"":0`), "(no name)"},
	{"unprintable field", with(`,"\u0007":0`), "?"},
	{"twice", with(`,"piece":2`), "piece"},
	{"no id", `{"piece":1,"step":1,"measured":90}`, "id"},
	{"null id", `{"id":null,"piece":1,"step":1,"measured":90}`, "id"},
	{"no piece", `{"id":"a","step":1,"measured":90}`, "piece"},
	{"no step", `{"id":"a","piece":1,"measured":90}`, "step"},
	{"no angle", `{"id":"a","piece":1,"step":1}`, "measured"},
	{"empty id", `{"id":"","piece":1,"step":1,"measured":90}`, "id"},
	{"long id", `{"id":"` + strings.Repeat("x", 65) + `","piece":1,"step":1,"measured":90}`, "id"},
	{"odd id", `{"id":"a b","piece":1,"step":1,"measured":90}`, "id"},
	{"id of two lines", `{"id":"a\n","piece":1,"step":1,"measured":90}`, "id"},
	{"id is a number", `{"id":12345678,"piece":1,"step":1,"measured":90}`, "id"},
	{"piece 0", `{"id":"a","piece":0,"step":1,"measured":90}`, "piece"},
	{"half a piece", `{"id":"a","piece":1.5,"step":1,"measured":90}`, "piece"},
	{"a million and one", `{"id":"a","piece":1000001,"step":1,"measured":90}`, "piece"},
	{"piece is a text", `{"id":"a","piece":"1","step":1,"measured":90}`, "piece"},
	{"negative step", `{"id":"a","piece":1,"step":-1,"measured":90}`, "step"},
	{"angle is a text", `{"id":"a","piece":1,"step":1,"measured":"90"}`, "measured"},
	{"angle too large", `{"id":"a","piece":1,"step":1,"measured":200.1}`, "measured"},
	{"angle too small", `{"id":"a","piece":1,"step":1,"measured":-10.1}`, "measured"},
	{"past all numbers", `{"id":"a","piece":1,"step":1,"measured":1e999}`, "measured"},
	{"given_as", with(`,"given_as":"angle"`), "given_as"},
	{"given_as empty", with(`,"given_as":""`), "given_as"},
	{"stop", with(`,"stop":361`), "stop"},
	{"stop is a text", with(`,"stop":"92"`), "stop"},
	{"place", with(`,"place":"centre"`), "place"},
	{"state", with(`,"state":"fine"`), "state"},
	{"by too long", with(`,"by":"` + strings.Repeat("x", 61) + `"`), "by"},
	{"note too long", with(`,"note":"` + strings.Repeat("ä", 501) + `"`), "note"},
	{"note is a number", with(`,"note":5`), "note"},
	{"a zero byte", with(`,"note":"a\u0000b"`), "note"},
	{"an escape", with(`,"by":"\u001b[2J"`), "by"},
	{"unknown flag", with(`,"flags":["late"]`), "flags"},
	{"flags is a text", with(`,"flags":"bar-lifted"`), "flags"},
	{"flag is a number", with(`,"flags":[1]`), "flags"},
	{"seventeen flags", with(`,"flags":[` + strings.Repeat(`"bar-lifted",`, 16) + `"bar-lifted"]`), "flags"},
	{"no leg", with(`,"leg":0`), "leg"},
	{"thickness", with(`,"thickness":51`), "thickness"},
	{"one setback", with(`,"nose_setback":[1]`), "nose_setback"},
	{"three setbacks", with(`,"nose_setback":[1,1,1]`), "nose_setback"},
	{"negative setback", with(`,"nose_setback":[1,-1]`), "nose_setback"},
	{"setback is a text", with(`,"nose_setback":["1",1]`), "nose_setback"},
	{"confirmed is a number", with(`,"confirmed":1`), "confirmed"},
	{"no such day", with(`,"at":"2026-02-30T09:30:00Z"`), "at"},
	{"no zone", with(`,"at":"2026-05-04T09:30:00"`), "at"},
	{"before all clocks of phones", with(`,"at":"1969-12-31T23:59:59Z"`), "at"},
	{"another age", with(`,"at":"1026-05-04T09:30:00Z"`), "at"},
	{"corrects", with(`,"corrects":"a/b"`), "corrects"},
}

func TestReadReadingRefuses(t *testing.T) {
	for _, c := range unreadable {
		t.Run(c.name, func(t *testing.T) {
			_, err := ReadReading([]byte(c.body))
			var got *fault.Refusal
			if !errors.As(err, &got) {
				t.Fatalf("ReadReading(%.80s) = %v, want a refusal", c.body, err)
			}
			if got.Kind != fault.Invalid || got.Field != c.field || got.Message == "" {
				t.Errorf("ReadReading(%.80s) = kind %d, field %q, %q, want Invalid, field %q", c.body, got.Kind, got.Field, got.Message, c.field)
			}
		})
	}
}

func TestReadReadingTooLarge(t *testing.T) {
	body := `{"id":"a","piece":1,"step":1,"measured":90` + strings.Repeat(" ", MaxBody) + `}`
	if _, err := ReadReading([]byte(body)); fault.KindOf(err) != fault.TooLarge {
		t.Errorf("ReadReading(%d bytes) = %v, want TooLarge", len(body), err)
	}
}

func TestNoteOfFiveHundredCharacters(t *testing.T) {
	note := strings.Repeat("ä", 500)
	got, err := ReadReading(fmt.Appendf(nil, `{"id":"a","piece":1,"step":1,"measured":90,"note":%q}`, note))
	if err != nil || got.Note != note {
		t.Errorf("ReadReading(note of 500 characters) = %d characters, %v, want 500", len([]rune(got.Note)), err)
	}
}

func TestReadingJSON(t *testing.T) {
	r, err := ReadReading([]byte(fullBody))
	if err != nil {
		t.Fatal(err)
	}
	r.Error, r.Seq, r.Received = 60, 17, "2026-05-04T09:30:02Z"
	got, err := json.Marshal(r)
	want := `{"id":"p7-000123","piece":1,"step":2,"measured":89.4,"given_as":"opening","stop":92,"place":"left",` +
		`"by":"AB","state":"reworked",` +
		`"note":"two\nlines","flags":["bar-lifted","corner-torn"],"leg":33.5,"pack":"A4","thickness":1.48,` +
		`"nose_setback":[1.5,null],"tool":"bevel",` +
		`"confirmed":true,"at":"2026-05-04T09:30:00Z","corrects":"p7-000122","error":0.6,"seq":17,"received":"2026-05-04T09:30:02Z"}`
	if err != nil || string(got) != want {
		t.Errorf("json.Marshal(reading) =\n%s, %v\nwant\n%s", got, err, want)
	}
}

func TestDecimal(t *testing.T) {
	cases := []struct {
		v      int64
		places int
		want   string
	}{
		{0, 2, "0"}, {5, 2, "0.05"}, {-60, 2, "-0.6"}, {8940, 2, "89.4"}, {9000, 2, "90"},
		{-12345, 3, "-12.345"}, {1500, 3, "1.5"}, {1, 3, "0.001"},
	}
	for _, c := range cases {
		if got := appendDecimal(nil, &c.v, c.places); string(got) != c.want {
			t.Errorf("appendDecimal(%d, %d) = %s, want %s", c.v, c.places, got, c.want)
		}
	}
}

// Whatever a person types, what is written is JSON that says the same: the
// standard library reads it back.
func TestWrittenReadings(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		words := rapid.String()
		length := rapid.Ptr(rapid.Map(rapid.Int64Range(-1e12, 1e12), func(v int64) unit.Micron { return unit.Micron(v) }), true)
		r := Reading{ID: words.Draw(t, "id"), Piece: rapid.Int().Draw(t, "piece"),
			Measured: unit.CentiDeg(rapid.Int64Range(-1e6, 1e6).Draw(t, "measured")),
			Note:     words.Draw(t, "note"), Flags: rapid.SliceOf(words).Draw(t, "flags"), Leg: length.Draw(t, "leg"),
			NoseSetback: [2]*unit.Micron{length.Draw(t, "left"), length.Draw(t, "right")},
			Confirmed:   rapid.Bool().Draw(t, "confirmed"), Corrects: words.Draw(t, "corrects")}
		text, err := Verdict{Reading: r, Advice: r.Note, Next: &Due{Spot: bendAt(r.Piece, 2)}}.MarshalJSON()
		if err != nil || !json.Valid(text) {
			t.Fatalf("MarshalJSON(%+v) = %s, %v, which is no JSON", r, text, err)
		}
		var back struct {
			Reading struct {
				ID, Note, Corrects string
				Piece              int
				Measured           float64
				Flags              []string
				Leg                *float64
				Confirmed          bool
				NoseSetback        [2]*float64 `json:"nose_setback"`
			}
			Advice string
			Next   Spot
		}
		if err := json.Unmarshal(text, &back); err != nil {
			t.Fatalf("Unmarshal(%s) = %v", text, err)
		}
		b := back.Reading
		if b.ID != r.ID || b.Note != r.Note || b.Corrects != r.Corrects || b.Piece != r.Piece || b.Measured != float64(r.Measured.Deg()) ||
			!slices.Equal(b.Flags, r.Flags) || b.Confirmed != r.Confirmed || back.Advice != r.Note || back.Next.Piece != r.Piece {
			t.Fatalf("%+v is written as\n%s", r, text)
		}
		for i, pair := range [][2]any{{r.Leg, b.Leg}, {r.NoseSetback[0], b.NoseSetback[0]}, {r.NoseSetback[1], b.NoseSetback[1]}} {
			whole, read := pair[0].(*unit.Micron), pair[1].(*float64)
			if (whole == nil) != (read == nil) || whole != nil && math.Abs(*read-float64(*whole)/1000) > 1e-6 {
				t.Fatalf("length %d of %+v is written as\n%s", i, r, text)
			}
		}
	})
}

func TestTeaches(t *testing.T) {
	cases := []struct {
		name string
		r    Reading
		want bool
	}{
		{"as bent", Reading{State: StateAsBent, Error: -150}, true},
		{"just under 8 off", Reading{State: StateAsBent, Error: -799}, true},
		{"8 off", Reading{State: StateAsBent, Error: -800}, false},
		{"reworked", Reading{State: StateReworked}, false},
		{"scrapped", Reading{State: StateScrapped}, false},
		{"flagged", Reading{State: StateAsBent, Flags: []string{FlagBarLifted}}, false},
	}
	for _, c := range cases {
		if got := c.r.Teaches(); got != c.want {
			t.Errorf("Teaches(%s) = %t, want %t", c.name, got, c.want)
		}
	}
}

func FuzzReadReading(f *testing.F) {
	f.Add([]byte(fullBody))
	f.Add([]byte(`{"id":"a","piece":1,"step":1,"measured":90}`))
	f.Add([]byte(`{"id":"a","piece":1,"step":1,"measured":90,"note":"\ud800","at":"2000-01-01T00:00:00+23:59"}`))
	f.Add([]byte(`{"a":[[[`))
	f.Fuzz(func(t *testing.T, body []byte) {
		r, err := ReadReading(body)
		if err != nil {
			if k := fault.KindOf(err); k != fault.Invalid && k != fault.TooLarge {
				t.Fatalf("ReadReading(%q) = %v, not a refusal", body, err)
			}
			return
		}
		again, err := ReadReading(posted(t, r))
		if err != nil || !reflect.DeepEqual(again, r) {
			t.Fatalf("read, write, read: %+v, %v, want %+v", again, err, r)
		}
	})
}

// posted writes a reading as a phone would: without what the server adds.
func posted(t *testing.T, r Reading) []byte {
	t.Helper()
	text, err := json.Marshal(r)
	if err != nil {
		t.Fatal(err)
	}
	var body map[string]json.RawMessage
	if err := json.Unmarshal(text, &body); err != nil {
		t.Fatal(err)
	}
	delete(body, "error")
	text, err = json.Marshal(body)
	if err != nil {
		t.Fatal(err)
	}
	return text
}
