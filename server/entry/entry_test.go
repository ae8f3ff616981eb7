package entry

import (
	"net/url"
	"strings"
	"testing"

	"brakeside/calc/fault"
	"brakeside/calc/part"
	"brakeside/calc/unit"
)

// Every kind that is offered begins with a part that can be read.
func TestExamplesAreParts(t *testing.T) {
	for _, k := range Kinds {
		t.Run(k.ID, func(t *testing.T) {
			form := Example(k)
			form.Set("number", "X-1")
			file, err := File(form)
			if err != nil {
				t.Fatal(err)
			}
			drawn, err := part.Read(file)
			if err != nil {
				t.Fatalf("Read(%s) = %v", file, err)
			}
			if (drawn.Tray != nil) != k.Tray() {
				t.Errorf("the example of %s is a %s", k.ID, drawn.Form())
			}
		})
	}
}

// In a shop that works in inches a part begins in inches.
func TestExamplesInInches(t *testing.T) {
	for _, k := range Kinds {
		form := ExampleIn(k, unit.Inch)
		form.Set("number", "X-1")
		file, err := File(form)
		if err != nil {
			t.Fatal(err)
		}
		drawn, err := part.Read(file)
		if err != nil || form.Get("units") != "in" || drawn.Thickness < 1 || drawn.Thickness > 1.6 {
			t.Errorf("the example of %s in inches: %v, %s", k.ID, err, file)
		}
	}
	if form := ExampleIn(KindOf("l"), unit.Metric); form.Get("units") != "mm" || form.Get("profile.length") != "400" {
		t.Errorf("in millimetres the example is %v", form)
	}
}

// What the form shows for a file is what it was made from, and makes the same
// file again.
func TestFormAndFileAgree(t *testing.T) {
	for _, k := range Kinds {
		form := Example(k)
		form.Set("number", "X-1")
		form.Set("tolerance.angle", "0.5")
		form.Set("grain", "x")
		file, err := File(form)
		if err != nil {
			t.Fatal(err)
		}
		shown, whole := Form(file)
		if !whole || shown.Get("kind") != k.ID {
			t.Errorf("Form(file of %s) = kind %q, whole %v", k.ID, shown.Get("kind"), whole)
		}
		again, err := File(shown)
		if err != nil || string(again) != string(file) {
			t.Errorf("File(Form(file of %s)) = %s, %v, want %s", k.ID, again, err, file)
		}
	}
}

func TestFileRefuses(t *testing.T) {
	cases := []struct{ name, field, value, want string }{
		{"a word", "thickness", "thick", "is not a length"},
		{"a comma", "profile.legs[0]", "1,5", "is not a length"},
		{"no size", "profile.length", "", "missing"},
		{"no leg", "profile.legs[1]", " ", "missing"},
		{"no angle", "profile.bends[0]", "", "missing"},
		{"an angle in words", "profile.bends[0]", "square", "is not a number"},
		{"endless", "k", "Inf", "is not a number"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			form := Example(KindOf("l"))
			form.Set("number", "X-1")
			form.Set(c.field, c.value)
			_, err := File(form)
			r, ok := err.(*fault.Refusal)
			if !ok || r.Field != c.field || !strings.Contains(r.Message, c.want) {
				t.Errorf("File(%s = %q) = %v, want %q on %s", c.field, c.value, err, c.want, c.field)
			}
		})
	}
}

// All that is wrong is told at once, each beside its field.
func TestFileRefusesAllAtOnce(t *testing.T) {
	form := Example(KindOf("u"))
	form.Set("number", "X-1")
	form.Set("thickness", "thick")
	form.Set("profile.legs[1]", "")
	form.Set("profile.bends[1]", "square")
	_, err := File(form)
	var fields []string
	for _, r := range fault.Each(err) {
		fields = append(fields, r.Field)
	}
	if got := strings.Join(fields, " "); got != "thickness profile.legs[1] profile.bends[1]" {
		t.Errorf("refused are %s: %v", got, err)
	}
}

// Sizes may be typed in either system; the file keeps that of the part.
func TestUnits(t *testing.T) {
	form := Example(KindOf("l"))
	form.Set("number", "X-1")
	form.Set("units", "in")
	for name, typed := range map[string]string{"thickness": "1.5875 mm", "profile.length": "10", "profile.legs[0]": "1 1/2", "profile.legs[1]": "50.8 mm"} {
		form.Set(name, typed)
	}
	file, err := File(form)
	if err != nil {
		t.Fatal(err)
	}
	drawn, err := part.Read(file)
	if err != nil {
		t.Fatal(err)
	}
	for name, got := range map[string]string{"0.0625": drawn.Thickness.Text(4), "254.0": drawn.Profile.Length.Text(1), "38.1": drawn.Profile.Legs[0].Text(1), "50.8": drawn.Profile.Legs[1].Text(1)} {
		if name != got && got != "1.5875" {
			t.Errorf("a size typed to be %s mm is %s", name, got)
		}
	}
}

// What the form does not hold is edited as a file.
func TestFormLeavesAlone(t *testing.T) {
	for name, file := range map[string]string{
		"cutouts":     `{"number":"X","material":"304","thickness":1,"profile":{"length":9,"legs":[9,9],"bends":[90]},"cutouts":[]}`,
		"a blank":     `{"number":"X","material":"304","thickness":1,"flat":{"faces":[],"bends":[]}}`,
		"only a hem":  `{"number":"X","material":"304","thickness":1,"tray":{"base":[9,9],"walls":{"left":[{"leg":9,"hem":"closed"}]}}}`,
		"three walls": `{"number":"X","material":"304","thickness":1,"tray":{"base":[9,9],"walls":{"left":[{"leg":9},{"leg":9},{"leg":9}]}}}`,
		"no JSON":     `number`,
		"many legs":   `{"number":"X","material":"304","thickness":1,"profile":{"length":9,"legs":[1,1,1,1,1,1,1,1,1,1,1,1,1,1],"bends":[1,1,1,1,1,1,1,1,1,1,1,1,1]}}`,
	} {
		if _, whole := Form([]byte(file)); whole {
			t.Errorf("%s: Form says that it holds all of it", name)
		}
	}
}

func TestLegs(t *testing.T) {
	if n := Legs(url.Values{"profile.legs[0]": {""}, "profile.legs[1]": {""}, "profile.legs[3]": {""}}); n != 2 {
		t.Errorf("Legs = %d, want 2: up to the first that is not there", n)
	}
}

// No form makes File panic, and what it writes is read or refused in words.
func FuzzFile(f *testing.F) {
	for _, k := range Kinds {
		f.Add(Example(k).Encode() + "&number=X")
	}
	f.Fuzz(func(t *testing.T, query string) {
		form, err := url.ParseQuery(query)
		if err != nil {
			return
		}
		file, err := File(form)
		if err != nil {
			return
		}
		if _, err := part.Read(file); err != nil && fault.KindOf(err) == fault.Internal {
			t.Errorf("Read(%s) = %v, want a refusal", file, err)
		}
		Form(file)
	})
}
