package progress

import (
	"bytes"
	"errors"
	"net/url"
	"reflect"
	"testing"

	"brakeside/calc/fault"
)

func TestFormBody(t *testing.T) {
	form := map[string][]string{
		"id": {"p7-000123"}, "piece": {" 1 "}, "step": {"2"}, "measured": {"89,4"}, "given_as": {"opening"}, "stop": {"+92.0"}, "place": {"left"},
		"by": {"AB "}, "state": {"reworked"}, "note": {"two\r\nlines"}, "flags": {"bar-lifted", "", "corner-torn"},
		"leg": {"33.5"}, "pack": {"A4"}, "thickness": {"1.48"}, "nose_setback": {"1.5", ""}, "tool": {"bevel"}, "confirmed": {"on"},
		"at": {"2026-05-04T11:30:00+02:00"}, "corrects": {"p7-000122"},
	}
	body, err := FormBody(form)
	if err != nil {
		t.Fatal(err)
	}
	got, err := ReadReading(body)
	want, _ := ReadReading([]byte(fullBody))
	if err != nil || !reflect.DeepEqual(got, want) {
		t.Errorf("ReadReading(FormBody(form)) = %+v, %v, want %+v", got, err, want)
	}
}

func TestFormBodyText(t *testing.T) {
	cases := []struct {
		name      string
		form      map[string][]string
		want      string
		wantField string
	}{
		{"empty fields are not given",
			map[string][]string{"id": {"a"}, "stop": {""}, "by": {" "}, "flags": {""}, "nose_setback": {"", ""}, "confirmed": {""}},
			`{"id":"a"}`, ""},
		{"nothing", nil, `{}`, ""},
		{"not confirmed", map[string][]string{"confirmed": {"false"}}, `{"confirmed":false}`, ""},
		{"right setback only", map[string][]string{"nose_setback": {"", "2"}}, `{"nose_setback":[null,2]}`, ""},
		{"texts are quoted", map[string][]string{"note": {`"},{"`}}, `{"note":"\"},{\""}`, ""},
		{"unknown field", map[string][]string{"zz": {"1"}, "weight": {"3"}}, "", "weight"},
		{"twice", map[string][]string{"piece": {"1", "2"}}, "", "piece"},
		{"no number", map[string][]string{"measured": {"89.4 deg"}}, "", "measured"},
		{"NaN", map[string][]string{"measured": {"NaN"}}, "", "measured"},
		{"infinity", map[string][]string{"leg": {"Inf"}}, "", "leg"},
		{"hexadecimal", map[string][]string{"measured": {"0x1p4"}}, "", "measured"},
		{"setback no number", map[string][]string{"nose_setback": {"a", "1"}}, "", "nose_setback"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			got, err := FormBody(c.form)
			var refusal *fault.Refusal
			if c.wantField != "" {
				if !errors.As(err, &refusal) || refusal.Field != c.wantField {
					t.Errorf("FormBody(%v) = %v, want a refusal of %s", c.form, err, c.wantField)
				}
				return
			}
			if err != nil || string(got) != c.want {
				t.Errorf("FormBody(%v) = %s, %v, want %s", c.form, got, err, c.want)
			}
		})
	}
}

// Whatever is typed into a form becomes a body that can be read or is refused
// with a reason; equal forms give equal bytes.
func FuzzFormBody(f *testing.F) {
	f.Add("id=p7-000123&piece=1&step=2&measured=89,4&given_as=opening&flags=bar-lifted&nose_setback=1.5&nose_setback=")
	f.Add("id=a&piece=1&step=1&measured=90&note=%22%7D%2C%7B%00%ff&confirmed=on")
	f.Add("measured=1e5&measured=&weight=3")
	f.Fuzz(func(t *testing.T, query string) {
		form, err := url.ParseQuery(query)
		if err != nil {
			return
		}
		body, err := FormBody(form)
		if err != nil {
			if fault.KindOf(err) != fault.Invalid {
				t.Fatalf("FormBody(%q) = %v, not a refusal", query, err)
			}
			return
		}
		if again, err := FormBody(form); err != nil || !bytes.Equal(again, body) {
			t.Fatalf("FormBody(%q) twice = %s, %v, want %s", query, again, err, body)
		}
		if _, err := ReadReading(body); err != nil && fault.KindOf(err) != fault.TooLarge && fieldOf(err) == "" {
			t.Fatalf("ReadReading(FormBody(%q)) = %v: the body %s is not even JSON", query, err, body)
		}
	})
}

// fieldOf gives the field that a refusal names.
func fieldOf(err error) string {
	var refusal *fault.Refusal
	errors.As(err, &refusal)
	return refusal.Field
}
