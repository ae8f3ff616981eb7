package notation

import (
	"math"
	"testing"
)

type written struct {
	Name  string    `json:"name"`
	Legs  []float64 `json:"legs,omitzero"`
	Inner *inner    `json:"inner,omitzero"`
}

func TestWrite(t *testing.T) {
	for _, test := range []struct {
		name  string
		value written
		want  string
	}{
		{"fields in order", written{"a", []float64{1.5, 2}, &inner{3}}, "{\n \"name\": \"a\",\n \"legs\": [\n  1.5,\n  2\n ],\n \"inner\": {\n  \"count\": 3\n }\n}\n"},
		{"nothing where nothing is", written{Name: "a"}, "{\n \"name\": \"a\"\n}\n"},
		{"quotes and letters", written{Name: "1/2\" ä"}, "{\n \"name\": \"1/2\\\" ä\"\n}\n"},
	} {
		got, err := Write(test.value)
		if err != nil || string(got) != test.want {
			t.Errorf("%s: Write = %q, %v, want %q", test.name, got, err, test.want)
		}
		var back written
		if _, err := Read(got, &back); err != nil || back.Name != test.value.Name {
			t.Errorf("%s: read again it is %+v, %v", test.name, back, err)
		}
	}
	if _, err := Write(written{Legs: []float64{math.NaN()}}); err == nil {
		t.Error("Write of what is no number gives no error")
	}
}
