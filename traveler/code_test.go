package traveler

import (
	"bytes"
	"errors"
	"io"
	"math"
	"strings"
	"testing"
	"testing/iotest"
)

// TestNewCodeIsFair feeds every byte the same number of times: 248 of the 256
// bytes count, 8 for each of the 31 letters, so 248 codes of 17 letters use up
// 17 rounds and hold each letter 136 times.
func TestNewCodeIsFair(t *testing.T) {
	source := &rounds{}
	counts := map[rune]int{}
	for range 248 {
		code, err := NewCode(source)
		if err != nil {
			t.Fatal(err)
		}
		if !ValidCode(code) {
			t.Errorf("ValidCode(%q) = false for a new code", code)
		}
		for _, letter := range code {
			counts[letter]++
		}
	}
	if len(counts) != 31 {
		t.Errorf("the codes use %d letters, want 31", len(counts))
	}
	for letter, count := range counts {
		if count != 136 {
			t.Errorf("the letter %c comes %d times, want 136", letter, count)
		}
	}
	for _, lookAlike := range "01ilo" {
		if counts[lookAlike] > 0 {
			t.Errorf("the codes use %c, which is taken for another", lookAlike)
		}
	}
}

// rounds gives the bytes 0 to 255 again and again.
type rounds struct{ next byte }

func (r *rounds) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = r.next
		r.next++
	}
	return len(p), nil
}

func TestNewCodeHasEnoughBits(t *testing.T) {
	if bits := codeLength * math.Log2(float64(len(codeLetters))); bits < 84 {
		t.Errorf("a code has %.1f bits, want 84", bits)
	}
}

func TestNewCodeReads(t *testing.T) {
	enough := bytes.Repeat([]byte{0xFF, 0}, codeLength) // the first of each pair is thrown away
	code, err := NewCode(iotest.OneByteReader(bytes.NewReader(enough)))
	if want := strings.Repeat("2", codeLength); err != nil || code != want {
		t.Errorf("NewCode() = %q, %v, want %q", code, err, want)
	}
	broken := errors.New("no randomness")
	for name, source := range map[string]io.Reader{
		"broken": iotest.ErrReader(broken), "ends early": bytes.NewReader(enough[:20]), "empty": bytes.NewReader(nil),
	} {
		if code, err := NewCode(source); err == nil || code != "" {
			t.Errorf("%s: NewCode() = %q, %v, want an error", name, code, err)
		}
	}
}

func TestTidyAndValidCode(t *testing.T) {
	for _, c := range []struct {
		name, given, tidy string
		valid             bool
	}{
		{"as made", "abcdefgh23456789z", "abcdefgh23456789z", true},
		{"capitals", "ABCDEFGH23456789Z", "abcdefgh23456789z", true},
		{"blanks around", " abcdefgh23456789z\r\n", "abcdefgh23456789z", true},
		{"in groups", "abcd efgh 2345 6789z", "abcdefgh23456789z", true},
		{"with hyphens", "ABCD-EFGH-2345-6789Z", "abcdefgh23456789z", true},
		{"too short", "abcdefgh23456789", "abcdefgh23456789", false},
		{"too long", "abcdefgh23456789zz", "abcdefgh23456789zz", false},
		{"look-alike", "abcdefgh23456789o", "abcdefgh23456789o", false},
		{"empty", "", "", false},
		{"a letter that only looks like K", "abcdefgh2345678\u212Az", "abcdefgh2345678\u212Az", false},
		{"path", "../../etc/passwd_", "../../etc/passwd_", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			tidy := TidyCode(c.given)
			if tidy != c.tidy || ValidCode(tidy) != c.valid {
				t.Errorf("TidyCode(%q) = %q, valid %v, want %q, %v", c.given, tidy, ValidCode(tidy), c.tidy, c.valid)
			}
		})
	}
	if ValidCode("ABCDEFGH23456789Z") {
		t.Error("a code not tidied is valid, want not")
	}
}
