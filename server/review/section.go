// Package review shows what the log says and teaches: how true the bends come
// out, where the stops should be set, how long the work takes, how well it is
// measured; and takes what the owner decides about it.
package review

import (
	"brakeside/server/lessons"
	"brakeside/server/web"
)

// Section is these pages with what they need.
type Section struct {
	*web.Site
	book *lessons.Book // what the log has taught
}

// New makes the pages of the review.
func New(site *web.Site, book *lessons.Book) *Section { return &Section{site, book} }
