package learn

import (
	"fmt"
	"slices"

	"gonum.org/v1/gonum/mat"

	"brakeside/calc/unit"
)

// kind is what sort of unknown an effect is.
type kind int

const (
	zero kind = iota
	material
	cell
	pack
)

// effect is one unknown.
type effect struct {
	kind kind
	name string
}

// effects lists the unknowns of a bend.
func (b Bend) effects() []effect {
	out := []effect{
		{zero, b.Brake},
		{material, b.Sheet.Material.ID},
		{cell, b.cell()},
	}
	if b.Pack != "" {
		out = append(out, effect{pack, b.Sheet.Material.ID + "|" + b.Pack})
	}
	return out
}

// cell names material, thickness, radius and bar. A bar is that of its brake:
// equal names on two brakes are two bars.
func (b Bend) cell() string {
	radius := b.Bend.Radius
	if b.Tool.Former > 0 {
		radius = b.Tool.Former
	}
	return fmt.Sprintf("%s|%s|%s|%s|%s", b.Sheet.Material.ID, b.Sheet.Thickness.Text(2), radius.Text(1), b.Brake, b.Tool.Bar)
}

// weights are what each unknown counts in the springback of the bend.
func (b Bend) weights() []float64 {
	s := share(b.Bend.Angle)
	if b.Pack == "" {
		return []float64{1, s, s}
	}
	return []float64{1, s, s, s}
}

// state is the joint normal distribution of the unknowns.
type state struct {
	effects []effect // by place
	places  map[effect]int
	mean    []float64
	cov     *mat.SymDense
	packs   []effect // in the order they were last used
}

// mostPacks is how many packs are remembered at once; of older ones only what
// they told about the rest is kept.
const mostPacks = 40

// place finds an unknown, or begins it with a variance.
func (s *state) place(e effect, variance float64) int {
	if e.kind == pack {
		s.packs = append(slices.DeleteFunc(s.packs, func(p effect) bool { return p == e }), e)
	}
	if i, known := s.places[e]; known {
		return i
	}
	n := len(s.effects)
	if n == 0 {
		s.cov = mat.NewSymDense(1, nil)
	} else {
		s.cov = s.cov.GrowSym(1).(*mat.SymDense)
	}
	s.effects, s.mean = append(s.effects, e), append(s.mean, 0)
	s.places[e] = n
	for i := range n {
		s.cov.SetSym(i, n, 0)
	}
	s.cov.SetSym(n, n, variance)
	return n
}

// forget drops the packs used longest ago. What is left of a joint normal
// distribution is its other rows and columns.
func (s *state) forget() {
	for len(s.packs) > mostPacks {
		s.drop(s.places[s.packs[0]])
		s.packs = s.packs[1:]
	}
}

func (s *state) drop(place int) {
	n := len(s.effects)
	smaller := mat.NewSymDense(n-1, nil)
	skip := func(i int) int {
		if i >= place {
			return i + 1
		}
		return i
	}
	for i := range n - 1 {
		for j := i; j < n-1; j++ {
			smaller.SetSym(i, j, s.cov.At(skip(i), skip(j)))
		}
	}
	delete(s.places, s.effects[place])
	s.effects, s.mean = slices.Delete(s.effects, place, place+1), slices.Delete(s.mean, place, place+1)
	s.cov = smaller
	for i := place; i < n-1; i++ {
		s.places[s.effects[i]] = i
	}
}

// sum is a weighted sum of unknowns.
type sum struct {
	places  []int
	weights []float64
}

// expect gives mean and variance of a sum, and its covariance with each unknown.
func (s *state) expect(x sum) (mean, variance float64, with []float64) {
	with = make([]float64, len(s.mean))
	for k, p := range x.places {
		mean += x.weights[k] * s.mean[p]
		for i := range with {
			with[i] += x.weights[k] * s.cov.At(i, p)
		}
	}
	for k, p := range x.places {
		variance += x.weights[k] * with[p]
	}
	return mean, variance, with
}

// learn takes in that a sum, seen with an error of variance noise, was off its
// expected value.
func (s *state) learn(with []float64, off, variance float64) {
	for i := range s.mean {
		s.mean[i] += with[i] / variance * off
	}
	s.cov.SymRankOne(s.cov, -1/variance, mat.NewVecDense(len(with), with))
}

// blur lets one unknown have moved by so much, nobody knows which way.
func (s *state) blur(place int, by unit.Deg) {
	s.cov.SetSym(place, place, s.cov.At(place, place)+float64(by*by))
}
