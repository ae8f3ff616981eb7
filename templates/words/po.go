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

// Read reads a catalogue in the PO form: entries of msgid and msgstr, comments,
// texts that run over several lines. The entry of the empty text is the head and
// must name the language. Entries that are not translated are passed over, and
// so are those marked fuzzy, as gettext does.
//
// An error names the line: of what is no PO, of a translation with a hole that
// its English lacks.
func Read(data []byte) (*Catalogue, error) {
	if len(data) > maxCatalogue {
		return nil, fmt.Errorf("the catalogue has %d bytes, more than the %d that are read", len(data), maxCatalogue)
	}
	r := reader{c: &Catalogue{whole: make(map[string]string)}, seen: make(map[string]int)}
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
	c                *Catalogue
	line             int
	seen             map[string]int // lines by msgid
	into             *string        // where a text that stands alone goes on
	id, translation  string
	open, translated bool // whether msgid and msgstr were given
	fuzzy, nextFuzzy bool
}

func (r *reader) read(line string) error {
	switch {
	case line == "":
		r.into = nil
		return nil
	case strings.HasPrefix(line, "#"):
		if strings.HasPrefix(line, "#,") && strings.Contains(line, "fuzzy") {
			r.nextFuzzy = true
		}
		return nil
	case strings.HasPrefix(line, "msgid "):
		if err := r.end(); err != nil {
			return err
		}
		r.id, r.translation, r.open, r.translated, r.fuzzy, r.nextFuzzy = "", "", true, false, r.nextFuzzy, false
		r.into = &r.id
		return r.more(line[len("msgid "):])
	case strings.HasPrefix(line, "msgstr "):
		if !r.open || r.translated {
			return fmt.Errorf("a msgstr follows one msgid")
		}
		r.translated, r.into = true, &r.translation
		return r.more(line[len("msgstr "):])
	case strings.HasPrefix(line, `"`) && r.into != nil:
		return r.more(line)
	}
	return fmt.Errorf("this is no msgid, msgstr, text in quotes or comment: %.40s", line)
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
	if !r.open {
		return nil
	}
	if !r.translated {
		return fmt.Errorf("the msgid %.40q has no msgstr", r.id)
	}
	r.open = false
	if before, twice := r.seen[r.id]; twice {
		return fmt.Errorf("the msgid %.40q stands on line %d too", r.id, before)
	}
	r.seen[r.id] = r.line
	if r.id == "" {
		if found := languageTag.FindStringSubmatch(r.translation); found != nil {
			r.c.Language = strings.ReplaceAll(found[1], "_", "-")
		}
		return nil
	}
	if r.translation == "" || r.fuzzy {
		return nil
	}
	if err := sameHoles(r.id, r.translation); err != nil {
		return err
	}
	r.c.add(r.id, r.translation)
	return nil
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
