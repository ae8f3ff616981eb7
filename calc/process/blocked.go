package process

// Blocked is a set of bends that stand in each other's way.
type Blocked struct {
	Bends   []string
	Why     []string
	Picture Picture
	Cures   []Cure
}

// Picture is an end view with what it shows; without shapes there is none.
type Picture struct {
	Words  string
	Shapes []Shape
}

// Cure is a change that would free a blocked set of bends.
type Cure struct {
	Change string
	Kind   CureKind
}

// CureKind tells who can make the change.
type CureKind string

// The kinds of cure, the easiest first.
const (
	SetupCure   CureKind = "setup"
	StockCure   CureKind = "stock"
	DrawingCure CureKind = "drawing"
	SplitCure   CureKind = "split"
)
