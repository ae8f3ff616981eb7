package fitting

// What kind of thing stands in the way of a bend: the Cause of an order.Reason.
const (
	TooLong   = "too long"     // for the brake, or for a bar
	TooWeak   = "too weak"     // a bar or the slim leaf
	TooFar    = "too far"      // for the leaf, for a bar, or for the leaf past a bar
	OtherBend = "another bend" // a round bar makes others, or only one makes this
	TooShort  = "too short"    // what swings, or what is clamped
	InItself  = "in itself"    // the part runs into itself
	AtBed     = "at the bed"
	AtLeaf    = "at the leaf"
	AtBar     = "at a bar"
	Walls     = "between walls" // no fingers or slots fit
	AtHem     = "at the hem"    // it cannot be flattened
)
