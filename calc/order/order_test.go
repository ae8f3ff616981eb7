package order

import (
	"errors"
	"fmt"
	"math"
	"math/bits"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"brakeside/calc/fault"
)

// table is a shop written as text, one rule a line:
//
//	made: 1 3  blocked: 2 (wall under beam)
//
// says that bend 2 cannot be made when 1 and 3 are made, whatever else is. Each
// bend is otherwise made in one way, and every change of setup costs nothing.
type table struct{ rules []rule }

type rule struct {
	made   Made
	next   int
	reason string
}

func readTable(t testing.TB, text string) table {
	t.Helper()
	var out table
	for _, line := range strings.Split(strings.TrimSpace(text), "\n") {
		line = strings.TrimSpace(line)
		if line == "" {
			continue
		}
		made, blocked, ok := strings.Cut(strings.TrimPrefix(line, "made:"), "blocked:")
		if !ok {
			t.Fatalf("not a rule: %q", line)
		}
		r := rule{}
		for _, word := range strings.Fields(made) {
			var bend int
			fmt.Sscan(word, &bend)
			r.made |= 1 << (bend - 1)
		}
		bend, reason, _ := strings.Cut(strings.TrimSpace(blocked), " ")
		fmt.Sscan(bend, &r.next)
		r.next--
		r.reason = strings.Trim(reason, "()")
		out.rules = append(out.rules, r)
	}
	return out
}

func (t table) Actions(made Made, next int) []Action {
	if len(t.Why(made, next)) > 0 {
		return nil
	}
	return []Action{{Bend: next, Own: Cost{Minutes: 1}}}
}

func (t table) Why(made Made, next int) []Reason {
	var out []Reason
	for _, r := range t.rules {
		if r.next == next && made&r.made == r.made {
			out = append(out, Reason{Bend: next, Text: r.reason})
		}
	}
	return out
}

func (t table) Change(Setup, Setup) Cost { return Cost{} }

func (t table) AtLeast(made Made, _ Setup) Cost { return Cost{} }

// bends writes an order as a person would.
func bends(actions []Action) string {
	var out []string
	for _, a := range actions {
		out = append(out, fmt.Sprint(a.Bend+1))
	}
	return strings.Join(out, " ")
}

func set(made Made) string {
	var out []string
	for i := range 32 {
		if made.Has(i) {
			out = append(out, fmt.Sprint(i+1))
		}
	}
	return strings.Join(out, " ")
}

func TestCases(t *testing.T) {
	tests := []struct {
		name  string
		n     int
		rules string
		want  string // the order, or empty
		stuck string // the largest sets reached, and why each bend left cannot follow
	}{
		{"nothing in the way: lower numbers first", 3, "", "1 2 3", ""},
		{"lips before walls", 4, "made: 1 blocked: 2 (lip of 2 first)\nmade: 3 blocked: 4 (lip of 4 first)", "2 1 4 3", ""},
		{"one at the beginning only", 3, "made: 1 blocked: 3 (bar trapped)\nmade: 2 blocked: 3 (bar trapped)", "3 1 2", ""},
		{"blocked by two together, by neither alone", 3, "made: 1 2 blocked: 3 (closed in)", "1 3 2", ""},
		{"a pair that blocks each other", 2, "made: 1 blocked: 2 (hits leaf)\nmade: 2 blocked: 1 (hits bed)", "", "[1] 2: hits leaf; [2] 1: hits bed"},
		{"two pairs that block each other", 4, `made: 1 blocked: 2 (hits leaf)
			made: 2 blocked: 1 (hits bed)
			made: 3 blocked: 4 (hits leaf)
			made: 4 blocked: 3 (hits bed)`, "", "[1 3] 2: hits leaf 4: hits leaf; [2 3] 1: hits bed 4: hits leaf; [1 4] 2: hits leaf 3: hits bed; [2 4] 1: hits bed 3: hits bed"},
		{"a bend that can never be made", 3, "made: blocked: 2 (too short)", "", "[1 3] 2: too short"},
		{"nothing can be made at all", 2, "made: blocked: 1 (too thick)\nmade: blocked: 2 (too thick)", "", "[] 1: too thick 2: too thick"},
		{"the box with a lid: whichever is last is trapped", 3, "made: 1 2 blocked: 3 (trapped)\nmade: 1 3 blocked: 2 (trapped)\nmade: 2 3 blocked: 1 (trapped)", "",
			"[1 2] 3: trapped; [1 3] 2: trapped; [2 3] 1: trapped"},
		{"no bends", 0, "", "", ""},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			found, err := Find(test.n, Setup{}, readTable(t, test.rules), nil)
			if err != nil {
				t.Fatal(err)
			}
			if got := bends(found.Actions); got != test.want {
				t.Errorf("order %q, want %q", got, test.want)
			}
			var stuck []string
			for _, s := range deadEnds(found, test.n, readTable(t, test.rules)) {
				words := "[" + set(s.Made) + "]"
				for _, r := range s.Reasons {
					words += fmt.Sprintf(" %d: %s", r.Bend+1, r.Text)
				}
				stuck = append(stuck, words)
			}
			if got := strings.Join(stuck, "; "); got != test.stuck {
				t.Errorf("stuck at %q, want %q", got, test.stuck)
			}
			if !found.Proven {
				t.Error("the answer for a few bends is not proven")
			}
			if got, want := Possible(test.n, readTable(t, test.rules)), test.want != "" || test.n == 0; got != want {
				t.Errorf("Possible = %v, want %v", got, want)
			}
		})
	}
}

