package flat

import "brakeside/calc/bend"

// BendsLike reports whether another blank of the same part bends alike: the same
// arithmetic, and the same springback expected of every bend.
func (b *Blank) BendsLike(other *Blank) bool {
	for i := range b.Joints {
		if b.Joints[i].Bend != other.Joints[i].Bend || b.expected(i) != other.expected(i) {
			return false
		}
	}
	return true
}

// expected is the springback expected of a bend, without where it is from.
func (b *Blank) expected(joint int) bend.Expected {
	e := b.Making.Practice.Expect(b.Made(joint))
	e.From = ""
	return e
}
