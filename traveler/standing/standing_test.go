package standing

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"brakeside/calc/fault"
)

func TestFold(t *testing.T) {
	office := func(kind, detail string) Event { return Event{Kind: kind, Detail: detail, By: "owner"} }
	brake := func(kind, detail string) Event { return Event{Kind: kind, Detail: detail, By: "AB", AtBrake: true} }
	piece := func(kind string, n int) Event { return Event{Kind: kind, Piece: n, Detail: "dented"} }
	cases := []struct {
		name   string
		events []Event
		want   Standing
	}{
		{"issued", nil, Standing{Quantity: 3, Most: 3}},
		{"closed", []Event{office(Closed, "all made")}, Standing{Closed: true, Reason: "all made", Quantity: 3, Most: 3}},
		{"opened again", []Event{office(Closed, "all made"), office(Reopened, "one is missing")}, Standing{Quantity: 3, Most: 3}},
		{"void", []Event{office(Closed, "all made"), office(Voided, "wrong drawing")}, Standing{Closed: true, Voided: true, Reason: "wrong drawing", Quantity: 3, Most: 3}},
		{"void by mistake", []Event{office(Voided, "wrong drawing"), office(Reopened, "the other one")}, Standing{Quantity: 3, Most: 3}},
		{"closed, and void by mistake", []Event{office(Closed, "all made"), office(Voided, "x"), office(Reopened, "y")}, Standing{Closed: true, Quantity: 3, Most: 3}},
		{"replaced", []Event{office(Replaced, "b")}, Standing{SupersededBy: "b", Quantity: 3, Most: 3}},
		{"to be finished", []Event{office(Replaced, "b"), office(FinishAllowed, "two are begun")}, Standing{SupersededBy: "b", FinishAllowed: true, Quantity: 3, Most: 3}},
		{"asked for", []Event{brake(ReleaseAsked, "86 is good")}, Standing{ReleaseAsked: true, Quantity: 3, Most: 3}},
		{"released", []Event{brake(ReleaseAsked, "86 is good"), office(Released, "it is")}, Standing{Override: true, Quantity: 3, Most: 3}},
		{"more pieces, then fewer", []Event{office(Requantified, "9"), office(Requantified, "4")}, Standing{Quantity: 4, Most: 9}},
		{"no number", []Event{office(Requantified, "many"), office(Resampled, "few")}, Standing{Quantity: 3, Most: 3}},
		{"every tenth", []Event{office(Resampled, "10")}, Standing{Quantity: 3, Most: 3, Every: 10}},
		{"made again", []Event{brake(Remade, "4 for 2")}, Standing{Quantity: 4, Most: 4, Remade: []Replacement{{4, 2}}}},
		{"stopped at the brake", []Event{brake(Held, "bar cracked")}, Standing{Hold: Hold{Why: "bar cracked", By: "AB"}, Quantity: 3, Most: 3}},
		{"stopped by both", []Event{office(Held, "look"), brake(Held, "bar cracked")}, Standing{Hold: Hold{Why: "bar cracked", By: "AB", Office: true}, Quantity: 3, Most: 3}},
		{"goes on", []Event{brake(Held, "bar cracked"), brake(Resumed, "another bar")}, Standing{Quantity: 3, Most: 3}},
		{"left out and taken up", []Event{piece(Skipped, 3), piece(Skipped, 1), piece(Skipped, 3), piece(TakenUp, 1)}, Standing{Quantity: 3, Most: 3, Skipped: []int{3}}},
		{"a newer revision", []Event{office(NewRevision, "D")}, Standing{NewRevision: "D", Quantity: 3, Most: 3}},
		{"may run on", []Event{office(NewRevision, "D"), office(RunOn, "title only")}, Standing{Quantity: 3, Most: 3}},
		{"replaced for the newer revision", []Event{office(NewRevision, "D"), office(Replaced, "b")}, Standing{SupersededBy: "b", Quantity: 3, Most: 3}},
		{"closed and opened, the revision undecided", []Event{office(NewRevision, "D"), office(Closed, "x"), office(Reopened, "y")}, Standing{NewRevision: "D", Quantity: 3, Most: 3}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			if got := Fold(3, c.events); !reflect.DeepEqual(got, c.want) {
				t.Errorf("Fold = %+v, want %+v", got, c.want)
			}
		})
	}
}

