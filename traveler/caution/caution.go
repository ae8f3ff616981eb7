// Package caution prints cautions: those of a step, those of a part, and those that
// are true of every job on a brake.
//
// Signal words and panels follow ANSI Z535.4.
package caution

import (
	"cmp"
	"slices"

	"brakeside/traveler"
	"brakeside/traveler/canvas"
	"brakeside/traveler/draw"
	"brakeside/traveler/sign"
)

// signals are the signal words of ANSI Z535.4: what could happen, and how
// badly, decides. Notice is for damage to work and machine only, and carries no
// alert sign.
var signals = map[string]string{
	traveler.Danger:  "DANGER",
	traveler.Warning: "WARNING",
	traveler.Care:    "CAUTION",
	traveler.Notice:  "NOTICE",
}

// severity puts the levels in order, the worst first.
var severity = []string{traveler.Danger, traveler.Warning, traveler.Care, traveler.Notice}

// ByHarm lists cautions the gravest first, and equal ones as they are.
func ByHarm(cautions []traveler.Caution) []traveler.Caution {
	rank := func(c traveler.Caution) int {
		if i := slices.Index(severity, c.Level); i >= 0 {
			return i
		}
		return slices.Index(severity, traveler.Warning) // doubt is never safety
	}
	return slices.SortedStableFunc(slices.Values(cautions), func(a, b traveler.Caution) int { return cmp.Compare(rank(a), rank(b)) })
}

// Together lists cautions as they are printed: by harm, with the notices of damage to
// the work, which stand last, as one. What can hurt people stands by itself.
func Together(cautions []traveler.Caution) []traveler.Caution {
	var out []traveler.Caution
	for _, c := range ByHarm(cautions) {
		if last := len(out) - 1; last >= 0 && c.Level == traveler.Notice && out[last].Level == traveler.Notice {
			out[last].Text += between + c.Text
			continue
		}
		out = append(out, c)
	}
	return out
}

// between stands between two notices.
const between = "  ·  "

// signalHeight is the height of a caution on one line, panelWidth the width of its
// signal word.
const (
	signalHeight = 4.8
	panelWidth   = 24.5
)

// signalText is the width of a caution's words in a row of that width.
func signalText(width float64) float64 { return width - panelWidth - 2.5 }

// Height is what a caution takes in a row of that width, in millimetres.
func Height(caution traveler.Caution, width float64) float64 {
	if canvas.Bold.Fits(caution.Text, signalText(width)) {
		return signalHeight
	}
	return canvas.SmallBold.Height(caution.Text, signalText(width)) + 1
}

// Draw prints a caution: the signal word in its panel, then the words.
func Draw(c canvas.Canvas, b canvas.Box, caution traveler.Caution) {
	word, rest := b.CutLeft(panelWidth)
	panel(c, word, caution.Level)
	_, rest = rest.CutLeft(1.5)
	_, rest = rest.CutRight(1)
	c.Write(rest, canvas.Bold, caution.Text)
}

// panel is a signal word, white on black; the words for harm to people carry
// the alert sign before them, notice does not.
func panel(c canvas.Canvas, b canvas.Box, level string) {
	c.Fill(b, draw.Black)
	word, known := signals[level]
	if !known {
		word = signals[traveler.Warning] // doubt is never safety
	}
	if level != traveler.Notice {
		var own canvas.Box
		own, b = b.CutLeft(6.2)
		sign.Alert(c, own.Middle(4.4, 3.9))
	}
	c.Write(b.Inset(0.5), canvas.Bold.Centred().Inverse(), word)
}
