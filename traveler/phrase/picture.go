package phrase

import (
	"strings"

	"brakeside/traveler"
)

// stands words the side on which a face stands.
var stands = map[string]string{
	"left": "stands at your left", "right": "stands at your right", "behind": "stands behind the bar", "front": "stands towards you",
}

// Bench says what the picture of a step in the brake shows: what swings, how far, and
// what stands where, a sentence each, as the catalogue of words has them.
func Bench(step traveler.Step) string {
	words := []string{step.Swinging + " swings up " + Angle(step.Target)}
	if step.Bench != nil {
		for _, s := range step.Bench.Spots {
			if where := stands[s.Side]; where != "" {
				words = append(words, s.Name+" "+where)
			}
		}
	}
	return strings.Join(words, ". ") + "."
}

// Lay says how the part is laid before a step, whatever lay there before.
func Lay(step traveler.Step) string {
	return "face " + step.FaceUp + " up, " + step.Swinging + " towards you, " + step.Clamped + " under the bar"
}
