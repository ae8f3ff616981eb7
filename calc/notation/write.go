package notation

import (
	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"
)

// Write gives the JSON text of a value, indented by one space a level, fields
// in the order of the struct and without those tagged omitzero that are zero.
// Equal values give equal bytes; the text ends with a line break. An error is a
// mistake of the program: a value that has no JSON, such as a number that is
// none.
func Write(value any) ([]byte, error) {
	text, err := json.Marshal(value, jsontext.WithIndent(" "), json.Deterministic(true))
	if err != nil {
		return nil, err
	}
	return append(text, '\n'), nil
}
