package clamp

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"brakeside/calc/brake"
	"brakeside/calc/unit"
)

// failer is the part of a test that rapid's tests have too.
type failer interface {
	Helper()
	Errorf(format string, values ...any)
	Fatalf(format string, values ...any)
}

func near(t failer, what string, got, want, by float64) {
	t.Helper()
	if !(math.Abs(got-want) <= by) {
		t.Errorf("%s = %v, want %v", what, got, want)
	}
}

// fingers is a set of invented fingers with the gaps of the suite's brake.
func fingers(widths ...unit.MM) brake.Bar {
	return brake.Bar{Name: "fingers", Kind: brake.Segments, Widths: widths, JointGapMax: 1, EndGap: [2]unit.MM{1.5, 4.5}, UnsupportedEndMax: 8, UnsupportedInsideMax: 10}
}

func anyhow([]Segment, Span) bool { return true }

// upright are walls with no curve at their feet.
func upright(spans ...Span) []Wall {
	var out []Wall
	for _, s := range spans {
		out = append(out, Wall{s, s}) // without curves at its feet
	}
	return out
}

func words(segments []Segment) string {
	out := ""
	for i, s := range segments {
		if i > 0 {
			out += " "
		}
		out += fmt.Sprint(float64(s.Width))
	}
	return out
}

func TestMerge(t *testing.T) {
	for _, test := range []struct {
		name string
		in   []Span
		want string
	}{
		{"nothing", nil, "[]"},
		{"one", []Span{{1, 2}}, "[{1 2}]"},
		{"apart", []Span{{5, 6}, {1, 2}}, "[{1 2} {5 6}]"},
		{"touching", []Span{{1, 2}, {2, 3}}, "[{1 3}]"},
		{"one in the other", []Span{{1, 9}, {2, 3}}, "[{1 9}]"},
		{"a chain", []Span{{4, 7}, {1, 3}, {2, 5}}, "[{1 7}]"},
	} {
		if got := fmt.Sprint(Merge(test.in)); got != test.want {
			t.Errorf("%s: Merge = %s, want %s", test.name, got, test.want)
		}
	}
}

func TestGapAndFree(t *testing.T) {
	walls := []Span{{0, 2}, {50, 52}}
	for _, test := range []struct {
		s    Span
		want float64
	}{{Span{3, 49}, 1}, {Span{10, 20}, 8}, {Span{1, 10}, -1}, {Span{60, 70}, 8}, {Span{-9, 60}, -11}} {
		near(t, fmt.Sprintf("Gap(%v)", test.s), Gap(test.s, walls), test.want, 1e-12)
		if !Free(test.s, walls, test.want) || Free(test.s, walls, test.want+0.01) {
			t.Errorf("Free(%v) does not change at its gap of %v", test.s, test.want)
		}
	}
	if !math.IsInf(Gap(Span{0, 1}, nil), 1) {
		t.Error("a gap to nothing is not infinite")
	}
}

// What a drawing has rounded by less than two hundredths of a millimetre does not
// decide: neither where a set is too short by it nor where it is too long.
func TestFingersByAHair(t *testing.T) {
	walls := func(apart float64) []Span { return []Span{{-1, 0}, {apart, apart + 1}} }
	for _, test := range []struct {
		name    string
		bar     brake.Bar
		length  float64
		blocked []Span
		fits    bool
	}{
		{"8 and 0.015 past the nose", fingers(84), 100.015, nil, true},
		{"8 and 0.025 past it", fingers(84), 100.025, nil, false},
		{"0.015 more than every gap at its widest", fingers(50, 50), 101 + 2*4.5 + 0.015, walls(101 + 2*4.5 + 0.015), true},
		{"0.025 more", fingers(50, 50), 101 + 2*4.5 + 0.025, walls(101 + 2*4.5 + 0.025), false},
		{"0.015 less than 1.5 to each wall", fingers(50), 53 - 0.015, walls(53 - 0.015), true},
		{"0.025 less", fingers(50), 53 - 0.025, walls(53 - 0.025), false},
	} {
		if got, _ := NewShelf(test.bar).Fingers(test.length, upright(test.blocked...), anyhow); (got != nil) != test.fits {
			t.Errorf("%s: fingers %v, want them to fit: %v", test.name, got, test.fits)
		}
	}
}

