// Package brakes shows the brakes of the shop: their forms, bar by bar, their
// versions, and the open sheets that a change concerns.
package brakes

import "brakeside/server/shelf"

// Section is these pages with what they need.
type Section struct {
	shelf.Shelf
	example []byte // the brake file that a new brake begins with
}

// New makes the pages of the brakes.
func New(kept shelf.Shelf, example []byte) *Section { return &Section{kept, example} }
