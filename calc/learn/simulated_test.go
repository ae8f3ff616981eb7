package learn

import (
	"fmt"
	"math"
	"math/rand/v2"

	"brakeside/calc/bend"
	"brakeside/calc/stock"
	"brakeside/calc/unit"
)

// scenario is a simulated shop whose truth is known. Spreads are standard
// deviations in degrees; those of the shop are not those of Usual.
type scenario struct {
	name                       string
	jobs                       int
	zero, material, cell, pack float64
	metal, measuring           float64
	packJobs                   int     // jobs cut from one pack
	misreads, slips            float64 // shares of readings: off by 3 to 7 degrees, and 9.0 for 90
	season                     float64 // degrees at 90, over the year
	drift                      float64 // of the zero, from bend to bend
	shift                      float64 // of the zero on shiftDay, put right on rightDay
	shiftDay, rightDay         int
	people                     []operator
	offcut                     bool // a new pack is bent once before its first piece
	decides                    bool // sheets are printed from what the owner accepted
}

// operator is somebody at the brake, with a protractor.
type operator struct {
	Reader
	bias    float64 // reads so much too high
	step    float64 // of the protractor
	opening bool    // it shows the opening, which is logged as the bend angle
}

const (
	jobsADay = 3
	noDay    = math.MaxInt
)

// shop is one run of a scenario.
type shop struct {
	scenario
	random    *rand.Rand
	zeroNow   float64
	materials map[string]float64
	cells     map[effect]float64
	packs     map[string]*packOf // by material and thickness
	day       int
}

// packOf is a pack of sheet and what an oracle knows of it, that knows all else.
type packOf struct {
	name        string
	truth       float64
	left        int
	told, doubt float64
}

func newShop(sc scenario, seed uint64) *shop {
	s := &shop{scenario: sc, random: rand.New(rand.NewPCG(seed, 77)), materials: map[string]float64{}, cells: map[effect]float64{}, packs: map[string]*packOf{}}
	s.zeroNow = sc.zero * s.random.NormFloat64()
	for _, id := range simulatedMaterials {
		s.materials[id] = sc.material * s.random.NormFloat64()
	}
	return s
}

var simulatedMaterials = []string{"mild-steel", "galvanised", "304", "5251-H22"}

// job is one sheet: some bends of one material, a number of pieces, one person.
type job struct {
	bends  []Bend
	pieces int
	by     *operator
	pack   *packOf
	fresh  bool // the pack is new
}

func (s *shop) job(number int) job {
	s.day = number / jobsADay
	id := simulatedMaterials[s.random.IntN(len(simulatedMaterials))]
	m, err := stock.Find(id)
	if err != nil {
		panic(err)
	}
	sheet := stock.Sheet{Material: m, Thickness: []unit.MM{1, 1.5}[s.random.IntN(2)]}
	key := id + sheet.Thickness.Text(1)
	j := job{pieces: 3 + s.random.IntN(6), by: &s.people[s.random.IntN(len(s.people))]}
	if p := s.packs[key]; p == nil || p.left == 0 {
		s.packs[key] = &packOf{name: fmt.Sprintf("%s of job %d", key, number), truth: s.pack * s.random.NormFloat64(), left: s.packJobs, doubt: s.pack * s.pack}
		j.fresh = true
	}
	j.pack = s.packs[key]
	j.pack.left--
	for range 1 + s.random.IntN(4) {
		angle := []unit.Deg{90, 90, 90, 90, 45, 30, 60, 120}[s.random.IntN(8)]
		bar := []string{"wide", "narrow"}[s.random.IntN(2)]
		b := Bend{Making: bend.Making{Sheet: sheet, Bend: bend.Bend{Angle: angle, Radius: sheet.Thickness, Thickness: sheet.Thickness}, Tool: bend.Tool{Bar: bar}}, Brake: "north", Pack: j.pack.name}
		if _, known := s.cells[b.cell()]; !known {
			s.cells[b.cell()] = s.cell * s.random.NormFloat64()
		}
		j.bends = append(j.bends, b)
	}
	return j
}

// known is what the springback of a bend comes to from brake, material and bar.
func (s *shop) known(b Bend) float64 {
	at := share(b.Bend.Angle)
	zero := s.zeroNow
	if s.day >= s.shiftDay && s.day < s.rightDay {
		zero += s.shift
	}
	season := s.season * math.Sin(2*math.Pi*float64(s.day)/60)
	return zero + at*(float64(b.usual90().Degrees)+s.materials[b.Sheet.Material.ID]+s.cells[b.cell()]+season)
}

// bent is the springback that one piece really has.
func (s *shop) bent(j job, b Bend) float64 {
	back := s.known(b) + share(b.Bend.Angle)*j.pack.truth + s.metal*s.random.NormFloat64()
	s.zeroNow += s.drift * s.random.NormFloat64()
	return back
}

// measured is the bend angle that is logged of a true one, and whether it is a
// misread.
func (s *shop) measured(o *operator, truth float64) (logged float64, wrong bool) {
	seen := truth + o.bias + s.measuring*s.random.NormFloat64()
	if s.random.Float64() < s.misreads {
		seen += (3 + 4*s.random.Float64()) * float64(1-2*s.random.IntN(2))
		wrong = true
	}
	seen = math.Round(seen/o.step) * o.step
	if o.opening {
		seen = 180 - seen
	}
	if s.random.Float64() < s.slips {
		return seen / 10, true
	}
	return seen, wrong
}

// learn has the oracle learn the pack from a bend: it knows all but the pack,
// and which readings are misread.
func (p *packOf) learn(off, at, noise float64) {
	gain := p.doubt * at / (at*at*p.doubt + noise)
	p.told += gain * off
	p.doubt *= 1 - gain*at
}

