package fitting

import (
	"runtime"
	"sync"
	"sync/atomic"

	"brakeside/calc/order"
)

// fewest is how many questions are worth sharing out.
const fewest = 8

// All implements order.Together. What is known of a bend is asked and kept bend by
// bend, so that each processor takes one bend after the other, with a desk of its own;
// who takes which makes no difference to the answers.
func (s *Station) All(questions []order.Question) [][]order.Action {
	out, byBend := make([][]order.Action, len(questions)), make([][]int, len(s.Operations))
	for i, q := range questions {
		byBend[q.Next] = append(byBend[q.Next], i)
	}
	var taken atomic.Int64
	work := func(at *Station) {
		for bend := taken.Add(1) - 1; bend < int64(len(byBend)); bend = taken.Add(1) - 1 {
			for _, i := range byBend[bend] {
				out[i] = at.Actions(questions[i].Made, questions[i].Next)
			}
		}
	}
	if len(questions) < fewest {
		work(s)
		return out
	}
	var all sync.WaitGroup
	var broken atomic.Value
	for _, other := range s.crew() {
		all.Go(func() {
			defer func() {
				if mistake := recover(); mistake != nil {
					broken.Store(mistake)
				}
			}()
			work(other)
		})
	}
	work(s)
	all.Wait()
	if mistake := broken.Load(); mistake != nil {
		panic(mistake) // where it can be caught
	}
	return out
}

// crew are the stations for the other processors.
func (s *Station) crew() []*Station {
	if s.others == nil {
		s.others = make([]*Station, min(runtime.GOMAXPROCS(0), len(s.Operations))-1)
		for i := range s.others {
			s.others[i] = &Station{fixed: s.fixed, known: s.known}
		}
	}
	return s.others
}
