// Package words puts the pages into another language: it looks up what stands
// on a page in a catalogue of phrases, in the PO form of GNU gettext.
//
// The English stays where it is written. english.pot collects all of it, for
// whoever translates; what a catalogue does not have stays English.
package words

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// Catalogue is the words of one language.
type Catalogue struct {
	Language string // as HTML names it, such as "de"
	forms    forms
	whole    map[key]*pattern
	patterns []*pattern // the most certain ones first
}

// key is a text and where it must stand, "" where it may stand anywhere.
type key struct{ context, text string }

// pattern is a phrase, which may have holes: what stands there differs from page to
// page.
type pattern struct {
	context string
	parts   []string // of the English, with a hole between one and the next
	to      []string // in each form, with the holes as hole() writes them; one where nothing is counted
	holes   int      // how many there are where more than one are counted, 0 where nothing is
	counted int      // which of them says how many
}

// hole is a verb of Go's fmt, which may say by its number, as in %2$s, which
// hole of the English it is.
var hole = regexp.MustCompile(`%(?:(\d)\$)?[-+#0]*\d*(?:\.\d+)?[a-zA-Z]`)

// add takes in one translation.
func (c *Catalogue) add(context, english, translated string) {
	c.keep(&pattern{context: context, parts: partsOf(english), to: []string{translated}})
}

// addPlural takes in how something is said of one and of more. What is counted stands
// in the first hole of a whole number, or else in the first.
func (c *Catalogue) addPlural(context, one, more string, to []string) error {
	holes := hole.FindAllString(more, -1)
	ones := len(hole.FindAllString(one, -1))
	if len(holes) == 0 || ones != len(holes) && ones != len(holes)-1 {
		return fmt.Errorf("the plural %.40q counts nothing, or its msgid has other holes", more)
	}
	p := pattern{context: context, parts: partsOf(more), to: to, holes: len(holes), counted: max(0, slices.Index(holes, "%d"))}
	c.keep(&p)
	ofOne := p
	ofOne.parts = partsOf(one)
	c.keep(&ofOne)
	return nil
}

func (c *Catalogue) keep(p *pattern) {
	if len(p.parts) == 1 {
		c.whole[key{p.context, p.parts[0]}] = p
		return
	}
	c.patterns = append(c.patterns, p)
}

// partsOf takes an English text apart at its holes.
func partsOf(english string) []string {
	parts := hole.Split(english, -1)
	for i := range parts {
		parts[i] = single(parts[i])
	}
	return parts
}

// single undoes the doubling of the per cent sign.
func single(text string) string { return strings.ReplaceAll(text, "%%", "%") }

func (c *Catalogue) sort() {
	slices.SortStableFunc(c.patterns, func(a, b *pattern) int { return b.certainty() - a.certainty() })
}

// certainty is how much of a text a pattern says itself.
func (p *pattern) certainty() int { return len(strings.Join(p.parts, "")) }

// match gives what stands in the holes of a text, if it is one of this pattern.
func (p *pattern) match(text string) (filled []string, ok bool) {
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

// form gives the translation for what stands in the holes, and what stands in its own:
// the English of one may say so in a word.
func (c *Catalogue) form(p *pattern, filled []string) (to string, holes []string) {
	if p.holes == 0 {
		return p.to[0], filled
	}
	if len(filled) < p.holes {
		filled = slices.Insert(slices.Clone(filled), p.counted, "1")
	}
	n, err := strconv.ParseUint(filled[p.counted], 10, 64)
	if err != nil { // no whole number: not one
		n = 2
	}
	return p.to[c.forms.form(n)], filled
}

// fill writes the translation. What stands in a hole is looked up too.
func (c *Catalogue) fill(p *pattern, filled []string) string {
	to, filled := c.form(p, filled)
	next := 0
	return single(hole.ReplaceAllStringFunc(to, func(verb string) string {
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
			if known, ok := c.phrase(p.context, filled[n]); ok {
				return known
			}
		}
		return filled[n]
	}))
}

// Text translates a text: whole, or else sentence by sentence. White space
// around it stays; what is not in the catalogue, and what is Typed, stays as it is.
func (c *Catalogue) Text(text string) string { return c.in("", text) }

// in is Text where the page names a context: what the catalogue has for it goes first.
func (c *Catalogue) in(context, text string) string {
	if !strings.Contains(text, typedFrom) {
		return c.text(context, text)
	}
	rest, back := setAside(text)
	return back(c.text(context, rest))
}

func (c *Catalogue) text(context, text string) string {
	bare := strings.TrimSpace(text)
	if bare == "" {
		return text
	}
	before, after, _ := strings.Cut(text, bare)
	tidy := strings.Join(strings.Fields(bare), " ")
	if translated, ok := c.phrase(context, tidy); ok {
		return before + translated + after
	}
	sentences, changed := split(tidy), false
	for i, sentence := range sentences {
		if translated, ok := c.phrase(context, sentence); ok {
			sentences[i], changed = translated, true
		}
	}
	if !changed {
		return text
	}
	return before + strings.Join(sentences, " ") + after
}

func (c *Catalogue) phrase(context, text string) (string, bool) {
	if p, ok := c.whole[key{context, text}]; ok {
		return c.fill(p, nil), true
	}
	for _, p := range c.patterns {
		if p.context != context {
			continue
		}
		if filled, ok := p.match(text); ok {
			return c.fill(p, filled), true
		}
	}
	if context == "" {
		return "", false
	}
	return c.phrase("", text)
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
