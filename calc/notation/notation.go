// Package notation reads JSON files strictly and tells where in a file a
// mistake stands.
//
// An unknown field, a field given twice, a value of the wrong kind, broken
// UTF-8 and anything after the end are all refused with line, column and the
// name of the field, so that the person who wrote the file can mend it.
package notation

import (
	"bytes"
	"errors"
	"io"
	"math"
	"strconv"
	"strings"

	"brakeside/calc/fault"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"
)

// MaxBytes is the largest file that is read; a part or a brake is a few
// kilobytes.
const MaxBytes = 4 << 20

// A file is read in bounded time and memory: no value lies deeper than maxDepth
// brackets, and there are no more than maxValues of them. A part of the largest
// size has a depth of 6 and some twenty thousand values.
const (
	maxDepth  = 20
	maxValues = 200_000
)

// Places remembers where each value of a file begins.
type Places struct {
	data    []byte
	offsets map[string]int
}

// Read fills into from the JSON text, or refuses it with the place of the
// first mistake. Places can later tell where a value that turned out to make no
// sense was written.
func Read(data []byte, into any) (Places, error) {
	if len(data) > MaxBytes {
		return Places{}, fault.New(fault.TooLarge, "", "the file has %d bytes, more than the %d that are read", len(data), MaxBytes)
	}
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	p := Places{data: data, offsets: map[string]int{}}
	if err := p.walk(); err != nil {
		return p, err
	}
	if err := json.Unmarshal(data, into, json.RejectUnknownMembers(true)); err != nil {
		return p, p.explain(err)
	}
	return p, nil
}

// walk notes where every value begins and finds mistakes of syntax.
func (p Places) walk() error {
	d := jsontext.NewDecoder(bytes.NewReader(p.data))
	for {
		start := p.next(int(d.InputOffset()))
		_, err := d.ReadToken()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return p.explain(err)
		}
		pointer := string(d.StackPointer())
		if d.StackDepth() > maxDepth {
			return p.at(start, pointer, "stands in more brackets than any value here; take the needless ones away")
		}
		if len(p.offsets) > maxValues {
			return fault.New(fault.TooLarge, "", "the file has more than the %d values that are read", maxValues)
		}
		if !p.closes(start) {
			p.offsets[pointer] = start // a value replaces its name, which has the same pointer
		}
	}
}

// closes reports whether the token at start is a closing bracket: it has the
// pointer of the value it ends, whose beginning must stay noted.
func (p Places) closes(start int) bool {
	return start >= len(p.data) || p.data[start] == '}' || p.data[start] == ']'
}

// next skips white space and the marks between values.
func (p Places) next(offset int) int {
	for offset < len(p.data) && strings.IndexByte(" \t\r\n,:", p.data[offset]) >= 0 {
		offset++
	}
	return offset
}

// explain turns an error of the JSON library into a refusal.
func (p Places) explain(err error) error {
	var syntactic *jsontext.SyntacticError
	if errors.As(err, &syntactic) {
		offset, what := int(syntactic.ByteOffset), sentence(syntactic.Err)
		return p.at(offset, string(syntactic.JSONPointer), what+p.slip(offset, what))
	}
	var semantic *json.SemanticError
	if !errors.As(err, &semantic) {
		return fault.New(fault.Invalid, "", "not a JSON file: %v", err)
	}
	pointer := string(semantic.JSONPointer)
	offset, known := p.offsets[pointer]
	if !known {
		offset = p.next(int(semantic.ByteOffset))
	}
	if errors.Is(semantic.Err, json.ErrUnknownName) {
		return p.at(offset, pointer, "no field of this name is known here; check its spelling")
	}
	return p.at(offset, pointer, wrongKind(semantic))
}

