package order

import (
	"reflect"
	"testing"

	"pgregory.net/rapid"
)

// crowd answers many questions at once, from the last to the first, and counts them.
type crowd struct {
	dice
	asked *int
}

func (c crowd) All(questions []Question) [][]Action {
	out := make([][]Action, len(questions))
	for i := len(questions) - 1; i >= 0; i-- {
		*c.asked++
		out[i] = c.Actions(questions[i].Made, questions[i].Next)
	}
	return out
}

// Asked together or one by one, the answers give the same order, cost and counts, and
// going backwards nothing is left to ask one by one.
func TestAskedTogetherIsTheSame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := anyDice(t, 6)
		together := crowd{d, new(int)}
		alone, err := Find(d.n, Setup{}, d, nil)
		if err != nil {
			t.Fatal(err)
		}
		crowded, err := Find(d.n, Setup{}, together, nil)
		if err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(alone, crowded) || *together.asked != crowded.Checks {
			t.Errorf("alone %+v, together %+v with %d questions", alone, crowded, *together.asked)
		}
	})
}
