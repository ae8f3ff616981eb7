package order

import "brakeside/calc/fault"

// Made is a set of bends, one bit each.
type Made uint32

// Has reports whether the set holds the bend.
func (m Made) Has(bend int) bool { return m&(1<<bend) != 0 }

// Setup is what stays as it is between two bends unless it is changed.
type Setup struct {
	Bar      string
	Segments string // widths from left to right, empty for a bar in one piece
	Leaf     string
	FaceUp   string // A or B
	Heading  int    // of the blank's x axis on the brake, in degrees
	Stop     int64  // of the leaf, hundredths of a degree in the brake's own scale
}

// Action is one way to make one bend.
type Action struct {
	Setup
	Bend  int
	Side  int // which of the two faces of the bend is clamped
	Place string
	Own   Cost // what it costs whatever came before
}

// Reason says why one way to make a bend is not possible.
type Reason struct {
	Bend  int
	Side  int    // which of the two faces of the bend is clamped
	Cause string // what kind of thing stands in the way, as the shop calls it; may be empty
	Tool  string // what of the shop it speaks of; empty where it speaks of none
	Text  string
}

// Shop knows the bends, the brake and the cost.
type Shop interface {
	// Actions lists every way to make bend next once made is done.
	Actions(made Made, next int) []Action
	// Change is the cost of going from one setup to the next; before the first
	// bend from is the setup that the blank arrives in.
	Change(from, to Setup) Cost
	// Why tells why bend next cannot be made once made is done, one reason for
	// each way that was tried.
	Why(made Made, next int) []Reason
}

// Question asks how bend Next is made once Made is done.
type Question struct {
	Made Made
	Next int
}

// Together is a Shop that answers many questions at once sooner than one by one, with
// the same answers.
type Together interface {
	Shop
	All(questions []Question) [][]Action
}

// Found is the answer of a search.
type Found struct {
	Actions []Action // in order; nil when none was found
	Cost    Cost
	AtLeast Cost // no order costs less; zero where it is proven
	Proven  bool // the order is the cheapest, or that there is none is certain
	States  int  // setups reached; without an order the sets of bends come to from its end
	Checks  int  // questions asked of the shop
}

// Watch is told how far a search has come, and says whether to go on.
type Watch func(done, all int) bool

// Cancelled is the refusal when a Watch ended a search.
var Cancelled = fault.New(fault.Busy, "", "planning was stopped before it was done")

// Bounded is a Shop that knows a least cost of what is left: no order may cost
// less. The nearer it comes, the less has to be searched.
type Bounded interface {
	Shop
	AtLeast(made Made, now Setup) Cost
}
