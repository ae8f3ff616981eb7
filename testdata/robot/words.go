package robot

import (
	"fmt"
	"strings"
)

// Crowded lists words of a finished traveler that are cut off, and pairs of
// texts whose letters lie over each other.
func Crowded(file []byte) ([]string, error) {
	all, err := pages(file)
	if err != nil {
		return nil, err
	}
	var faults []string
	for i, pg := range all {
		for k, a := range pg.items {
			if strings.Contains(a.words, cutSign) {
				faults = append(faults, fmt.Sprintf("page %d: %q is cut off", i+1, a.words))
			}
			for _, b := range pg.items[:k] {
				if a.words != "" && b.words != "" && a.over(b) {
					faults = append(faults, fmt.Sprintf("page %d: %q lies over %q", i+1, a.words, b.words))
				}
			}
		}
	}
	return faults, nil
}

// over reports whether the letters of two texts share paper; boxes that touch by
// a hair do not.
func (t item) over(o item) bool {
	const hairline = 0.05
	return t.left+hairline < o.right && o.left+hairline < t.right && t.bottom+hairline < o.top && o.bottom+hairline < t.top
}

// Words lists the texts of a finished PDF, page by page.
func Words(file []byte) ([]string, error) {
	all, err := pages(file)
	var out []string
	for _, pg := range all {
		for _, t := range pg.items {
			out = append(out, t.words)
		}
	}
	return out, err
}
