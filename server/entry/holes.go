package entry

import (
	"brakeside/calc/unit"
	"bytes"
	"fmt"
	"math"
	"strings"
)

// HolesField takes the holes of a part, one a line: the face, from its left, from its
// lower edge, the diameter.
const HolesField = "holes"

func (t *typed) holes() []hole {
	var out []hole
	for n, line := range strings.Split(t.words(HolesField), "\n") {
		words := strings.FieldsFunc(line, func(r rune) bool { return r == ' ' || r == ',' || r == ';' || r == '\t' })
		if len(words) == 0 {
			continue
		}
		var h hole
		places := []*float64{&h.At[0], &h.At[1], &h.Diameter}
		if h.Face = words[0]; len(words) != 4 {
			t.refuse(HolesField, "Line %d has %d words; write the face, from its left, from its lower edge and the diameter, such as base 20 30 6.5",
				n+1, len(words))
			return nil
		}
		for i, place := range places {
			l, err := unit.ParseMM(words[i+1], t.system)
			if err != nil {
				t.refuse(HolesField, "Line %d: %.20q is not a length; write for example base 20 30 6.5", n+1, words[i+1])
				return nil
			}
			*place = math.Round(float64(l/t.system.PerUnit())*1e6) / 1e6
		}
		out = append(out, h)
	}
	return out
}

func (s shown) holes(holes []hole) {
	var lines bytes.Buffer
	for _, h := range holes {
		fmt.Fprintf(&lines, "%s %s %s %s\n", h.Face, text(h.At[0]), text(h.At[1]), text(h.Diameter))
	}
	s.words(HolesField, strings.TrimSuffix(lines.String(), "\n"))
}
