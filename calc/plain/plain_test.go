package plain

import (
	"encoding/json"
	"strings"
	"testing"
	"unicode/utf8"
)

func TestInName(t *testing.T) {
	for text, want := range map[string]rune{
		"":                    0,
		"BR-210 ß 支 ½\" × 3°": 0,
		"שלום\u200f":          0, // a mark that letters of the right need
		"می\u200cخواهم":       0,
		"zero\x00":            0,
		"\x1b[2J":             0x1B,
		"a\nb":                '\n',
		"c1 \u009b":           0x9B,
		"exe.\u202egnp":       0x202E,
		"\u2066isolate":       0x2066,
		"line\u2028":          0x2028,
		"\ufeffmark":          0xFEFF,
		"half \xff":           utf8.RuneError,
	} {
		got, found := InName(text)
		if text == "zero\x00" {
			if !found {
				t.Error("a zero byte may stand in a name")
			}
			continue
		}
		if got != want || found != (want != 0) {
			t.Errorf("InName(%q) = %U, %v; want %U", text, got, found, want)
		}
	}
	if bad, found := InText("two\r\nlines\tand a \u202e"); !found || bad != 0x202E {
		t.Errorf("InText = %U, %v", bad, found)
	}
	if _, found := InText("two\r\nlines\t"); found {
		t.Error("the end of a line may not stand in a text")
	}
}

func TestSeen(t *testing.T) {
	for text, want := range map[string]string{
		"plain – × …\n\t":      "plain – × …\n\t",
		"\x1b[31mred\x07":      `\u001b[31mred\u0007`,
		"a\u202eb\u2069\u009b": `a\u202eb\u2069\u009b`,
		"\x7f":                 `\u007f`,
		"cut \xe2\x80":         "cut \xe2\x80",
	} {
		if got := string(Seen([]byte(text))); got != want {
			t.Errorf("Seen(%q) = %q, want %q", text, got, want)
		}
	}
}

// What Seen gives has nothing unseen in it, and JSON says the same before and after.
func FuzzSeen(f *testing.F) {
	f.Add("a\u202eb\x1b\u009b\xc2")
	f.Fuzz(func(t *testing.T, text string) {
		seen := string(Seen([]byte(text)))
		if strings.ContainsFunc(seen, func(c rune) bool { return Unseen(c) && !strings.ContainsRune("\n\r\t", c) }) {
			t.Errorf("Seen(%q) = %q", text, seen)
		}
		quoted, err := json.Marshal(text)
		if err != nil {
			t.Fatal(err)
		}
		var back string
		if err := json.Unmarshal(Seen(quoted), &back); err != nil || back != strings.ToValidUTF8(text, "\ufffd") && utf8.ValidString(text) {
			t.Errorf("JSON of %q says %q, %v", text, back, err)
		}
	})
}
