package process

// Level is how bad a risk is, by the signal words of ANSI Z535.4; Notice is for
// damage to work and machine only.
type Level string

// The levels.
const (
	Warning Level = "warning"
	Care    Level = "caution"
	Notice  Level = "notice"
)

// Caution is a risk that the operator should know of.
type Caution struct {
	Level Level
	Text  string
}
