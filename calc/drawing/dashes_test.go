package drawing_test

import (
	"fmt"
	"strings"
	"testing"

	"brakeside/calc/drawing"
)

// dashesFrom are the pieces of a dashed line along y = 40, each a number of
// millimetres long, with gaps between them.
func dashesFrom(x, to, long, gap float64) (out []drawing.Stroke) {
	for ; x < to; x += long + gap {
		out = append(out, open(x, 40, min(x+long, to), 40))
	}
	return out
}

// A bend line that is drawn as dashes is one bend line, up to the stated gap and
// before the edge; what is farther apart, folds the other way or lies beside it is
// not joined, and refused as it ends inside the sheet.
func TestDashedBendLines(t *testing.T) {
	whole := plate(200, 100)
	for _, c := range []struct {
		name     string
		up, down []drawing.Stroke
		bends    int // 0 where it is refused
		dashes   int
	}{
		{"one line", []drawing.Stroke{open(0, 40, 200, 40)}, nil, 1, 0},
		{"dashes of 9 and gaps of 3", dashesFrom(0, 200, 9, 3), nil, 1, 17},
		{"the widest gaps", dashesFrom(0, 200, 40, drawing.MostGap), nil, 1, 4},
		{"gaps too wide", dashesFrom(0, 200, 40, drawing.MostGap+0.1), nil, 0, 0},
		{"dashes that end before the edge", dashesFrom(5, 190, 20, 5), nil, 1, 8},
		{"two pieces that end before the edge", []drawing.Stroke{open(5, 40, 95, 40), open(100, 40, 195, 40)}, nil, 0, 0},
		{"in any order, either way round", []drawing.Stroke{open(150, 40, 104, 40), open(200, 40, 154, 40), open(0, 40, 50, 40), open(100, 40, 54, 40)}, nil, 1, 4},
		{"pieces that fold each their way", []drawing.Stroke{open(0, 40, 95, 40)}, []drawing.Stroke{open(100, 40, 200, 40)}, 0, 0},
		{"pieces beside each other", []drawing.Stroke{open(0, 40, 95, 40), open(100, 40.2, 200, 40.2)}, nil, 0, 0},
	} {
		read, err := drawing.Sketch{Edges: []drawing.Stroke{whole}, Up: c.up, Down: c.down}.Flat(drawing.Angles{All: 90})
		if c.bends == 0 {
			if err == nil {
				t.Errorf("%s: made %d bends, want it refused", c.name, len(read.Flat.Bends))
				continue
			}
			refused(t, err, "ends inside the sheet")
			continue
		}
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if len(read.Flat.Bends) != c.bends || read.Dashes != c.dashes {
			t.Errorf("%s: %d bends of %d dashes, want %d of %d", c.name, len(read.Flat.Bends), read.Dashes, c.bends, c.dashes)
		}
		if got := fmt.Sprint(read.Flat.Bends[0].Line); got != "[[0 40] [200 40]]" && got != "[[200 40] [0 40]]" {
			t.Errorf("%s: the bend runs along %s", c.name, got)
		}
	}
}

// Two tabs on one line are two bends: their bend lines end at the notch between
// them, however near.
func TestTabsOnOneLineStayTwoBends(t *testing.T) {
	edge := closed(0, 0, 96, 0, 96, 45, 104, 45, 104, 0, 200, 0, 200, 100, 0, 100)
	read, err := drawing.Sketch{Edges: []drawing.Stroke{edge}, Up: []drawing.Stroke{open(0, 40, 96, 40), open(104, 40, 200, 40)}}.Flat(drawing.Angles{All: 90})
	if err != nil || len(read.Flat.Bends) != 2 || read.Dashes != 0 {
		t.Errorf("%+v, %v, want two bends", read, err)
	}
}

// So many lines cannot be bend lines: a layer was named that holds something else.
func TestTooManyBendLines(t *testing.T) {
	twice := make([]drawing.Stroke, 5000)
	for i := range twice {
		twice[i] = open(0, 40, 200, 40)
	}
	sketch := drawing.Sketch{Edges: []drawing.Stroke{plate(200, 100)}, Up: twice}
	if read, err := sketch.Flat(drawing.Angles{All: 90}); err != nil || read.Dropped != 4999 {
		t.Errorf("5,000 lines: %d dropped, %v", read.Dropped, err)
	}
	sketch.Up = append(sketch.Up, open(0, 60, 200, 60))
	if _, err := sketch.Flat(drawing.Angles{All: 90}); err == nil || !strings.Contains(err.Error(), "there are 5001 lines on the layers of bend lines, more than the 5000") {
		t.Errorf("5,001 lines: %v", err)
	}
}
