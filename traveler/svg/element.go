package svg

import (
	"bytes"
	"strconv"
	"strings"
)

// drawing is the text of an SVG under way.
type drawing struct{ text bytes.Buffer }

// put writes one attribute.
func (d *drawing) put(name, value string) {
	d.text.WriteString(" " + name + `="` + escape(value) + `"`)
}

// element writes an element that holds only words.
func (d *drawing) element(name, words string) {
	d.text.WriteString("<" + name + ">" + escape(words) + "</" + name + ">")
}

// escapes makes words harmless in XML and in HTML, inside quotes and out.
var escapes = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;", "'", "&#39;")

// escape also puts a visible sign for what XML 1.0 (section 2.2, Char) does not
// allow in any form.
func escape(words string) string {
	return escapes.Replace(strings.Map(func(r rune) rune {
		switch {
		case r == '\t' || r == '\n' || r == '\r':
			return ' '
		case r < ' ' || r == 0xFFFE || r == 0xFFFF:
			return '\uFFFD'
		}
		return r
	}, words))
}

// number prints millimetres to a whole micrometre, as short as can be.
func number(v float64) string { return decimal(v, 3) }

func decimal(v float64, places int) string {
	s := strconv.FormatFloat(v, 'f', places, 64)
	s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	if s == "-0" {
		return "0"
	}
	return s
}