// matrix says what may be written in which standing: at the brake (b), only in
// the office (o), by no hand but the service's (s), or not at all (-).
var matrix = []struct {
	name     string
	standing Standing
	may      map[string]string // kinds that differ from those of a running one
}{
	{"running", Standing{}, nil},
	{"released", Standing{Override: true}, map[string]string{Released: "-", ReleaseAsked: "-"}},
	{"held at the brake", Standing{Hold: Hold{Why: "x"}}, map[string]string{Resumed: "b"}},
	{"held by the office", Standing{Hold: Hold{Why: "x", Office: true}}, map[string]string{Resumed: "o"}},
	{"a piece left out", Standing{Skipped: []int{2}}, map[string]string{TakenUp: "b"}},
	{"a newer revision", Standing{NewRevision: "D"}, map[string]string{RunOn: "o"}},
	{"replaced", Standing{SupersededBy: "b"}, map[string]string{FinishAllowed: "o", Released: "-", ReleaseAsked: "-", Held: "-", Requantified: "-", Resampled: "-", Skipped: "-", Remade: "-", NewRevision: "-"}},
	{"replaced, to be finished", Standing{SupersededBy: "b", FinishAllowed: true}, nil},
	{"closed", Standing{Closed: true}, map[string]string{Reopened: "o", Closed: "-", Released: "-", ReleaseAsked: "-", Held: "-", Requantified: "-", Resampled: "-", Skipped: "-", Remade: "-", NewRevision: "-"}},
	{"void", Standing{Voided: true}, map[string]string{Reopened: "o", Closed: "-", Voided: "-", Replaced: "-", Released: "-", ReleaseAsked: "-", Held: "-", Requantified: "-", Resampled: "-", Skipped: "-", Remade: "-", NewRevision: "-"}},
}

// running is what may be written about a traveler that is being made.
var running = map[string]string{
	Closed: "o", Voided: "o", Released: "o", Requantified: "o", Resampled: "o", ReleaseAsked: "b", Held: "b", Skipped: "b",
	Replaced: "b", Remade: "b", NewRevision: "b", // by the service, whoever asked for it
	Reopened: "-", FinishAllowed: "-", Resumed: "-", TakenUp: "-", RunOn: "-",
}

func TestMay(t *testing.T) {
	for _, c := range matrix {
		c.standing.Quantity = 3
		for kind, want := range running {
			if other, differs := c.may[kind]; differs {
				want = other
			}
			atBrake, inOffice := c.standing.May(kind, true), c.standing.May(kind, false)
			if (atBrake == nil) != (want == "b") || (inOffice == nil) != (want != "-") {
				t.Errorf("%s, %s: at the brake %v, in the office %v, want %q", c.name, kind, atBrake, inOffice, want)
			}
			if k := fault.KindOf(inOffice); inOffice != nil && k != fault.Conflict {
				t.Errorf("%s, %s: the refusal is of kind %d", c.name, kind, k)
			}
		}
	}
	if len(running) != len(rules) {
		t.Errorf("%d kinds are tried of %d", len(running), len(rules))
	}
	if err := (Standing{}).May("melted", false); fault.KindOf(err) != fault.Invalid {
		t.Errorf("May(no kind) = %v", err)
	}
	if err := (Standing{}).May(Voided, true); fault.KindOf(err) != fault.Denied {
		t.Errorf("May(void at the brake) = %v, want it denied", err)
	}
}