// slips are beginnings of values that people write by hand and JSON does not
// know, and what would be right.
var slips = []struct{ begins, right string }{
	{"NaN", "a number is needed here, such as 12.5"},
	{"nan", "a number is needed here, such as 12.5"},
	{"Inf", "a number is needed here, such as 12.5"},
	{"inf", "a number is needed here, such as 12.5"},
	{"+", "write the number without a plus sign"},
	{".", "write a 0 before the point"},
	{"'", "write texts in double quotes"},
	{"/", "comments are not known here; take them away"},
	{"#", "comments are not known here; take them away"},
	{"{", "one file holds one part or one brake"},
	{",", "take this comma away"},
	{"\"", "a comma is missing before it"},
}

// slip tells what would be right where the syntax is broken, as far as it can
// be guessed.
func (p Places) slip(offset int, what string) string {
	switch {
	case strings.Contains(what, "in literal"):
		return "; write names and texts in double quotes"
	case strings.Contains(what, "member name"):
		return "; a field begins with its name in double quotes, and decimals are written with a point"
	}
	rest := string(p.data[min(offset, len(p.data)):min(offset+3, len(p.data))])
	for _, s := range slips {
		if strings.HasPrefix(rest, s.begins) {
			return "; " + s.right
		}
	}
	return ""
}

// wrongKind words a value that does not fit its field.
func wrongKind(e *json.SemanticError) string {
	text := "a " + e.JSONKind.String() + " does not fit here"
	if e.GoType != nil {
		if want, ok := kindWords[e.GoType.Kind().String()]; ok {
			text += "; it takes " + want
		}
	}
	if e.Err != nil && !strings.Contains(e.Err.Error(), "json") {
		text += " (" + e.Err.Error() + ")"
	}
	return text
}

var kindWords = map[string]string{
	"float64": "a number",
	"int":     "a whole number",
	"string":  "a text in double quotes",
	"slice":   "a list in square brackets",
	"array":   "a list of fixed length in square brackets",
	"struct":  "an object in curly brackets",
	"map":     "an object in curly brackets",
	"bool":    "true or false",
}

func sentence(err error) string {
	if err == nil || errors.Is(err, io.ErrUnexpectedEOF) {
		return "the file ends in the middle of a value"
	}
	return strings.TrimPrefix(err.Error(), "jsontext: ")
}

// Refuse makes the refusal of the value at the pointer (an RFC 6901 JSON
// pointer such as /profile/legs/1). If the value is not in the file, the place
// of the nearest object around it is given.
func (p Places) Refuse(pointer, format string, values ...any) *fault.Refusal {
	found := pointer
	for {
		if offset, ok := p.offsets[found]; ok {
			r := p.at(offset, pointer, "")
			r.Message = fault.New(fault.Invalid, "", format, values...).Message
			return r
		}
		cut := strings.LastIndexByte(found, '/')
		if cut < 0 {
			return fault.New(fault.Invalid, FieldName(pointer), format, values...)
		}
		found = found[:cut]
	}
}

// Has reports whether the file gives a value at the pointer.
func (p Places) Has(pointer string) bool {
	_, ok := p.offsets[pointer]
	return ok
}

// at makes a refusal with line and column, both counted from 1; the column
// counts characters.
func (p Places) at(offset int, pointer, message string) *fault.Refusal {
	offset = int(math.Min(float64(offset), float64(len(p.data))))
	before := p.data[:offset]
	line := bytes.Count(before, []byte("\n")) + 1
	column := len([]rune(string(before[bytes.LastIndexByte(before, '\n')+1:]))) + 1
	return &fault.Refusal{Kind: fault.Invalid, Field: FieldName(pointer), Message: message, Line: line, Column: column}
}

// FieldName turns a JSON pointer into the way people write it:
//
//	/profile/legs/1 becomes profile.legs[1]
func FieldName(pointer string) string {
	var b strings.Builder
	for _, part := range strings.Split(strings.TrimPrefix(pointer, "/"), "/") {
		part = strings.NewReplacer("~1", "/", "~0", "~").Replace(part)
		if _, err := strconv.Atoi(part); err == nil && b.Len() > 0 {
			b.WriteString("[" + part + "]")
			continue
		}
		if b.Len() > 0 {
			b.WriteByte('.')
		}
		b.WriteString(part)
	}
	return b.String()
}
