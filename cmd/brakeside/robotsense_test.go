package main

import (
	"os"
	"slices"
	"strings"
	"testing"

	"brakeside/testdata/robot"
	"brakeside/testdata/suite"
)

// angleBracket is a paper for an L of 34 and 52 mm, 1.5 mm thick, inside radius
// 1.5, 420 long, worked by hand. Layout by FAA-H-8083-31 volume 1 chapter 4: the
// outside setback is (1.5 + 1.5) tan 45 = 3, the flats are 31 and 49, the
// allowance is pi/2 (1.5 + 0.33 x 1.5) = 3.134, the blank 83.13 wide. With leg 2 clamped its tangent lies at
// 31 + 3.134 = 34.134 on the blank and 3 behind the hinge; a nose edge 1.8 behind
// the hinge covers 34.134 - (3 - 1.8) = 32.93.
func angleBracket() *robot.Paper {
	from, _ := robot.ReadFrom("from the sheared edge of leg 1")
	return &robot.Paper{
		Thickness: 1.5, Sizes: "OUTSIDE", Width: 420, Height: 83.1, FaceUp: "A", Near: "lower", Scale: "bend",
		Outline: []robot.Point{{X: 0, Y: 0}, {X: 420, Y: 0}, {X: 420, Y: 83.13}, {X: 0, Y: 83.13}},
		Letters: []robot.Letter{{At: robot.Point{X: 200, Y: 10}, Words: "leg 1"}, {At: robot.Point{X: 200, Y: 60}, Words: "leg 2"}},
		Lines: []robot.Line{{
			Step: 1, From: robot.Point{X: 0, Y: 32.57}, To: robot.Point{X: 420, Y: 32.57},
			Up: true, Angle: 90, Radius: 1.5, Name: "b1", Running: 32.9, Figured: true,
		}},
		Steps: []robot.Step{{
			Number: 1, FaceUp: "A", Clamped: "leg 2", Swinging: "leg 1", Setback: 1.8, Target: 90, Stop: 91.5, Springback: 1.5, Sprung: true,
			Bar: "wide", Nose: 32.9, NoseFrom: from, Checks: []robot.Check{robot.ReadCheck(34, "SIZE leg 1")},
		}},
	}
}

const angleBracketFile = `{"thickness":1.5,"inside_radius":1.5,"profile":{"length":420,"legs":[34,52],"bends":[90]}}`

// judged is what the robot finds on a paper.
func judged(t *testing.T, p *robot.Paper, part []byte) []robot.Finding {
	t.Helper()
	found, err := robot.Judge(p, part)
	if err != nil {
		t.Fatal(err)
	}
	return found
}

// TestRobotIsContentWithATruePaper: an empty list is within reach, and each leg
// that is checked is gone from it.
func TestRobotIsContentWithATruePaper(t *testing.T) {
	found := judged(t, angleBracket(), []byte(angleBracketFile))
	if len(found) != 1 || found[0].Cause != robot.LegUnchecked || !strings.HasPrefix(found[0].Words, "leg 2") {
		t.Errorf("a paper worked by hand that checks one leg of two: %v", found)
	}
	turned := angleBracket()
	turned.Near = "upper"
	turned.Steps[0].Moves = []robot.Move{robot.ReadMove("ROTATE 180")}
	if again := judged(t, turned, []byte(angleBracketFile)); !slices.Equal(found, again) {
		t.Errorf("the same blank laid the other way round and rotated: %v", again)
	}
}

