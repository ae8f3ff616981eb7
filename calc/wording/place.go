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

// barPlace words where along the bend things go when that is particular.
func barPlace(w *fitting.Chosen) string {
	var words []string
	if w.Place != process.Middle {
		lies := "flush with"
		if w.Inside > 0.05 {
			lies = unit.MM(w.Inside).Text(1) + " mm inside"
		}
		words = append(words, fmt.Sprintf("the brake ends %s the bend's %s end", lies, strings.TrimPrefix(string(w.Place), "past-")))
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
