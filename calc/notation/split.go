package notation

import (
	"bytes"
	"io"

	"github.com/go-json-experiment/json/jsontext"
)

// Member is one field of a JSON object.
type Member struct {
	Name  string
	Value []byte // JSON
}

// Split takes a JSON object apart into its members, in their order. A name that
// is given twice is there twice. It reports false for all that is not one JSON
// object and nothing else. The values are parts of data.
func Split(data []byte) (members []Member, ok bool) {
	d := jsontext.NewDecoder(bytes.NewBuffer(data), jsontext.AllowDuplicateNames(true))
	if open, err := d.ReadToken(); err != nil || open.Kind() != jsontext.KindBeginObject {
		return nil, false
	}
	for d.PeekKind() == jsontext.KindString {
		name, err := d.ReadToken()
		if err != nil {
			return nil, false
		}
		text := name.String()
		value, err := d.ReadValue()
		if err != nil {
			return nil, false
		}
		end := int(d.InputOffset())
		members = append(members, Member{text, data[end-len(value) : end]})
	}
	if closing, err := d.ReadToken(); err != nil || closing.Kind() != jsontext.KindEndObject {
		return nil, false
	}
	_, err := d.ReadToken()
	return members, err == io.EOF
}

// Text reads a JSON text, and reports false for any other value.
func Text(value []byte) (text string, ok bool) {
	if len(value) == 0 || value[0] != '"' {
		return "", false
	}
	unquoted, err := jsontext.AppendUnquote(nil, value)
	return string(unquoted), err == nil
}

// AppendText writes a text as JSON behind what is there. Bytes that are no
// letters come out as the sign for such, U+FFFD.
func AppendText(to []byte, text string) []byte {
	to, _ = jsontext.AppendQuote(to, text) // it has done so by the time it says so
	return to
}