// The suite's box: 300 between two walls that stand at both ends of the last
// bend. 298 of fingers fit between, with 1 mm at least 1.5 short of each wall.
func TestFingersByHand(t *testing.T) {
	suite := fingers(22, 28, 37, 50, 68, 91, 124, 168, 227, 306)
	box := func(inside float64) []Span { return []Span{{-1, 0}, {inside, inside + 1}} }
	for _, test := range []struct {
		name    string
		bar     brake.Bar
		length  float64
		blocked []Span
		want    string
	}{
		{"nothing stands: one wide finger reaches past both ends", suite, 300, nil, "306"},
		{"between walls, one finger", suite, 310, box(310), "306"},
		{"between walls 298 apart, 168 and 124", suite, 298, box(298), "168 124"},
		{"between walls 208 apart, 168 and 37", suite, 208, box(208), "168 37"},
		{"the fewest, then the widest narrow one", suite, 118.4, box(118.4), "91 22"},
		{"one finger that covers, not the widest", suite, 155, nil, "168"},
		{"the same beside a wall", suite, 155, []Span{{-1, 0}}, "168"},
		{"no set fits", fingers(100, 20), 60, box(60), ""},
		{"a wall in the middle: a group on each side", fingers(40, 60), 107.5, []Span{{-1, 0}, {43, 44}, {107.5, 108}}, "40 60"},
		{"the sheet reaches 8 past the nose at a free end", fingers(84), 100, nil, "84"},
		{"and no farther", fingers(83.9), 100, nil, ""},
		{"a joint of 1 at the most", fingers(50, 50), 105.5, []Span{{-3, 0}, {105.5, 108}}, "50 50"},
		{"no joint to reach with one finger", fingers(50), 62, []Span{{-3, 0}, {62, 64}}, ""},
		{"the second group as near to the first as a window of 10 asks", fingers(40, 60), 112, []Span{{-1, 0}, {43, 48}, {113, 114}}, "40 60"},
		{"a wall too wide to leave out", fingers(40, 60), 120, []Span{{-1, 0}, {42.5, 56}, {119, 120}}, ""},
		{"a wall far beyond the end of the bend is none", fingers(100), 100, []Span{{-80, -70}}, "100"},
	} {
		t.Run(test.name, func(t *testing.T) {
			got, _ := NewShelf(test.bar).Fingers(test.length, upright(test.blocked...), anyhow)
			if words(got) != test.want {
				t.Errorf("Fingers(%v, %v) = %q, want %q", test.length, test.blocked, words(got), test.want)
			}
			for _, wrong := range mistakes(test.bar, test.length, upright(test.blocked...), got) {
				t.Error(wrong)
			}
		})
	}
}

// The least gap is counted from the inside faces and the most from the curves at
// their feet, as the published boxes count them with 1.5 and 4.5 at each end: 205
// between faces 208 apart, 292 between 298, 113 between 118.4, and 78 between 88.4,
// where 78 + 1 + 2 x 4.5 = 88 reaches only from curve to curve. A curve that is
// wider than the least gap keeps the fingers out.
func TestFingersBesideCurves(t *testing.T) {
	suite := fingers(22, 28, 37, 50, 68, 91, 124, 168, 227, 306)
	box := func(inside, curve float64) []Wall {
		return []Wall{
			{Span{-1, curve}, Span{-1, 0}},
			{Span{inside - curve, inside + 1}, Span{inside, inside + 1}},
		}
	}
	for _, test := range []struct {
		name    string
		bar     brake.Bar
		inside  float64
		curve   float64
		want    string
		leftEnd float64
	}{
		{"208 between faces, radius 1: 205 at the least gap", suite, 208, 1, "168 37", 1.5},
		{"298 between faces, radius 1", suite, 298, 1, "168 124", 3},
		{"the curve as wide as the least gap", fingers(205), 208, 1.5, "205", 1.5},
		{"a finger would stand 0.1 in either curve", fingers(205), 208, 1.6, "", 0},
		{"in the curve by a hair", fingers(205), 208, 1.505, "205", 1.5},
		{"the curve alone keeps it out", fingers(200), 208, 4, "200", 4},
		{"118.4 between faces, radius 0.8", suite, 118.4, 0.8, "91 22", 2.7},
		{"88.4 between faces, radius 0.8: the most gap and 0.8", fingers(28, 50), 88.4, 0.8, "50 28", 5.2},
		{"88.4 between faces with sharp corners", fingers(28, 50), 88.4, 0, "", 0},
		{"the most is counted from the curve", fingers(193), 208, 3, "193", 7.5},
		{"and no farther", fingers(192.9), 208, 3, "", 0},
	} {
		walls := box(test.inside, test.curve)
		got, _ := NewShelf(test.bar).Fingers(test.inside, walls, anyhow)
		if words(got) != test.want {
			t.Errorf("%s: fingers %q, want %q", test.name, words(got), test.want)
			continue
		}
		if got != nil {
			near(t, test.name+": left end", got[0].At, test.leftEnd, 0.011)
			one := Span{got[0].At, end(got)}
			near(t, test.name+": to the face", ToFace(one, walls), test.leftEnd, 0.011)
			if !Beside(one, walls, 1.5) || Beside(Span{one.Low - 5, one.High}, walls, 1.5) {
				t.Errorf("%s: Beside does not tell %v from 5 more", test.name, one)
			}
		}
	}
}

