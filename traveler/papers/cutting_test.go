package papers

import (
	"fmt"
	"math"
	"math/rand"
	"testing"

	"brakeside/calc/unit"
	"brakeside/traveler"
	"brakeside/traveler/internal/fixture"
)

func ordered(width, height float64, grain string, quantity int, stock ...Stock) CutOrder {
	return CutOrder{Stock: stock, Traveler: &traveler.Traveler{
		Quantity: quantity, Part: traveler.Part{Grain: grain},
		Blank: traveler.Blank{Width: fixture.MM(width), Height: fixture.MM(height)},
	}}
}

// The counts are worked out by hand.
func TestNests(t *testing.T) {
	cases := []struct {
		name   string
		of     CutOrder
		number int // sizes of sheet that give a blank
		pieces int // of a sheet of the first of them
		sheets int
	}{
		{"exactly two of one", ordered(1000, 1000, "", 2), 4, 2, 1},
		{"grain along x", ordered(500, 200, "x", 20), 4, 20, 1},
		{"grain along y", ordered(200, 500, "y", 20), 4, 20, 1},
		{"only the long sheet", ordered(2900, 100, "x", 1), 1, 15, 1},
		{"larger than all", ordered(4000, 100, "", 1), 0, 0, 0},
		{"wider than all with its grain", ordered(100, 2000, "x", 1), 0, 0, 0},
		{"no size", ordered(0, 0, "", 1), 0, 0, 0},
		{"no quantity counts as one", ordered(1000, 1000, "x", 0), 4, 2, 1},
		// 600 + 400 fill both sides: two blanks lie along, three across them.
		{"both ways round in one sheet", ordered(600, 400, "", 5, Stock{1200, 1000}), 1, 5, 1},
		{"the grain forbids that", ordered(600, 400, "x", 5, Stock{1200, 1000}), 1, 4, 2},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			list := c.of.nests()
			if len(list) != c.number {
				t.Fatalf("nests() = %d sizes, want %d", len(list), c.number)
			}
			if len(list) > 0 && (list[0].pieces() != c.pieces || list[0].sheets != c.sheets) {
				t.Errorf("%d of a sheet, %d sheets, want %d, %d", list[0].pieces(), list[0].sheets, c.pieces, c.sheets)
			}
		})
	}
}

// By hand: two of 495 and a cut of 10 are 1000; trimming 1 leaves 998.
func TestTrimAndGapAreUsed(t *testing.T) {
	for _, c := range []struct {
		trim, gap unit.MM
		want      int
	}{{0, 0, 4}, {0, 10, 4}, {0, 10.1, 1}, {5, 0, 4}, {5.1, 0, 1}, {1, 10, 1}} {
		o := ordered(495, 495, "", 4, Stock{1000, 1000})
		o.Trim, o.Gap = c.trim, c.gap
		if got := o.nests()[0].pieces(); got != c.want {
			t.Errorf("trim %v, gap %v: %d blanks, want %d", c.trim, c.gap, got, c.want)
		}
	}
}

// By hand: 5 of 1000 x 1000 are two of the large sheet and one of the small;
// of either alone they take more sheets or more metal.
func TestTwoSizesInOneJob(t *testing.T) {
	uses := chosen(ordered(1000, 1000, "", 5, Stock{2000, 1000}, Stock{1000, 1000}).nests(), 5)
	metal, pieces := 0.0, 0
	for _, u := range uses {
		metal += float64(u.sheets) * u.nest.metal()
		pieces += u.sheets * u.nest.pieces()
	}
	if len(uses) != 2 || metal != 5e6 || pieces != 5 {
		t.Errorf("%d sizes, %.0f mm², %d blanks; want 2, 5000000, 5", len(uses), metal, pieces)
	}
}

// rows counts blanks w x h of a sheet in plain rows, each row lying the way
// that gives more in what is left; the last way is tried over the other side.
func rows(length, width, w, h float64, turn bool) int {
	count := 0
	for y := 0.0; ; {
		flat, up := 0, 0
		if y+h <= width+1e-6 {
			flat = int(length/w + 1e-9)
		}
		if turn && y+w <= width+1e-6 {
			up = int(length/h + 1e-9)
		}
		if flat+up == 0 {
			return count
		}
		if float64(flat)/h >= float64(up)/w && flat > 0 {
			count, y = count+flat, y+h
		} else {
			count, y = count+up, y+w
		}
	}
}

