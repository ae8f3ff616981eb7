// Package parts shows the parts of the shop: their forms and drawings, their
// versions, and their plans on every brake, bend by bend.
package parts

import (
	"brakeside/server/planning"
	"brakeside/server/shelf"
	"strconv"
)

// Section is these pages with what they need.
type Section struct {
	shelf.Shelf
	plans *planning.Plans
}

// New makes the pages of the parts.
func New(kept shelf.Shelf, plans *planning.Plans) *Section { return &Section{kept, plans} }

// partAddress is where a kept version of a part is shown.
func partAddress(seq int64) string { return "/parts/" + strconv.FormatInt(seq, 10) }
