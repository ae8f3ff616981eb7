package learn

import (
	"maps"
	"math"

	"brakeside/calc/unit"
)

// rival is another account of the readings than the model's.
type rival struct {
	brake  string   // whose scale has moved, or
	reader Reader   // who logs openings
	step   unit.Deg // by so much the scale has moved; 0 for openings

	off  []float64 // by how much each unknown is another, by place
	odds float64   // log odds against the model
	from int       // number of the reading since which they have added up
	said bool      // the reader has given a reading as the opening since

	// Of the size of a move, in steps: precision times mean, and precision.
	weighed, precision float64
}

// openingFloor is how unlikely an opening may become: from there the odds begin
// again. Somebody may pick up another protractor any day.
const openingFloor = -2

// reach gives unknowns that are new their place.
func (r *rival) reach(n int) {
	for len(r.off) < n {
		r.off = append(r.off, 0)
	}
}

// rivalsOf finds the rivals a reading bears on, and begins those that are new.
func (k *known) rivalsOf(s Settings, r Reading) []*rival {
	var out []*rival
	for _, step := range []unit.Deg{s.Rival.Step, -s.Rival.Step} {
		out = append(out, k.rival(rival{brake: r.Brake, step: step}))
	}
	if (r.Reader != Reader{}) {
		out = append(out, k.rival(rival{reader: r.Reader}))
	}
	return out
}

func (k *known) rival(like rival) *rival {
	for _, r := range k.rivals {
		if r.brake == like.brake && r.reader == like.reader && r.step == like.step {
			return r
		}
	}
	k.rivals = append(k.rivals, &like)
	k.restart(&like)
	like.from = k.n // the reading that is being weighed
	return &like
}

// restart has a rival begin again with the next reading.
func (k *known) restart(r *rival) {
	r.odds, r.from, r.said, r.weighed, r.precision = 0, k.n+1, false, 0, 0
	r.off = make([]float64, len(k.mean))
	if r.step != 0 {
		r.off[k.places[effect{kind: zero, name: r.brake}]] = float64(r.step)
	}
}

// extra is what a rival makes of a reading otherwise than the model.
func (r *rival) extra(of Reading) float64 {
	if r.step != 0 || r.reader != of.Reader || of.Opening {
		return 0
	}
	return 2 * float64(of.Measured-90)
}

// weighRivals holds a reading against each account.
func (k *known) weighRivals(s Settings, r Reading, c reckoned) {
	plain := s.surprise(c.off, c.seen)
	for _, v := range k.rivalsOf(s, r) {
		signature := c.x.of(v.off)
		v.odds += s.surprise(c.off+v.extra(r)-signature, c.seen) - plain
		if v.step == 0 {
			v.odds += k.unsaid(s, v, r)
			if v.odds <= openingFloor {
				v.odds, v.from = openingFloor, k.n+1
			}
			continue
		}
		if v.odds <= 0 || v.faded(signature-k.ofPack(c.x, v.off)) {
			k.restart(v)
			continue
		}
		worth := s.weight((c.off-signature)/math.Sqrt(c.seen)) / c.seen
		v.weighed += worth * signature * c.off
		v.precision += worth * signature * signature
	}
}

// unsaid is what it says for openings that who gave some readings as openings gives
// this one without a word. At 90 both angles look alike; elsewhere the service asks at
// once, and so has who logs openings say so there alone.
func (k *known) unsaid(s Settings, v *rival, r Reading) float64 {
	if r.Opening {
		v.said = true
	}
	if r.Opening || !v.said || k.trusted[r.Reader] {
		return 0
	}
	return s.Rival.Unsaid
}

// ofPack is the part of a sum that the pack has in it. What a rival has left is
// judged without: a pack is used up, and the next one tells the same again.
func (k *known) ofPack(x sum, values []float64) (total float64) {
	for i, p := range x.places {
		if k.effects[p].kind == pack {
			total += x.weights[i] * values[p]
		}
	}
	return total
}

// faded reports whether the model has come so near to a rival that it tells
// nothing any more, whatever the truth: the move has been learned as something
// else, and one that comes now would pass unseen.
func (r *rival) faded(signature float64) bool {
	left := math.Abs(signature / float64(r.step))
	return left < 0.5 && r.odds < maybeMoved || left < 0.15
}

// followRivals has each account learn the reading as it sees it.
func (k *known) followRivals(r Reading, c reckoned, variance float64) {
	for _, v := range k.rivals {
		v.follow(c.with, (v.extra(r)-c.x.of(v.off))/variance)
	}
}

// follow moves what differs along what was learned.
func (r *rival) follow(with []float64, by float64) {
	if by == 0 {
		return
	}
	for i, w := range with {
		r.off[i] += w * by
	}
}

// moved asks the rivals of a brake whether its scale has moved. Then the model
// becomes what it would be had it known.
func (k *known) moved(s Settings, brake string) (which int, by unit.Deg, ago int) {
	for _, v := range k.rivals {
		if v.brake != brake || v.step == 0 || v.odds < s.Rival.Moved || v.precision == 0 {
			continue
		}
		size := v.weighed / v.precision
		by = unit.Deg(size) * v.step
		k.move(v.off, size, 1/v.precision)
		ago = k.n - v.from
		k.settle(brake)
		k.moves = put(k.moves, brake, k.moves[brake]+by)
		if by > 0 {
			return 1, by, ago
		}
		return -1, by, ago
	}
	return 0, 0, 0
}

// maybeMoved are the log odds from which on a scale may have moved, so that no
// stop is to be changed for good.
const maybeMoved = 2

// unsettled reports whether the scale of a brake may have moved.
func (k *known) unsettled(brake string) bool {
	for _, v := range k.rivals {
		if v.brake == brake && v.step != 0 && v.odds >= maybeMoved {
			return true
		}
	}
	return false
}

// settle has the rivals of a brake's scale begin again.
func (k *known) settle(brake string) {
	maps.DeleteFunc(k.tallies, func(e effect, _ tally) bool { return e.brake == brake })
	for _, v := range k.rivals {
		if v.brake == brake && v.step != 0 {
			k.restart(v)
		}
	}
}

// handSet is how well a zero is known that somebody set by hand. Common
// practice, no source.
const handSet unit.Deg = 0.3

// Moved is by how much the scale of a brake has moved since it was last settled:
// what its zero is to be set back by. 0 when it has not.
func (m *Model) Moved(brake string) unit.Deg { return m.moves[brake] }

// PutRight tells that the scale of a brake was set again by hand: its zero is
// about what it was before it moved, and not well known.
func (m *Model) PutRight(brake string) {
	if p, known := m.places[effect{kind: zero, name: brake}]; known {
		m.mean[p] -= float64(m.moves[brake])
		m.blur(p, square(handSet))
		m.settle(brake)
	}
	m.LeftAsItIs(brake)
}

// LeftAsItIs tells that the scale of a brake stays where it has moved to.
func (m *Model) LeftAsItIs(brake string) {
	m.moves = without(m.moves, brake)
	m.begins()
}
