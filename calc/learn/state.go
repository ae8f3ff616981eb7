package learn

import (
	"maps"
	"slices"
)

// state is the joint normal distribution of the unknowns.
type state struct {
	effects []effect // by place
	places  map[effect]int
	lent    bool // a clone shares effects and places, until either makes them its own
	mean    []float64
	cov     [][]float64 // row i holds the covariances with 0 to i
	packs   []effect    // in the order they were last used
}

// mostPacks is how many packs are remembered at once; of older ones only what
// they told about the rest is kept.
const mostPacks = 40

// at is the covariance of two unknowns.
func (s *state) at(i, j int) float64 {
	if i < j {
		i, j = j, i
	}
	return s.cov[i][j]
}

// place finds an unknown, or begins it with a variance.
func (s *state) place(e effect, variance float64) int {
	if e.kind == pack {
		s.use(e)
	}
	if i, known := s.places[e]; known {
		return i
	}
	n := len(s.effects)
	s.own()
	s.effects, s.mean = append(s.effects, e), append(s.mean, 0)
	s.places[e] = n
	row := make([]float64, n+1)
	row[n] = variance
	s.cov = append(s.cov, row)
	return n
}

// use puts a pack last in the order of use.
func (s *state) use(e effect) {
	if n := len(s.packs); n > 0 && s.packs[n-1] == e {
		return
	}
	s.packs = append(slices.DeleteFunc(s.packs, func(p effect) bool { return p == e }), e)
}

// drop takes an unknown out. What is left of a joint normal distribution is its
// other rows and columns.
func (s *state) drop(place int) {
	s.own()
	delete(s.places, s.effects[place])
	s.effects, s.mean = slices.Delete(s.effects, place, place+1), slices.Delete(s.mean, place, place+1)
	s.cov = slices.Delete(s.cov, place, place+1)
	for i := place; i < len(s.effects); i++ {
		s.cov[i] = slices.Delete(s.cov[i], place, place+1)
		s.places[s.effects[i]] = i
	}
}

// only is what is left of the state in some places.
func (s *state) only(places []int) state {
	out := state{places: map[effect]int{}}
	for i, p := range places {
		e := s.effects[p]
		out.effects, out.mean, out.places[e] = append(out.effects, e), append(out.mean, s.mean[p]), i
		row := make([]float64, i+1)
		for j, q := range places[:i+1] {
			row[j] = s.at(p, q)
		}
		out.cov = append(out.cov, row)
		if e.kind == pack {
			out.packs = append(out.packs, e)
		}
	}
	return out
}

// own has the state change its names alone.
func (s *state) own() {
	if s.lent {
		s.effects, s.places, s.lent = slices.Clone(s.effects), maps.Clone(s.places), false
	}
}

func (s *state) clone() state {
	n := len(s.mean)
	s.lent = true
	out := state{s.effects, s.places, true, slices.Clone(s.mean), make([][]float64, n), slices.Clone(s.packs)}
	all := make([]float64, 0, n*(n+1)/2)
	for i, row := range s.cov {
		from := len(all)
		all = append(all, row...)
		out.cov[i] = all[from:len(all):len(all)]
	}
	return out
}

// sum is a weighted sum of unknowns.
type sum struct {
	places  []int
	weights []float64
}

// of is the sum of some values by place.
func (x sum) of(values []float64) (total float64) {
	for k, p := range x.places {
		total += x.weights[k] * values[p]
	}
	return total
}

// expect gives mean and variance of a sum, and its covariance with each unknown.
func (s *state) expect(x sum) (mean, variance float64, with []float64) {
	with = make([]float64, len(s.mean))
	for k, p := range x.places {
		w := x.weights[k]
		for i, c := range s.cov[p] {
			with[i] += w * c
		}
		for i := p + 1; i < len(with); i++ {
			with[i] += w * s.cov[i][p]
		}
	}
	return x.of(s.mean), x.of(with), with
}

// learn takes in that a sum, seen with an error and so with this variance, was
// off its expected value.
func (s *state) learn(with []float64, off, variance float64) {
	for i, w := range with {
		if w == 0 {
			continue
		}
		s.mean[i] += w / variance * off
		scale := w / variance
		for j, c := range with[:i+1] {
			s.cov[i][j] -= scale * c
		}
	}
}

// move shifts the means along a line by a distance known with a variance.
func (s *state) move(along []float64, by, variance float64) {
	for i, d := range along {
		s.mean[i] += by * d
		for j, e := range along[:i+1] {
			s.cov[i][j] += variance * d * e
		}
	}
}

// blur lets one unknown have moved, nobody knows which way.
func (s *state) blur(place int, variance float64) { s.cov[place][place] += variance }