// TestRobotReads: the phrases that are on papers now and those that will be.
func TestRobotReads(t *testing.T) {
	for _, words := range []string{
		"TURN OVER on the bend line: face B up", "TURN OVER front to back: face A up", "Turn over left to right",
		"ROTATE 90 CLOCKWISE", "ROTATE 53.4° anticlockwise", "ROTATE 180", "rotate 180",
	} {
		if m := robot.ReadMove(words); !m.Turns() {
			t.Errorf("%q is not read as a turn", words)
		}
	}
	for words, degrees := range map[string]float64{"ROTATE 90 CLOCKWISE": -90, "ROTATE 53.4° anticlockwise": 53.4, "rotate 180": 180} {
		if m := robot.ReadMove(words); m.Degrees != degrees {
			t.Errorf("%q: %v anticlockwise", words, m.Degrees)
		}
	}
	for _, words := range []string{"CHANGE BAR to fingers", "PACKING STRIP 1.5 mm under the back of the bar, this step only"} {
		if m := robot.ReadMove(words); !m.Known() || m.Turns() {
			t.Errorf("%q turns nothing", words)
		}
	}
	for _, words := range []string{"TURN OVER", "ROTATE 90°", "ROTATE 90° about", "FLIP", "TURN OVER front to left", ""} {
		if robot.ReadMove(words).Known() {
			t.Errorf("%q is no instruction and is read as one", words)
		}
	}
	for words, own := range map[string]bool{
		"from the sheared edge of front.2": false, "mm from the outside of bend b1": false, "from the pencilled line": false,
		"mm from the outside of the bend of step 3": false, "from the sheared edge of leg 1, line 294.2": true,
	} {
		if from, has := robot.ReadFrom(words); !from.Known() || has != own {
			t.Errorf("%q: %v, %v", words, from, has)
		}
	}
	for _, words := range []string{"from the edge", "from leg 1", "outside of b1"} {
		if from, _ := robot.ReadFrom(words); from.Known() {
			t.Errorf("%q names nothing to measure from", words)
		}
	}
	for _, words := range []string{
		"SIZE leg 2", "WIDTH front.2", "OVERALL base to left wall", "OVERALL base, edge to edge",
	} {
		if !robot.ReadCheck(1, words).Known() {
			t.Errorf("%q is not read as a size", words)
		}
	}
	if robot.ReadCheck(60, "leg 2").Known() {
		t.Error("a bare name is read as a size")
	}
	for words, strip := range map[string]float64{
		"FLATTEN the hem onto itself": 0, "FLATTEN: lay the edge back over a strip of 0.8 mm and press it down": 0.8,
	} {
		if got, ok := robot.ReadFlatten(words); !ok || got != strip {
			t.Errorf("%q: over %v, %v", words, got, ok)
		}
	}
}

// slip is one way in which a paper can come to say the wrong thing. It tells
// whether the step has what it spoils.
type slip struct {
	name   string
	spoil  func(p *robot.Paper, s *robot.Step) bool
	causes []robot.Cause // one of these must be found anew
}

// swapped exchanges two words.
func swapped(words, a, b string) string {
	return strings.NewReplacer(a, b, b, a).Replace(words)
}

// turns changes the words of the first move that has some.
func turns(s *robot.Step, change func(words string) string) bool {
	for i, m := range s.Moves {
		if words := change(m.Words); words != m.Words {
			s.Moves[i] = robot.ReadMove(words)
			return true
		}
	}
	return false
}

// lineOf finds the line of a step.
func lineOf(p *robot.Paper, s *robot.Step) *robot.Line {
	return &p.Lines[slices.IndexFunc(p.Lines, func(l robot.Line) bool { return l.Step == s.Number })]
}

