package words

import (
	"strings"
	"testing"
)

const german = `# for the tests
msgid ""
msgstr ""
"Language: de\n"

msgid "Stop"
msgstr "Anschlag"

msgid "Bends"
msgstr "Biegungen"

msgid "Piece %d of %d"
msgstr "Von %2$d Stück das %1$d."

msgid "Set the stop to %s."
msgstr "Anschlag auf %s stellen."

msgid "Next piece: %s"
msgstr "Nächstes Stück: %s"

msgid "%s swings up %s; %s"
msgstr "%s kommt %s hoch; %s"

msgid "at your right stands %s"
msgstr "rechts steht %s"

msgid "at your right stands %s; %s"
msgstr "rechts steht %s; %s"

msgid "towards you stands %s"
msgstr "vorn steht %s"

msgid "towards you stands %s; %s"
msgstr "vorn steht %s; %s"

msgid "front wall"
msgstr "Vorderwand"

msgid "In tolerance."
msgstr "In der Toleranz."

msgid "%d %% in tolerance"
msgstr "%d %% in der Toleranz"

msgid "a text "
"in two parts"
msgstr ""
"ein Text "
"in zwei Teilen"

#, fuzzy
msgid "doubtful"
msgstr "fraglich"

msgid "left as it is"
msgstr ""
`

