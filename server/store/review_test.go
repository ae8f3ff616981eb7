package store

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"brakeside/calc/spc"
	"brakeside/calc/unit"
	"brakeside/traveler/standing"
)

// reviewed is a store with readings of two materials and two bars, of which
// some must not count.
func reviewed(t *testing.T) *Store {
	t.Helper()
	now := noon
	s, err := Open(t.TempDir(), func() time.Time { return now })
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	issue(t, s, plan(1, 9))
	other := plan(2, 9)
	other.Part.MaterialID, other.Part.Thickness, other.Brake.Name = "304", 1000, "short brake"
	other.Steps[1].Bar = "wide"
	issue(t, s, other)
	for n := 1; n <= 2; n++ {
		if err := s.AddEvent(context.Background(), Event{Code: code(n), Kind: standing.Released, Detail: "seen"}); err != nil {
			t.Fatal(err)
		}
	}
	for i, x := range []struct {
		sheet    int
		step     int
		measured float64
		more     string
	}{
		{1, 1, 90.5, ""}, {1, 1, 89.1, ""}, {1, 1, 91.4, ""}, {1, 2, 45, ""},
		{1, 1, 90, `,"state":"reworked"`}, {1, 1, 90, `,"flags":["bar-lifted"]`}, {1, 1, 70, ""}, {1, 1, 60, `,"state":"scrapped","note":"torn"`},
		{2, 1, 87.9, ""}, {2, 2, 43.3, ""}, {2, 1, 95, ""}, {2, 1, 88.2, `,"corrects":"r11"`},
	} {
		now = noon.Add(time.Duration(i) * time.Hour)
		mustPost(t, s, code(x.sheet), fmt.Sprintf(`{"id":"r%d","piece":%d,"step":%d,"measured":%g,"confirmed":true%s}`, i+1, i%9+1, x.step, x.measured, x.more))
	}
	return s
}

func TestCells(t *testing.T) {
	s := reviewed(t)
	steel := Cell{Material: "mild-steel", Thickness: 1500, Bar: "wide", Brake: "long brake", N: 3, Made: 6, InTolerance: 3} // with the lifted one, the far one and the scrapped one
	steel.Mean, steel.Spread = spread(t, 0.5, -0.9, 1.4)
	narrow := Cell{Material: "mild-steel", Thickness: 1500, Bar: "narrow", Brake: "long brake", N: 1, Made: 1, InTolerance: 1}
	inox := Cell{Material: "304", Thickness: 1000, Bar: "wide", Brake: "short brake", N: 3, Made: 3, InTolerance: 0}
	inox.Mean, inox.Spread = spread(t, -2.1, -1.7, -1.8)
	cases := []struct {
		name   string
		choice Choice
		want   []Cell
	}{
		{"all", Choice{}, []Cell{inox, narrow, steel}},
		{"one material", Choice{Material: "mild-steel"}, []Cell{narrow, steel}},
		{"one thickness", Choice{Thickness: 1000}, []Cell{inox}},
		{"one bar", Choice{Bar: "wide"}, []Cell{inox, steel}},
		{"one brake", Choice{Brake: "long brake"}, []Cell{narrow, steel}},
		{"one sheet", Choice{Job: "J-2"}, []Cell{inox}},
		{"a day before", Choice{To: "2026-01-01"}, nil},
		{"nothing fits", Choice{Material: "copper"}, nil},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			got, err := s.Cells(context.Background(), c.choice)
			if err != nil || !slices.EqualFunc(got, c.want, alike) {
				t.Errorf("Cells(%+v) =\n%+v, %v\nwant\n%+v", c.choice, got, err, c.want)
			}
		})
	}
}

func spread(t *testing.T, errors ...float64) (mean, sd unit.Deg) {
	t.Helper()
	sum, err := spc.Summarize(errors)
	if err != nil {
		t.Fatal(err)
	}
	return unit.Deg(sum.Mean), unit.Deg(sum.Spread)
}

func alike(a, b Cell) bool {
	near := math.Abs(float64(a.Mean-b.Mean)) < 1e-12 && math.Abs(float64(a.Spread-b.Spread)) < 1e-12
	a.Mean, a.Spread, b.Mean, b.Spread = 0, 0, 0, 0
	return near && a == b
}

// The sums of whole numbers must agree with the careful floating-point way,
// also where the spread is tiny beside the mean.
func TestMeanAndSpread(t *testing.T) {
	for _, values := range [][]int64{{5}, {0, 0}, {799, 799, 798}, {-799, 799}, {-150, -149, -151, -150, -90}} {
		var sum, squares int64
		var floats []float64
		for _, v := range values {
			sum, squares, floats = sum+v, squares+v*v, append(floats, float64(v)/100)
		}
		mean, sd := meanAndSpread(len(values), sum, squares)
		wantMean, wantSD := spread(t, floats...)
		if math.Abs(float64(mean-wantMean)) > 1e-12 || math.Abs(float64(sd-wantSD)) > 1e-12 {
			t.Errorf("meanAndSpread(%v) = %v, %v, want %v, %v", values, mean, sd, wantMean, wantSD)
		}
	}
	if mean, sd := meanAndSpread(0, 0, 0); mean != 0 || sd != 0 {
		t.Errorf("meanAndSpread(none) = %v, %v, want 0, 0", mean, sd)
	}
}

func TestExport(t *testing.T) {
	s := reviewed(t)
	var ids, corrected, teaching []string
	var last Sample
	err := s.Export(context.Background(), func(x Sample) error {
		last = x
		ids = append(ids, x.Reading.ID)
		if x.Corrected {
			corrected = append(corrected, x.Reading.ID)
		}
		if x.Teaches {
			teaching = append(teaching, x.Reading.ID)
		}
		return nil
	})
	if got := strings.Join(ids, " "); err != nil || got != "r1 r2 r3 r4 r5 r6 r7 r8 r9 r10 r11 r12" {
		t.Errorf("Export = %s, %v, want r1 to r12", got, err)
	}
	if got := strings.Join(corrected, " "); got != "r11" {
		t.Errorf("corrected = %s, want r11", got)
	}
	if got := strings.Join(teaching, " "); got != "r1 r2 r3 r4 r9 r10 r11 r12" {
		t.Errorf("teaching = %s, want r1 r2 r3 r4 r9 r10 r11 r12", got)
	}
	if x := last; x.Code != code(2) || x.Job != "J-2" || x.Part != "TR-7" || x.Revision != "A" || x.Material != "304" || x.Thickness != 1000 || x.Bar != "wide" ||
		x.Brake != "short brake" || x.Target != 9000 || x.Tolerance != 100 || x.Bend() != 8820 || x.Springback() != 380 || x.InTolerance || !x.Teaches ||
		x.Corrected || x.Reading.Error != -180 || x.Reading.Seq != 12 {
		t.Errorf("the last of Export = %+v, want the correction r12 with its context", x)
	}
	enough := errors.New("enough")
	count := 0
	if err := s.Export(context.Background(), func(Sample) error { count++; return enough }); !errors.Is(err, enough) || count != 1 {
		t.Errorf("Export(stopped) = %v after %d, want the error after 1", err, count)
	}
}
