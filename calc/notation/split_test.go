package notation

import (
	"encoding/json"
	"strings"
	"testing"
)

func TestSplit(t *testing.T) {
	members, ok := Split([]byte(" {\"a\" : 1.50, \"b\\u0062\":[1, {\"x\":null}] ,\"a\":\"\"}\n"))
	want := []Member{{"a", []byte("1.50")}, {"bb", []byte(`[1, {"x":null}]`)}, {"a", []byte(`""`)}}
	if !ok || len(members) != len(want) {
		t.Fatalf("Split = %q, %v, want %q", members, ok, want)
	}
	for i, m := range members {
		if m.Name != want[i].Name || string(m.Value) != string(want[i].Value) {
			t.Errorf("member %d = %q, want %q", i, m, want[i])
		}
	}
	if members, ok := Split([]byte("{}")); !ok || len(members) != 0 {
		t.Errorf("Split({}) = %q, %v, want nothing", members, ok)
	}
}

func TestSplitRefuses(t *testing.T) {
	for _, text := range []string{
		"", " ", "null", "1", `"a"`, "[]", `[{"a":1}]`, "{", `{"a"}`, `{"a":}`, `{"a":1`, `{"a":1,}`, `{"a" 1}`, `{a:1}`, `{"a":1}x`, `{"a":1}{"b":2}`,
		`{"a":01}`, `{"a":+1}`, `{"a":NaN}`, `{"a":tru}`, "{\"a\":\"\n\"}", "{\"a\":\"\xff\"}", "{\"\xff\":1}", `{1:1}`, `{"a":"\ud800"}`,
	} {
		if members, ok := Split([]byte(text)); ok {
			t.Errorf("Split(%s) = %q, want it refused", text, members)
		}
	}
}

func TestText(t *testing.T) {
	for value, want := range map[string]string{`""`: "", `"a"`: "a", `"a\n\u00e4\"\\"`: "a\nä\"\\"} {
		if got, ok := Text([]byte(value)); !ok || got != want {
			t.Errorf("Text(%s) = %q, %v, want %q", value, got, ok, want)
		}
	}
	for _, value := range []string{"", "1", "null", `"`, `"a`, "{}"} {
		if got, ok := Text([]byte(value)); ok {
			t.Errorf("Text(%s) = %q, want it refused", value, got)
		}
	}
}

// What is taken apart is what the standard library reads.
func FuzzSplit(f *testing.F) {
	for _, text := range []string{`{"id":"a","piece":1,"flags":["x"],"note":"ä\n"}`, `{"a":{"b":[1e3,-0.5]}}`, `{"a":1,"a":2}`, "{}", "[]", `{"a":"\ud83d\ude00"}`} {
		f.Add([]byte(text))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		members, ok := Split(data)
		if !ok {
			return
		}
		var plain map[string]json.RawMessage
		if err := json.Unmarshal(data, &plain); err != nil {
			t.Fatalf("Split(%q) takes what the standard library does not: %v", data, err)
		}
		last := map[string]string{}
		for _, m := range members {
			last[m.Name] = string(m.Value)
			if text, ok := Text(m.Value); ok {
				var want string
				if err := json.Unmarshal(m.Value, &want); err != nil || text != want {
					t.Fatalf("Text(%q) = %q, want %q, %v", m.Value, text, want, err)
				}
			}
		}
		if len(last) != len(plain) {
			t.Fatalf("Split(%q) = %q, want the members %q", data, members, plain)
		}
		for name, value := range plain {
			if last[name] != string(value) {
				t.Errorf("Split(%q): %q is %q, want %q", data, name, last[name], value)
			}
		}
	})
}

// What is written is read back, letters that are none as the sign for such.
func TestAppendText(t *testing.T) {
	for _, c := range []struct{ text, json string }{
		{"", `""`}, {`a "b" \ <c> &`, `"a \"b\" \\ <c> &"`}, {"two\nlines\x01", `"two\nlines\u0001"`}, {"90° Grüße", `"90° Grüße"`}, {"a\xffb", "\"a\uFFFDb\""},
	} {
		got := string(AppendText([]byte("x:"), c.text))
		if got != "x:"+c.json {
			t.Errorf("AppendText(%q) = %s, want x:%s", c.text, got, c.json)
		}
		if back, ok := Text([]byte(c.json)); !ok || back != strings.ToValidUTF8(c.text, "\uFFFD") {
			t.Errorf("Text(%s) = %q, %t, want it as it was", c.json, back, ok)
		}
	}
}
