package process

import "brakeside/calc/notation"

// Blocked is a set of bends that stand in each other's way.
type Blocked struct {
	Bends   []string
	Reason  string // in plain words, to be read first
	Why     []string
	Picture Picture
	Cures   []Cure
}

// Picture is an end view with what it shows; without shapes there is none.
type Picture struct {
	Words  string
	Shapes []Shape
}

// Cure is a change that frees a blocked set of bends, or the whole part. It was
// made to the file and planned before it is named.
type Cure struct {
	Change string
	Kind   CureKind
	Of     Subject
	Patch  notation.Patch // of the file of the part or of the brake
	Frees  Freed
}

// Subject is whose file a change is made to.
type Subject string

// The files that a cure can change.
const (
	OfPart  Subject = "part"
	OfBrake Subject = "brake"
)

// Freed is what can be bent with a change.
type Freed string

// A change frees the part when the whole of it was planned and can be bent; else
// the bends that are named, while others still stand in the way.
const (
	FreesPart  Freed = "part"
	FreesBends Freed = "bends"
)

// CureKind tells who can make the change.
type CureKind string

// The kinds of cure, the easiest first.
const (
	SetupCure   CureKind = "setup"
	StockCure   CureKind = "stock"
	DrawingCure CureKind = "drawing"
	SplitCure   CureKind = "split"
)
