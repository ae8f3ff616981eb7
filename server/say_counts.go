package server

import (
	"fmt"
	"strconv"
	"strings"
)

// share words a part of n, always with n.
func share(part, n int) string {
	if n == 0 {
		return "none yet"
	}
	return fmt.Sprintf("%d of %d", part, n)
}

// counted words how many there are of something.
func counted(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return strconv.Itoa(n) + " " + what + "s"
}

// orNone says so where there is nothing.
func orNone(value string) string {
	if value == "" {
		return "none"
	}
	return value
}

// flagWords says what was ticked at the brake.
func flagWords(flags []string) string {
	var all []string
	for _, f := range flags {
		all = append(all, strings.ReplaceAll(f, "-", " "))
	}
	return strings.Join(all, ", ")
}
