package learn

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"brakeside/calc/spc"
	"brakeside/calc/unit"
)

// one is a model of one bend in which only some things are unknown, each reading
// with this error; the scale is known to nothing, which makes it the mean of all.
func one(t *testing.T, change func(*Settings), noise float64) (*Model, Bend) {
	s := plain
	s.Zero, s.Material, s.Grain, s.Cell, s.Band, s.Pack, s.Person, s.Tool, s.Metal = 1e4, 0, 0, 0, 0, 0, 0, 0, 0
	change(&s)
	m := New(s)
	m.Studied(vernier.Tool, spc.GaugeResult{Measuring: noise})
	b := bent(t, "mild-steel", 90)
	b.Sheet.Material.Springback.Low, b.Sheet.Material.Springback.High = 0, 0 // the trade is sure
	return m, b
}

// Person effects of a random one-way layout: the Dyestuff data (Davies and
// Goldsmith, 1972), six batches of five, as six people. The best linear unbiased
// predictions are those of the REML fit, shrink factor 0.782527 (from memory, and
// recomputed in calc/spc); values in thousands, so that a reading is no slip.
func TestPersonEffectsPublished(t *testing.T) {
	const between, inside = 1764.05, 2451.25
	m, b := one(t, func(s *Settings) { s.Person = unit.Deg(math.Sqrt(between)) / 1000 }, math.Sqrt(inside)/1000)
	text, err := os.ReadFile(filepath.Join("..", "..", "testdata", "checks", "data", "Dyestuff.txt"))
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for line := range strings.Lines(string(text)) {
		fields := strings.Fields(line)
		names = append(names, fields[0])
		for _, f := range fields[1:] {
			v, err := strconv.ParseFloat(f, 64)
			if err != nil {
				t.Fatal(err)
			}
			m.Observe(Reading{Bend: b, Reader: Reader{fields[0], vernier.Tool}, Stop: 0, Measured: unit.Deg(v / 1000)})
		}
	}
	for i, want := range []float64{-17.607, 0.391, 28.562, -23.085, 56.733, -44.995} {
		if got := 1000 * m.mean[m.places[effect{kind: person, name: names[i]}]]; math.Abs(got-want) > 0.002 {
			t.Errorf("batch %s: effect %.4f, published %v", names[i], got, want)
		}
	}
}

// Two-way random effects without interaction, every person measuring the bends of
// every pack: the balanced closed form. The effect of a person is the distance of
// that person's mean from the mean of all, times p r v / (p r v + e) with v the
// variance between persons, e that of an error, p packs and r turns; and likewise
// for packs. Source: Searle, Casella and McCulloch, Variance Components, 1992,
// chapter 7, from memory. The readings are those of the manual's worked gauge
// study (see calc/spc), three people, ten parts, three turns.
func TestTwoWayEffects(t *testing.T) {
	const persons, packs, turns = 3, 10, 3
	const personSD, packSD, noise = 0.23, 1.05, 0.2
	readings := manual()
	m, b := one(t, func(s *Settings) { s.Person, s.Pack = personSD, packSD }, noise)
	all, byPerson, byPack := 0.0, [persons]float64{}, [packs]float64{}
	for i, person := range readings {
		for _, turn := range person {
			for j, v := range turn {
				all, byPerson[i], byPack[j] = all+v/(persons*packs*turns), byPerson[i]+v/(packs*turns), byPack[j]+v/(persons*turns)
				b.Pack = fmt.Sprint(j)
				m.Observe(Reading{Bend: b, Reader: Reader{fmt.Sprint(i), vernier.Tool}, Stop: 90, Measured: unit.Deg(90 + v)})
			}
		}
	}
	shrunk := func(n int, sd float64) float64 { return float64(n) * sd * sd / (float64(n)*sd*sd + noise*noise) }
	for i, mean := range byPerson {
		got, want := m.mean[m.places[effect{kind: person, name: fmt.Sprint(i)}]], shrunk(packs*turns, personSD)*(mean-all)
		if math.Abs(got-want) > 1e-5 {
			t.Errorf("person %d: %v, the closed form gives %v", i, got, want)
		}
	}
	for j, mean := range byPack {
		b.Pack = fmt.Sprint(j)
		got, want := m.mean[m.places[b.pack()]], -shrunk(persons*turns, packSD)*(mean-all) // a larger angle is less springback
		if math.Abs(got-want) > 1e-5 {
			t.Errorf("pack %d: %v, the closed form gives %v", j, got, want)
		}
	}
}

// manual are the readings of the worked example of the AIAG manual, by person,
// turn and part, from memory.
func manual() [3][3][10]float64 {
	return [3][3][10]float64{
		{{0.29, -0.56, 1.34, 0.47, -0.80, 0.02, 0.59, -0.31, 2.26, -1.36},
			{0.41, -0.68, 1.17, 0.50, -0.92, -0.11, 0.75, -0.20, 1.99, -1.25},
			{0.64, -0.58, 1.27, 0.64, -0.84, -0.21, 0.66, -0.17, 2.01, -1.31}},
		{{0.08, -0.47, 1.19, 0.01, -0.56, -0.20, 0.47, -0.63, 1.80, -1.68},
			{0.25, -1.22, 0.94, 1.03, -1.20, 0.22, 0.55, 0.08, 2.12, -1.62},
			{0.07, -0.68, 1.34, 0.20, -1.28, 0.06, 0.83, -0.34, 2.19, -1.50}},
		{{0.04, -1.38, 0.88, 0.14, -1.46, -0.29, 0.02, -0.46, 1.77, -1.49},
			{-0.11, -1.13, 1.09, 0.20, -1.07, -0.67, 0.01, -0.56, 1.45, -1.77},
			{-0.15, -0.96, 0.67, 0.11, -1.45, -0.49, 0.21, -0.49, 1.87, -2.16}},
	}
}
