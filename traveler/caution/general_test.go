package caution

import (
	"strings"
	"testing"

	"brakeside/traveler"
	"brakeside/traveler/canvas"
	marks "brakeside/traveler/draw"
	"brakeside/traveler/internal/look"
	"brakeside/traveler/page"
)

// The warnings of every job stand in one row and the rest in a second, with a line
// between them; a signal word that is the one before it is not printed again. What
// the brake is not known to have is not warned of.
func TestGeneralCautions(t *testing.T) {
	for _, test := range []struct {
		name   string
		brake  traveler.Brake
		first  int // hazards in the first row
		signal []string
		says   []string
		silent []string
	}{
		{"a plain brake", traveler.Brake{}, 1, []string{"WARNING", "CAUTION"}, []string{"crush fingers", "Edges cut", "manual"}, []string{"Magnet", "Foot", "both hands"}},
		{"a magnet", traveler.Brake{Magnet: true}, 3, []string{"WARNING", "CAUTION", "NOTICE"}, []string{"Magnet OFF", "0.5 mT", "watches"}, []string{"Foot"}},
		{"a foot control", traveler.Brake{Foot: true}, 1, []string{"WARNING", "CAUTION"}, []string{"Foot control"}, []string{"both hands"}},
		{"a control for two hands", traveler.Brake{TwoHand: true}, 1, []string{"WARNING", "CAUTION"}, []string{"both hands"}, []string{"Foot"}},
	} {
		t.Run(test.name, func(t *testing.T) {
			rows := rowsOf(test.brake)
			if len(rows) != 2 || len(rows[0]) != test.first {
				t.Fatalf("%d rows, %d in the first, want 2 and %d", len(rows), len(rows[0]), test.first)
			}
			s, err := page.New(&traveler.Traveler{Paper: "a4", Brake: test.brake})
			if err != nil {
				t.Fatal(err)
			}
			c, b := s.Begin(), s.Body()
			General(s).Draw(c, b)
			words := ""
			var signal []string
			for _, x := range look.Each[marks.Text](c.Page) {
				if x.White {
					signal = append(signal, x.Words)
				}
				words += x.Words + " "
			}
			between := 0
			for _, l := range look.Each[marks.Line](c.Page) {
				if l.Pen == marks.Thin && l.X1 == b.X && l.X2 == b.Right() {
					between++
				}
			}
			if between != 1 {
				t.Errorf("%d lines cross the block, want one between its rows", between)
			}
			if strings.Join(signal, " ") != strings.Join(test.signal, " ") {
				t.Errorf("the signal words are %v, want %v", signal, test.signal)
			}
			for _, want := range test.says {
				if !strings.Contains(words, want) {
					t.Errorf("%q is not said: %s", want, words)
				}
			}
			for _, never := range test.silent {
				if strings.Contains(words, never) {
					t.Errorf("%q is said: %s", never, words)
				}
			}
		})
	}
}

// A caution is as tall as its sign or its words, whichever is taller, and stands
// free of the edge of its cell.
func TestCautionsAreTallEnough(t *testing.T) {
	with, without := hazard{sign: "any", text: "Short."}, hazard{text: "Short."}
	if got := with.height(80, false) - signSide; got <= 0 || got > 2 {
		t.Errorf("beside a sign of %v a caution has %v more", signSide, got)
	}
	line := canvas.Small.Height("Short.", 80)
	if got := without.height(80, false) - line; got <= 0 || got > 2 {
		t.Errorf("a line of %v has %v more", line, got)
	}
}