var slips = []slip{
	{"rotated the other way", func(_ *robot.Paper, s *robot.Step) bool {
		return turns(s, func(w string) string {
			if strings.HasPrefix(w, "ROTATE 90") && strings.Contains(w, " ANTICLOCKWISE") {
				return strings.Replace(w, " ANTICLOCKWISE", " CLOCKWISE", 1)
			}
			return strings.Replace(w, " CLOCKWISE", " ANTICLOCKWISE", 1)
		})
	}, []robot.Cause{robot.ClampConflict}},
	{"a rotation of 180 read as 90", func(_ *robot.Paper, s *robot.Step) bool {
		return turns(s, func(w string) string {
			return strings.Replace(w, "ROTATE 180", "ROTATE 90 CLOCKWISE", 1)
		})
	}, []robot.Cause{robot.TurnAskew}},
	{"a turn left out", func(_ *robot.Paper, s *robot.Step) bool {
		kept := slices.DeleteFunc(slices.Clone(s.Moves), robot.Move.Turns)
		left := len(kept) < len(s.Moves)
		s.Moves = kept
		return left
	}, []robot.Cause{robot.FaceConflict, robot.TurnAskew, robot.ClampConflict, robot.TipUntold}},
	{"a turn too many", func(_ *robot.Paper, s *robot.Step) bool {
		s.Moves = append(s.Moves, robot.ReadMove("TURN OVER front to back"))
		return true
	}, []robot.Cause{robot.HandWrong}},
	{"turned over the other way", func(_ *robot.Paper, s *robot.Step) bool {
		return turns(s, func(w string) string {
			if strings.HasPrefix(w, "TURN OVER") {
				return "TURN OVER left to right"
			}
			return w
		})
	}, []robot.Cause{robot.ClampConflict}},
	{"the other face up", func(_ *robot.Paper, s *robot.Step) bool {
		s.FaceUp = swapped(s.FaceUp, "A", "B")
		return true
	}, []robot.Cause{robot.FaceConflict}},
	{"the other side clamped", func(_ *robot.Paper, s *robot.Step) bool {
		s.Clamped, s.Swinging = s.Swinging, s.Clamped
		return true
	}, []robot.Cause{robot.ClampConflict}},
	{"UP for DOWN on the blank", func(p *robot.Paper, s *robot.Step) bool {
		lineOf(p, s).Up = !lineOf(p, s).Up
		return true
	}, []robot.Cause{robot.WayConflict}},
	{"a leg for the distance of the nose line", func(_ *robot.Paper, s *robot.Step) bool {
		if len(s.Checks) == 0 || !s.NoseFrom.Known() || s.Nose == 0 {
			return false
		}
		spoilt := s.Nose != s.Checks[0].MM
		s.Nose = s.Checks[0].MM
		return spoilt
	}, []robot.Cause{robot.GaugeWrong}},
	{"measured from another edge", func(_ *robot.Paper, s *robot.Step) bool {
		spoilt := s.NoseFrom.Name == s.Swinging
		s.NoseFrom.Name = s.Clamped
		return spoilt
	}, []robot.Cause{robot.GaugeWrong, robot.GaugeNoReach}},
	{"a running figure a millimetre off", func(p *robot.Paper, s *robot.Step) bool {
		lineOf(p, s).Running++
		return true
	}, []robot.Cause{robot.LegWrong, robot.PlaceWrong}},
	{"the setback of another bar", func(_ *robot.Paper, s *robot.Step) bool {
		s.Setback += 1.2
		return true
	}, []robot.Cause{robot.LegWrong, robot.PlaceWrong}},
	{"another angle", func(_ *robot.Paper, s *robot.Step) bool {
		s.Target -= 2
		return s.Target < 120
	}, []robot.Cause{robot.AngleWrong}},
	{"the target set as the stop", func(_ *robot.Paper, s *robot.Step) bool {
		s.Stop = s.Target - s.Springback
		return s.Springback > 0
	}, []robot.Cause{robot.StopWrong}},
	{"a size a millimetre off", func(_ *robot.Paper, s *robot.Step) bool {
		if len(s.Checks) == 0 {
			return false
		}
		s.Checks[0].MM++
		return true
	}, []robot.Cause{robot.CheckUntrue}},
	{"another face's size", func(p *robot.Paper, s *robot.Step) bool {
		other := p.Steps[0].Checks
		if len(other) == 0 || len(s.Checks) == 0 {
			return false
		}
		spoilt := other[0].Face != s.Checks[0].Face && other[0].MM != s.Checks[0].MM
		s.Checks[0].MM = other[0].MM
		return spoilt
	}, []robot.Cause{robot.CheckUntrue}},
}

