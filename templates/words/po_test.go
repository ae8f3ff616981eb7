package words

import (
	"bytes"
	"reflect"
	"testing"
)

// No file brings the reader down; one that is taken names its language, and says the
// same with the line ends of other systems.
func FuzzRead(f *testing.F) {
	f.Add([]byte(german))
	f.Add([]byte("msgid \"\"\nmsgstr \"Language: de\\n\"\n\n#, fuzzy\nmsgid \"a %d\"\nmsgstr \"\"\n\"%1$d \"\n\"b\"\n"))
	f.Add([]byte("msgctxt \"x\"\nmsgid \"%s\"\nmsgid_plural \"%s\"\nmsgstr[0] \"\\\"\\\\\\t\"\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		c, err := Read(data)
		if err != nil {
			return
		}
		if !languageTag.MatchString("Language: " + c.Language) {
			t.Errorf("a catalogue of the language %q is taken", c.Language)
		}
		if bytes.IndexByte(data, '\r') >= 0 {
			return
		}
		other, err := Read(bytes.ReplaceAll(data, []byte("\n"), []byte("\r\n")))
		if err != nil || !reflect.DeepEqual(other, c) {
			t.Errorf("with other line ends Read = %+v, %v; want %+v", other, err, c)
		}
	})
}
