package words

import (
	"bytes"
	"regexp"
	"strings"
)

// What people typed stands between two of the characters that Unicode keeps for a
// program's own use (23.7, noncharacters); no page is sent with them.
const (
	typedFrom = "\ufdd0"
	typedTo   = "\ufdd1"
)

var noMarks = strings.NewReplacer(typedFrom, "", typedTo, "")

// Typed marks a text as one that people typed: wherever it comes to stand on a page,
// in a sentence or in an attribute, it is not looked up. Unmarked takes the marks off.
func Typed(text string) string { return typedFrom + noMarks.Replace(text) + typedTo }

// Unmarked is an answer without the marks of Typed.
func Unmarked(body []byte) []byte {
	if !bytes.Contains(body, []byte(typedFrom)) {
		return body
	}
	return bytes.ReplaceAll(bytes.ReplaceAll(body, []byte(typedFrom), nil), []byte(typedTo), nil)
}

var typedText = regexp.MustCompile(typedFrom + "[^" + typedTo + "]*" + typedTo)

// setAside takes what people typed out of a text and puts a number in its place, as
// one character, that stands in no phrase. What it gives besides puts all of it back.
func setAside(text string) (rest string, back func(string) string) {
	const zero = '\ue000'
	var kept []string
	rest = typedText.ReplaceAllStringFunc(text, func(typed string) string {
		kept = append(kept, typed)
		return typedFrom + string(rune(zero+len(kept)-1)) + typedTo
	})
	return rest, func(text string) string {
		return typedText.ReplaceAllStringFunc(text, func(sign string) string {
			return kept[[]rune(sign)[1]-zero]
		})
	}
}
