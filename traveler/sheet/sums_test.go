package sheet

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"brakeside/calc"
	"brakeside/testdata/suite"
	"brakeside/traveler"
	"brakeside/traveler/internal/fixture"
	"brakeside/traveler/internal/look"
)

// drawnOdd is a profile, or a tray with lips, whose sizes are no round figures, so
// that what is made of them ends in any decimals.
func drawnOdd(t *rapid.T) []byte {
	odd := func(name string, low, high int) string {
		return strconv.FormatFloat(float64(rapid.IntRange(100*low, 100*high).Draw(t, name))/100, 'f', -1, 64)
	}
	thick := rapid.SampledFrom([]string{"0.8", "1", "1.2", "1.5"}).Draw(t, "thickness")
	head := fmt.Sprintf(`{"number":"R","material":"mild-steel","thickness":%s,"inside_radius":%s,`, thick, thick)
	if rapid.Bool().Draw(t, "tray") {
		var walls []string
		for _, side := range []string{"left", "right", "front", "back"} {
			wall := fmt.Sprintf(`"%s":[{"leg":%s,"angle":90}`, side, odd("wall", 20, 60))
			if rapid.Bool().Draw(t, "lip") {
				wall += fmt.Sprintf(`,{"leg":%s,"angle":-90}`, odd("lip", 10, 20))
			}
			walls = append(walls, wall+"]")
		}
		return []byte(head + fmt.Sprintf(`"tray":{"base":[%s,%s],"walls":{%s}}}`, odd("x", 150, 350), odd("y", 150, 350), strings.Join(walls, ",")))
	}
	legs, angles := []string{odd("leg", 14, 60)}, []string{}
	for range rapid.IntRange(1, 4).Draw(t, "bends") {
		legs = append(legs, odd("leg", 14, 60))
		angles = append(angles, rapid.SampledFrom([]string{"90", "-90", "45", "-30", "22.55"}).Draw(t, "angle"))
	}
	return []byte(head + fmt.Sprintf(`"profile":{"length":%s,"legs":[%s],"bends":[%s]}}`,
		odd("length", 100, 600), strings.Join(legs, ","), strings.Join(angles, ",")))
}

// noseFigures and angleFigures are what a row prints in the order in which it is laid out.
var (
	noseFigures  = regexp.MustCompile(`NOSE LINE (?:([\d.]+) )?(?:from|on) (.+?) (?:BAR|CHECK) `)
	ownFigure    = regexp.MustCompile(`, line ([\d.]+)`)
	angleFigures = regexp.MustCompile(`STOP bend ([\d.]+)° → part ([\d.]+)° ±[\d.]+ \(opening ([\d.]+)°\)`)
	backFigure   = regexp.MustCompile(`springback ([\d.]+)°`)
	sumFigures   = regexp.MustCompile(`add up to ([\d.]+)(?: \(([\d.]+) as rounded\))?,`)
)

// tenths reads a printed figure in tenths.
func tenths(figure string) int {
	v, err := strconv.ParseFloat(figure, 64)
	if err != nil {
		return math.MinInt32
	}
	return int(math.Round(10 * v))
}

// Figures that a reader would add up are right as they are printed: a nose line and
// its distance from a sheared edge give the running figure of that edge, the angle of
// the part and the springback the stop, bend and opening 180, the sizes of the faces
// the sum beside the blank. No figure is farther from the true one than half its last
// digit, but the distance of a nose line, which the key calls true to 0.1.
func TestPrintedSumsAddUp(t *testing.T) {
	suite.Unraced(t)
	on, looked := suite.Brake(t), 0
	rapid.Check(t, func(t *rapid.T) {
		p := suite.Read(t, drawnOdd(t))
		if !suite.Possible(t, p, on) {
			return
		}
		frozen, err := traveler.Freeze(suite.Work(t, p, on, calc.Options{}), traveler.Issue{Code: fixture.Letters("sums"), Base: fixture.Host, IssuedAt: "2026-05-04T09:30:00Z"})
		if err != nil {
			t.Fatal(err)
		}
		pages, err := Pages(frozen)
		if err != nil {
			t.Fatal(err)
		}
		said := strings.Join(strings.Fields(look.Said(pages)), " ")
		looked += noseSums(t, frozen, said) + angleSums(t, frozen, said)
		sizeSum(t, frozen, said)
	})
	want := 40 // what rapid draws differs from run to run
	if testing.Short() {
		want = 8 // a fifth of the draws
	}
	if looked < want {
		t.Errorf("%d sums were looked at, want at least %d", looked, want)
	}
}

