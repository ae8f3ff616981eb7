package words

import (
	"bytes"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// No file brings the reader down; one that is taken names its language, and says the
// same with the line ends of other systems.
func FuzzRead(f *testing.F) {
	f.Add([]byte(german))
	f.Add([]byte("msgid \"\"\nmsgstr \"Language: de\\n\"\n\n#, fuzzy\nmsgid \"a %d\"\nmsgstr \"\"\n\"%1$d \"\n\"b\"\n"))
	f.Add([]byte("msgctxt \"x\"\nmsgid \"%s\"\nmsgid_plural \"%s\"\nmsgstr[0] \"\\\"\\\\\\t\"\n"))
	f.Add([]byte(counting3))
	f.Fuzz(func(t *testing.T, data []byte) {
		c, err := Read(data)
		if err != nil {
			return
		}
		if !languageTag.MatchString("Language: " + c.Language) {
			t.Errorf("a catalogue of the language %q is taken", c.Language)
		}
		for n := range uint64(200) {
			if at := c.forms.form(n); at < 0 || at >= c.forms.count {
				t.Errorf("of %d the form is %d of %d", n, at, c.forms.count)
			}
		}
		if bytes.IndexByte(data, '\r') >= 0 {
			return
		}
		other, err := Read(bytes.ReplaceAll(data, []byte("\n"), []byte("\r\n")))
		if diff := cmp.Diff(c, other, cmp.AllowUnexported(Catalogue{}, pattern{}, forms{}, key{}), cmp.Comparer(alike)); err != nil || diff != "" {
			t.Errorf("with other line ends Read = %v (-want +got):\n%s", err, diff)
		}
	})
}

// alike reports whether two rules give the same forms.
func alike(a, b value) bool {
	for n := range uint64(200) {
		if a(n) != b(n) {
			return false
		}
	}
	return true
}
