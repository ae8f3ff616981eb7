package papers

import (
	"fmt"

	"brakeside/calc/unit"
)

// cutList words the cuts of a sheet in the order they are made, and names the
// parts and offcuts as they come.
type cutList struct {
	lines          []string
	parts, offcuts int
}

// listCuts are the cuts of one sheet, the trimming first.
func listCuts(n nest) []string {
	var l cutList
	if n.trim > 0 {
		l.add("Trim %s off each edge: %s is left", n.trim.Text(1), sized(n.cuts.of))
	}
	l.pattern(n.cuts, "the sheet")
	return l.lines
}

func (l *cutList) add(form string, values ...any) {
	l.lines = append(l.lines, fmt.Sprintf("%d. ", len(l.lines)+1)+fmt.Sprintf(form, values...))
}

func (l *cutList) pattern(p *pattern, name string) {
	if p.first == nil {
		l.block(p, name)
		return
	}
	side, at := "length", p.first.of.along
	if p.across {
		side, at = "width", p.first.of.cross
	}
	first, second := l.name(p.first), l.name(p.second)
	l.add("Cut %s off the %s of %s: %s is %s, %s is %s", at.MM().Text(1), side, name, first, sized(p.first.of), second, sized(p.second.of))
	l.pattern(p.first, first)
	l.pattern(p.second, second)
}

// name gives a part a letter, or an offcut its number.
func (l *cutList) name(p *pattern) string {
	if p.blanks == 0 {
		l.offcuts++
		return fmt.Sprintf("offcut %d", l.offcuts)
	}
	l.parts++
	return fmt.Sprintf("P%d", l.parts)
}

func (l *cutList) block(p *pattern, name string) {
	if p.blanks == 0 {
		return
	}
	words := fmt.Sprintf("From %s: strips %s along the length, %d of them; off each %d blanks of %s",
		name, p.blank.along.MM().Text(1), p.strips, p.each, p.blank.cross.MM().Text(1))
	rest := piece{
		p.of.along - unit.Micron(p.strips)*(p.blank.along+p.gap),
		p.of.cross - unit.Micron(p.each)*(p.blank.cross+p.gap),
	}
	if rest.along > 0 {
		l.offcuts++
		words += fmt.Sprintf("; left offcut %d, %s", l.offcuts, sized(piece{rest.along, p.of.cross}))
	}
	if rest.cross > 0 {
		l.offcuts++
		words += fmt.Sprintf("; off each strip offcut %d, %s", l.offcuts, sized(piece{p.blank.along, rest.cross}))
	}
	l.add("%s", words)
}

func sized(p piece) string { return p.along.MM().Text(1) + " × " + p.cross.MM().Text(1) }