// mistakes lists which rule a placement breaks: joints at most 1, the gap to the
// inside face of a wall no less than asked, no finger in the curve at its foot, no more of the bend outside the nose than is allowed at
// an end or inside.
func mistakes(bar brake.Bar, length float64, walls []Wall, got []Segment) []string {
	var out []string
	if len(got) == 0 {
		return nil
	}
	wrong := func(format string, values ...any) { out = append(out, fmt.Sprintf(format, values...)) }
	left := map[unit.MM]int{}
	for _, w := range bar.Widths {
		left[w]++
	}
	last := math.Inf(-1)
	for i, s := range got {
		end := s.At + float64(s.Width)
		if left[s.Width]--; left[s.Width] < 0 {
			wrong("finger %v is used more often than it is there", s.Width)
		}
		for _, w := range walls {
			if g := max(w.Face.Low-end, s.At-w.Face.High); g < float64(bar.EndGap[0])-1e-9 {
				wrong("finger %d stands %v from the face of a wall", i, g)
			}
			if in := min(end-w.Low, w.High-s.At); in > 1e-9 {
				wrong("finger %d stands %v in the curve of a wall", i, in)
			}
		}
		bare := s.At - max(last, 0)
		switch joint, wall := s.At-last, between(walls, last, s.At); {
		case joint < -1e-9:
			wrong("finger %d overlaps the one before it by %v", i, -joint)
		case i == 0 && bare > float64(bar.UnsupportedEndMax)+1e-9:
			wrong("%v of the left end lies outside the nose", bare)
		case i > 0 && !wall && joint > float64(bar.JointGapMax)+1e-9:
			wrong("a joint of %v before finger %d", joint, i)
		case i > 0 && wall && bare > float64(bar.UnsupportedInsideMax)+1e-9:
			wrong("%v inside the bend lies outside the nose", bare)
		}
		last = end
	}
	if bare := length - last; bare > float64(bar.UnsupportedEndMax)+1e-9 {
		wrong("%v of the right end lies outside the nose", bare)
	}
	return out
}

// between tells whether a wall stands between two places.
func between(walls []Wall, from, to float64) bool {
	for _, w := range walls {
		if w.Low >= from-1e-9 && w.High <= to+1e-9 {
			return true
		}
	}
	return false
}

// anyLine draws a bend and the walls that stand along it.
func anyLine(t *rapid.T) (length float64, walls []Wall) {
	var spans []Span
	length = float64(rapid.IntRange(30, 200).Draw(t, "length"))
	for range rapid.IntRange(0, 3).Draw(t, "walls") {
		at := float64(rapid.IntRange(-12, 2*int(length)).Draw(t, "at")) / rapid.SampledFrom([]float64{1, 2}).Draw(t, "half")
		wide := rapid.SampledFrom([]float64{1, 2, 6, 9, 15}).Draw(t, "wide")
		spans = append(spans, Span{at, at + wide})
	}
	curve := rapid.SampledFrom([]float64{0, 0, 0.5, 1.5, 3, 4, 5})
	for _, s := range Merge(spans) {
		low, high := min(curve.Draw(t, "curve"), (s.High-s.Low)/2), min(curve.Draw(t, "curve"), (s.High-s.Low)/2)
		walls = append(walls, Wall{s, Span{s.Low + low, s.High - high}})
	}
	return length, walls
}

func anyShelf(t *rapid.T) brake.Bar {
	var widths []unit.MM
	for range rapid.IntRange(1, 5).Draw(t, "fingers") {
		widths = append(widths, unit.MM(rapid.IntRange(10, 90).Draw(t, "width")))
	}
	return fingers(widths...)
}

