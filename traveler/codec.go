package traveler

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"reflect"
	"strings"
	"unicode/utf8"

	"brakeside/calc/fault"
)

// Encode writes a traveler as one line of JSON: the fields in the order of the
// types, no blanks, a line end. Equal travelers give equal bytes on every
// machine; a nil list is written as an empty one. The traveler itself is not
// changed. It is a plain error to encode another form than Form.
func Encode(t *Traveler) ([]byte, error) {
	if t.Form != Form {
		return nil, fmt.Errorf("encode traveler %s: form %d, but only form %d can be written", t.Code, t.Form, Form)
	}
	whole := *t
	ownLists(reflect.ValueOf(&whole).Elem())
	var buffer bytes.Buffer
	encoder := json.NewEncoder(&buffer)
	encoder.SetEscapeHTML(false)
	if err := encoder.Encode(&whole); err != nil {
		return nil, fmt.Errorf("encode traveler %s: %w", t.Code, err)
	}
	return buffer.Bytes(), nil
}

// ownLists gives v copies of all lists in it, behind pointers too, so that nil
// ones can become empty ones without touching what others hold.
func ownLists(v reflect.Value) {
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			ownLists(v.Field(i))
		}
	case reflect.Array:
		for i := range v.Len() {
			ownLists(v.Index(i))
		}
	case reflect.Pointer:
		if v.IsNil() {
			return
		}
		own := reflect.New(v.Type().Elem())
		own.Elem().Set(v.Elem())
		ownLists(own.Elem())
		v.Set(own)
	case reflect.Slice:
		own := reflect.MakeSlice(v.Type(), v.Len(), v.Len())
		reflect.Copy(own, v)
		for i := range own.Len() {
			ownLists(own.Index(i))
		}
		v.Set(own)
	}
}

// Decode reads what Encode wrote. No list in the answer is nil, so that
//
//	Decode(Encode(Decode(data))) == Decode(data)
//
// It refuses (fault.Invalid) what is not JSON, a field that it does not know,
// anything behind the traveler, and a form other than Form.
func Decode(data []byte) (*Traveler, error) {
	if !utf8.Valid(data) {
		return nil, fault.New(fault.Invalid, "", "the traveler is not UTF-8 text; it was damaged or is something else")
	}
	if err := checkForm(data); err != nil {
		return nil, err
	}
	decoder := json.NewDecoder(bytes.NewReader(data))
	decoder.DisallowUnknownFields()
	t := &Traveler{}
	if err := decoder.Decode(t); err != nil {
		return nil, unreadable(err)
	}
	if _, err := decoder.Token(); err != io.EOF {
		return nil, fault.New(fault.Invalid, "", "there is something behind the end of the traveler")
	}
	if t.Form != Form {
		return nil, fault.New(fault.Invalid, "form", "the traveler names its form more than once")
	}
	ownLists(reflect.ValueOf(t).Elem())
	return t, nil
}

// checkForm reads nothing but the form, since a newer one may have fields that
// this program does not know.
func checkForm(data []byte) error {
	var head struct {
		Form *int `json:"form"`
	}
	if err := json.NewDecoder(bytes.NewReader(data)).Decode(&head); err != nil {
		return unreadable(err)
	}
	switch {
	case head.Form == nil:
		return fault.New(fault.Invalid, "form", "there is no form number; a traveler of this program begins with \"form\":%d", Form)
	case *head.Form > Form:
		return fault.New(fault.Invalid, "form", "form %d is from a newer program; this one reads forms up to %d, so bring it up to date",
			*head.Form, Form)
	case *head.Form != Form:
		return fault.New(fault.Invalid, "form", "there is no form %d; this program reads form %d", *head.Form, Form)
	}
	return nil
}

// unreadable says in words what the reader of JSON found wrong.
func unreadable(err error) error {
	var kind *json.UnmarshalTypeError
	switch {
	case errors.As(err, &kind) && kind.Field == "":
		return fault.New(fault.Invalid, "", "the traveler cannot be read: it is a JSON %s, not an object", kind.Value)
	case errors.As(err, &kind):
		return fault.New(fault.Invalid, kind.Field, "the traveler cannot be read: a JSON %s does not belong here", kind.Value)
	case errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF):
		return fault.New(fault.Invalid, "", "the traveler cannot be read: it is cut off")
	}
	return fault.New(fault.Invalid, "", "the traveler cannot be read: %s", strings.TrimPrefix(err.Error(), "json: "))
}

// Digest is the SHA-256 of an encoded traveler, in 64 lower-case hexadecimal
// digits.
func Digest(encoded []byte) string {
	sum := sha256.Sum256(encoded)
	return hex.EncodeToString(sum[:])
}