// freely counts blanks put one by one into the smallest free rectangle that
// holds them, which is then cut along its shorter or longer rest.
func freely(length, width, w, h float64, turn, longer bool) int {
	free := [][2]float64{{length, width}}
	for count := 0; ; count++ {
		at, least, lies := -1, math.Inf(1), [2]float64{}
		for i, f := range free {
			for _, d := range [][2]float64{{w, h}, {h, w}} {
				if d[0] == h && d[1] == w && w != h && !turn {
					continue
				}
				rest := math.Min(f[0]-d[0], f[1]-d[1])
				if rest >= -1e-6 && f[0]*f[1]+rest*1e-3 < least {
					at, least, lies = i, f[0]*f[1]+rest*1e-3, d
				}
			}
		}
		if at < 0 {
			return count
		}
		f := free[at]
		free = append(free[:at], free[at+1:]...)
		if (f[0]-lies[0] > f[1]-lies[1]) != longer {
			free = append(free, [2]float64{f[0] - lies[0], f[1]}, [2]float64{lies[0], f[1] - lies[1]})
		} else {
			free = append(free, [2]float64{f[0] - lies[0], lies[1]}, [2]float64{f[0], f[1] - lies[1]})
		}
	}
}

// The packers above are the usual simple ones (common practice, no source) and
// share no code with the plan: it never takes more sheets than they do.
func TestNoMoreSheetsThanPlainPackers(t *testing.T) {
	const jobs = 300
	r := rand.New(rand.NewSource(20261201))
	ours, theirs, fewer := 0, 0, 0
	for i := range jobs {
		w, h := float64(30+r.Intn(900)), float64(30+r.Intn(900))
		grain, quantity := []string{"", "", "x", "y"}[r.Intn(4)], 1+r.Intn(200)
		o := ordered(w, h, grain, quantity)
		o.Trim = unit.MM(r.Intn(3) * 5)
		if grain == "y" {
			w, h = h, w
		}
		list, fewest, least := o.nests(), math.MaxInt, math.Inf(1)
		for _, n := range list {
			l, b, turn := float64(n.sheet.Length-2*o.Trim), float64(n.sheet.Width-2*o.Trim), grain == ""
			most := max(rows(l, b, w, h, turn), rows(b, l, h, w, turn), freely(l, b, w, h, turn, true), freely(l, b, w, h, turn, false))
			sheets := (quantity + most - 1) / most
			if n.sheets > sheets {
				t.Errorf("job %d, %v x %v on %v: %d sheets, a plain packer takes %d", i, w, h, n.sheet, n.sheets, sheets)
			}
			ours, theirs = ours+n.sheets, theirs+sheets
			if n.sheets < sheets {
				fewer++
			}
			if metal := float64(sheets) * n.metal(); sheets < fewest || sheets == fewest && metal < least {
				fewest, least = sheets, metal
			}
		}
		metal, pieces, used := 0.0, 0, 0
		for _, u := range chosen(list, quantity) {
			used += u.sheets
			metal, pieces = metal+float64(u.sheets)*u.nest.metal(), pieces+u.sheets*u.nest.pieces()
			checkPattern(t, fmt.Sprint("job ", i), u.nest.cuts, o)
		}
		if used > fewest || used == fewest && metal > least+1 || pieces < quantity && len(list) > 0 {
			t.Errorf("job %d: %d sheets of %.0f mm² for %d of %d blanks, a plain packer %d of %.0f",
				i, used, metal, pieces, quantity, fewest, least)
		}
	}
	t.Logf("%d sheets ours, %d of the best plain packer; fewer in %d", ours, theirs, fewer)
}

// checkPattern holds that each cut runs from edge to edge of its piece, that
// blanks lie within it, and that they keep the grain.
func checkPattern(t *testing.T, name string, p *pattern, o CutOrder) {
	t.Helper()
	if p.first != nil {
		a, b := p.first.of, p.second.of
		along := !p.across && a.cross == p.of.cross && b.cross == p.of.cross && a.along+b.along+o.Gap.Micron() == p.of.along
		across := p.across && a.along == p.of.along && b.along == p.of.along && a.cross+b.cross+o.Gap.Micron() == p.of.cross
		if !along && !across || p.blanks != p.first.blanks+p.second.blanks {
			t.Errorf("%s: %v is not cut from edge to edge into %v and %v", name, p.of, a, b)
		}
		checkPattern(t, name, p.first, o)
		checkPattern(t, name, p.second, o)
		return
	}
	if p.blanks == 0 {
		return
	}
	drawn, turned := piece{o.Blank.Width, o.Blank.Height}, piece{o.Blank.Height, o.Blank.Width}
	if !(p.blank == drawn && o.Part.Grain != "y" || p.blank == turned && o.Part.Grain != "x") {
		t.Errorf("%s: a blank lies %v, against the grain %q", name, p.blank, o.Part.Grain)
	}
	if p.blanks != p.strips*p.each || unit.Micron(p.strips)*p.blank.along > p.of.along || unit.Micron(p.each)*p.blank.cross > p.of.cross {
		t.Errorf("%s: %d strips of %d blanks %v do not lie in %v", name, p.strips, p.each, p.blank, p.of)
	}
}