func TestFingersKeepTheRules(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		length, walls := anyLine(t)
		bar := anyShelf(t)
		got, _ := NewShelf(bar).Fingers(length, walls, anyhow)
		for _, wrong := range mistakes(bar, length, walls, got) {
			t.Errorf("%v along %v between %v: placed %v: %s", bar.Widths, length, walls, got, wrong)
		}
	})
}

// choice is what the plain search over all assignments finds.
type choice struct {
	count    int
	narrowed float64
}

// everyAssignment gives each finger to one of the rooms between walls or leaves it
// on the shelf, in all ways, and asks whether ends and joints can be chosen.
func everyAssignment(bar brake.Bar, length float64, walls []Wall) (best choice, found bool) {
	endless := Span{math.Inf(-1), math.Inf(1)}
	rooms := []Wall{{endless, endless}} // between metal, and between faces
	for _, w := range walls {
		last := &rooms[len(rooms)-1]
		rest := Wall{Span{w.High, last.High}, Span{w.Face.High, last.Face.High}}
		last.High, last.Face.High = w.Low, w.Face.Low
		rooms = append(rooms, rest)
	}
	given := make([]int, len(bar.Widths)) // room of each finger, len(rooms) is the shelf
	var try func(i int)
	try = func(i int) {
		if i < len(given) {
			for r := 0; r <= len(rooms); r++ {
				given[i] = r
				try(i + 1)
			}
			return
		}
		c := choice{0, math.Inf(1)}
		for k, r := range given {
			if r < len(rooms) {
				c.count++
				c.narrowed = math.Min(c.narrowed, float64(bar.Widths[k]))
			}
		}
		if c.count == 0 || found && (c.count > best.count || c.count == best.count && c.narrowed <= best.narrowed) {
			return
		}
		if possible(bar, length, rooms, given) {
			best, found = c, true
		}
	}
	try(0)
	return best, found
}

// possible follows from left to right where the end of each group may lie. A
// group beside the bend holds nothing.
func possible(bar brake.Bar, length float64, rooms []Wall, given []int) bool {
	near, far := float64(bar.EndGap[0]), float64(bar.EndGap[1])
	reach := 0.0 // the farthest right that the nose is known to be able to end
	allowed := float64(bar.UnsupportedEndMax)
	for r, room := range rooms {
		total, count := 0.0, 0
		for k, g := range given {
			if g == r {
				total += float64(bar.Widths[k])
				count++
			}
		}
		if count == 0 {
			continue
		}
		lowL, highL := math.Max(room.Low, room.Face.Low+near), reach+allowed
		lowR, highR := math.Inf(-1), math.Min(room.High, room.Face.High-near)
		if room.Low+far > 0 { // a wall farther out than that need not be reached
			highL = math.Min(highL, room.Low+far)
		}
		if room.High-far < length {
			lowR = room.High - far
		}
		long := total + float64(bar.JointGapMax)*float64(count-1)
		if highR <= 0 || lowL >= length || lowL > highL+1e-9 || lowR > highR+1e-9 || highL+long < lowR-1e-9 || lowL+total > highR+1e-9 {
			return false
		}
		reach, allowed = math.Min(highL+long, highR), float64(bar.UnsupportedInsideMax)
	}
	return length-reach <= float64(bar.UnsupportedEndMax)+1e-9
}

// The fingers chosen are the fewest of all that fit at all, and of these those with
// the widest narrow one, unless it would reach farther past the bend.
func TestFingersAgainstEveryAssignment(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		length, walls := anyLine(t)
		bar := anyShelf(t)
		got, _ := NewShelf(bar).Fingers(length, walls, anyhow)
		want, found := everyAssignment(bar, length, walls)
		if found != (len(got) > 0) {
			t.Fatalf("%v along %v between %v: placed %v, but trying all finds %v %v", bar.Widths, length, walls, got, found, want)
		}
		if found && (len(got) != want.count || narrowest(got) > want.narrowed || narrowest(got) < want.narrowed && !closer(got, want, length, walls)) {
			t.Errorf("%v along %v between %v: placed %v, but %+v would do", bar.Widths, length, walls, got, want)
		}
	})
}

// closer reports whether fingers with a narrower one among them reach less far
// past a free bend than the others can. Beside a wall, where one end is free, and
// in several groups that is not reckoned here.
func closer(got []Segment, other choice, length float64, walls []Wall) bool {
	least := (other.narrowed*float64(other.count) - length) / 2
	return len(walls) > 0 || other.count > 1 || past(got, length) < least+1e-9
}

