package phrase

import (
	"strings"
	"time"

	"brakeside/calc/unit"
)

// Angle prints an angle with one decimal and its sign.
func Angle(a unit.CentiDeg) string { return a.Text(1) + "°" }

// trimmed prints a length with two decimals at most and one at least.
func trimmed(m unit.Micron) string {
	s := m.Text(2)
	return strings.TrimSuffix(s, "0")
}

// moment prints an RFC 3339 time to the minute; what is no such time is printed
// as it stands.
func moment(rfc3339 string) string {
	at, err := time.Parse(time.RFC3339, rfc3339)
	if err != nil {
		return rfc3339
	}
	return at.UTC().Format("2006-01-02 15:04 UTC")
}

// Code sets the code in groups of four, to be read out and typed; the last
// takes what is left, so that no letter stands alone.
func Code(code string) string {
	letters := []rune(code)
	var groups []string
	for len(letters) > 5 {
		groups, letters = append(groups, string(letters[:4])), letters[4:]
	}
	return strings.Join(append(groups, string(letters)), " ")
}

// Number prints a number with one decimal at most.
func Number(v float64) string {
	return strings.TrimSuffix(unit.MM(v).Text(1), ".0")
}

// plainAngle leaves off a zero decimal.
func plainAngle(a unit.CentiDeg) string { return strings.TrimSuffix(a.Text(1), ".0") + "°" }
