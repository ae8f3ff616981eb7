package stock

import (
	"sort"
	"strings"
)

// shown is how many ids a refusal names.
const shown = 3

// nearest lists the ids most like the one asked for, nearest first; equally
// near ones in the order of the list.
func nearest(list []Material, id string) []string {
	asked := strings.ToLower(strings.TrimSpace(id))
	sorted := append([]Material(nil), list...)
	sort.SliceStable(sorted, func(i, j int) bool {
		return sorted[i].unlike(asked) < sorted[j].unlike(asked)
	})
	var ids []string
	for _, m := range sorted[:min(shown, len(sorted))] {
		if len(ids) > 0 && sorted[0].unlike(asked) < 2 && m.unlike(asked) >= 2 {
			break // those that contain it are answer enough
		}
		ids = append(ids, m.ID)
	}
	return ids
}

// unlike is 0 for an id that contains what was asked or is in it, 1 for a
// material whose words contain it, and else two more than the letters to change.
func (m Material) unlike(asked string) int {
	id := strings.ToLower(m.ID)
	switch {
	case asked != "" && (strings.Contains(id, asked) || strings.Contains(asked, id)):
		return 0
	case asked != "" && strings.Contains(m.Words, asked):
		return 1
	}
	return 2 + editDistance(id, asked)
}

// editDistance is Levenshtein's distance between two words, by bytes.
func editDistance(a, b string) int {
	previous := make([]int, len(b)+1)
	for j := range previous {
		previous[j] = j
	}
	for i := 1; i <= len(a); i++ {
		current := make([]int, len(b)+1)
		current[0] = i
		for j := 1; j <= len(b); j++ {
			change := previous[j-1]
			if a[i-1] != b[j-1] {
				change++
			}
			current[j] = min(change, previous[j]+1, current[j-1]+1)
		}
		previous = current
	}
	return previous[len(b)]
}