// ledger adds up absolute angle errors.
type ledger struct {
	sum, most float64
	count     int
}

func (l *ledger) add(off float64) {
	l.sum, l.most, l.count = l.sum+math.Abs(off), max(l.most, math.Abs(off)), l.count+1
}

func (l *ledger) mean() float64 { return l.sum / float64(max(1, l.count)) }

// outcome is what a run of a scenario comes to: true angle errors.
type outcome struct {
	printed, hinted, firstOracle, firstTable, firstAll ledger // first pieces
	later, laterOracle, laterTable, laterAll           ledger // further pieces
	readings, falseMoves, falseAsks, moves             int
	shiftDelay, askDelay                               int // readings until told; 0 when never
	shiftBy                                            float64
	proposals, harmful                                 int
	worst                                              float64
}

// run bends all jobs. Whoever bends sets the stop that is printed or advised.
func (s *shop) run(o *outcome) *Model {
	m := New(Usual)
	suspects := map[Reader]int{}
	w := &owner{map[effect]Figure{}, map[effect]Bend{}, nil}
	sinceShift, told, putRight := 0, 0.0, false
	for number := range s.jobs {
		j := s.job(number)
		if s.decides {
			w.accept(s, m, o)
		}
		if s.shift != 0 && s.day >= s.rightDay && !putRight {
			putRight = true
			if told != 0 {
				m.PutRight("north")
			}
		}
		if s.offcut && j.fresh {
			b := j.bends[0]
			stop := float64(m.Next(b).Stop)
			truth := stop - s.bent(j, b)
			logged, _ := s.measured(j.by, truth)
			m.Observe(Reading{Bend: b, Reader: j.by.Reader, Stop: unit.Deg(stop), Measured: unit.Deg(logged)})
		}
		printed := make([]float64, len(j.bends))
		for i, b := range j.bends {
			printed[i] = float64(m.Next(b).Stop)
			if figure := w.printed(b); s.decides {
				printed[i] = float64(b.Bend.Angle + figure.Springback(b.Bend.Angle))
			}
		}
		for piece := range j.pieces {
			for i, b := range j.bends {
				target, at := float64(b.Bend.Angle), share(b.Bend.Angle)
				stop := math.Round(float64(m.Next(b).Stop)*10) / 10
				if s.decides && piece == 0 {
					stop = math.Round(printed[i]*10) / 10
				}
				back := s.bent(j, b)
				table, plain := target+float64(b.usual(0)), target+s.known(b)
				all := plain + at*j.pack.truth
				if piece == 0 {
					o.printed.add(printed[i] - back - target)
					o.hinted.add(stop - back - target)
					o.firstOracle.add(plain - back - target)
					o.firstTable.add(table - back - target)
					o.firstAll.add(all - back - target)
				} else {
					o.later.add(stop - back - target)
					o.laterOracle.add(plain + at*j.pack.told - back - target)
					o.laterTable.add(table - back - target)
					o.laterAll.add(all - back - target)
				}
				logged, wrong := s.measured(j.by, stop-back)
				if !wrong {
					noise := s.metal*s.metal + s.measuring*s.measuring + j.by.step*j.by.step/12
					honest := logged
					if j.by.opening {
						honest = 180 - honest
					}
					j.pack.learn(stop-(honest-j.by.bias)-s.known(b)-at*j.pack.told, at, noise)
				}
				o.readings++
				suspects[j.by.Reader]++
				asked := m.suspect(j.by.Reader)
				seen := m.Observe(Reading{Bend: b, Reader: j.by.Reader, Stop: unit.Deg(stop), Measured: unit.Deg(logged)})
				shifted := s.shift != 0 && s.day >= s.shiftDay && s.day < s.rightDay
				if shifted && told == 0 {
					sinceShift++
				}
				if seen.Moved != 0 {
					o.moves++
					if !shifted {
						m.LeftAsItIs("north")
					}
					switch {
					case shifted && float64(seen.By)*s.shift > 0 && told == 0:
						told, o.shiftDelay, o.shiftBy = float64(seen.By), sinceShift, float64(seen.By)
					case s.shift == 0 || s.day < s.shiftDay:
						o.falseMoves++
					}
				}
				if !asked && m.suspect(j.by.Reader) {
					if !j.by.opening {
						o.falseAsks++
						m.Answered(j.by.Reader, false)
					} else {
						o.askDelay = suspects[j.by.Reader]
						m.Answered(j.by.Reader, true)
						j.by.opening = false
					}
				}
			}
		}
	}
	return m
}

// decide has an owner print every cell from a figure of its own, practice at
// first, look at the proposals now and then, and accept them all.
type owner struct {
	figures map[effect]Figure
	bends   map[effect]Bend
	order   []effect
}

func (w *owner) printed(b Bend) Figure {
	if _, known := w.figures[b.cell()]; !known {
		w.figures[b.cell()], w.bends[b.cell()] = b.Unread(), b
		w.order = append(w.order, b.cell())
	}
	return w.figures[b.cell()]
}

func (w *owner) accept(s *shop, m *Model, o *outcome) {
	for _, c := range w.order {
		b := w.bends[c]
		p, is := m.Propose(b, w.figures[c])
		if !is {
			continue
		}
		truth := unit.Deg(s.known(b))
		harm := float64(abs(p.Next-truth) - abs(p.Now-truth))
		o.proposals++
		if harm > 0.1 {
			o.harmful++
		}
		o.worst = max(o.worst, harm)
		w.figures[c] = p.Figure
	}
}
