package traveler

import (
	"crypto/sha256"
	"encoding/binary"
	"hash"

	"brakeside/calc/unit"
)

// identityLetters are 16 capitals that are not taken for another on worn paper,
// and of which no word is made: one for each four bits.
const identityLetters = "BCDFGHJKLMNPRTVX"

// identityLength letters stand for 32 bits: of two blanks that a shop could take
// for each other, one in four thousand million looks the same.
const identityLength = 8

// Identity is eight letters that stand for the blank as it is cut and for the
// lines it is bent on. A traveler and a drawing with the same letters are of the
// same blank, to the micrometre; the order of the bends and the bars do not
// matter to it, unless they change a size. They are the first 32 bits of the
// SHA-256 of outline, holes and lines.
func (b Blank) Identity() string {
	sum := sha256.New()
	for _, ring := range b.Rings() {
		hashPoints(sum, ring)
	}
	for _, l := range b.Lines {
		hashPoints(sum, l.Line[:])
		up := unit.CentiDeg(-1)
		if l.Up {
			up = 1
		}
		hashNumbers(sum, int64(up*l.Angle), int64(l.Radius))
	}
	var out []byte
	for _, eight := range sum.Sum(nil)[:identityLength/2] {
		out = append(out, identityLetters[eight>>4], identityLetters[eight&15])
	}
	return string(out[:identityLength/2]) + " " + string(out[identityLength/2:])
}

// hashPoints adds a row of points, led by its length.
func hashPoints(sum hash.Hash, points []Point) {
	hashNumbers(sum, int64(len(points)))
	for _, p := range points {
		hashNumbers(sum, int64(p.X), int64(p.Y))
	}
}

func hashNumbers(sum hash.Hash, numbers ...int64) {
	for _, n := range numbers {
		sum.Write(binary.BigEndian.AppendUint64(nil, uint64(n)))
	}
}
