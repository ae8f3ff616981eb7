package progress

import (
	"encoding/json"
	"errors"
	"slices"
	"strings"
	"testing"

	"brakeside/calc/fault"
	"brakeside/calc/unit"
	"brakeside/traveler"
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
	if err != nil || got.Next == nil || *got.Next != (Spot{1, 3}) {
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
		{"unknown step", nil, reading(1, 9, 9000), question{fault.Invalid, "step", "no step 9 on this sheet; it has steps 1 to 3"}},
		{"unknown step, confirmed", nil, reading(1, 9, 9000).with(confirmed), question{fault.Invalid, "step", "no step 9"}},
		{"piece past the quantity", whole, reading(3, 1, 9000), question{fault.Invalid, "piece", "no piece 3: 2 are to be made"}},
		{"a stop that cannot be", nil, reading(1, 1, 9000).with(stop(-2000)), question{fault.Invalid, "stop", "shows the bend"}},
		{"8 degrees off", nil, reading(1, 1, 9800), question{fault.Unsure, "measured", "98.0 is 8.0 off the bend of 90.0"}},
		{"8 degrees under", nil, reading(1, 1, 8200), question{fault.Unsure, "measured", "82.0 is 8.0 off"}},
		{"just under 8 degrees off", nil, reading(1, 1, 9799), none},
		{"8 degrees off, confirmed", nil, reading(1, 1, 9800).with(confirmed), none},
		{"the opening given as a bend", whole[:1], reading(1, 2, 13500),
			question{fault.Unsure, "measured", "135.0 is the opening of a 45.0 bend"}},
		{"the bend given as an opening", whole[:1], reading(1, 2, 4500).with(opening),
			question{fault.Unsure, "measured", "45.0 as an opening is a bend of 135.0, but 45.0 as a bend would fit"}},
		{"scrapped is not asked about its angle", nil, reading(1, 1, 0).with(scrapped), none},
		{"out of order", nil, reading(1, 3, 9000), question{fault.Unsure, "step", "next bend is piece 1, step 1"}},
		{"out of order, confirmed", nil, reading(1, 3, 9000).with(confirmed), none},
		{"same bend twice", whole[:1], reading(1, 1, 9040), question{fault.Unsure, "step", "logged already, with 90.0"}},
		{"same bend twice, confirmed", whole[:1], reading(1, 1, 9040).with(confirmed), none},
		{"same bend after rework", whole[:1], reading(1, 1, 9040).with(reworked), none},
		{"same bend at another place", []Reading{reading(1, 1, 9000).with(at(PlaceLeft))}, reading(1, 1, 9040).with(at(PlaceRight)), none},
		{"same bend at the same place", []Reading{reading(1, 1, 9000).with(at(PlaceLeft))}, reading(1, 1, 9040).with(at(PlaceLeft)),
			question{fault.Unsure, "step", "logged already"}},
		{"a good bend turned out to be scrap", whole[:1], reading(1, 1, 9000).with(scrapped), none},
		{"a correction", whole[:1], reading(1, 1, 8990).with(correcting("r-1-1-9000")), none},
		{"a correction far off", whole[:1], reading(1, 1, 7000).with(correcting("r-1-1-9000")), question{fault.Unsure, "measured", "20.0 off"}},
		{"a correction to the next step", []Reading{reading(1, 1, 4500), reading(1, 2, 4510)},
			reading(1, 1, 9000).with(correcting("r-1-1-4500")), none},
		{"a correction to a bend out of order", whole[:1], reading(1, 3, 9000).with(correcting("r-1-1-9000")),
			question{fault.Unsure, "step", "next bend is piece 1, step 1"}},
		{"correction of nothing", whole[:1], reading(1, 1, 9000).with(correcting("r-none")),
			question{fault.Invalid, "corrects", "no reading r-none"}},
		{"correction of what was corrected", []Reading{whole[0], reading(1, 1, 9010).with(correcting("r-1-1-9000"))},
			reading(1, 1, 9020).with(correcting("r-1-1-9000")), question{fault.Conflict, "corrects", "correct r-1-1-9010-again instead"}},
		{"a bend on a scrapped piece", []Reading{reading(1, 1, 9000).with(scrapped)}, reading(1, 2, 4500),
			question{fault.Unsure, "piece", "Piece 1 was scrapped"}},
		{"two doubts are one question", nil, reading(1, 2, 13500), question{fault.Unsure, "measured", "really 135.0? The next bend is"}},
		{"second piece, first accepted", whole, reading(2, 1, 9000), none},
		{"second piece, first not whole", whole[:2], reading(2, 1, 9000),
			question{fault.Conflict, "piece", "Piece 2 must wait: log every bend of piece 1"}},
		{"second piece, first not whole, confirmed", whole[:2], reading(2, 1, 9000).with(confirmed),
			question{fault.Conflict, "piece", "Piece 2 must wait"}},
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

func TestGate(t *testing.T) {
	bad := []Reading{reading(1, 1, 8700), reading(1, 2, 4500), reading(1, 3, 9000)}
	cases := []struct {
		name     string
		before   []Reading
		override bool
		r        Reading
		wantGate bool
	}{
		{"first piece empty", nil, false, reading(2, 1, 9000), true},
		{"first piece out of tolerance", bad, false, reading(2, 1, 9000), true},
		{"first piece reworked well", append(slices.Clone(bad), reading(1, 1, 9000).with(reworked)), false, reading(2, 1, 9000), false},
		{"the owner's override", bad, true, reading(2, 1, 9000), false},
		{"further readings of the first piece", bad, false, reading(1, 1, 9000).with(reworked), false},
		{"the first piece scrapped: the second is now the first", []Reading{reading(1, 1, 9000).with(scrapped)}, false,
			reading(2, 1, 9000), false},
		{"the first piece scrapped: the third waits for the second", []Reading{reading(1, 1, 9000).with(scrapped)}, false,
			reading(3, 1, 9000), true},
		{"a correction of a bend that was let through", append(firstPiece(), reading(2, 1, 9050), reading(1, 1, 9500).with(reworked)), false,
			reading(2, 1, 9000).with(correcting("r-2-1-9050")), false},
		{"a correction that moves a bend to another piece", firstPiece()[:1], false, reading(2, 1, 9000).with(correcting("r-1-1-9000")), true},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			job := logged(sheet(3), c.before...)
			job.Override = c.override
			_, err := Judge(job, c.r.with(confirmed))
			if got := errors.Is(err, Gate); got != c.wantGate {
				t.Errorf("Judge = %v, gate %t, want gate %t", err, got, c.wantGate)
			}
			if c.wantGate && fault.KindOf(err) != fault.Conflict {
				t.Errorf("KindOf(gate) = %d, want Conflict", fault.KindOf(err))
			}
			if !c.wantGate && err != nil {
				t.Errorf("Judge = %v, want no refusal", err)
			}
		})
	}
	if errors.Is(fault.New(fault.Conflict, "", "another conflict"), Gate) {
		t.Error("any conflict is taken for the gate")
	}
}

func TestVerdictJSON(t *testing.T) {
	got, err := Judge(logged(sheet(2), firstPiece()[:1]...),
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
		`"confirmed":false,"at":"","error":-0.6},"error":-0.6,"in_tolerance":true,"advice":"In tolerance: go on.","next":{"piece":1,"step":3}}`
	if string(text) != want {
		t.Errorf("json.Marshal(verdict) =\n%s\nwant\n%s", text, want)
	}
	got.Next = nil
	if text, err = got.MarshalJSON(); err != nil || !strings.HasSuffix(string(text), `"next":null}`) ||
		!strings.Contains(string(text), "<b>") {
		t.Errorf("MarshalJSON(all in) = %s, %v, want next null and the note as typed", text, err)
	}
}

func TestByPieceGate(t *testing.T) {
	job := logged(sheet(2), firstPiece()[:2]...)
	job.Traveler.Run = traveler.ByPiece
	if _, err := Judge(job, reading(2, 1, 9000)); !errors.Is(err, Gate) {
		t.Errorf("Judge(second piece by piece) = %v, want the gate", err)
	}
}