// deadEnds are those of a shop where no order was found.
func deadEnds(found Found, n int, shop Shop) []Stuck {
	if found.Actions != nil || n == 0 {
		return nil
	}
	return DeadEnds(n, shop)
}

// dice is a shop of random ways and costs.
type dice struct {
	n       int
	actions map[Question][]Action
	changes map[[2]string]Cost
}

func anyDice(t *rapid.T, most int) dice {
	d := dice{n: rapid.IntRange(1, most).Draw(t, "bends"), actions: map[Question][]Action{}, changes: map[[2]string]Cost{}}
	setups := []Setup{{Bar: "wide", FaceUp: "A"}, {Bar: "narrow", FaceUp: "A"}, {Bar: "fingers", Segments: "50+20", FaceUp: "B", Heading: 90}, {Bar: "wide", FaceUp: "B", Stop: 9200}}
	ways := rapid.SampledFrom([]int{1, 2, 3}).Draw(t, "ways")
	for made := Made(0); made < 1<<d.n; made++ {
		for next := range d.n {
			if made.Has(next) {
				continue
			}
			for range rapid.IntRange(0, ways).Draw(t, "how many") {
				own := Cost{Lifting: rapid.IntRange(0, 1).Draw(t, "lifts"), Minutes: Minutes(rapid.IntRange(1, 40).Draw(t, "own")) / 10, Besides: float64(rapid.IntRange(0, 2).Draw(t, "besides"))}
				a := Action{Setup: rapid.SampledFrom(setups).Draw(t, "setup"), Bend: next, Side: rapid.IntRange(0, 1).Draw(t, "side"), Own: own}
				d.actions[Question{made, next}] = append(d.actions[Question{made, next}], a)
			}
		}
	}
	for _, from := range append(setups, Setup{}) {
		for _, to := range setups {
			d.changes[[2]string{fmt.Sprint(from), fmt.Sprint(to)}] = Cost{Minutes: Minutes(rapid.IntRange(0, 30).Draw(t, "change")) / 10, Besides: float64(rapid.IntRange(0, 2).Draw(t, "besides"))}
		}
	}
	return d
}

func (d dice) Actions(made Made, next int) []Action { return d.actions[Question{made, next}] }
func (d dice) Why(Made, int) []Reason               { return nil }
func (d dice) Change(from, to Setup) Cost {
	return d.changes[[2]string{fmt.Sprint(from), fmt.Sprint(to)}]
}

// AtLeast is a true lower bound: the fewest lifting steps and, apart from them, the
// fewest minutes of every bend that is left.
func (d dice) AtLeast(made Made, _ Setup) Cost {
	sum := Cost{}
	for next := range d.n {
		least, any := Cost{Lifting: 1, Minutes: 1e9}, false
		for q, actions := range d.actions {
			if int(q.Next) == next {
				for _, a := range actions {
					least, any = Cost{Lifting: min(least.Lifting, a.Own.Lifting), Minutes: min(least.Minutes, a.Own.Minutes)}, true
				}
			}
		}
		if any && !made.Has(next) {
			sum = sum.Add(least)
		}
	}
	return sum
}

