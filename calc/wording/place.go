package wording

import (
	"fmt"
	"math"
	"strings"

	"brakeside/calc/brake"
	"brakeside/calc/fitting"
	"brakeside/calc/process"
	"brakeside/calc/unit"
)

// listed joins words as one says them: a, b or c.
func listed(words []string, last string) string {
	n := len(words) - 1
	if n < 1 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:n], ", ") + " " + last + " " + words[n]
}

// pastEnd words where the part lies that hangs past an end of the brake: how far
// that end of the bed stays from what stands up there, which a rule can set, or
// where the bend ends, if nothing stands yet.
func pastEnd(w *fitting.Chosen) string {
	end := strings.TrimPrefix(string(w.Place), "past-")
	switch {
	case w.Beyond.Word != "":
		return fmt.Sprintf("%s mm from the bed's %s end to the inside of %s", unit.MM(w.Beyond.Off).Text(1), end, w.Beyond.Word)
	case w.Inside > 0.05:
		return fmt.Sprintf("the bed ends %s mm inside the bend's %s end", unit.MM(w.Inside).Text(1), end)
	case w.Inside < -0.05:
		return fmt.Sprintf("the bend's %s end lies %s mm inside the bed's", end, unit.MM(-w.Inside).Text(1))
	}
	return fmt.Sprintf("the bed ends flush with the bend's %s end", end)
}

// barPlace words where along the bend things go when that is particular.
func barPlace(w *fitting.Chosen) string {
	var words []string
	if w.Place != process.Middle {
		words = append(words, pastEnd(w))
	}
	if w.Bar.Kind == brake.Slotted {
		where := "left"
		if w.At > 0 {
			where = "right"
		}
		words = append(words, fmt.Sprintf("the bar's left end is %s mm %s of the bend's", unit.MM(math.Abs(w.At)).Text(1), where))
		var slots []string
		for _, n := range w.Slots {
			slots = append(slots, fmt.Sprint(n))
		}
		if slots != nil {
			words = append(words, fmt.Sprintf("counted from there, walls stand in slot %s", listed(slots, "and")))
		}
	}
	return strings.Join(words, "; ")
}

// nearGap is how far off a face may stand beside fingers to be told of, in millimetres:
// beyond it nobody sets them by it.
const nearGap = 60

// gaps tells how far what stands beside a set of fingers is from its ends.
func gaps(w *fitting.Chosen) []process.Gap {
	var out []process.Gap
	for i, side := range [2]string{"left", "right"} {
		if b := w.Beside[i]; b.Word != "" && b.Off <= nearGap {
			out = append(out, process.Gap{Side: side, Word: b.Word, Wide: unit.MM(max(0, b.Off))})
		}
	}
	return out
}
