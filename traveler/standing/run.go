package standing

import "iter"

// Spot is one bend of one piece.
type Spot struct {
	Piece int `json:"piece"` // counted from 1
	Step  int `json:"step"`  // the number of the traveler's step
}

// Run is the order in which the bends of a traveler are made.
//
// By piece, each piece is finished before the next one is begun. By step, the
// first of the pieces is made whole so that it can be approved; then step 1 is
// made on all others, then step 2, and so on.
type Run struct {
	ByPiece bool
	Steps   []int // their numbers, in the order of the traveler
	Pieces  []int // in order
}

// Order lists every bend once.
func (r Run) Order() iter.Seq[Spot] {
	return func(yield func(Spot) bool) {
		whole := r.Pieces
		if !r.ByPiece {
			whole = r.Pieces[:min(1, len(r.Pieces))]
		}
		for _, piece := range whole {
			for _, step := range r.Steps {
				if !yield(Spot{piece, step}) {
					return
				}
			}
		}
		for _, step := range r.Steps {
			for _, piece := range r.Pieces[len(whole):] {
				if !yield(Spot{piece, step}) {
					return
				}
			}
		}
	}
}

// First gives the first bend that is open, and false when none is.
func (r Run) First(open func(Spot) bool) (Spot, bool) {
	for spot := range r.Order() {
		if open(spot) {
			return spot, true
		}
	}
	return Spot{}, false
}

// Sample lists the pieces that are measured, lowest first: the first one, every
// so-manieth and the last one, of all that are not lost. A lost piece whose turn
// it was leaves it to the next one. An every of 0 or 1 means every piece.
func Sample(quantity, every int, lost func(piece int) bool) []int {
	every = max(every, 1)
	sample := make([]int, 0, max(quantity, 0)/every+2)
	last, due := 0, 0 // the last of the good pieces so far, and from where on the next is measured
	for piece := 1; piece <= quantity; piece++ {
		if lost(piece) {
			continue
		}
		if piece >= due {
			sample, due = append(sample, piece), (piece/every+1)*every
		}
		last = piece
	}
	if last > 0 && sample[len(sample)-1] != last {
		sample = append(sample, last)
	}
	return sample
}