func TestAdmit(t *testing.T) {
	s := Standing{Quantity: 3, Most: 3, Skipped: []int{2}}
	cases := []struct {
		name string
		e    Event
		want fault.Kind // Internal: it is admitted
	}{
		{"a reason", Event{Kind: Closed, Detail: "all made"}, fault.Internal},
		{"no reason", Event{Kind: Closed}, fault.Invalid},
		{"blanks for a reason", Event{Kind: Held, Detail: " \n", AtBrake: true}, fault.Invalid},
		{"the longest reason", Event{Kind: Closed, Detail: strings.Repeat("ä", 1000)}, fault.Internal},
		{"one letter more", Event{Kind: Closed, Detail: strings.Repeat("ä", 1001)}, fault.Invalid},
		{"the least quantity", Event{Kind: Requantified, Detail: "1"}, fault.Internal},
		{"none", Event{Kind: Requantified, Detail: "0"}, fault.Invalid},
		{"the most", Event{Kind: Requantified, Detail: "99999"}, fault.Internal},
		{"one more", Event{Kind: Requantified, Detail: "100000"}, fault.Invalid},
		{"a word for a quantity", Event{Kind: Requantified, Detail: "few"}, fault.Invalid},
		{"every thousandth", Event{Kind: Resampled, Detail: "1000"}, fault.Internal},
		{"one more than that", Event{Kind: Resampled, Detail: "1001"}, fault.Invalid},
		{"replaced by another", Event{Code: "a", Kind: Replaced, Detail: "b"}, fault.Internal},
		{"replaced by itself", Event{Code: "a", Kind: Replaced, Detail: "a"}, fault.Invalid},
		{"replaced by nothing", Event{Code: "a", Kind: Replaced}, fault.Invalid},
		{"made again", Event{Kind: Remade, Detail: "4 for 1"}, fault.Internal},
		{"made again under an earlier number", Event{Kind: Remade, Detail: "1 for 1"}, fault.Invalid},
		{"made again past all", Event{Kind: Remade, Detail: "100000 for 1"}, fault.Invalid},
		{"made again in other words", Event{Kind: Remade, Detail: "04 for 1"}, fault.Invalid},
		{"left out", Event{Kind: Skipped, Piece: 3, Detail: "dented"}, fault.Internal},
		{"left out without a reason", Event{Kind: Skipped, Piece: 3}, fault.Invalid},
		{"left out twice", Event{Kind: Skipped, Piece: 2, Detail: "dented"}, fault.Conflict},
		{"a piece past the last", Event{Kind: Skipped, Piece: 4, Detail: "dented"}, fault.Invalid},
		{"no piece", Event{Kind: Skipped, Detail: "dented"}, fault.Invalid},
		{"taken up", Event{Kind: TakenUp, Piece: 2}, fault.Internal},
		{"taken up, not left out", Event{Kind: TakenUp, Piece: 1}, fault.Conflict},
		{"a piece where there is none", Event{Kind: Closed, Detail: "x", Piece: 1}, fault.Invalid},
		{"no revision", Event{Kind: NewRevision}, fault.Invalid},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			err := s.Admit(c.e)
			if (err == nil) != (c.want == fault.Internal) || err != nil && fault.KindOf(err) != c.want {
				t.Errorf("Admit(%+v) = %v, want kind %d", c.e, err, c.want)
			}
		})
	}
}

// What is decided by hand is worded, and nothing else is.
func TestKinds(t *testing.T) {
	for _, r := range rules {
		w := About(r.kind)
		if w.Told == "" || (r.by != service) && (w.Heading == "" || w.Label == "" || w.Button == "") {
			t.Errorf("%s is worded %+v", r.kind, w)
		}
		if err := Decides(r.kind); (err == nil) != (r.by != service) {
			t.Errorf("Decides(%s) = %v", r.kind, err)
		}
		if slices.Contains(Kinds(true), r.kind) != (r.by == anyone) {
			t.Errorf("Kinds(at the brake) is wrong about %s", r.kind)
		}
	}
	if About("melted") != (Wording{}) || Decides("melted") == nil {
		t.Error("what is no kind is worded or decided upon")
	}
	for _, kind := range AboutNewRevision() {
		if err := (Standing{NewRevision: "D"}).May(kind, false); err != nil {
			t.Errorf("about a newer revision %s may not be decided: %v", kind, err)
		}
	}
}

