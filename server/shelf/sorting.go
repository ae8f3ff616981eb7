package shelf

import (
	"cmp"
	"strings"
)

// Head is the head of a column by which a list can be sorted.
type Head struct {
	Words   string
	Address string // of the list sorted by it, the other way round where it is sorted by it now
	Sorted  string // how it is sorted by it now; empty where it is not
	Figure  bool
}

// Direction is how a column is sorted, as pages say it to who cannot see them.
func Direction(down bool) string {
	if down {
		return "descending"
	}
	return "ascending"
}

// LastCompare compares two values of which the zero value comes last.
func LastCompare[T cmp.Ordered](a, b T) int {
	var none T
	if (a == none) != (b == none) {
		return map[bool]int{true: 1, false: -1}[a == none]
	}
	return cmp.Compare(a, b)
}

// CompareNumbers compares names of which many end in a number: J-9 comes before J-10.
func CompareNumbers(a, b string) int {
	wordsA, endA := ending(a)
	wordsB, endB := ending(b)
	return cmp.Or(cmp.Compare(wordsA, wordsB), cmp.Compare(len(endA), len(endB)), cmp.Compare(endA, endB), cmp.Compare(a, b))
}

// ending cuts off the digits at the end of a name, without the zeros before them.
func ending(name string) (words, number string) {
	words = strings.TrimRight(name, "0123456789")
	return words, strings.TrimLeft(name[len(words):], "0")
}
