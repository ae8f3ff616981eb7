package letter

import (
	"bytes"
	"maps"
	"strings"
	"sync"
	"testing"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"

	"brakeside/traveler/draw"
)

func TestClean(t *testing.T) {
	for _, c := range []struct{ name, words, want string }{
		{"plain", "Stop 92.0 -> part 90.0 ~", "Stop 92.0 -> part 90.0 ~"},
		{"empty", "", ""},
		{"signs of the trade", "90° ±0.5 Ø5 ≤ ≥ × → ½ µ – … ′ ″", "90° ±0.5 Ø5 ≤ ≥ × → ½ µ – … ′ ″"},
		{"other alphabets", "Łódź Größe Ψ Жук", "Łódź Größe Ψ Жук"},
		{"composed", "e\u0301 A\u030A", "é Å"},
		{"no composed form", "q\u0301", "q□"},
		{"diameter", "⌀5", "Ø5"},
		{"hyphen that does not break", "BR\u2011210", "BR-210"},
		{"soft hyphen", "mate\u00ADrial", "material"},
		{"thin spaces", "1\u2009000\u202F000", "1 000 000"},
		{"blank that does not break", "5\u00A0mm", "5\u00A0mm"},
		{"line ends and tabs", "a\tb\r\nc\u2028d", "a b  c d"},
		{"controls", "a\x00\x07\x1b\x7fz", "a□□□□z"},
		{"emoji", "ok \U0001F600!", "ok □!"},
		{"Hebrew", "\u05E9\u05DC", "□□"},
		{"turning round", "a\u202Eb", "a□b"},
		{"private and no letters", "\uE000\uFFFE\uFFFF", "□□□"},
		{"broken UTF-8", "a\xffb\xc3", "a�b�"},
		{"tick", "✓ ☐ ⚠ ∠", "□ □ □ □"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := Clean(c.words); got != c.want {
				t.Errorf("Clean(%q) = %q, want %q", c.words, got, c.want)
			}
		})
	}
}

// TestFacesHoldTheSameLetters lets Clean ask one face for all.
func TestFacesHoldTheSameLetters(t *testing.T) {
	known := func(f draw.Face) map[rune]bool {
		all := map[rune]bool{}
		for r := range of(f).advances {
			all[r] = true
		}
		return all
	}
	regular := known(draw.Regular)
	if len(regular) < 600 {
		t.Errorf("the regular face has %d letters, want over 600", len(regular))
	}
	for _, f := range []draw.Face{draw.Bold, draw.Mono} {
		if !maps.Equal(known(f), regular) {
			t.Errorf("face %d has other letters than the regular one", f)
		}
	}
	for _, r := range []rune{Box, '…', ' ', '~', '�'} {
		if !regular[r] {
			t.Errorf("the faces lack %q", r)
		}
	}
}

func TestFileIsACopy(t *testing.T) {
	one := File(draw.Regular)
	clear(one)
	if two := File(draw.Regular); bytes.Equal(one, two) || len(one) != len(two) {
		t.Error("File gave the same bytes twice, want a copy each time")
	}
	if !bytes.Equal(File(draw.Regular), File(draw.Face(99))) {
		t.Error("an unknown face is not taken as the regular one")
	}
}

// The mono face is made with letters 0.6 of its size wide (the fonts' own notes,
// from memory). The other faces are held against another reader of the fonts in
// the tests of the PDF writer.
func TestWidth(t *testing.T) {
	for _, c := range []struct {
		name, words string
		face        draw.Face
		want        float64
	}{
		{"nothing", "", draw.Regular, 0},
		{"mono", "a", draw.Mono, 6.00},
		{"mono, wide and narrow alike", "Wi", draw.Mono, 12.00},
		{"composed before it is measured", "e\u0301", draw.Mono, 6.00},
		{"a box for what is missing", "\U0001F600", draw.Mono, 6.00},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := Width(c.words, c.face, 10); got < c.want-0.006 || got > c.want+0.006 {
				t.Errorf("Width(%q) at 10 mm = %g, want %g", c.words, got, c.want)
			}
		})
	}
	for f := draw.Regular; f <= draw.Mono; f++ {
		for digit := '1'; digit <= '9'; digit++ { // so that figures stand in columns
			if got, want := Width(string(digit), f, 10), Width("0", f, 10); got != want {
				t.Errorf("face %d: %c is %g wide, 0 is %g", f, digit, got, want)
			}
		}
	}
	if regular, bold := Width("Stop", draw.Regular, 4), Width("Stop", draw.Bold, 4); bold <= regular {
		t.Errorf("bold is %g wide, regular %g, want bold wider", bold, regular)
	}
}

