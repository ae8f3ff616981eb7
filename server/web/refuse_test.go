package web

import (
	"errors"
	"fmt"
	"net/http"
	"testing"
	"time"

	"brakeside/calc/fault"
)

func TestEveryKindHasAStatus(t *testing.T) {
	if len(fault.Kinds) == 0 || len(statuses) != len(fault.Kinds) {
		t.Errorf("%d kinds of refusal but %d statuses", len(fault.Kinds), len(statuses))
	}
	for _, kind := range fault.Kinds {
		status, found := statuses[kind]
		if !found {
			t.Errorf("kind %d has no status", kind)
		}
		if Headings[status] == "" {
			t.Errorf("status %d has no heading", status)
		}
	}
}

func TestStatusOf(t *testing.T) {
	cases := []struct {
		name string
		err  error
		want int
	}{
		{"a bug", errors.New("nil pointer"), 500},
		{"a refusal", fault.New(fault.Missing, "", "Nothing."), 404},
		{"a wrapped refusal", fmt.Errorf("step 2: %w", fault.New(fault.Conflict, "", "No.")), 409},
		{"an unreadable body", Unreadable("What?"), 400},
		{"too often", TooOften(time.Second), 429},
		{"too large", fmt.Errorf("read: %w", &http.MaxBytesError{Limit: 1}), 413},
		{"unknown code", &NoSheet{fault.New(fault.Missing, "", "No.")}, 404},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			if got := StatusOf(c.err); got != c.want {
				t.Errorf("statusOf(%v) = %d, want %d", c.err, got, c.want)
			}
		})
	}
}

// What is a mistake of the program is told to nobody but the log.
func TestMessageOfHidesBugs(t *testing.T) {
	for _, err := range []error{errors.New("secret"), fault.New(fault.Internal, "field", "secret")} {
		if field, message := MessageOf(err); field != "" || message == "" || message == "secret" {
			t.Errorf("messageOf(%v) = %q, %q: want words that tell nothing", err, field, message)
		}
	}
	if field, message := MessageOf(fault.New(fault.Invalid, "stop", "Too high.")); field != "stop" || message != "Too high." {
		t.Errorf("messageOf(refusal) = %q, %q, want stop, Too high.", field, message)
	}
}

func TestRefusalBody(t *testing.T) {
	body := RefusalBody(fault.New(fault.Unsure, "measured", "Is it right?"))
	if body.Confirm != "Is it right?" || body.Error.Field != "measured" {
		t.Errorf("refusalBody(unsure) = %+v, want the question as confirm", body)
	}
	if body := RefusalBody(fault.New(fault.Invalid, "piece", "No.")); body.Confirm != "" {
		t.Errorf("refusalBody(invalid) = %+v, want the error alone", body)
	}
}