// What cannot be reached is passed over for a set that can, and if there is none
// it is told that one would have fitted.
func TestFingersThatCannotBeReached(t *testing.T) {
	shelf := NewShelf(fingers(50, 104, 48))
	never := func([]Segment, Span) bool { return false }
	if got, found := shelf.Fingers(100, nil, never); got != nil || !found {
		t.Errorf("nothing can be reached: placed %v, found %v", got, found)
	}
	rows := func(group []Segment, _ Span) bool { return len(group) > 1 }
	if got, _ := shelf.Fingers(100, nil, rows); words(got) != "104 50" {
		t.Errorf("only rows of two can be reached: placed %v", words(got))
	}
	if got, found := shelf.Fingers(1000, nil, anyhow); got != nil || found {
		t.Errorf("too long for the shelf: placed %v, found %v", got, found)
	}
	if got, found := NewShelf(brake.Bar{Kind: brake.FullBar}).Fingers(100, nil, anyhow); got != nil || found {
		t.Errorf("a bar in one piece has the fingers %v, found %v", got, found)
	}
}

// Each finger must come up between what hangs over it, pushed aside as far as the
// others let it.
func TestTakenOut(t *testing.T) {
	room := Span{0, 100}
	row := []Segment{{40, 2}, {30, 42}, {25, 73}}
	for _, test := range []struct {
		name string
		over []Span
		want bool
	}{
		{"nothing hangs over", nil, true},
		{"lips at both ends, a window of 50 in the middle", []Span{{-5, 20}, {70, 105}}, true},
		{"a window as wide as the narrowest finger only", []Span{{-5, 40}, {65, 105}}, false},
		{"all covered", []Span{{-5, 105}}, false},
		{"a narrow lip at one end", []Span{{-5, 8}}, true},
		{"a strip over the joint", []Span{{41, 43}}, true},
	} {
		if got := TakenOut(row, room, test.over); got != test.want {
			t.Errorf("%s: TakenOut = %v, want %v", test.name, got, test.want)
		}
	}
}

func BenchmarkShelf(b *testing.B) {
	bar := fingers(22, 28, 37, 50, 68, 91, 124, 168, 227, 306)
	for b.Loop() {
		NewShelf(bar)
	}
}

func BenchmarkFingersInThreeGaps(b *testing.B) {
	shelf := NewShelf(fingers(22, 28, 37, 50, 68, 91, 124, 168, 227, 306))
	walls := upright(Span{-2, 0}, Span{310, 313}, Span{543, 546}, Span{718, 720})
	for b.Loop() {
		if got, _ := shelf.Fingers(718, walls, anyhow); got == nil {
			b.Fatal("no fingers")
		}
	}
}

// Two fingers of a length reach farther than one as long, by the joint between them.
func TestJointsReach(t *testing.T) {
	bar := fingers(11, 12, 23)
	walls := []Wall{{Span{0, 6}, Span{0, 6}}, {Span{36, 37}, Span{36, 37}}}
	if got, _ := (&Shelf{bar: bar}).Fingers(32, walls, anyhow); words(got) != "12 11" {
		t.Errorf("placed %q, want the two that are as long as one", words(got))
	}
}

// Sets found by length are those that are found by listing all, and a bend that
// takes many fingers gets them.
func TestManyFingers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		length, walls := anyLine(t)
		bar := anyShelf(t)
		want, wantFound := NewShelf(bar).Fingers(length, walls, anyhow)
		got, found := (&Shelf{bar: bar}).Fingers(length, walls, anyhow)
		if found != wantFound || len(got) != len(want) || len(got) > 0 && narrowest(got) != narrowest(want) {
			t.Errorf("%v along %v between %v: placed %v, %v, want %v, %v", bar.Widths, length, walls, words(got), found, words(want), wantFound)
		}
	})
	var widths []unit.MM
	for i := range 25 {
		widths = append(widths, unit.MM(30+i))
	}
	// Between walls 1000 apart the 22 widest, 957, and their joints fall short.
	got, _ := NewShelf(fingers(widths...)).Fingers(1000, upright(Span{-2, 0}, Span{1000, 1002}), anyhow)
	if len(got) != 23 || got[0].At < 1.5-1e-9 || end(got) > 1000-1.5+1e-9 || end(got) < 1000-4.5-1e-9 {
		t.Errorf("25 fingers of 30 to 54 along 1000: placed %v", got)
	}
}
