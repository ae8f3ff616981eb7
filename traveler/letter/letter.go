// Package letter knows the letters of the type faces: which there are, how
// wide they are, and how a text is made to fit.
//
// Lengths are millimetres. The faces are the Go fonts, which hold Latin, Greek
// and Cyrillic letters and the common signs. Measuring and writing count in the
// same whole thousandths of the type size, as a PDF does, so that a text that
// was measured to fit does fit on paper.
package letter

import (
	"fmt"
	"math"
	"strings"
	"sync"
	"unicode"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/gomono"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"golang.org/x/text/unicode/norm"

	"brakeside/traveler/draw"
)

// Box stands for every letter that the faces lack, so that a reader sees that
// something is missing.
const Box = '□'

// Ellipsis ends a text that was cut.
const Ellipsis = "…"

// stand lists signs that the faces lack but have an equal for; -1 drops one.
var stand = map[rune]rune{
	'⌀':      'Ø',
	'\u00AD': -1,  // a place to hyphenate at, shown only when used
	'\u2010': '-', // hyphen
	'\u2011': '-', // hyphen that does not break
}

// face is a type face made ready for measuring.
type face struct {
	file     []byte
	advances map[rune]int // thousandths of the type size
}

// faces are read when first needed and not changed after that.
var faces = map[draw.Face]func() *face{
	draw.Regular: sync.OnceValue(func() *face { return read(goregular.TTF) }),
	draw.Bold:    sync.OnceValue(func() *face { return read(gobold.TTF) }),
	draw.Mono:    sync.OnceValue(func() *face { return read(gomono.TTF) }),
}

// blocks are the stretches of Unicode, first and last, outside of which the
// faces have no letter. To ask for each of the others takes longer than to write
// a page.
var blocks = [...][2]rune{{' ', 0x052F}, {0x1E00, 0x27BF}, {0xFB00, 0xFB06}, {0xFFFC, 0xFFFD}}

// read measures every letter of a font file that came with the program; that
// it cannot be read is a bug.
func read(file []byte) *face { return readBlocks(file, blocks[:]) }

func readBlocks(file []byte, blocks [][2]rune) *face {
	parsed, err := sfnt.Parse(file)
	if err != nil {
		panic(fmt.Sprintf("a built-in font is broken: %v", err))
	}
	em := fixed.I(int(parsed.UnitsPerEm()))
	var buffer sfnt.Buffer
	f := &face{file: file, advances: make(map[rune]int, 1000)}
	for _, block := range blocks {
		for r := block[0]; r <= block[1]; r++ {
			glyph, err := parsed.GlyphIndex(&buffer, r)
			if err != nil || glyph == 0 || !(unicode.IsGraphic(r)) {
				continue
			}
			advance, err := parsed.GlyphAdvance(&buffer, glyph, em, font.HintingNone)
			if err == nil {
				f.advances[r] = int(math.Round(1000 * float64(advance) / float64(em)))
			}
		}
	}
	return f
}

// of gives a face made ready; an unknown one is taken as Regular.
func of(f draw.Face) *face {
	if ready, ok := faces[f]; ok {
		return ready()
	}
	return faces[draw.Regular]()
}

// File gives a copy of the TrueType file of a face, which the caller may
// change.
func File(f draw.Face) []byte { return append([]byte(nil), of(f).file...) }

// Clean gives the words as they can be printed: one line, letters composed
// (Unicode normal form C), every kind of space that the faces lack a plain one,
// and Box in the place of each letter that they lack. Every writer and every
// measure cleans its words, and
//
//	Clean(Clean(words)) == Clean(words)
func Clean(words string) string {
	if plain(words) {
		return words
	}
	known := of(draw.Regular).advances
	composed := norm.NFC.String(strings.ToValidUTF8(words, string(unicode.ReplacementChar)))
	return strings.Map(func(r rune) rune {
		if _, ok := known[r]; ok {
			return r
		}
		if other, ok := stand[r]; ok {
			return other
		}
		if unicode.IsSpace(r) {
			return ' '
		}
		return Box
	}, composed)
}

// plain reports whether the words are printable ASCII, which all faces have.
func plain(words string) bool {
	for i := range len(words) {
		if words[i] < ' ' || words[i] > '~' {
			return false
		}
	}
	return true
}
