package lift

// Duration is how long lifting goes on, with recovery between, in the manual's
// classes. The zero value is the most demanding.
type Duration int

// The manual's three classes of duration.
const (
	Long     Duration = iota // up to 8 hours
	Moderate                 // up to 2 hours
	Short                    // up to 1 hour
)

// Coupling is how well the hands hold. The zero value is the worst.
type Coupling int

// The manual's three classes of coupling.
const (
	Poor Coupling = iota // sheet edges, sagging or slippery loads
	Fair
	Good // handles or cut-outs
)

// rates are the lifts a minute of the manual's table 5.
var rates = []float64{0.2, 0.5, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15}

// frequencies is table 5 of the manual: by duration, then by whether the hands
// are below the best height, a multiplier for each rate.
var frequencies = map[Duration]struct{ below, above []float64 }{
	Short: {
		below: []float64{1, 0.97, 0.94, 0.91, 0.88, 0.84, 0.80, 0.75, 0.70, 0.60, 0.52, 0.45, 0.41, 0.37, 0, 0, 0},
		above: []float64{1, 0.97, 0.94, 0.91, 0.88, 0.84, 0.80, 0.75, 0.70, 0.60, 0.52, 0.45, 0.41, 0.37, 0.34, 0.31, 0.28},
	},
	Moderate: {
		below: []float64{0.95, 0.92, 0.88, 0.84, 0.79, 0.72, 0.60, 0.50, 0.42, 0.35, 0.30, 0.26, 0, 0, 0, 0, 0},
		above: []float64{0.95, 0.92, 0.88, 0.84, 0.79, 0.72, 0.60, 0.50, 0.42, 0.35, 0.30, 0.26, 0.23, 0.21, 0, 0, 0},
	},
	Long: {
		below: []float64{0.85, 0.81, 0.75, 0.65, 0.55, 0.45, 0.35, 0.27, 0.22, 0.18, 0, 0, 0, 0, 0, 0, 0},
		above: []float64{0.85, 0.81, 0.75, 0.65, 0.55, 0.45, 0.35, 0.27, 0.22, 0.18, 0.15, 0.13, 0, 0, 0, 0, 0},
	},
}

// frequency looks the rate up; between two rates it is read on a straight line,
// as the manual says, and past 15 a minute it is 0.
func frequency(rate float64, duration Duration, low bool) float64 {
	column := frequencies[duration].above
	if low {
		column = frequencies[duration].below
	}
	if len(column) == 0 || rate > rates[len(rates)-1] {
		return 0
	}
	rate = max(rate, rates[0])
	for i := 1; i < len(rates); i++ {
		if left, right := rates[i-1], rates[i]; rate <= right {
			return column[i-1] + (rate-left)/(right-left)*(column[i]-column[i-1])
		}
	}
	return 0
}

// couplings is table 7 of the manual: below the best height, and from it up.
var couplings = map[Coupling][2]float64{Good: {1, 1}, Fair: {0.95, 1}, Poor: {0.90, 0.90}}

func coupling(c Coupling, low bool) float64 {
	if low {
		return couplings[c][0]
	}
	return couplings[c][1]
}

// RateOf turns lifting for only some of each quarter of an hour into the rate
// the equation wants: rate x minutes / 15 (the manual's section 1.3.5.5).
func RateOf(rate, minutesOf15 float64) float64 { return rate * minutesOf15 / 15 }
