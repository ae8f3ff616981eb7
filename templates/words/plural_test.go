package words

import (
	"strings"
	"testing"
)

// The rules of languages as the manual of GNU gettext gives them (12.2.6, Additional
// functions for plural forms), with which form goes with a number. The forms of each
// are from the table of cardinal plurals of Unicode CLDR, from memory.
func TestPluralForms(t *testing.T) {
	const three = "n%10==1 && n%100!=11 ? 0 : n%10>=2 && n%10<=4 && (n%100<10 || n%100>=20) ? 1 : 2"
	for _, c := range []struct {
		language, head string
		want           map[uint64]int
	}{
		{"none said", "", map[uint64]int{0: 1, 1: 0, 2: 1, 11: 1}},
		{"Germanic", "nplurals=2; plural=n != 1;", map[uint64]int{0: 1, 1: 0, 2: 1, 101: 1}},
		{"French", "nplurals=2; plural=n>1;", map[uint64]int{0: 0, 1: 0, 2: 1}},
		{"Japanese", "nplurals=1; plural=0;", map[uint64]int{0: 0, 1: 0, 5: 0}},
		{"Latvian", "nplurals=3; plural=n%10==1 && n%100!=11 ? 0 : n != 0 ? 1 : 2;", map[uint64]int{0: 2, 1: 0, 11: 1, 21: 0}},
		{"Russian", "nplurals=3; plural=" + three + ";", map[uint64]int{1: 0, 2: 1, 5: 2, 11: 2, 12: 2, 21: 0, 22: 1, 111: 2, 112: 2, 124: 1}},
		{"Polish", "nplurals=3; plural=(n==1 ? 0 : n%10>=2 && n%10<=4 && (n%100<10 || n%100>=20) ? 1 : 2);",
			map[uint64]int{1: 0, 2: 1, 5: 2, 12: 2, 21: 2, 22: 1}},
		{"Slovenian", "nplurals=4; plural=n%100==1 ? 0 : n%100==2 ? 1 : n%100==3 || n%100==4 ? 2 : 3;", map[uint64]int{1: 0, 2: 1, 4: 2, 5: 3, 101: 0}},
		{"Irish", "nplurals=3; plural=n==1 ? 0 : n==2 ? 1 : 2;", map[uint64]int{1: 0, 2: 1, 3: 2}},
		{"what gives no form", "nplurals=2; plural=n;", map[uint64]int{0: 0, 1: 1, 2: 0}},
		{"what binds more", "nplurals=9; plural=1+2*3-4/2 > 4 && !0;", map[uint64]int{0: 1}},
		{"divided by nothing", "nplurals=2; plural=n%0;", map[uint64]int{5: 0}},
	} {
		head := "Language: xx\n"
		if c.head != "" {
			head += "Plural-Forms: " + c.head + "\n"
		}
		f, err := formsOf(head)
		if err != nil {
			t.Errorf("%s: %v", c.language, err)
			continue
		}
		for n, want := range c.want {
			if got := f.form(n); got != want {
				t.Errorf("%s: %d takes form %d, want %d", c.language, n, got, want)
			}
		}
	}
	for _, bad := range []string{
		"nplurals=INTEGER; plural=EXPRESSION;", "nplurals=2; plural=;", "nplurals=2; plural=n n;", "nplurals=2; plural=(n;", "nplurals=0; plural=0;",
		"nplurals=2; plural=n ? 1;", "nplurals=2; plural=n=1;", "nplurals=2; plural=m;", "nplurals=2; plural=1 +;",
		"nplurals=2; plural=" + strings.Repeat("(", 500) + "n" + strings.Repeat(")", 400) + ";",
		"nplurals=2; plural=" + strings.Repeat("!", 900) + "n;", "nplurals=2; plural=n" + strings.Repeat("+n", 600) + ";",
	} {
		if _, err := formsOf("Plural-Forms: " + bad + "\n"); err == nil {
			t.Errorf("the rule %.60q is taken", bad)
		}
	}
}

// counting3 is a catalogue of a language with three forms, in English letters.
const counting3 = `msgid ""
msgstr "Language: ru\n"
"Plural-Forms: nplurals=3; plural=(n%10==1 && n%100!=11 ? 0 : n%10>=2 && n%10<=4 && (n%100<10 || n%100>=20) ? 1 : 2);\n"

msgid "1 piece"
msgid_plural "%d pieces"
msgstr[0] "%d shtuka"
msgstr[1] "%d shtuki"
msgstr[2] "%d shtuk"

msgid "%s browser of %d"
msgid_plural "%s browsers of %d"
msgstr[0] "iz %2$d odin: %1$s"
msgstr[1] "iz %2$d nemnogo: %1$s"
msgstr[2] "iz %2$d: %1$s"

msgid "from %s of this lot"
msgstr "po %s etoj pachki"

msgid "%d pieces on %s"
msgstr "%d sht. na %s"

msgctxt "reading"
msgid "State"
msgstr "Sostojanie ugla"

msgid "State"
msgstr "Sostojanie"

msgctxt "part"
msgid "1 piece"
msgid_plural "%d pieces"
msgstr[0] "%d detal"
msgstr[1] "%d detali"
msgstr[2] "%d detalej"
`

