// Package plain tells which characters cannot be seen in a text and do something all
// the same, and writes them so that they are seen.
package plain

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Unseen reports whether a character does something without being seen: the controls
// of ISO/IEC 6429, of which some rewrite a terminal, and of Unicode those that
// turn the direction of what follows (UAX #9: embeddings, overrides, isolates), so
// that one name looks like another, those that end a line, and the mark of the order
// of bytes. Marks that letters of a language need are not among them.
func Unseen(c rune) bool {
	switch {
	case unicode.IsControl(c), c >= 0x202A && c <= 0x202E, c >= 0x2066 && c <= 0x2069:
		return true
	}
	return c == 0x2028 || c == 0x2029 || c == 0xFEFF
}

// InName gives the first character of a text that no name may have, and whether there
// is one: whatever cannot be seen, and what is no character.
func InName(text string) (bad rune, found bool) {
	for _, c := range text {
		if Unseen(c) || c == utf8.RuneError {
			return c, true
		}
	}
	return 0, false
}

// InText is InName for texts of several lines.
func InText(text string) (bad rune, found bool) {
	return InName(strings.NewReplacer("\n", "", "\r", "", "\t", "").Replace(text))
}

// Seen writes what cannot be seen by its number, as \u202e, which is also how JSON
// writes it. Ends of lines and tabs stay.
func Seen(text []byte) []byte {
	at := next(text)
	if at < 0 {
		return text
	}
	var out []byte
	for ; at >= 0; at = next(text) {
		c, size := utf8.DecodeRune(text[at:])
		out = append(append(out, text[:at]...), fmt.Sprintf(`\u%04x`, c)...)
		text = text[at+size:]
	}
	return append(out, text...)
}

// next gives where the next character stands that Seen writes by its number; -1: none
// does. Only the bytes with which such a character begins are looked at closely.
func next(text []byte) int {
	for i, b := range text {
		if b >= ' ' && b < 0x7F || b == '\n' || b == '\r' || b == '\t' || b >= 0x80 && b != 0xC2 && b != 0xE2 && b != 0xEF {
			continue
		}
		if c, _ := utf8.DecodeRune(text[i:]); Unseen(c) {
			return i
		}
	}
	return -1
}
