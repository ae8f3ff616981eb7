package robot

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
)

// object is a JSON object under way.
type object map[string]any

// Invent makes up a part file: a profile with angles of 20 to 135 degrees both
// ways, or a tray with walls that may lean, lips in and out, hems, tabs of part
// of the length and corner tabs. Not every one of them can be bent, or is even
// a part.
func Invent(r *rand.Rand, number int) []byte {
	thickness := pick(r, 0.8, 1.0, 1.2)
	part := object{
		"number": fmt.Sprintf("X-%d", number), "title": "Invented by chance", "revision": "A", "units": "mm",
		"material": pick(r, "mild-steel", "galvanised", "5251-H22"), "thickness": thickness,
		"inside_radius": pick(r, 1.0, 1.5, 2.0), "sizes": "outside", "tolerance": object{"angle": 1.0, "length": 0.5},
	}
	if chance(r, 0.15) {
		part["sizes"] = "inside"
	}
	if chance(r, 0.2) {
		part["marked_face"] = "B"
	}
	if chance(r, 0.5) {
		part["profile"] = profileOf(r)
	} else {
		part["tray"] = trayOf(r)
	}
	file, _ := json.Marshal(part) // only numbers and words
	return file
}

func pick[T any](r *rand.Rand, of ...T) T { return of[r.IntN(len(of))] }

func chance(r *rand.Rand, share float64) bool { return r.Float64() < share }

// between gives a multiple of half a millimetre.
func between(r *rand.Rand, least, most float64) float64 {
	return least + 0.5*float64(r.IntN(int(2*(most-least))+1))
}

func profileOf(r *rand.Rand) object {
	legs, bends := []float64{between(r, 14, 80)}, []float64{}
	for range 1 + r.IntN(5) {
		angle := 90.0
		if chance(r, 0.6) {
			angle = float64(20 + r.IntN(116))
		}
		if chance(r, 0.4) {
			angle = -angle
		}
		legs, bends = append(legs, between(r, 14, 80)), append(bends, angle)
	}
	return object{"length": between(r, 60, 600), "legs": legs, "bends": bends}
}

func trayOf(r *rand.Rand) object {
	walls := object{}
	lean, tabs := chance(r, 0.25), chance(r, 0.1)
	for _, s := range sides {
		if !tabs && chance(r, 0.2) {
			continue
		}
		wall := object{"leg": between(r, 20, 60), "angle": 90}
		chain := []object{wall}
		switch {
		case tabs:
		case lean && chance(r, 0.5):
			wall["angle"] = 70 + r.IntN(36)
		case chance(r, 0.15):
			wall["span"] = []float64{between(r, 15, 30), between(r, 60, 90)}
		case chance(r, 0.4):
			chain = append(chain, object{"leg": between(r, 11, 20), "angle": pick(r, 90, -90, -90, 45, 30)})
		case chance(r, 0.25):
			chain = append(chain, object{"leg": 8, "hem": pick(r, "closed", "open")})
		}
		walls[s.name] = chain
	}
	corners := object{"relief": "square", "size": 3, "gap": 1.0}
	if tabs {
		corners["tabs"], corners["tab_width"] = "inside", 14
	}
	return object{"base": []float64{between(r, 120, 340), between(r, 110, 260)}, "walls": walls, "corners": corners}
}
