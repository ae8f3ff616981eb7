package say

import (
	"testing"
	"time"
)

func TestWhen(t *testing.T) {
	now := time.Date(2026, 5, 4, 9, 30, 0, 0, time.UTC)
	for _, c := range []struct {
		at   time.Time
		want string
	}{
		{time.Time{}, ""},
		{now.Add(-time.Hour), "today 08:30"},
		{now.AddDate(0, 0, -1), "3 May 2026 09:30"},
		{now.In(time.FixedZone("", 3600)), "today 09:30"},
	} {
		if got := When(c.at, now); got != c.want {
			t.Errorf("when(%v) = %q, want %q", c.at, got, c.want)
		}
	}
}
