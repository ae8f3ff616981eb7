package phrase

import (
	"strings"

	"brakeside/traveler"
)

// stands words the side on which a face stands.
var stands = map[string]string{
	"left": "at your left stands ", "right": "at your right stands ", "behind": "behind the bar stands ", "front": "towards you stands ",
}

// Bench says what the picture of a step in the brake shows: what swings, how far, and
// what stands where: begun with what the catalogue of words knows, so that it can take
// the sentence apart from its front.
func Bench(step traveler.Step) string {
	words := []string{step.Swinging + " swings up " + Angle(step.Target)}
	if step.Bench != nil {
		for _, s := range step.Bench.Spots {
			if where := stands[s.Side]; where != "" {
				words = append(words, where+s.Name)
			}
		}
	}
	return strings.Join(words, "; ")
}

// Lay says how the part is laid before a step, whatever lay there before.
func Lay(step traveler.Step) string {
	return "face " + step.FaceUp + " up, " + step.Swinging + " towards you, " + step.Clamped + " under the bar"
}