func TestFit(t *testing.T) {
	wide := strings.Repeat("long ", 40)
	for _, c := range []struct {
		name, words    string
		size, maxWidth float64
		want           string
	}{
		{"fits", "short", 4, 50, "short"},
		{"exactly", "aaaa", 10, 24, "aaaa"},
		{"a hair too wide", "aaaa", 10, 23.9, "aa…"},
		{"cut at a blank", "aa bb", 10, 24.1, "aa…"},
		{"no room for a letter", "aaaa", 10, 6, "…"},
		{"no room", "aaaa", 10, 5, ""},
		{"no width", "aaaa", 10, 0, ""},
		{"width below nothing", "aaaa", 10, -5, ""},
		{"no size", "aaaa", 0, 10, ""},
		{"nothing", "", 10, 10, ""},
		{"long", wide, 10, 60, "long long…"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := Fit(c.words, draw.Mono, c.size, c.maxWidth); got != c.want {
				t.Errorf("Fit(%q, mono, %g, %g) = %q, want %q", c.words, c.size, c.maxWidth, got, c.want)
			}
		})
	}
}

func TestWrap(t *testing.T) {
	for _, c := range []struct {
		name, words string
		maxWidth    float64 // in letters, of a mono face
		want        []string
	}{
		{"one line", "one line", 10, []string{"one line"}},
		{"two lines", "one two three", 8, []string{"one two", "three"}},
		{"exactly", "ab cd", 5, []string{"ab cd"}},
		{"blanks at the joint go", "ab   cd", 2, []string{"ab", "cd"}},
		{"long word broken", "abcdefg hi", 3, []string{"abc", "def", "g", "hi"}},
		{"rest of a long word shares its line", "abcd e", 3, []string{"abc", "d e"}},
		{"line ends", "a\nb\r\nc\rd", 9, []string{"a", "b", "c", "d"}},
		{"empty lines go", "a\n\n\nb\n", 9, []string{"a", "b"}},
		{"nothing", "", 9, nil},
		{"blanks only", "  \n ", 9, nil},
		{"narrower than a letter", "ab", 0.5, []string{"a", "b"}},
		{"blank that does not break", "a\u00A0b c", 3, []string{"a\u00A0b", "c"}},
		{"strange", "\U0001F600\U0001F600 \U0001F600", 2, []string{"□□", "□"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := Wrap(c.words, draw.Mono, 10, c.maxWidth*6)
			if strings.Join(got, "|") != strings.Join(c.want, "|") || len(got) != len(c.want) {
				t.Errorf("Wrap(%q, %g letters) = %q, want %q", c.words, c.maxWidth, got, c.want)
			}
		})
	}
}

func TestSet(t *testing.T) {
	for _, c := range []struct {
		name, words string
		maxWidth    float64
		wantWords   string
		least, most float64 // size
	}{
		{"free", "a very long line that nobody holds", 0, "a very long line that nobody holds", 10, 10},
		{"fits", "aaaa", 25, "aaaa", 10, 10},
		{"made smaller", "aaaa", 20, "aaaa", 8.3, 8.334},
		{"just the smallest", "aaaa", 16.9, "aaaa", 7, 7.05},
		{"cut", "aaaaaaaa", 20, "aaa…", 7, 7.01},
		{"no room", "aaaa", 1, "", 7, 7.01},
	} {
		t.Run(c.name, func(t *testing.T) {
			words, size, width := Set(draw.Text{Words: c.words, Face: draw.Mono, Size: 10, MaxWidth: c.maxWidth})
			if words != c.wantWords || size < c.least || size > c.most {
				t.Errorf("Set() = %q, %g, want %q at %g to %g", words, size, c.wantWords, c.least, c.most)
			}
			if got := Width(words, draw.Mono, size); got != width || c.maxWidth > 0 && width > c.maxWidth {
				t.Errorf("Set() says %g mm, it is %g, most %g", width, got, c.maxWidth)
			}
		})
	}
}

