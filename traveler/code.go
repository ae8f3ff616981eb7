package traveler

import (
	"fmt"
	"io"
	"strings"
)

// codeLetters are the letters of a code: digits and lower-case letters without
// those that are taken for another on worn paper (0 and o, 1, i and l).
const codeLetters = "23456789abcdefghjkmnpqrstuvwxyz"

// codeLength gives 17 log2(31) = 84.2 random bits, more than can be guessed
// over a network.
const codeLength = 17

// NewCode makes the code of a traveler from a source of random bytes, which
// must be one fit for secrets. Every letter is equally likely: a byte that
// would favour some letters is thrown away. It returns an error only when the
// source does.
func NewCode(random io.Reader) (string, error) {
	const fair = 256 / len(codeLetters) * len(codeLetters)
	code := make([]byte, 0, codeLength)
	for len(code) < codeLength {
		batch := make([]byte, codeLength-len(code))
		if _, err := io.ReadFull(random, batch); err != nil {
			return "", fmt.Errorf("random bytes for a code: %w", err)
		}
		for _, b := range batch {
			if int(b) < fair {
				code = append(code, codeLetters[int(b)%len(codeLetters)])
			}
		}
	}
	return string(code), nil
}

// TidyCode brings a code as a person or a scanner gave it into the form it is
// kept in: lower case, without the blanks and hyphens of its groups.
func TidyCode(code string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == ' ' || r == '-' || r == '\t' || r == '\r' || r == '\n':
			return -1
		case r >= 'A' && r <= 'Z':
			return r - 'A' + 'a'
		}
		return r
	}, code)
}

// ValidCode reports whether a tidy code could be one that NewCode made.
func ValidCode(code string) bool {
	if len(code) != codeLength {
		return false
	}
	for i := range len(code) {
		if !strings.Contains(codeLetters, code[i:i+1]) {
			return false
		}
	}
	return true
}
