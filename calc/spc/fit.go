package spc

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"

	"brakeside/calc/fault"
)

// Fit is y = b0 + b1 x1 + b2 x2 + ... by least squares.
type Fit struct {
	N            int
	Coefficients []float64 // b0 first
	Errors       []float64 // standard errors of the coefficients
	Spread       float64   // of the values about the fit
	Explained    float64   // share of the scatter that the fit explains: R squared
	Left         float64   // sum of squares about the fit
	F            float64   // of the fit against none
	freedom      float64
}

// NewFit fits y by the columns, each as long as y. Columns are taken about
// their means, which spares digits. It refuses columns of other lengths, no
// more values than coefficients, and columns that depend on each other.
func NewFit(y []float64, columns ...[]float64) (Fit, error) {
	if err := checkFit(y, columns); err != nil {
		return Fit{}, err
	}
	n, p := len(y), len(columns)
	means := make([]float64, p)
	design := mat.NewDense(n, p, nil)
	for j, x := range columns {
		means[j] = stat.Mean(x, nil)
		for i, v := range x {
			design.Set(i, j, v-means[j])
		}
	}
	mean := stat.Mean(y, nil)
	centred := mat.NewVecDense(n, nil)
	for i, v := range y {
		centred.SetVec(i, v-mean)
	}
	var qr mat.QR
	qr.Factorize(design)
	var slopes mat.VecDense
	if err := qr.SolveVecTo(&slopes, false, centred); err != nil {
		return Fit{}, fault.New(fault.Invalid, "", "The columns depend on each other.")
	}
	f := Fit{N: n, freedom: float64(n - p - 1)}
	f.Coefficients = append([]float64{mean - mat.Dot(mat.NewVecDense(p, means), &slopes)}, slopes.RawVector().Data...)
	f.judge(centred, design, &slopes)
	return f, f.estimate(&qr, means)
}

func checkFit(y []float64, columns [][]float64) error {
	if err := checkMany(y, len(columns)+2); err != nil {
		return err
	}
	for _, x := range columns {
		if len(x) != len(y) {
			return fault.New(fault.Invalid, "", "A column has %d values, the values fitted are %d.", len(x), len(y))
		}
		if err := check(x); err != nil {
			return err
		}
	}
	return nil
}

// judge compares what is left with the scatter there was.
func (f *Fit) judge(y *mat.VecDense, design *mat.Dense, slopes *mat.VecDense) {
	var fitted, left mat.VecDense
	fitted.MulVec(design, slopes)
	left.SubVec(y, &fitted)
	f.Left = mat.Dot(&left, &left)
	f.Spread = math.Sqrt(f.Left / f.freedom)
	all := mat.Dot(y, y)
	f.Explained = 1 - f.Left/all
	f.F = (all - f.Left) / float64(slopes.Len()) / (f.Left / f.freedom)
}

// estimate gives the standard errors: the columns of the inverse of R, and for
// b0 the mean's own error and that of the slopes carried to the origin.
func (f *Fit) estimate(qr *mat.QR, means []float64) error {
	p := len(means)
	var r mat.Dense
	qr.RTo(&r)
	var inverse mat.Dense
	if err := inverse.Inverse(r.Slice(0, p, 0, p)); err != nil {
		return fault.New(fault.Invalid, "", "The columns depend on each other.")
	}
	var origin mat.VecDense
	origin.MulVec(inverse.T(), mat.NewVecDense(p, means))
	f.Errors = []float64{f.Spread * math.Sqrt(1/float64(f.N)+mat.Dot(&origin, &origin))}
	for j := range p {
		row := inverse.RowView(j)
		f.Errors = append(f.Errors, f.Spread*math.Sqrt(mat.Dot(row, row)))
	}
	return nil
}

// Trend is how values move with their order.
type Trend struct {
	N         int
	PerValue  float64 // change from one value to the next
	Interval          // of PerValue, 95 percent
	WholeMove float64 // PerValue over all values
}

// Moves reports whether the values move at all as far as they can tell: the
// interval does not hold 0.
func (t Trend) Moves() bool { return t.Low > 0 || t.High < 0 }

// NewTrend fits a straight line to at least LeastForLimits values in their
// order.
func NewTrend(values []float64) (Trend, error) {
	if err := checkMany(values, LeastForLimits); err != nil {
		return Trend{}, err
	}
	order := make([]float64, len(values))
	for i := range order {
		order[i] = float64(i)
	}
	f, err := NewFit(values, order)
	if err != nil {
		return Trend{}, err
	}
	slope := f.Coefficients[1]
	reach := student(f.freedom).Quantile(0.975) * f.Errors[1]
	return Trend{f.N, slope, Interval{slope - reach, slope + reach}, slope * float64(f.N-1)}, nil
}
