package words

import (
	"bufio"
	"bytes"
	"fmt"
	"regexp"
	"strconv"
	"strings"
)

// maxCatalogue bounds a catalogue in bytes.
const maxCatalogue = 4 << 20

// languageTag is a tag of BCP 47 in its usual forms: de, pt-BR, zh-Hant.
var languageTag = regexp.MustCompile(`(?m)^Language: *([A-Za-z]{2,3}(?:[-_][A-Za-z0-9]{2,8})*) *$`)

// Read reads a catalogue in the PO form: entries of msgid and msgstr, with msgctxt
// and msgid_plural where they have them, comments, texts that run over several lines.
// The entry of the empty text is the head and must name the language; it says how the
// language counts. Entries that are not translated are passed over, and so are those
// marked fuzzy, as gettext does.
//
// An error names the line: of what is no PO, of a translation with a hole that
// its English lacks, of more or fewer forms of a plural than the language has.
func Read(data []byte) (*Catalogue, error) {
	if len(data) > maxCatalogue {
		return nil, fmt.Errorf("the catalogue has %d bytes, more than the %d that are read", len(data), maxCatalogue)
	}
	r := reader{c: &Catalogue{whole: make(map[key]*pattern), forms: germanic}, seen: make(map[key]int)}
	lines := bufio.NewScanner(bytes.NewReader(data))
	lines.Buffer(nil, maxCatalogue+1)
	for lines.Scan() {
		r.line++
		if err := r.read(strings.TrimSpace(lines.Text())); err != nil {
			return nil, fmt.Errorf("line %d: %w", r.line, err)
		}
	}
	if err := lines.Err(); err != nil {
		return nil, err
	}
	if err := r.end(); err != nil {
		return nil, fmt.Errorf("line %d: %w", r.line, err)
	}
	if r.c.Language == "" {
		return nil, fmt.Errorf(`the head names no language: the entry of the empty msgid needs a line "Language: de\n"`)
	}
	r.c.sort()
	return r.c, nil
}

// reader reads line by line.
type reader struct {
	c         *Catalogue
	line      int
	seen      map[key]int // lines
	into      *string     // where a text that stands alone goes on
	entry     entry
	nextFuzzy bool
}

// entry is what stands in a catalogue about one text. What is nil was not given.
type entry struct {
	context, id, plural *string
	forms               []*string // msgstr, or the forms of a plural
	fuzzy               bool
}

// indexed is msgstr with the number of a form.
var indexed = regexp.MustCompile(`^msgstr\[(\d{1,2})\] `)

func (r *reader) read(line string) error {
	word, rest, _ := strings.Cut(line, " ")
	e := &r.entry
	switch {
	case line == "":
		r.into = nil
		return nil
	case strings.HasPrefix(line, "#"):
		if strings.HasPrefix(line, "#,") && strings.Contains(line, "fuzzy") {
			r.nextFuzzy = true
		}
		return nil
	case word == "msgctxt":
		return r.begin(&e.context, rest)
	case word == "msgid" && e.context != nil && e.id == nil:
		return r.take(&e.id, rest)
	case word == "msgid":
		return r.begin(&e.id, rest)
	case word == "msgid_plural":
		if e.id == nil || e.plural != nil || e.forms != nil {
			return fmt.Errorf("a msgid_plural follows one msgid")
		}
		return r.take(&e.plural, rest)
	case word == "msgstr" || indexed.MatchString(line):
		if e.id == nil || word == "msgstr" && e.forms != nil {
			return fmt.Errorf("a msgstr follows one msgid")
		}
		if (word == "msgstr") != (e.plural == nil) || word != "msgstr" && indexed.FindStringSubmatch(line)[1] != strconv.Itoa(len(e.forms)) {
			return fmt.Errorf("a msgid with a msgid_plural has msgstr[0], msgstr[1] and so on, any other one msgstr")
		}
		e.forms = append(e.forms, nil)
		return r.take(&e.forms[len(e.forms)-1], rest)
	case strings.HasPrefix(line, `"`) && r.into != nil:
		return r.more(line)
	}
	return fmt.Errorf("this is no msgid, msgstr, text in quotes or comment: %.40s", line)
}

// begin takes in the entry that was read last and begins the next with its first text.
func (r *reader) begin(text **string, quoted string) error {
	if err := r.end(); err != nil {
		return err
	}
	r.entry.fuzzy, r.nextFuzzy = r.nextFuzzy, false
	return r.take(text, quoted)
}

// take begins a text of an entry.
func (r *reader) take(text **string, quoted string) error {
	*text = new(string)
	r.into = *text
	return r.more(quoted)
}

// more adds a text in quotes.
func (r *reader) more(quoted string) error {
	text, err := strconv.Unquote(quoted)
	if err != nil || quoted[0] != '"' {
		return fmt.Errorf("this is no text in double quotes: %.40s", quoted)
	}
	*r.into += text
	return nil
}

// end takes in the entry that was read last.
func (r *reader) end() error {
	e := r.entry
	r.entry = entry{}
	switch {
	case e.context == nil && e.id == nil:
		return nil
	case e.id == nil:
		return fmt.Errorf("the msgctxt %.40q has no msgid", *e.context)
	case e.forms == nil:
		return fmt.Errorf("the msgid %.40q has no msgstr", *e.id)
	}
	k := key{text: *e.id}
	if e.context != nil {
		k.context = *e.context
	}
	if before, twice := r.seen[k]; twice {
		return fmt.Errorf("the msgid %.40q stands on line %d too", *e.id, before)
	}
	r.seen[k] = r.line
	if k == (key{}) {
		return r.head(*e.forms[0])
	}
	return r.translation(e, k.context)
}

// head takes in what the entry of the empty text says.
func (r *reader) head(text string) (err error) {
	if found := languageTag.FindStringSubmatch(text); found != nil {
		r.c.Language = strings.ReplaceAll(found[1], "_", "-")
	}
	r.c.forms, err = formsOf(text)
	return err
}

// translation takes in an entry that is translated.
func (r *reader) translation(e entry, context string) error {
	english := *e.id
	if e.plural != nil {
		english = *e.plural
		if len(e.forms) != r.c.forms.count {
			return fmt.Errorf("the plural %.40q has %d forms; this language has %d", english, len(e.forms), r.c.forms.count)
		}
	}
	var to []string
	for _, form := range e.forms {
		if *form == "" || e.fuzzy {
			return nil
		}
		if err := sameHoles(english, *form); err != nil {
			return err
		}
		to = append(to, *form)
	}
	if e.plural == nil {
		r.c.add(context, english, to[0])
		return nil
	}
	return r.c.addPlural(context, *e.id, english, to)
}

// sameHoles makes sure that a translation asks for nothing that its English
// does not have.
func sameHoles(english, translated string) error {
	count, next := len(hole.FindAllString(english, -1)), 0
	for _, found := range hole.FindAllStringSubmatch(translated, -1) {
		n := next + 1
		if found[1] != "" {
			n = int(found[1][0] - '0')
		} else {
			next++
		}
		if n < 1 || n > count {
			return fmt.Errorf("the translation of %.40q has a hole %s that the English lacks", english, found[0])
		}
	}
	return nil
}
