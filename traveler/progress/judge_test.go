package progress

import (
	"encoding/json"
	"errors"
	"strings"
	"testing"

	"brakeside/calc/fault"
	"brakeside/calc/unit"
)

func TestJudgeError(t *testing.T) {
	cases := []struct {
		name        string
		step        int
		measured    unit.CentiDeg
		givenAs     string
		want        unit.CentiDeg
		inTolerance bool
	}{
		{"on target", 1, 9000, GivenBend, 0, true},
		{"under-bent", 1, 8940, GivenBend, -60, true},
		{"over-bent", 1, 9130, GivenBend, 130, false},
		{"an opening of 90.6 is a bend of 89.4", 1, 9060, GivenOpening, -60, true},
		{"an opening of 133 is a bend of 47", 2, 13300, GivenOpening, 200, false},
		{"at the tolerance", 1, 9100, GivenBend, 100, true},
		{"just past the tolerance", 1, 8899, GivenBend, -101, false},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			r := reading(1, c.step, c.measured).with(confirmed)
			r.GivenAs = c.givenAs
			got, err := Judge(logged(sheet(1)), r)
			if err != nil {
				t.Fatal(err)
			}
			if got.Error != c.want || got.InTolerance != c.inTolerance || got.Reading.Error != c.want {
				t.Errorf("Judge(%s as %s) = error %d, in tolerance %t, want %d, %t", c.measured.Text(2), c.givenAs, got.Error,
					got.InTolerance, c.want, c.inTolerance)
			}
		})
	}
}

func TestJudgeNext(t *testing.T) {
	job := logged(sheet(2), firstPiece()[:1]...)
	got, err := Judge(job, reading(1, 2, 4500))
	if err != nil || got.Next == nil || got.Next.Spot != (bendAt(1, 3)) {
		t.Errorf("Judge(piece 1, step 2) = next %v, %v, want {1 3}", got.Next, err)
	}
	if len(job.Readings) != 1 {
		t.Errorf("Judge changed the job: %d readings, want 1", len(job.Readings))
	}
	last, err := Judge(logged(sheet(1), firstPiece()[:2]...), reading(1, 3, 9000))
	if err != nil || last.Next != nil {
		t.Errorf("Judge(last bend) = next %v, %v, want none", last.Next, err)
	}
}

// question is a refusal that Judge may give.
type question struct {
	kind  fault.Kind
	field string
	words string // that the message must contain
}

func TestJudgeRefusals(t *testing.T) {
	whole := firstPiece()
	opening := func(r *Reading) { r.GivenAs = GivenOpening }
	none := question{}
	cases := []struct {
		name   string
		before []Reading
		r      Reading
		want   question
	}{
		{"unknown step", nil, reading(1, 9, 9000), question{fault.Invalid, "step", "no step 9 on this traveler; it has steps 1 to 3"}},
		{"unknown step, confirmed", nil, reading(1, 9, 9000).with(confirmed), question{fault.Invalid, "step", "no step 9"}},
		{"piece past the quantity", whole, reading(3, 1, 9000), question{fault.Invalid, "piece", "no piece 3: 2 are to be made"}},
		{"a stop that cannot be", nil, reading(1, 1, 9000).with(stop(-2000)), question{fault.Invalid, "stop", "shows the bend"}},
		{"8 degrees off", nil, reading(1, 1, 9800), question{fault.Unsure, "measured", "98.0 is 8.0 off the target of 90.0"}},
		{"8 degrees under", nil, reading(1, 1, 8200), question{fault.Unsure, "measured", "82.0 is 8.0 off"}},
		{"just under 8 degrees off", nil, reading(1, 1, 9799), none},
		{"8 degrees off, confirmed", nil, reading(1, 1, 9800).with(confirmed), none},
		{"the opening given as a bend", whole[:1], reading(1, 2, 13500),
			question{fault.Unsure, "measured", "135.0 is the opening of a 45.0 bend"}},
		{"the bend given as an opening", whole[:1], reading(1, 2, 4500).with(opening),
			question{fault.Unsure, "measured", "45.0 as an opening is a bend of 135.0, but 45.0 as a bend would fit"}},
		{"scrapped is not asked about its angle", nil, reading(1, 1, 0).with(scrapped), none},
		{"out of order", nil, reading(1, 3, 9000), none},
		{"far off on another piece: only the angle is asked about", nil, reading(2, 2, 13500), question{fault.Unsure, "measured", "really 135.0?"}},
		{"scrapped without a note", nil, reading(1, 1, 9000).with(func(r *Reading) { r.State, r.Note = StateScrapped, " " }), question{fault.Invalid, "note", "why the piece is scrapped"}},
		{"a good bend turned out to be scrap", whole[:1], reading(1, 1, 9000).with(scrapped), none},
		{"a correction", whole[:1], reading(1, 1, 8990).with(correcting("r-1-1-9000")), none},
		{"a correction far off", whole[:1], reading(1, 1, 7000).with(correcting("r-1-1-9000")), question{fault.Unsure, "measured", "20.0 off"}},
		{"a correction to the next step", []Reading{reading(1, 1, 4500), reading(1, 2, 4510)}, reading(1, 1, 9000).with(correcting("r-1-1-4500")), none},
		{"correction of nothing", whole[:1], reading(1, 1, 9000).with(correcting("r-none")), question{fault.Invalid, "corrects", "no reading r-none"}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			_, err := Judge(logged(sheet(2), c.before...), c.r)
			checkRefusal(t, err, c.want)
		})
	}
}

func checkRefusal(t *testing.T, err error, want question) {
	t.Helper()
	if want == (question{}) {
		if err != nil {
			t.Errorf("refused: %v, want none", err)
		}
		return
	}
	var got *fault.Refusal
	if !errors.As(err, &got) {
		t.Fatalf("err = %v, want a refusal", err)
	}
	if got.Kind != want.kind || got.Field != want.field || !strings.Contains(got.Message, want.words) {
		t.Errorf("refusal = kind %d, field %q, %q, want kind %d, field %q, with %q", got.Kind, got.Field, got.Message, want.kind,
			want.field, want.words)
	}
}

func TestVerdictJSON(t *testing.T) {
	job := logged(sheet(2), firstPiece()[:1]...)
	job.Stops = nil
	got, err := Judge(job,
		reading(1, 2, 4440).with(func(r *Reading) { r.ID, r.Note = "abc", `a <b> & "c"` }))
	if err != nil {
		t.Fatal(err)
	}
	text, err := json.Marshal(got)
	if err != nil {
		t.Fatal(err)
	}
	want := `{"reading":{"id":"abc","piece":1,"step":2,"measured":44.4,"given_as":"bend","stop":null,"place":"","by":"","state":"as-bent",` +
		`"note":"a \u003cb\u003e \u0026 \"c\"","flags":[],"leg":null,"pack":"","thickness":null,"nose_setback":[null,null],"tool":"",` +
		`"confirmed":false,"at":"","error":-0.6},"error":-0.6,"in_tolerance":true,"advice":"In tolerance: go on.",` +
		`"next":{"piece":1,"step":3,"do":"bend","stop":92,"stop_why":"as printed","words":"Bend with the stop at 92.0, then measure."}}`
	if string(text) != want {
		t.Errorf("json.Marshal(verdict) =\n%s\nwant\n%s", text, want)
	}
	got.Next = nil
	if text, err = got.MarshalJSON(); err != nil || !strings.HasSuffix(string(text), `"next":null}`) ||
		!strings.Contains(string(text), "<b>") {
		t.Errorf("MarshalJSON(all in) = %s, %v, want next null and the note as typed", text, err)
	}
}