// TestRobotSeesSlips spoils what was read off good papers, one thing at a time.
func TestRobotSeesSlips(t *testing.T) {
	suite.Unraced(t)
	seen := map[string]int{}
	for _, file := range []string{
		"../../testdata/parts/six-bend.json", "../../testdata/parts/hemmed-tray.json", "../../testdata/parts/offset-clip.json",
		"../../testdata/suite/parts/P3.json", "../../testdata/suite/parts/P4.json", "shop/drip-tray.json", "../../testdata/cases/06-hemZ.json",
	} {
		part, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		paper, ok := keptPaperRead(t, file)
		if !ok {
			t.Fatalf("%s has no paper", file)
		}
		good := judged(t, paper, part)
		for _, slip := range slips {
			for i := range paper.Steps {
				p := copied(paper)
				if spoilt := slip.spoil(p, &p.Steps[i]); !spoilt || wrong(good, i+1, slip.causes) {
					continue
				}
				seen[slip.name]++
				if bad := judged(t, p, part); !fresh(good, bad, slip.causes) {
					t.Errorf("%s, step %d: %s: not seen", file, i+1, slip.name)
				}
			}
		}
	}
	for _, slip := range slips {
		if seen[slip.name] < 2 {
			t.Errorf("%s: tried %d times only", slip.name, seen[slip.name])
		}
	}
}

// copied is a paper that can be spoilt without the other.
func copied(p *robot.Paper) *robot.Paper {
	out := *p
	out.Lines, out.Steps = slices.Clone(p.Lines), slices.Clone(p.Steps)
	for i := range out.Steps {
		out.Steps[i].Moves, out.Steps[i].Checks = slices.Clone(p.Steps[i].Moves), slices.Clone(p.Steps[i].Checks)
	}
	return &out
}

// wrong reports whether a step has one of the causes already: what is wrong
// cannot be spoilt.
func wrong(found []robot.Finding, step int, causes []robot.Cause) bool {
	return slices.ContainsFunc(found, func(f robot.Finding) bool { return f.Step == step && slices.Contains(causes, f.Cause) })
}

// fresh reports whether one of the causes is found more often than before.
func fresh(before, after []robot.Finding, causes []robot.Cause) bool {
	count := func(found []robot.Finding, c robot.Cause) int {
		n := 0
		for _, f := range found {
			if f.Cause == c {
				n++
			}
		}
		return n
	}
	return slices.ContainsFunc(causes, func(c robot.Cause) bool { return count(after, c) > count(before, c) })
}

// TestRobotFlattensHems: with a row that flattens it a hem is as drawn, and over
// the wrong strip it is not.
func TestRobotFlattensHems(t *testing.T) {
	const file = "../../testdata/cases/06-hemZ.json"
	part, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	paper, _ := keptPaperRead(t, file)
	has := func(cause robot.Cause) bool {
		return slices.ContainsFunc(judged(t, paper, part), func(f robot.Finding) bool { return f.Cause == cause })
	}
	open := slices.IndexFunc(paper.Steps, func(s robot.Step) bool { return s.Strip != 0 })
	if open < 0 || paper.Steps[open].Strip != 0.8 || !paper.Steps[open].Flatten {
		t.Fatal("no row flattens the open hem over a strip of the sheet's thickness")
	}
	if has(robot.HemNotFlat) || has(robot.StripWrong) {
		t.Error("a closed hem pressed onto itself and an open one over a strip of the sheet's thickness are as drawn")
	}
	paper.Steps[open].Strip = 1.5
	if !has(robot.StripWrong) {
		t.Error("an open hem of 0.8 mm sheet over a strip of 1.5 is not as drawn")
	}
}