func TestCounted(t *testing.T) {
	c := read(t, counting3)
	looksUp(t, c, map[string]string{
		"1 piece":                    "1 shtuka",
		"2 pieces":                   "2 shtuki",
		"5 pieces":                   "5 shtuk",
		"21 pieces":                  "21 shtuka",
		"from 22 pieces of this lot": "po 22 shtuki etoj pachki",
		"from 1 piece of this lot":   "po 1 shtuka etoj pachki",
		"1 browser of 21":            "iz 21 odin: 1", // what is counted is the whole number
		"some browsers of 22":        "iz 22 nemnogo: some",
		"many pieces":                "many shtuki",
		"3 pieces on 4":              "3 sht. na 4",
		"pieces":                     "pieces",
	})
}

// A text is looked up in its context first, and else without one.
func TestContext(t *testing.T) {
	c := read(t, counting3)
	for english, want := range map[string]string{
		`<th>State</th>`: `<th>Sostojanie</th>`,
		`<th data-context="reading">State</th><th>State`:       `<th data-context="reading">Sostojanie ugla</th><th>Sostojanie`,
		`<td data-context="reading" title="State">1 piece`:     `<td data-context="reading" title="Sostojanie ugla">1 shtuka`,
		`<td data-context="part"><b>5 pieces</b></td>`:         `<td data-context="part"><b>5 detalej</b></td>`,
		`<p data-context="part"><br>1 piece</p><p>2 pieces`:    `<p data-context="part"><br>1 detal</p><p>2 shtuki`,
		`<p data-context="part"><i translate="no">1 piece</i>`: `<p data-context="part"><i translate="no">1 piece</i>`,
	} {
		if got := string(c.Page([]byte(english))); got != want {
			t.Errorf("Page(%s) = %s, want %s", english, got, want)
		}
	}
}

func TestReadRefusesPlurals(t *testing.T) {
	const head = "msgid \"\"\nmsgstr \"Language: de\\n\"\n"
	for text, want := range map[string]string{
		"msgid \"1 a\"\nmsgid_plural \"%d as\"\nmsgstr[0] \"x\"":                             "has 1 forms; this language has 2",
		"msgid \"1 a\"\nmsgid_plural \"%d as\"\nmsgstr[1] \"x\"":                             "line 5: a msgid with a msgid_plural has msgstr[0]",
		"msgid \"1 a\"\nmsgid_plural \"%d as\"\nmsgstr \"x\"":                                "line 5: a msgid with a msgid_plural has msgstr[0]",
		"msgid \"1 a\"\nmsgstr[0] \"x\"":                                                     "line 4: a msgid with a msgid_plural",
		"msgid \"1 a\"\nmsgid_plural \"as\"\nmsgstr[0] \"x\"\nmsgstr[1] \"y\"":               "counts nothing",
		"msgid \"1 a\"\nmsgid_plural \"%d as\"\nmsgstr[0] \"%d %d\"\nmsgstr[1] \"y\"":        "has a hole %d",
		"msgid_plural \"%d as\"":                                                             "a msgid_plural follows one msgid",
		"msgctxt \"c\"\nmsgstr \"x\"":                                                        "a msgstr follows one msgid",
		"msgctxt \"c\"":                                                                      "has no msgid",
		"msgctxt \"c\"\nmsgid \"a\"\nmsgstr \"b\"\nmsgctxt \"c\"\nmsgid \"a\"\nmsgstr \"b\"": "stands on line",
	} {
		if _, err := Read([]byte(head + text)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("Read(%.60q) = %v, want %q", text, err, want)
		}
	}
	if _, err := Read([]byte("msgid \"\"\nmsgstr \"Language: de\\nPlural-Forms: nplurals=2\\n\"\n")); err == nil {
		t.Error("a line Plural-Forms without a rule is taken")
	}
}

// What is Typed is never looked up, wherever it stands, and never taken for a part of
// a phrase.
func TestTyped(t *testing.T) {
	c := read(t, german)
	name := Typed
	for english, want := range map[string]string{
		name("Stop"):                                  "Stop",
		"Next piece: " + name("Stop"):                 "Nächstes Stück: Stop",
		"Piece " + name("1 of 2") + " of 3":           "Von 3 Stück das 1 of 2.",
		"In tolerance. " + name("In tolerance. Stop"): "In der Toleranz. In tolerance. Stop",
		name(Typed("Stop")) + ": Stop":                "Stop: Anschlag", // a sentence of its own
	} {
		if got := string(Unmarked([]byte(c.Text(english)))); got != want {
			t.Errorf("Text(%q) = %q, want %q", english, got, want)
		}
	}
	page := `<p title="` + name("Stop") + `">` + name("Stop") + `</p><p title="Stop">Stop</p>`
	if got := string(Unmarked(c.Page([]byte(page)))); got != `<p title="Stop">Stop</p><p title="Anschlag">Anschlag</p>` {
		t.Errorf("Page = %s", got)
	}
	answer := `{"message":"Next piece: ` + name("Stop") + `","by":"` + name("AB") + `"}`
	if got := string(Unmarked(c.JSON([]byte(answer)))); got != `{"message":"Nächstes Stück: Stop","by":"AB"}` {
		t.Errorf("JSON = %s", got)
	}
}
