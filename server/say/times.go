package say

import (
	"time"
)

// When words a moment in the time of the shop; nothing for none.
func When(t, now time.Time) string {
	if t.IsZero() {
		return ""
	}
	t = t.In(now.Location())
	if t.Year() == now.Year() && t.YearDay() == now.YearDay() {
		return "today " + t.Format("15:04")
	}
	return t.Format("2 Jan 2006 15:04")
}
