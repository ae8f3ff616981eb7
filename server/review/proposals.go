package review

import (
	"net/http"

	"brakeside/server/web"
)

type stopsView struct {
	Frame     web.Frame
	Trouble   string
	Moved     []movedLine
	Proposals []proposalView
	Strips    []stripProposalView
	Changes   []changeLine
	KChanges  []changeLine
	Least     string
	Most      string
	Fewest    int

	LeastDeduction, MostDeduction string
}

type proposalView struct {
	Cell, Angle, Now, From, Next, Change, SD string
	N                                        int
	Limited                                  bool // it moves by the most, and wants to go further
	Open                                     bool // nobody has decided: sheets follow the log
	Hidden                                   []web.Pair
	Address                                  string
	ID                                       string
}

type stripProposalView struct {
	Cell, Now, From, Next, Deduction, ID string
	N                                    int
	Limited                              bool // the deduction moves by the most, and wants to go further
	Hidden                               []web.Pair
}

type changeLine struct {
	When, Cell, Words, Before, After, By string
	Current                              bool
	Hidden                               []web.Pair
}

// ownerName is who decides, as kept with a decision.
func (s *Section) ownerName(r *http.Request) string {
	if owner, err := s.Store.Owner(r.Context()); err == nil && owner.Name != "" {
		return owner.Name
	}
	return "owner"
}
