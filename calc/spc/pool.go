package spc

import "gonum.org/v1/gonum/stat"

// Known is something estimated, with the variance of the estimate.
type Known struct{ Value, Variance float64 }

// With takes a further independent estimate of the same thing in: each is
// weighted by one over its variance.
func (k Known) With(other Known) Known {
	sum := 1/k.Variance + 1/other.Variance
	return Known{(k.Value/k.Variance + other.Value/other.Variance) / sum, 1 / sum}
}

// Pooled takes several estimates of one thing together. There must be one.
func Pooled(estimates []Known) Known {
	all := estimates[0]
	for _, k := range estimates[1:] {
		all = all.With(k)
	}
	return all
}

// Differences is how far estimates of several things lie apart.
type Differences struct {
	Q        float64 // sum of squared distances from the pooled value over the variances
	Freedom  int     // estimates less one: what Q is about when the things are one
	Variance float64 // of the things themselves; 0 when chance explains the differences
}

// NewDifferences compares at least one estimate.
// Source: DerSimonian and Laird, Controlled Clinical Trials 7, 1986.
func NewDifferences(estimates []Known) Differences {
	pooled := Pooled(estimates)
	d := Differences{Freedom: len(estimates) - 1}
	var weights, squares float64
	for _, k := range estimates {
		w := 1 / k.Variance
		d.Q += w * (k.Value - pooled.Value) * (k.Value - pooled.Value)
		weights += w
		squares += w * w
	}
	if room := weights - squares/weights; room > 0 {
		d.Variance = max(0, (d.Q-float64(d.Freedom))/room)
	}
	return d
}

// Shrunk draws estimates of like things, such as the mean errors of cells of a
// review, towards their common mean, each the more the less it is known, so
// that a cell of four readings is not called worst by chance. Three or fewer
// are returned as they are.
//
// The variance A of the things solves sum w (k/(k-1) (y-m)^2 - V) = 0 with w =
// 1/(V+A) and m the mean weighted by w; each estimate keeps the share 1 -
// (k-3)/(k-1) V/(V+A) of its distance from m. With equal variances that is the
// estimate of Efron and Morris, 1 - (k-3) V / sum (y-m)^2. Source: Morris,
// Journal of the American Statistical Association 78, 1983, from memory.
func Shrunk(estimates []Known) []float64 {
	out := make([]float64, len(estimates))
	for i, k := range estimates {
		out[i] = k.Value
	}
	count := float64(len(estimates))
	if count <= 3 {
		return out
	}
	mean, variance := commonMean(estimates)
	for i, k := range estimates {
		towards := (count - 3) / (count - 1) * k.Variance / (k.Variance + variance)
		out[i] = mean + (1-towards)*(k.Value-mean)
	}
	return out
}

// commonMean gives the weighted mean and the variance of the things.
func commonMean(estimates []Known) (mean, variance float64) {
	const enough = 200 // it settles long before
	count := float64(len(estimates))
	values, weights := make([]float64, len(estimates)), make([]float64, len(estimates))
	variance = NewDifferences(estimates).Variance
	for range enough {
		var sum, total float64
		for i, k := range estimates {
			values[i], weights[i] = k.Value, 1/(k.Variance+variance)
		}
		mean = stat.Mean(values, weights)
		for i, k := range estimates {
			off := k.Value - mean
			sum += weights[i] * (count/(count-1)*off*off - k.Variance)
			total += weights[i]
		}
		variance = max(0, sum/total)
	}
	return mean, variance
}
