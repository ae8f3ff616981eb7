package say

import (
	"fmt"
	"strconv"
	"strings"
)

// Share words a part of n, always with n.
func Share(part, n int) string {
	if n == 0 {
		return "none yet"
	}
	return fmt.Sprintf("%d of %d", part, n)
}

// Counted words how many there are of something.
func Counted(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return strconv.Itoa(n) + " " + what + "s"
}

// OrNone says so where there is nothing.
func OrNone(value string) string {
	if value == "" {
		return "none"
	}
	return value
}

// FlagWords says what was ticked at the brake.
func FlagWords(flags []string) string {
	var all []string
	for _, f := range flags {
		all = append(all, strings.ReplaceAll(f, "-", " "))
	}
	return strings.Join(all, ", ")
}
