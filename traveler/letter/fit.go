package letter

import (
	"math"
	"strings"
	"unicode/utf8"

	"brakeside/traveler/draw"
)

// LeastShrink is how far a writer may reduce the size of a text so that it
// fits, before it cuts the text.
const LeastShrink = 0.7

// pointsPerMM is the number of printer's points in a millimetre.
const pointsPerMM = 72 / 25.4

// thousandths is the width of clean words in thousandths of the type size.
func thousandths(words string, f draw.Face) int {
	advances := of(f).advances
	sum := 0
	for _, r := range words {
		sum += advances[r]
	}
	return sum
}

// room is how many thousandths of the size fit in a width. A hair is let pass,
// so that a text fits in the width it was measured to have.
func room(size, maxWidth float64) int {
	if !(size > 0) || !(maxWidth > 0) {
		return 0
	}
	return int(math.Min(1000*maxWidth/size+1e-6, math.MaxInt32))
}

// Width is the width of the words in millimetres, set in a face at a size in
// millimetres. The words are cleaned first.
func Width(words string, f draw.Face, size float64) float64 {
	return float64(thousandths(Clean(words), f)) * size / 1000
}

// Fit gives the words cleaned and, where they are wider than maxWidth
// millimetres, cut at the end with an Ellipsis. The answer is never wider; it
// is empty when not even the Ellipsis fits.
func Fit(words string, f draw.Face, size, maxWidth float64) string {
	words = Clean(words)
	limit := room(size, maxWidth)
	if thousandths(words, f) <= limit {
		return words
	}
	limit -= thousandths(Ellipsis, f)
	if limit < 0 {
		return ""
	}
	return strings.TrimRight(words[:head(words, f, limit)], " ") + Ellipsis
}

// head is the length in bytes of the longest start of clean words that is not
// wider than limit thousandths.
func head(words string, f draw.Face, limit int) int {
	advances := of(f).advances
	for i, r := range words {
		if limit -= advances[r]; limit < 0 {
			return i
		}
	}
	return len(words)
}

// Wrap breaks the words into lines no wider than maxWidth millimetres: at line
// ends in the words, else at spaces, and inside a word only when it is wider
// than a line: behind a hyphen, point, stroke or underscore if there is one. A letter wider than a whole line stands alone in it. Words
// without letters give no lines.
func Wrap(words string, f draw.Face, size, maxWidth float64) []string {
	limit := room(size, maxWidth)
	var lines []string
	for paragraph := range strings.Lines(strings.ReplaceAll(words, "\r", "\n")) {
		lines = append(lines, fill(Clean(strings.TrimRight(paragraph, "\n")), f, limit)...)
	}
	return lines
}

// fill breaks one clean paragraph into lines of at most limit thousandths.
func fill(paragraph string, f draw.Face, limit int) []string {
	var lines []string
	line := ""
	for word := range strings.FieldsFuncSeq(paragraph, func(r rune) bool { return r == ' ' }) {
		if line != "" && thousandths(line+" "+word, f) <= limit {
			line += " " + word
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		for line = word; ; {
			cut := head(line, f, limit)
			if cut == 0 {
				_, cut = utf8.DecodeRuneInString(line)
			}
			if cut == len(line) {
				break
			}
			if seam := strings.LastIndexAny(line[:cut], "-./_") + 1; seam > 1 {
				cut = seam
			}
			lines, line = append(lines, line[:cut]), line[cut:]
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

// Set is how a writer puts a text on the page: the words cleaned and, if the
// text has a MaxWidth, the size reduced to LeastShrink of it at most and then
// the words cut. Width is what they take up, never more than MaxWidth.
func Set(t draw.Text) (words string, size, width float64) {
	words, size = Clean(t.Words), t.Size
	if t.MaxWidth > 0 {
		full := thousandths(words, t.Face)
		if full > room(printed(size), t.MaxWidth) {
			size = math.Max(step(1000*t.MaxWidth/float64(full), math.Floor), printed(LeastShrink*size))
		}
		words = Fit(words, t.Face, size, t.MaxWidth)
	}
	return words, size, Width(words, t.Face, size)
}

// printed is the size that a PDF writer may make of a size, at most.
func printed(size float64) float64 { return step(size, math.Ceil) }

// step rounds a size to a whole hundredth of a printer's point, the smallest
// step that a PDF writer can print.
func step(size float64, round func(float64) float64) float64 {
	return round(size*pointsPerMM*100) / 100 / pointsPerMM
}
