package why

import (
	"slices"

	"brakeside/calc/fitting"
	"brakeside/calc/order"
)

// plainly says what a cause comes to, the gravest first.
var plainly = []struct{ cause, words string }{
	{fitting.TooLong, "too long for this brake"},
	{fitting.TooWeak, "too thick for this brake"},
	{fitting.TooFar, "bent farther than this brake reaches"},
	{fitting.OtherBend, "a radius that no bar of this brake makes"},
	{fitting.TooShort, "too little metal beside the bend for this brake"},
	{fitting.InItself, "the part runs into itself"},
	{fitting.AtHem, "the hem cannot be flattened here"},
	{fitting.AtBed, "no room at the bed"},
	{fitting.AtLeaf, "no room at the leaf"},
	{fitting.AtBar, "no room for a bar"},
	{fitting.Walls, "no fingers or slots that fit between what stands"},
}

// meeting are the causes that lie in what the part meets, with the body it meets.
var meeting = []struct{ cause, body string }{
	{fitting.AtBed, "the bed"}, {fitting.AtLeaf, "the leaf"}, {fitting.AtBar, "the bars"}, {fitting.Walls, "the fingers"},
}

// reason says in plain words why so many bends cannot be made: of one bend
// what is wrong with it, of several that none may be the last, and what it meets then.
// Bars and leaves that are out of the question anyhow are named after that, for with
// stronger ones there might be room.
func reason(of map[string]bool, bends int, ends []order.Stuck) string {
	var bodies, causes []string
	for _, m := range meeting {
		if of[m.cause] {
			bodies = append(bodies, m.body)
		}
	}
	for _, p := range plainly {
		if of[p.cause] {
			causes = append(causes, p.words)
		}
	}
	weak := toolWords(tooWeak(ends))
	if weak != "" {
		weak = "; too weak here: " + weak
	}
	switch one := bends == 1; {
	case len(causes) == 1 && (one || bodies == nil):
		return causes[0]
	case bodies == nil:
		return listed(causes)
	case one:
		return "the part meets " + listed(bodies) + weak
	}
	return "no order: whichever of these bends comes last, what is bent before is in its way at " + listed(bodies) + weak
}

// tooWeak names the tools of the brake that are too weak, in the order in which they
// are met.
func tooWeak(ends []order.Stuck) []string {
	var tools []string
	for _, end := range ends {
		for _, r := range end.Reasons {
			if r.Cause == fitting.TooWeak && !slices.Contains(tools, r.Tool) {
				tools = append(tools, r.Tool)
			}
		}
	}
	return tools
}