// TestAtTheSameTime is for the race detector.
func TestAtTheSameTime(t *testing.T) {
	var all sync.WaitGroup
	for range 8 {
		all.Go(func() {
			for f := draw.Regular; f <= draw.Mono; f++ {
				Wrap("größe e\u0301 some words", f, 3, 12)
			}
		})
	}
	all.Wait()
}

func FuzzClean(f *testing.F) {
	for _, words := range []string{"", "abc", "e\u0301", "\xff\xfe", "\U0001F600", "\u1112\u1161\u11ab", "a\u00AD\u0301"} {
		f.Add(words)
	}
	known := of(draw.Regular).advances
	f.Fuzz(func(t *testing.T, words string) {
		got := Clean(words)
		if again := Clean(got); again != got {
			t.Fatalf("Clean(%q) = %q, and cleaned again %q", words, got, again)
		}
		if !utf8.ValidString(got) || !norm.NFC.IsNormalString(got) {
			t.Fatalf("Clean(%q) = %q is not normal UTF-8", words, got)
		}
		for _, r := range got {
			if _, ok := known[r]; !ok || r < ' ' {
				t.Fatalf("Clean(%q) = %q has %q, which the faces lack", words, got, r)
			}
		}
	})
}

func FuzzFit(f *testing.F) {
	f.Add("some words", 3.0, 10.0)
	f.Add("\U0001F600\xff", 0.1, 1e9)
	f.Add("a", 1e300, 1e-300)
	f.Fuzz(func(t *testing.T, words string, size, maxWidth float64) {
		got := Fit(words, draw.Bold, size, maxWidth)
		if got == "" {
			return
		}
		if width := Width(got, draw.Bold, size); width > maxWidth*(1+1e-9) {
			t.Fatalf("Fit(%q, %g, %g) = %q is %g wide", words, size, maxWidth, got, width)
		}
		if whole := Clean(words); got != whole && !strings.HasPrefix(whole, strings.TrimSuffix(got, Ellipsis)) {
			t.Fatalf("Fit(%q) = %q is no start of it", words, got)
		}
	})
}

func FuzzWrap(f *testing.F) {
	f.Add("some words\nand more", 3.0, 10.0)
	f.Add("\U0001F600\xff \r\r\n", 3.0, 0.0)
	f.Fuzz(func(t *testing.T, words string, size, maxWidth float64) {
		lines := Wrap(words, draw.Regular, size, maxWidth)
		for _, line := range lines {
			if Width(line, draw.Regular, size) > maxWidth*(1+1e-9) && utf8.RuneCountInString(line) > 1 {
				t.Fatalf("Wrap(%q, %g, %g) has the line %q, too wide", words, size, maxWidth, line)
			}
			if strings.Trim(line, " ") != line || line == "" {
				t.Fatalf("Wrap(%q) has the line %q", words, line)
			}
		}
		// Compared with all blanks gone: a line end parts letters that would
		// compose, so each line is cleaned by itself as Wrap does.
		want := ""
		for _, line := range strings.FieldsFunc(words, func(r rune) bool { return r == '\n' || r == '\r' }) {
			want += Clean(line)
		}
		want = strings.ReplaceAll(want, " ", "")
		if got := strings.ReplaceAll(strings.Join(lines, ""), " ", ""); got != want {
			t.Fatalf("Wrap(%q) lost or added letters: %q, want %q", words, got, want)
		}
	})
}

func BenchmarkWidth(b *testing.B) {
	for b.Loop() {
		Width("Stop 92.0° -> part 90.0°, bar wide, 640 mm", draw.Regular, 3.5)
	}
}

// Asking block by block misses no letter of any face.
func TestBlocksHoldEveryLetter(t *testing.T) {
	for _, f := range []draw.Face{draw.Regular, draw.Bold, draw.Mono} {
		got, want := of(f), readBlocks(of(f).file, [][2]rune{{0, 0xFFFF}})
		if len(want.advances) < 600 || !maps.Equal(got.advances, want.advances) {
			t.Errorf("face %d: %d letters, the file has %d", f, len(got.advances), len(want.advances))
		}
	}
}