// everyOrder tries all orders and all ways, by plain recursion.
func everyOrder(d dice, made Made, at Setup) triple {
	if made == 1<<d.n-1 {
		return triple{}
	}
	least := none
	for next := range d.n {
		for _, a := range d.Actions(made, next) {
			if rest := everyOrder(d, made|1<<next, a.Setup); !made.Has(next) && rest != none {
				least = least.or(rest.and(a.Own.Add(d.Change(at, a.Setup))))
			}
		}
	}
	return least
}

// triple is a cost as the oracle has it: lifting steps, then minutes, to the tenth
// that the dice give, then the rest.
type triple [3]float64

// none is the cost where there is no order.
var none = triple{math.Inf(1), math.Inf(1), math.Inf(1)}

func (p triple) and(c Cost) triple {
	return triple{p[0] + float64(c.Lifting), math.Round(10*(p[1]+float64(c.Minutes))) / 10, p[2] + c.Besides}
}

// or is the lesser of two costs: what comes first decides.
func (p triple) or(o triple) triple {
	if slices.Compare(o[:], p[:]) < 0 {
		return o
	}
	return p
}

// paid adds up what an order costs and tells whether every step of it is allowed.
func paid(d dice, actions []Action) (triple, bool) {
	sum, at, made := triple{}, Setup{}, Made(0)
	for _, a := range actions {
		if made.Has(a.Bend) || !slices.Contains(d.Actions(made, a.Bend), a) {
			return none, false
		}
		sum = sum.and(d.Change(at, a.Setup)).and(a.Own)
		at, made = a.Setup, made|1<<a.Bend
	}
	return sum, made == 1<<d.n-1
}

func TestCheapestAgainstEveryOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := anyDice(t, 5)
		want := everyOrder(d, 0, Setup{})
		found, err := Find(d.n, Setup{}, d, nil)
		if err != nil {
			t.Fatal(err)
		}
		check(t, d, found, want)
		if !found.Proven {
			t.Error("a search of all sets is not proven")
		}
		if got := Possible(d.n, d); got != (want != none) {
			t.Errorf("Possible = %v, but the cheapest order costs %v", got, want)
		}
	})
}

// The search for many bends gives the same as the search of all sets, as far as it
// proves anything.
func TestLargeSearchAgainstEveryOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := anyDice(t, 5)
		want := everyOrder(d, 0, Setup{})
		begin := func() *search { return newSearch(d.n, d, nil) }
		found := begin().large(Setup{}, d)
		check(t, d, found, want)
		if !found.Proven {
			t.Error("a best-first search that came to its end is not proven")
		}
		// The beam is wide enough here to keep everything, but it proves nothing.
		beam := begin().beam(Setup{}, d)
		check(t, d, beam, want)
		if beam.Proven {
			t.Error("a search that drops what looks worse calls itself proven")
		}
		// A stretch is longer here than the order, so that bettering finds the best.
		any := begin().anyhow(Setup{})
		check(t, d, any, want)
		if any.Proven {
			t.Error("a search for any order calls itself proven")
		}
	})
}

func check(t *rapid.T, d dice, found Found, want triple) {
	if want == none {
		if found.Actions != nil {
			t.Errorf("found %v where there is no order", bends(found.Actions))
		}
		return
	}
	cost, ok := paid(d, found.Actions)
	if !ok {
		t.Fatalf("the order %v is not allowed", bends(found.Actions))
	}
	says := triple{}.and(found.Cost)
	for _, c := range []triple{cost, says} {
		if c != want {
			t.Errorf("order %v costs %v and says %v, the cheapest costs %v", bends(found.Actions), cost, says, want)
		}
	}
}

// Two runs agree to the last action.
func TestFindIsSteady(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := anyDice(t, 5)
		one, _ := Find(d.n, Setup{}, d, nil)
		two, _ := Find(d.n, Setup{}, d, nil)
		if !slices.Equal(one.Actions, two.Actions) || one.States != two.States || one.Checks != two.Checks {
			t.Errorf("one run gives %+v, the next %+v", one, two)
		}
	})
}

