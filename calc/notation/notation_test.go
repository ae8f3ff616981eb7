package notation

import (
	"errors"
	"strings"
	"testing"

	"brakeside/calc/fault"
)

type sample struct {
	Name  string    `json:"name"`
	Legs  []float64 `json:"legs"`
	Inner *inner    `json:"inner"`
}

type inner struct {
	Count int `json:"count"`
}

func TestReadTellsThePlace(t *testing.T) {
	tests := []struct {
		name, text   string
		line, column int
		field        string
	}{
		{"unknown field", "{\"name\":\"a\",\n \"nmae\":\"b\"}", 2, 9, "nmae"},
		{"wrong kind in a list", "{\n \"legs\":[1,\n  \"x\"]}", 3, 3, "legs[1]"},
		{"wrong kind of object", "{\"inner\":3}", 1, 10, "inner"},
		{"unknown inside", "{\"inner\":{\"cuont\":3}}", 1, 19, "inner.cuont"},
		{"given twice", "{\"name\":\"a\",\"name\":\"b\"}", 1, 13, "name"},
		{"not a number", "{\"legs\":[NaN]}", 1, 10, "legs[0]"},
		{"cut off", "{\"name\":\"a\"", 1, 12, ""},
		{"two values", "{} {}", 1, 4, ""},
		{"too large a number", "{\"legs\":[1e999]}", 1, 10, "legs[0]"},
		{"other case", "{\"Name\":\"a\"}", 1, 9, "Name"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			var s sample
			_, err := Read([]byte(test.text), &s)
			var r *fault.Refusal
			if !errors.As(err, &r) {
				t.Fatalf("Read(%q) = %v, want a refusal", test.text, err)
			}
			if r.Line != test.line || r.Column != test.column || r.Field != test.field || r.Message == "" {
				t.Errorf("Read(%q) = %d:%d %q %q, want %d:%d %q", test.text, r.Line, r.Column, r.Field, r.Message, test.line, test.column, test.field)
			}
		})
	}
}

func TestRefuseFindsTheValue(t *testing.T) {
	var s sample
	p, err := Read([]byte("{\n \"legs\": [ 10,\n -4 ],\n \"inner\": {\"count\": 1}\n}"), &s)
	if err != nil {
		t.Fatal(err)
	}
	tests := []struct{ pointer, want string }{
		{"/legs/1", "3:2: legs[1]: too short"},
		{"/inner/count", "4:21: inner.count: too short"},
		{"/inner/missing", "4:11: inner.missing: too short"},
		{"/absent", "1:1: absent: too short"},
	}
	for _, test := range tests {
		if got := p.Refuse(test.pointer, "too %s", "short").Error(); got != test.want {
			t.Errorf("Refuse(%q) = %q, want %q", test.pointer, got, test.want)
		}
	}
}

func FuzzRead(f *testing.F) {
	f.Add([]byte(`{"name":"a","legs":[1,2],"inner":{"count":3}}`))
	f.Add([]byte("{\"name\":\"\xff\"}"))
	f.Fuzz(func(t *testing.T, data []byte) {
		var s sample
		if _, err := Read(data, &s); err != nil && fault.KindOf(err) == fault.Internal {
			t.Errorf("Read(%q) = %v, want a refusal or success", data, err)
		}
	})
}

// A small file must not take long: every value keeps the path to it, so deep
// nesting would cost the square of its depth.
func TestReadIsBounded(t *testing.T) {
	deep := "{\"legs\":" + strings.Repeat("[", 9000) + strings.Repeat("0,", 20_000) + "0" + strings.Repeat("]", 9000) + "}"
	wide := "{\"legs\":[" + strings.Repeat("1,", 1_000_000) + "1]}"
	tests := []struct {
		name, text string
		kind       fault.Kind
	}{
		{"deep", deep, fault.Invalid},
		{"wide", wide, fault.TooLarge},
		{"long", strings.Repeat(" ", MaxBytes+1), fault.TooLarge},
	}
	for _, test := range tests {
		var s sample
		if _, err := Read([]byte(test.text), &s); fault.KindOf(err) != test.kind {
			t.Errorf("%s: Read = %v, want a refusal of kind %v", test.name, err, test.kind)
		}
	}
	var s sample
	if _, err := Read([]byte("{\"legs\":["+strings.Repeat("1,", 30_000)+"1]}"), &s); err != nil || len(s.Legs) != 30_001 {
		t.Errorf("30,001 values: %d read, %v", len(s.Legs), err)
	}
}

// Twenty brackets are read, one more is not: files of parts have six.
func TestDeepestValue(t *testing.T) {
	for brackets, refused := range map[int]bool{6: false, 20: false, 21: true, 40: true} {
		var into any
		_, err := Read([]byte(strings.Repeat("[", brackets)+strings.Repeat("]", brackets)), &into)
		if (err != nil) != refused {
			t.Errorf("%d brackets: %v, want a refusal: %v", brackets, err, refused)
		}
	}
}
