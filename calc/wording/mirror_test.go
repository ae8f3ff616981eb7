package wording_test

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"brakeside/calc"
	"brakeside/calc/process"
	"brakeside/calc/wording"
	"brakeside/testdata/suite"
)

// footWith is a foot of 100 x (30 + 40) bent once, with more written behind its
// shape.
func footWith(more string) string {
	return `{"number":"T","material":"mild-steel","thickness":1,"inside_radius":1,"profile":{"length":100,"legs":[30,60],"bends":[90]}` + more + `}`
}

func mirrorCheck(t *testing.T, text string) string {
	t.Helper()
	plan, err := calc.Work(suite.Read(t, []byte(text)), suite.Brake(t), calc.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if len(plan.Steps) == 0 {
		t.Fatalf("no plan for %s", text)
	}
	return wording.MirrorCheck(plan)
}

const noHand = "The blank is its own mirror image: it has no left or right hand."

func TestMirrorCheck(t *testing.T) {
	for _, test := range []struct{ name, text, want string }{
		{"a plain foot", footWith(``), noHand},
		{"a hole in the middle", footWith(`,"holes":[{"face":"p0","at":[50,12],"diameter":6}]`), noHand},
		{"two holes that are each other's image", footWith(`,"holes":[{"face":"p0","at":[20,12],"diameter":6},{"face":"p0","at":[80,12],"diameter":6}]`), noHand},
		{"a hole to one side", footWith(`,"holes":[{"face":"p0","at":[20,12],"diameter":6}]`), `^The 6\.0 mm hole is at your (left|right) at step 1\.$`},
		{"two holes, one out of place", footWith(`,"holes":[{"face":"p0","at":[20,12],"diameter":6},{"face":"p1","at":[80,40],"diameter":6}]`), `^The 6\.0 mm hole is (nearer to|farther from) you and at your (left|right) at step 1\.$`},
		{"two holes, out of place by less than an eye tells", footWith(`,"holes":[{"face":"p0","at":[20,12],"diameter":6},{"face":"p0","at":[80.9,12],"diameter":6}]`), noHand},
		{"two holes, out of place by more", footWith(`,"holes":[{"face":"p0","at":[20,12],"diameter":6},{"face":"p0","at":[81.2,12],"diameter":6}]`), `^The 6\.0 mm hole is `},
		{"holes of two sizes", footWith(`,"holes":[{"face":"p0","at":[20,12],"diameter":6},{"face":"p0","at":[80,12],"diameter":8}]`), `^The (6|8)\.0 mm hole is at your (left|right) at step 1\.$`},
		{"a cutout to one side", footWith(`,"cutouts":[{"face":"p1","outline":[[10,30],[30,30],[30,40],[10,40]]}]`), `^The cutout is at your (left|right) at step 1\.$`},
	} {
		t.Run(test.name, func(t *testing.T) {
			got := mirrorCheck(t, test.text)
			if !regexp.MustCompile(test.want).MatchString(got) {
				t.Errorf("MirrorCheck = %q, want %q", got, test.want)
			}
		})
	}
}

// The mirror image of a part has its feature on the other side: that is what the
// sentence is for. And the side is the operator's: where the swinging face lies
// towards the operator, the left is to the left of that direction.
func TestMirrorImageIsOnTheOtherSide(t *testing.T) {
	for _, hole := range []string{`"face":"p0","at":[%d,12]`, `"face":"p1","at":[%d,40]`} {
		for _, x := range []int{12, 30, 44} {
			one := mirrorCheck(t, footWith(`,"holes":[{`+fmt.Sprintf(hole, x)+`,"diameter":5}]`))
			other := mirrorCheck(t, footWith(`,"holes":[{`+fmt.Sprintf(hole, 100-x)+`,"diameter":5}]`))
			swapped := strings.NewReplacer("left", "right", "right", "left").Replace(one)
			if one == noHand || other != swapped {
				t.Errorf("hole at %d: %q; its mirror image: %q", x, one, other)
			}
		}
	}
}

// By hand: the foot lies with leg p0, the shorter, at the lower edge of the
// drawing. When p0 swings, the operator stands at that edge, and what is drawn at
// the left is at the operator's left; when p1 swings, or the part is turned over,
// it is the other way round.
func TestMirrorCheckByHand(t *testing.T) {
	text := footWith(`,"holes":[{"face":"p0","at":[20,12],"diameter":6}]`)
	plan, err := calc.Work(suite.Read(t, []byte(text)), suite.Brake(t), calc.Options{})
	if err != nil {
		t.Fatal(err)
	}
	step := plan.Steps[0]
	left := step.Swinging == "p0"
	if step.FaceUp == "B" {
		left = !left
	}
	want := map[bool]string{true: "at your left", false: "at your right"}[left]
	if got := wording.MirrorCheck(plan); !strings.Contains(got, want) {
		t.Errorf("%s swings, face %s up: %q, want it %s", step.Swinging, step.FaceUp, got, want)
	}
}

// Every example has a sentence, about its first bend.
func TestMirrorCheckOfTheExamples(t *testing.T) {
	files, err := filepath.Glob("../../testdata/parts/*.json")
	if err != nil || len(files) < 12 {
		t.Fatalf("%d parts, %v", len(files), err)
	}
	whole := regexp.MustCompile(`^The blank is its own mirror image: it has no left or right hand\.$|^(The|Bend line) .* is (nearer to you and |farther from you and )?at your (left|right) at step 1\.$`)
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		plan, err := calc.Work(suite.Read(t, data), suite.Brake(t), calc.Options{})
		if err != nil {
			t.Fatalf("%s: %v", file, err)
		}
		got := wording.MirrorCheck(plan)
		if !whole.MatchString(got) {
			t.Errorf("%s: %q", filepath.Base(file), got)
		}
	}
	if got := wording.MirrorCheck(&process.Plan{}); got != "" {
		t.Errorf("a plan without steps says %q", got)
	}
}
