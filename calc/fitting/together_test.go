package fitting_test

import (
	"reflect"
	"testing"

	"brakeside/calc/figures"
	"brakeside/calc/fitting"
	"brakeside/calc/order"
	"brakeside/calc/process"
	"brakeside/testdata/suite"
)

// All answers as Actions does one by one, whoever is asked first.
func TestAllAnswersAlike(t *testing.T) {
	for _, name := range []string{"P4", "P5"} {
		blank, err := figures.Shop{}.Develop(suite.Part(t, name))
		if err != nil {
			t.Fatal(err)
		}
		plan := process.New(blank, suite.Brake(t))
		together, alone := fitting.New(plan), fitting.New(plan)
		var questions []order.Question
		for made := range order.Made(1 << len(alone.Operations)) {
			for next := range alone.Operations {
				if !made.Has(next) {
					questions = append(questions, order.Question{Made: made, Next: next})
				}
			}
		}
		for i, got := range together.All(questions) {
			if want := alone.Actions(questions[i].Made, questions[i].Next); !reflect.DeepEqual(got, want) {
				t.Fatalf("%s, %+v: together %+v, alone %+v", name, questions[i], got, want)
			}
		}
	}
}

// A mistake of the program on another processor reaches who asked, who can catch it.
func TestAMistakeReachesWhoAsked(t *testing.T) {
	blank, err := figures.Shop{}.Develop(suite.Part(t, "P4"))
	if err != nil {
		t.Fatal(err)
	}
	s := fitting.New(process.New(blank, suite.Brake(t)))
	s.Break()
	questions := make([]order.Question, 40)
	for i := range questions {
		questions[i].Next = i % len(s.Operations)
	}
	defer func() {
		if recover() == nil {
			t.Error("a mistake is kept quiet")
		}
	}()
	s.All(questions)
}