// noseSums looks at the nose lines of a sheet and gives how many sums it found.
func noseSums(t suite.Failer, made *traveler.Traveler, said string) (found int) {
	t.Helper()
	rows := noseFigures.FindAllStringSubmatch(said, -1)
	if len(rows) != len(made.Steps) {
		t.Fatalf("%d rows with a nose line, want %d: %s", len(rows), len(made.Steps), said)
	}
	for i, row := range rows {
		step := made.Steps[i]
		at, straight := made.Blank.NoseAt(step.Number)
		if row[1] == "" || !straight {
			continue
		}
		gauge := tenths(row[1])
		within := 50.0
		if step.GaugeFrom.Kind == traveler.ShearedEdge {
			within = 100
			line := tenths(at.Text(1))
			if own := ownFigure.FindStringSubmatch(row[2]); own != nil {
				line = tenths(own[1])
			}
			found++
			if !edgeAt(made.Blank, line-gauge, said) && !edgeAt(made.Blank, line+gauge, said) {
				t.Errorf("step %d: NOSE LINE %s %s: no edge is printed at %d or %d tenths", step.Number, row[1], row[2], line-gauge, line+gauge)
			}
		}
		if off := math.Abs(float64(100*gauge) - float64(step.Gauge)); off > within {
			t.Errorf("step %d: NOSE LINE %s, truly %v", step.Number, row[1], step.Gauge.MM())
		}
	}
	return found
}

// edgeAt reports whether the drawing of the blank names an edge at so many tenths.
func edgeAt(b traveler.Blank, at int, said string) bool {
	if at == 0 {
		return true
	}
	for _, p := range b.Outline {
		for _, v := range []string{p.X.Text(1), p.Y.Text(1)} {
			if tenths(v) == at && strings.Contains(said, " "+v+" ") {
				return true
			}
		}
	}
	return false
}

// angleSums looks at the angles of a sheet and gives how many sums it found.
func angleSums(t suite.Failer, made *traveler.Traveler, said string) (found int) {
	t.Helper()
	rows := angleFigures.FindAllStringSubmatchIndex(said, -1)
	if len(rows) != len(made.Steps) {
		t.Fatalf("%d rows with angles, want %d: %s", len(rows), len(made.Steps), said)
	}
	for i, at := range rows {
		row, end := angleFigures.FindStringSubmatch(said[at[0]:]), len(said)
		if i+1 < len(rows) {
			end = rows[i+1][0]
		}
		stop, part, opening := tenths(row[1]), tenths(row[2]), tenths(row[3])
		if part+opening != 1800 {
			t.Errorf("part %s and opening %s do not make 180", row[2], row[3])
		}
		if back := backFigure.FindStringSubmatch(said[at[0]:end]); back != nil {
			found++
			if part+tenths(back[1]) != stop {
				t.Errorf("part %s and springback %s do not make the stop %s", row[2], back[1], row[1])
			}
		}
	}
	return found
}

// sizeSum looks at the sizes of the faces and their sum.
func sizeSum(t suite.Failer, made *traveler.Traveler, said string) {
	t.Helper()
	printed := sumFigures.FindStringSubmatch(said)
	if printed == nil {
		return
	}
	sum := 0
	for _, f := range made.Blank.Faces {
		for _, size := range f.Sizes {
			sum += tenths(size.Text(1))
		}
	}
	if sum != tenths(printed[1]) && sum != tenths(printed[2]) {
		t.Errorf("the printed sizes add up to %d tenths, the key says %s", sum, printed[0])
	}
}
