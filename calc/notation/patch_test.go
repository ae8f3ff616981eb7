package notation

import (
	"encoding/json"
	"errors"
	"reflect"
	"testing"

	"brakeside/calc/fault"
)

// Patches of the three operations do what the examples of RFC 6902, appendix A, show;
// its other operations and what it calls an error are refused.
func TestPatchDoesWhatTheStandardShows(t *testing.T) {
	for _, test := range []struct{ name, file, patch, want string }{
		{"A.1 adding an object member", `{"foo":"bar"}`, `[{"op":"add","path":"/baz","value":"qux"}]`, `{"baz":"qux","foo":"bar"}`},
		{"A.2 adding an array element", `{"foo":["bar","baz"]}`, `[{"op":"add","path":"/foo/1","value":"qux"}]`, `{"foo":["bar","qux","baz"]}`},
		{"A.3 removing an object member", `{"baz":"qux","foo":"bar"}`, `[{"op":"remove","path":"/baz"}]`, `{"foo":"bar"}`},
		{"A.4 removing an array element", `{"foo":["bar","qux","baz"]}`, `[{"op":"remove","path":"/foo/1"}]`, `{"foo":["bar","baz"]}`},
		{"A.5 replacing a value", `{"baz":"qux","foo":"bar"}`, `[{"op":"replace","path":"/baz","value":"boo"}]`, `{"baz":"boo","foo":"bar"}`},
		{"A.6 moving a value", `{"foo":{"bar":"baz"}}`, `[{"op":"move","from":"/foo/bar","path":"/foo/qux"}]`, ""},
		{"A.8 testing a value", `{"baz":"qux"}`, `[{"op":"test","path":"/baz","value":"qux"}]`, ""},
		{"A.10 adding a nested member object", `{"foo":"bar"}`, `[{"op":"add","path":"/child","value":{"grandchild":{}}}]`, `{"foo":"bar","child":{"grandchild":{}}}`},
		{"A.12 adding to a target that is not there", `{"foo":"bar"}`, `[{"op":"add","path":"/baz/bat","value":"qux"}]`, ""},
		{"A.14 escape ordering", `{"/":9,"~1":10}`, `[{"op":"replace","path":"/~01","value":11}]`, `{"/":9,"~1":11}`},
		{"A.16 adding an array value", `{"foo":["bar"]}`, `[{"op":"add","path":"/foo/-","value":["abc","def"]}]`, `{"foo":["bar",["abc","def"]]}`},
		{"removing what is not there", `{"foo":"bar"}`, `[{"op":"remove","path":"/baz"}]`, ""},
		{"replacing what is not there", `{"foo":"bar"}`, `[{"op":"replace","path":"/baz","value":1}]`, ""},
		{"one after the other", `{"legs":[1,2,3]}`, `[{"op":"remove","path":"/legs/2"},{"op":"replace","path":"/legs/1","value":0}]`, `{"legs":[1,0]}`},
	} {
		t.Run(test.name, func(t *testing.T) {
			var refusal *fault.Refusal
			got, err := patched(test.file, test.patch)
			if test.want == "" {
				if !errors.As(err, &refusal) {
					t.Fatalf("%s, %v; want a refusal", got, err)
				}
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			var have, want any
			if json.Unmarshal(got, &have) != nil || json.Unmarshal([]byte(test.want), &want) != nil || !reflect.DeepEqual(have, want) {
				t.Errorf("%s, want %s", got, test.want)
			}
		})
	}
}

func patched(file, patch string) ([]byte, error) {
	p, err := ReadPatch([]byte(patch))
	if err != nil {
		return nil, err
	}
	return p.Apply([]byte(file))
}

// What is no patch is refused; what is one comes back as it was written down, so that
// an address carries it to the form and back.
func FuzzReadPatch(f *testing.F) {
	f.Add(`[{"op":"replace","path":"/legs/1","value":12.5}]`)
	f.Add(`[{"op":"remove","path":"/holes/-1"},{"op":"add","path":"","value":{}}]`)
	f.Add(`[{"op":"replace","path":"/legs"}]`)
	f.Add(`[{"op":"add","path":"/legs/99999999999999999999","value":null}]`)
	f.Fuzz(func(t *testing.T, text string) {
		p, err := ReadPatch([]byte(text))
		var refusal *fault.Refusal
		if err != nil {
			if !errors.As(err, &refusal) || p != nil {
				t.Fatalf("%q gives %v, %v", text, p, err)
			}
			return
		}
		written, err := json.Marshal(p)
		if err != nil {
			t.Fatal(err)
		}
		again, err := ReadPatch(written)
		if err != nil || len(again) != len(p) {
			t.Fatalf("%s was read and is refused when written: %v", written, err)
		}
		if out, err := p.Apply([]byte(`{"legs":[10,20],"inner":{"a/b":1}}`)); err == nil && !json.Valid(out) {
			t.Errorf("%s leaves %s", written, out)
		}
	})
}