func read(t testing.TB, text string) *Catalogue {
	t.Helper()
	c, err := Read([]byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// looksUp tries what a catalogue makes of English texts.
func looksUp(t *testing.T, c *Catalogue, texts map[string]string) {
	t.Helper()
	for english, want := range texts {
		if got := c.Text(english); got != want {
			t.Errorf("Text(%q) = %q, want %q", english, got, want)
		}
	}
}

func TestHolesAreLookedUp(t *testing.T) {
	c := read(t, german)
	looksUp(t, c, map[string]string{
		"Next piece: Stop":                          "Nächstes Stück: Anschlag",
		"Next piece: Piece 2 of 3":                  "Nächstes Stück: Von 3 Stück das 2.",
		"Next piece: Next piece: Next piece: Bends": "Nächstes Stück: Nächstes Stück: Nächstes Stück: Biegungen",
		"Next piece: 17":                            "Nächstes Stück: 17",
		"lip swings up 90.0°; at your right stands front wall; towards you stands front wall": "lip kommt 90.0° hoch; rechts steht Vorderwand; vorn steht Vorderwand",
	})
	whole := read(t, "msgid \"\"\nmsgstr \"Language: de\\n\"\n\nmsgid \"%s %s\"\nmsgstr \"%2$s %1$s\"\n")
	if got := whole.Text("a b"); got != "b a" {
		t.Errorf("a pattern of holes alone gives %q", got)
	}
}

func TestText(t *testing.T) {
	c := read(t, german)
	looksUp(t, c, map[string]string{
		"Stop":                              "Anschlag",
		"\n  Stop ":                         "\n  Anschlag ",
		"Piece 3 of 12":                     "Von 12 Stück das 3.",
		"Set the stop to 92.0.":             "Anschlag auf 92.0 stellen.",
		"Next piece: Stop":                  "Nächstes Stück: Anschlag",
		"In tolerance. Set the stop to 91.": "In der Toleranz. Anschlag auf 91 stellen.",
		"40 % in tolerance":                 "40 % in der Toleranz",
		"a text in\n\t two parts":           "ein Text in zwei Teilen",
		"doubtful":                          "doubtful",
		"left as it is":                     "left as it is",
		"nowhere":                           "nowhere",
		"Piece  of 12":                      "Piece  of 12",
		"Stops":                             "Stops",
		"":                                  "",
		"  ":                                "  ",
	})
}

func TestPage(t *testing.T) {
	c := read(t, german)
	const page = `<!doctype html><html lang="en"><head><title>Bends</title><style>Stop</style><script>Stop</script></head>` +
		`<body><!-- Stop --><p class="Stop" title='Stop'>Stop <b>92&deg; &lt;x&gt;</b></p><input value="Stop" placeholder="Stop"><svg viewBox="0 0 1 1"><text>Bends</text></svg><p>Piece 1 of 2</p></body></html>`
	const want = `<!doctype html><html lang="de"><head><title>Biegungen</title><style>Stop</style><script>Stop</script></head>` +
		`<body><!-- Stop --><p class="Stop" title="Anschlag">Anschlag <b>92&deg; &lt;x&gt;</b></p><input value="Stop" placeholder="Anschlag"><svg viewBox="0 0 1 1"><text>Biegungen</text></svg><p>Von 2 Stück das 1.</p></body></html>`
	if got := string(c.Page([]byte(page))); got != want {
		t.Errorf("Page =\n%s\nwant\n%s", got, want)
	}
}

// What a translation says is text, never HTML.
func TestPageEscapes(t *testing.T) {
	c := read(t, strings.Replace(german, "Anschlag\"\n\nmsgid \"Bends\"", "<b>&\"\n\nmsgid \"Bends\"", 1))
	if got := string(c.Page([]byte(`<p title="Stop">Stop</p>`))); got != `<p title="&lt;b&gt;&amp;">&lt;b&gt;&amp;</p>` {
		t.Errorf("Page = %s, want the marks escaped", got)
	}
}

func TestJSON(t *testing.T) {
	c := read(t, german)
	const answer = `{"reading":{"note":"Stop","place":"Stop"},"advice":"In tolerance. Set the stop to 91.","words": "Stop","message":"a \"Stop\" <x>"}`
	const want = `{"reading":{"note":"Stop","place":"Stop"},"advice":"In der Toleranz. Anschlag auf 91 stellen.","words": "Anschlag","message":"a \"Stop\" <x>"}`
	if got := string(c.JSON([]byte(answer))); got != want {
		t.Errorf("JSON =\n%s\nwant\n%s", got, want)
	}
}

func TestReadRefuses(t *testing.T) {
	const head = "msgid \"\"\nmsgstr \"Language: de\\n\"\n"
	for text, want := range map[string]string{
		"":                                "names no language",
		"msgid \"\"\nmsgstr \"\"\n":       "names no language",
		head + "hello":                    "line 3: this is no msgid",
		head + "msgid hello":              "line 3: this is no text in double quotes",
		head + "msgid 'h'":                "line 3: this is no text in double quotes",
		head + "msgid \"a\"":              `line 3: the msgid "a" has no msgstr`,
		head + "msgid \"a\"\nmsgid \"b\"": `line 4: the msgid "a" has no msgstr`,
		head + "msgstr \"a\"":             "line 3: a msgstr follows one msgid",
		head + head:                       `line 4: the msgid "" stands on line`,
		head + "msgid \"a %d\"\nmsgstr \"%d %d\"": `line 4: the translation of "a %d" has a hole %d`,
		head + "msgid \"a\"\nmsgstr \"%2$s\"":     "line 4: the translation",
		head + "\n\"alone\"":                      "line 4: this is no msgid",
		head + strings.Repeat("#", 5<<20):         "more than the",
	} {
		if _, err := Read([]byte(text)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("Read(%.60q) = %v, want %q", text, err, want)
		}
	}
}

// No catalogue and no page bring it down, and a page without phrases of the
// catalogue stays as it is.
func FuzzPage(f *testing.F) {
	f.Add([]byte(german), []byte(`<p title="Stop">Piece 1 of 2</p>`))
	f.Add([]byte("msgid \"%s%s\"\nmsgstr \"%2$s\""), []byte(`<html lang=en><script>`))
	f.Fuzz(func(t *testing.T, catalogue, page []byte) {
		c, err := Read(catalogue)
		if err != nil {
			c = read(t, german)
		}
		c.Page(page)
		c.JSON(page)
		if once := c.Text(string(page)); strings.TrimSpace(string(page)) == "" && once != string(page) {
			t.Errorf("Text(%q) = %q", page, once)
		}
	})
}

// What people typed comes back as they typed it, though it be a phrase of the
// catalogue: a text in a box would be saved in the other language.
func TestTypedTextIsLeftAlone(t *testing.T) {
	c := read(t, german)
	for english, want := range map[string]string{
		`<textarea name="note">Stop</textarea><p>Stop</p>`:                       `<textarea name="note">Stop</textarea><p>Anschlag</p>`,
		`<textarea>In tolerance. <b>Stop</b></textarea>`:                         `<textarea>In tolerance. <b>Stop</b></textarea>`,
		`<h1>Bends <span translate="no">Stop</span></h1>`:                        `<h1>Biegungen <span translate="no">Stop</span></h1>`,
		`<td translate="no">Stop<br><b title="Stop">Bends</b></td><td>Stop</td>`: `<td translate="no">Stop<br><b title="Stop">Bends</b></td><td>Anschlag</td>`,
		`<input value="Stop" title="Stop">`:                                      `<input value="Stop" title="Anschlag">`,
	} {
		if got := string(c.Page([]byte(english))); got != want {
			t.Errorf("Page(%s) = %s, want %s", english, got, want)
		}
	}
}
