// Package words puts the pages into another language: it looks up what stands
// on a page in a catalogue of phrases, in the PO form of GNU gettext.
//
// The English stays where it is written. english.pot collects all of it, for
// whoever translates; what a catalogue does not have stays English.
package words

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// Catalogue is the words of one language.
type Catalogue struct {
	Language string // as HTML names it, such as "de"
	whole    map[string]string
	patterns []pattern // the most certain ones first
}

// pattern is a phrase with holes: what stands there differs from page to page.
type pattern struct {
	parts []string // of the English, with a hole between one and the next
	to    string   // with the holes as hole() writes them
}

// hole is a verb of Go's fmt, which may say by its number, as in %2$s, which
// hole of the English it is.
var hole = regexp.MustCompile(`%(?:(\d)\$)?[-+#0]*\d*(?:\.\d+)?[a-zA-Z]`)

// add takes in one translation.
func (c *Catalogue) add(english, translated string) {
	parts := hole.Split(english, -1)
	for i := range parts {
		parts[i] = single(parts[i])
	}
	if len(parts) == 1 {
		c.whole[parts[0]] = single(translated)
		return
	}
	c.patterns = append(c.patterns, pattern{parts, translated})
}

// single undoes the doubling of the per cent sign.
func single(text string) string { return strings.ReplaceAll(text, "%%", "%") }

func (c *Catalogue) sort() {
	slices.SortStableFunc(c.patterns, func(a, b pattern) int { return b.certainty() - a.certainty() })
}

// certainty is how much of a text a pattern says itself.
func (p pattern) certainty() int { return len(strings.Join(p.parts, "")) }

// match gives what stands in the holes of a text, if it is one of this pattern.
func (p pattern) match(text string) (filled []string, ok bool) {
	first, last := p.parts[0], p.parts[len(p.parts)-1]
	if len(text) < len(first)+len(last) || !strings.HasPrefix(text, first) || !strings.HasSuffix(text, last) {
		return nil, false
	}
	rest := text[len(first) : len(text)-len(last)]
	for _, part := range p.parts[1 : len(p.parts)-1] {
		at := strings.Index(rest, part)
		if at < 1 {
			return nil, false
		}
		filled, rest = append(filled, rest[:at]), rest[at+len(part):]
	}
	return append(filled, rest), rest != ""
}

// fill writes the translation. What stands in a hole is looked up too.
func (c *Catalogue) fill(p pattern, filled []string) string {
	next := 0
	return single(hole.ReplaceAllStringFunc(p.to, func(verb string) string {
		n := next
		if number := hole.FindStringSubmatch(verb)[1]; number != "" {
			n, _ = strconv.Atoi(number)
			n--
		} else {
			next++
		}
		if n < 0 || n >= len(filled) {
			return ""
		}
		if p.certainty() > 0 { // a pattern that says nothing itself would look for itself
			if known, ok := c.phrase(filled[n]); ok {
				return known
			}
		}
		return filled[n]
	}))
}

// Text translates a text: whole, or else sentence by sentence. White space
// around it stays; what is not in the catalogue stays as it is.
func (c *Catalogue) Text(text string) string {
	bare := strings.TrimSpace(text)
	if bare == "" {
		return text
	}
	before, after, _ := strings.Cut(text, bare)
	tidy := strings.Join(strings.Fields(bare), " ")
	if translated, ok := c.phrase(tidy); ok {
		return before + translated + after
	}
	sentences, changed := split(tidy), false
	for i, sentence := range sentences {
		if translated, ok := c.phrase(sentence); ok {
			sentences[i], changed = translated, true
		}
	}
	if !changed {
		return text
	}
	return before + strings.Join(sentences, " ") + after
}

func (c *Catalogue) phrase(text string) (string, bool) {
	if translated, ok := c.whole[text]; ok {
		return translated, true
	}
	for _, p := range c.patterns {
		if filled, ok := p.match(text); ok {
			return c.fill(p, filled), true
		}
	}
	return "", false
}

// sentenceEnd is where one sentence ends and another begins.
var sentenceEnd = regexp.MustCompile(`[.?!:;] `)

// split takes a text apart into its sentences.
func split(text string) []string {
	var sentences []string
	for _, at := range slices.Backward(sentenceEnd.FindAllStringIndex(text, -1)) {
		sentences = append(sentences, text[at[1]:])
		text = text[:at[1]-1]
	}
	sentences = append(sentences, text)
	slices.Reverse(sentences)
	return sentences
}
