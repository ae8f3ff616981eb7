package process

import (
	"cmp"
	"slices"
	"strings"
)

// Level is how bad a risk is, by the signal words of ANSI Z535.6; Notice is for
// damage to work and machine only.
type Level string

// The levels.
const (
	Warning Level = "warning"
	Care    Level = "caution"
	Notice  Level = "notice"
)

// Signal is the signal word of the level.
func (l Level) Signal() string { return strings.ToUpper(string(l)) }

// Caution is a risk that the operator should know of, in sentences: what the
// hazard is, what can happen, what to do.
type Caution struct {
	Level  Level
	Hazard string
	Harm   string // empty where the hazard says it
	Do     string
	Needs  Equipment // what it depends on
}

// Equipment is what a brake file states of a brake, and a caution takes for
// granted.
type Equipment string

// The equipment that cautions depend on.
const (
	AnyBrake Equipment = ""
	AMagnet  Equipment = "magnet"
	ALongBar Equipment = "bar"
)

// Text is the whole caution.
func (c Caution) Text() string {
	return strings.Join(slices.DeleteFunc([]string{c.Hazard, c.Harm, c.Do}, func(s string) bool { return s == "" }), " ")
}

// ByHarm puts cautions in order, the gravest first, and else as they are.
func ByHarm(cautions []Caution) []Caution {
	grave := []Level{Warning, Care, Notice}
	slices.SortStableFunc(cautions, func(a, b Caution) int {
		return cmp.Compare(slices.Index(grave, a.Level), slices.Index(grave, b.Level))
	})
	return cautions
}