func TestTooManyBends(t *testing.T) {
	_, err := Find(Most+1, Setup{}, table{}, nil)
	var r *fault.Refusal
	if !errors.As(err, &r) || r.Kind != fault.TooLarge {
		t.Errorf("Find(%d) = %v, want it refused as too large", Most+1, err)
	}
}

// As many bends as are taken at all: the order is found and every step is allowed,
// proven or not.
func TestMostBends(t *testing.T) {
	rules := ""
	for i := 1; i < Most; i += 2 {
		rules += fmt.Sprintf("made: %d blocked: %d (lip first)\n", i+1, i)
	}
	shop := readTable(t, rules)
	found, err := Find(Most, Setup{}, shop, nil)
	if err != nil || len(found.Actions) != Most {
		t.Fatalf("Find = %d actions, %v", len(found.Actions), err)
	}
	made := Made(0)
	for _, a := range found.Actions {
		if len(shop.Actions(made, a.Bend)) == 0 || made.Has(a.Bend) {
			t.Errorf("bend %d cannot follow %s", a.Bend+1, set(made))
		}
		made |= 1 << a.Bend
	}
}

// Where what is cheap at first leads nowhere, an order is found all the same, and
// bettered: each odd bend is cheap before its even neighbour, which then cannot be
// made, and all even ones need another setup.
func TestCheapBeginningsThatLeadNowhere(t *testing.T) {
	const n = 20
	found, err := Find(n, Setup{}, traps{n}, nil)
	if err != nil || len(found.Actions) != n {
		t.Fatalf("Find = %d actions, %v", len(found.Actions), err)
	}
	made := Made(0)
	for _, a := range found.Actions {
		if len((traps{n}).Actions(made, a.Bend)) == 0 {
			t.Errorf("bend %d cannot follow %s", a.Bend+1, set(made))
		}
		made |= 1 << a.Bend
	}
	if least := found.AtLeast; least.Lifting > 0 || least.Minutes < 0.5*n-1e-9 || least.Minutes > 62 {
		t.Errorf("no order is said to take less than %v; one takes 62, and half a minute a bend was known before", found.AtLeast)
	}
	s := newSearch(n, traps{n}, nil)
	sequence, _ := s.anyOrder()
	if raw := s.along(Setup{}, sequence); found.Proven || !found.Cost.Under(raw.Cost) || found.Cost.Minutes < 62 {
		t.Errorf("%v minutes, proven %v; the first order found takes %v, and none less than 62", found.Cost.Minutes, found.Proven, raw.Cost.Minutes)
	}
}

// traps is a shop in which an odd bend costs a minute before its neighbour and
// three behind it, and must come behind it.
type traps struct{ n int }

func (s traps) Actions(made Made, next int) []Action {
	if next%2 == 1 && made.Has(next-1) { // its neighbour, made too early
		return nil
	}
	setup := Setup{Bar: "one"}
	if next%2 == 0 {
		setup.Bar = "two"
	}
	own := Cost{Minutes: 3}
	if next%2 == 0 && made&(1<<(next+1)) == 0 {
		own = Cost{Minutes: 0.5}
	}
	return []Action{{Setup: setup, Bend: next, Own: own}}
}

func (s traps) Why(Made, int) []Reason { return nil }

func (s traps) Change(from, to Setup) Cost {
	if from == to {
		return Cost{}
	}
	return Cost{Minutes: 1}
}

func (s traps) AtLeast(made Made, _ Setup) Cost {
	return Cost{Minutes: 0.5 * Minutes(s.n-bits.OnesCount32(uint32(made)))}
}

// A watcher can end a search, small or large, and is told how far it is.
func TestWatchEndsTheSearch(t *testing.T) {
	for _, n := range []int{8, MostExact + 2} {
		calls := 0
		_, err := Find(n, Setup{}, table{}, func(done, all int) bool {
			if done < 0 || done > all {
				t.Errorf("%d bends: told %d of %d", n, done, all)
			}
			calls++
			return calls < 2
		})
		if !errors.Is(err, Cancelled) || calls != 2 {
			t.Errorf("%d bends: ended with %v after %d calls", n, err, calls)
		}
	}
}

func BenchmarkFourteenBends(b *testing.B) {
	for b.Loop() {
		if found, err := Find(MostExact, Setup{}, table{}, nil); err != nil || len(found.Actions) != MostExact {
			b.Fatal(err)
		}
	}
}
