package progress

import (
	"bytes"
	"encoding/json"
	"slices"
	"strconv"
	"strings"

	"brakeside/calc/fault"
)

// sort of the values of a form field.
const (
	textField = iota
	numberField
	yesField
	textsField
	numbersField
)

// formFields lists the fields of a form in the order in which they are written.
var formFields = []struct {
	name string
	sort int
}{
	{"id", textField}, {"piece", numberField}, {"step", numberField}, {"measured", numberField},
	{"given_as", textField}, {"stop", numberField}, {"place", textField}, {"by", textField},
	{"state", textField}, {"note", textField}, {"flags", textsField}, {"leg", numberField},
	{"pack", textField}, {"thickness", numberField}, {"nose_setback", numbersField}, {"tool", textField},
	{"confirmed", yesField}, {"at", textField}, {"corrects", textField},
}

// FormBody turns a posted form into the JSON body that ReadReading reads, so
// that a page without script takes the same road as one with it. Field names
// are those of the JSON form. Empty values count as not given; flags may come
// several times, nose_setback twice (left, then right); a number may have a
// decimal comma. Equal forms give equal bytes.
//
// It refuses with fault.Invalid an unknown field, a field given twice and a
// number that is none.
func FormBody(form map[string][]string) ([]byte, error) {
	if err := knownFields(form); err != nil {
		return nil, err
	}
	var body object
	for _, field := range formFields {
		value, err := formValue(field.name, field.sort, form[field.name])
		if err != nil {
			return nil, err
		}
		if value == nil {
			continue
		}
		text, err := compact(value)
		if err != nil {
			return nil, err
		}
		body.field(field.name)
		body.text = append(body.text, text...)
	}
	return body.end(), nil
}

func knownFields(form map[string][]string) error {
	names := make([]string, 0, len(form))
	for name := range form {
		names = append(names, name)
	}
	slices.Sort(names)
	for _, name := range names {
		if _, known := fields[name]; !known {
			return fault.New(fault.Invalid, brief(name), "A reading has no such field.")
		}
	}
	return nil
}

// formValue gives what to write for one field, nil when it is not given.
func formValue(name string, sort int, given []string) (any, error) {
	switch sort {
	case textsField:
		return texts(given), nil
	case numbersField:
		return numbers(name, given)
	}
	if len(given) > 1 {
		return nil, fault.New(fault.Invalid, name, "This field is given twice.")
	}
	if len(given) == 0 || strings.TrimSpace(given[0]) == "" {
		return nil, nil
	}
	switch sort {
	case numberField:
		return number(name, given[0])
	case yesField:
		return slices.Contains([]string{"true", "on", "1", "yes"}, given[0]), nil
	}
	return strings.ReplaceAll(strings.TrimSpace(given[0]), "\r\n", "\n"), nil
}

func texts(given []string) any {
	given = slices.DeleteFunc(slices.Clone(given), func(s string) bool { return s == "" })
	if len(given) == 0 {
		return nil
	}
	return given
}

func numbers(name string, given []string) (any, error) {
	values := make([]*json.Number, len(given))
	empty := true
	for i, text := range given {
		if strings.TrimSpace(text) == "" {
			continue
		}
		n, err := number(name, text)
		if err != nil {
			return nil, err
		}
		values[i], empty = &n, false
	}
	if empty {
		return nil, nil
	}
	return values, nil
}

// tidied takes from a number what people and gauges add: a sign for degrees, and
// wide digits, as keyboards of East Asia type them.
var tidied = strings.NewReplacer("°", "", "º", "", "˚", "", "，", ".", "．", ".",
	"０", "0", "１", "1", "２", "2", "３", "3", "４", "4", "５", "5", "６", "6", "７", "7", "８", "8", "９", "9")

// number reads a plain decimal number, with a point or a comma.
func number(name, text string) (json.Number, error) {
	text = strings.Replace(strings.TrimSpace(tidied.Replace(text)), ",", ".", 1)
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || strings.Trim(text, "+-.0123456789") != "" {
		return "", fault.New(fault.Invalid, name, "This must be a number.")
	}
	return json.Number(plainNumber(v)), nil
}

// compact encodes without the HTML escapes: pages escape for themselves, and a
// note should come back as it was typed.
func compact(v any) ([]byte, error) {
	var out bytes.Buffer
	enc := json.NewEncoder(&out)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(v); err != nil {
		return nil, err
	}
	return bytes.TrimRight(out.Bytes(), "\n"), nil
}
