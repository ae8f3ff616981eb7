package flat

import (
	"fmt"
	"regexp"

	"brakeside/calc/part"
)

// Word is what people read for a face or a bend in place of the id by which files
// know it: "leg 2" for p1, "left lip" for left.2. Where the drawer chose the ids
// they are the words; an id that is not of this blank is given back.
func (b *Blank) Word(id string) string {
	for _, f := range b.Faces {
		if f.ID == id {
			return f.Word
		}
	}
	for _, j := range b.Joints {
		if j.ID == id {
			return j.Word
		}
	}
	return id
}

// Words gives the word of each id.
func (b *Blank) Words(ids []string) []string {
	words := make([]string, len(ids))
	for i, id := range ids {
		words[i] = b.Word(id)
	}
	return words
}

// legWord is the word for the i-th leg of a profile.
func legWord(i int) string { return fmt.Sprintf("leg %d", i+1) }

// legsWord is the word for the bend behind the i-th leg of a profile.
func legsWord(i int) string { return fmt.Sprintf("legs %d-%d", i+1, i+2) }

// wallWord is the word for the i-th face of a side of a tray, counted outwards,
// and for the bend that raises it.
func wallWord(side part.Side, i int, hem part.Hem) string {
	switch {
	case hem != part.NoHem:
		return string(side) + " hem"
	case i == 0:
		return string(side) + " wall"
	case i == 1:
		return string(side) + " lip"
	case i == 2:
		return string(side) + " return"
	}
	return fmt.Sprintf("%s return %d", side, i-1)
}

// tabWord is the word for a tab by its wall and the wall it laps.
func tabWord(e *edge, end int) string { return fmt.Sprintf("%s tab to %s", e.side, e.near[end].side) }

// counted is an id that an import gave a bend line, which nobody chose.
var counted = regexp.MustCompile(`^b[0-9]+$`)

// bendWord is the word for a bend of a flat part: its id, or the faces on both sides
// where the id is a mere number.
func bendWord(b part.FlatBend) string {
	if counted.MatchString(b.ID) {
		return b.Between[0] + "-" + b.Between[1]
	}
	return b.ID
}
