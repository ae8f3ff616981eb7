package progress

import (
	"strconv"

	"brakeside/calc/notation"
)

// object writes a JSON object, field by field in the order of the calls. One is
// written for every reading, while others wait for it: reflection would take
// four times as long.
type object struct {
	text  []byte // the object behind whatever was there
	begun bool
}

func (o *object) field(name string) {
	lead := `,"`
	if !o.begun {
		lead, o.begun = `{"`, true
	}
	o.text = append(append(append(o.text, lead...), name...), `":`...)
}

// end closes the object and gives it.
func (o *object) end() []byte {
	if !o.begun {
		return append(o.text, "{}"...)
	}
	return append(o.text, '}')
}

func (o *object) words(name, value string) {
	o.field(name)
	o.text = notation.AppendText(o.text, value)
}

func (o *object) list(name string, values []string) {
	o.field(name)
	o.text = append(o.text, '[')
	for i, v := range values {
		if i > 0 {
			o.text = append(o.text, ',')
		}
		o.text = notation.AppendText(o.text, v)
	}
	o.text = append(o.text, ']')
}

func (o *object) count(name string, value int64) {
	o.field(name)
	o.text = strconv.AppendInt(o.text, value, 10)
}

func (o *object) yes(name string, value bool) {
	o.field(name)
	o.text = strconv.AppendBool(o.text, value)
}

// decimal writes a whole number of 1/10^places, nil as null.
func decimal[T ~int64](o *object, name string, value *T, places int) {
	o.field(name)
	o.text = appendDecimal(o.text, value, places)
}

// appendDecimal writes a whole number of 1/10^places exactly, without trailing
// zeros, so that equal values are equal bytes; nil as null.
func appendDecimal[T ~int64](to []byte, value *T, places int) []byte {
	if value == nil {
		return append(to, "null"...)
	}
	v := int64(*value)
	if v < 0 {
		to, v = append(to, '-'), -v
	}
	scale := int64(1)
	for range places {
		scale *= 10
	}
	to = strconv.AppendInt(to, v/scale, 10)
	part := v % scale
	if part == 0 {
		return to
	}
	to = append(to, '.')
	for part > 0 {
		scale /= 10
		to = append(to, byte('0'+part/scale))
		part %= scale
	}
	return to
}