func TestHalt(t *testing.T) {
	cases := []struct {
		name     string
		standing Standing
		want     string // cause; empty: work goes on
		words    string // that it must contain
	}{
		{"running", Standing{}, "", ""},
		{"released", Standing{Override: true, ReleaseAsked: true}, "", ""},
		{"void", Standing{Voided: true, Closed: true, SupersededBy: "b", Reason: "wrong drawing."}, IsVoid, "Nothing may be made from it. Reason given: wrong drawing. Take the newer one."},
		{"void and not replaced", Standing{Voided: true}, IsVoid, "Ask the office for the right one."},
		{"replaced", Standing{SupersededBy: "b", Closed: true}, IsReplaced, "can still be saved here"},
		{"to be finished", Standing{SupersededBy: "b", FinishAllowed: true}, "", ""},
		{"closed", Standing{Closed: true, Hold: Hold{Why: "x"}}, IsClosed, "open it again"},
		{"held", Standing{Hold: Hold{Why: "bar cracked", By: "AB"}, NewRevision: "D"}, IsHeld, "Stopped by AB. Reason given: bar cracked. Go on once it is put right."},
		{"held by the office", Standing{Hold: Hold{Office: true}}, IsHeld, "Wait for the office"},
		{"a newer revision", Standing{NewRevision: "D"}, IsOutdated, "Revision D of the part is ready."},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			h := c.standing.Halt()
			if (h == nil) != (c.want == "") {
				t.Fatalf("Halt = %+v, want %q", h, c.want)
			}
			if h == nil {
				return
			}
			if all := h.Words + " " + h.Way; h.Cause != c.want || h.Heading == "" || h.Way == "" || !strings.Contains(all, c.words) || h.Newer != "" && h.Newer != c.standing.SupersededBy {
				t.Errorf("Halt = %+v, want %s with %q", h, c.want, c.words)
			}
		})
	}
}

func TestReplacement(t *testing.T) {
	s := Fold(3, []Event{{Kind: Remade, Detail: "4 for 1"}, {Kind: Remade, Detail: "5 for 4"}})
	if s.Replacement(1) != 4 || s.Replacement(4) != 5 || s.Replacement(2) != 0 {
		t.Errorf("replacements are %+v", s.Remade)
	}
	fewer := Fold(3, []Event{{Kind: Remade, Detail: "4 for 1"}, {Kind: Requantified, Detail: "3"}})
	if fewer.Replacement(1) != 0 {
		t.Error("a piece that is not wanted any more still replaces one")
	}
	again := Fold(3, []Event{{Kind: Remade, Detail: "4 for 1"}, {Kind: Requantified, Detail: "3"}, {Kind: Requantified, Detail: "6"}, {Kind: Remade, Detail: "7 for 1"}})
	if again.Replacement(1) != 7 {
		t.Errorf("Replacement = %d, want the later one", again.Replacement(1))
	}
}

// Both orders visit every bend once; the first piece is made whole in either;
// each step is made in the order of the traveler.
func TestOrder(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		run := Run{ByPiece: rapid.Bool().Draw(r, "by piece"), Steps: []int{1, 2, 3}[:rapid.IntRange(1, 3).Draw(r, "steps")]}
		for piece := range rapid.IntRange(0, 4).Draw(r, "pieces") {
			run.Pieces = append(run.Pieces, 2*piece+1)
		}
		order := slices.Collect(run.Order())
		seen := map[Spot]int{}
		for at, spot := range order {
			if _, twice := seen[spot]; twice {
				r.Fatalf("%v comes twice in %v", spot, order)
			}
			seen[spot] = at
			if spot.Step > 1 && seen[Spot{spot.Piece, spot.Step - 1}] > at {
				r.Fatalf("%v comes before the step before it in %v", spot, order)
			}
			if at < len(run.Steps) && spot.Piece != run.Pieces[0] {
				r.Fatalf("%v comes before the first piece is whole", spot)
			}
		}
		if len(order) != len(run.Steps)*len(run.Pieces) {
			r.Fatalf("%d bends of %d steps and %d pieces", len(order), len(run.Steps), len(run.Pieces))
		}
		if first, more := run.First(func(s Spot) bool { return seen[s] >= len(order)/2 }); more != (len(order) > 0) || more && first != order[len(order)/2] {
			r.Fatalf("First = %v, %t of %v", first, more, order)
		}
	})
}

func ExampleRun() {
	for spot := range (Run{Steps: []int{1, 2}, Pieces: []int{1, 2, 3}}).Order() {
		fmt.Print(spot.Piece, ".", spot.Step, " ")
	}
	// Output: 1.1 1.2 2.1 3.1 2.2 3.2
}
